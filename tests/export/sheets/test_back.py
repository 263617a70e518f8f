"""The back: the exact mirror image, pilots by the wood, labels that overlap nothing."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import pytest
import shapely

from export.drawing import Drawing, Role, Sheet, Text
from export.page import paginate
from export.paper import Stamp
from export.sheets.back import BACK, back_marks, back_sheets
from export.sheets.head import ROOM
from export.text import SMALLEST
from geometry.document.build import Build
from geometry.document.codec import read_build
from geometry.document.outline import Nodes
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour
from geometry.shape.segment import Circle
from geometry.shape.tolerance import FLAT
from geometry.trade.hardware import Pin, Screw
from geometry.trade.hardware_library import ENCLOSED_TWO_PINS
from geometry.trade.shop import Shop
from tests.builds import (
    HALF,
    INSET,
    READY_MADE,
    START,
    change,
    eight_on_plates,
    four_friction,
    laden_head,
    plain_head,
    row,
    three_and_three,
    tuner,
)
from tests.on_one import on_one

BUILDS: tuple[Callable[[], Build], ...] = (*READY_MADE, laden_head)


def back(build: Build, **fields: object) -> Sheet:
    return on_one(back_sheets(build, lay_out(build), Shop(**fields), ROOM))  # type: ignore[arg-type]


def circles(drawing: Drawing, *roles: Role) -> list[Circle]:
    return [mark.shape for mark in drawing.only(*roles).marks if isinstance(mark.shape, Circle)]


def said(drawing: Drawing) -> list[str]:
    return [mark.shape.words for mark in drawing.marks if isinstance(mark.shape, Text)]


@pytest.mark.parametrize("make", BUILDS)
def test_everything_is_the_exact_mirror_image(make: Callable[[], Build]) -> None:
    build = make()
    layout, drawing = lay_out(build), back(build).drawing
    assert layout.edge is not None
    (outline,) = (mark.shape for mark in drawing.only(Role.OUTLINE).marks)
    assert isinstance(outline, Contour)
    assert [(-p.x, p.y) for p in outline.points] == [(p.x, p.y) for p in layout.edge.contour.points]
    bores = circles(drawing, Role.BORE)
    assert [(-c.centre.x, c.centre.y) for c in bores] == [(post.at.x, post.at.y) for post in layout.posts]
    assert [c.radius for c in bores] == [post.hardware.bore.through / 2 for post in layout.posts]
    holes = circles(drawing, Role.SCREW, Role.PIN)
    assert [(-c.centre.x, c.centre.y) for c in holes] == [(hole.at.x, hole.at.y) for hole in layout.holes]
    wanted = [
        {(round(-corner.x, 9), round(corner.y, 9)) for corner in box.corners()}
        for box in (
            *(post.body for post in layout.posts if post.body),
            *(plate.box for plate in layout.plates),
        )
    ]
    parts = [
        {(round(p.x, 9), round(p.y, 9)) for p in mark.shape.points}
        for mark in drawing.only(Role.BODY, Role.PLATE).marks
        if isinstance(mark.shape, Contour)
    ]
    assert parts == wanted


@pytest.mark.parametrize("make", BUILDS)
def test_words_are_large_enough_and_overlap_nothing(make: Callable[[], Build]) -> None:
    drawing = back(make()).drawing
    texts = [mark.shape for mark in drawing.marks if isinstance(mark.shape, Text)]
    assert min(text.height for text in texts) >= SMALLEST
    grown = [text.bounds.grown(-0.01) for text in texts]
    boxes = [shapely.box(box.left, box.bottom, box.right, box.top) for box in grown]
    assert all(not one.intersects(other) for one, other in combinations(boxes, 2))
    lines = [
        shapely.LineString([(point.x, point.y) for point in mark.shape.flatten(FLAT)])
        for mark in drawing.without(Role.TABLE, Role.TABLE_HEAD, Role.LEADER).marks
        if isinstance(mark.shape, Contour)
    ]
    assert all(not box.intersects(line) for box in boxes for line in lines)


def with_screw(wood: str) -> Build:
    """One plain tuner with a screw 8 mm nutwards of its post, root 1.5 mm, and a pin 7 mm inwards of it."""
    part = tuner(
        screws=(Screw(along=-8.0, outward=0.0, diameter=2.2, root=1.5, length=10.0),),
        pins=(Pin(along=0.0, outward=-7.0, diameter=2.0, depth=3.0),),
    )
    build = plain_head(row(), hardware=(part,))
    return change(build, head=change(build.head, wood=wood))


# National Design Specification for Wood Construction: 90 % of the root from specific gravity 0.6 on, 70 % below.
@pytest.mark.parametrize(
    ("wood", "radius", "words"),
    [("sugar maple", 0.7, "1.4 mm"), ("true mahogany", 0.55, "1.1 mm"), ("", 0.7, "1.4 mm")],
)
def test_a_pilot_follows_root_and_wood(wood: str, radius: float, words: str) -> None:
    drawing = back(with_screw(wood)).drawing
    (screw,) = circles(drawing, Role.SCREW)
    assert screw.radius == pytest.approx(radius)
    assert [screw.centre.x, screw.centre.y] == pytest.approx([-(HALF - INSET), START - 8.0])
    (pin,) = circles(drawing, Role.PIN)
    assert [pin.centre.x, pin.centre.y, pin.radius] == pytest.approx([-13.0, START, 1.0])
    lines = said(drawing)
    assert {"S1", "P1", "Screw pilots", "Pin holes", words, "2.0 mm", "−20.00", "52.00", "−13.00"} <= set(
        lines
    )
    # 1/16 in = 1.59 mm is wider than the root of 1.5, 3/64 in = 1.19 mm is not 1.1: #54 is 1.397 mm, #57 1.092 mm.
    inches = {"1.4 mm": "#54", "1.1 mm": "#57"}[words]
    assert any(f"S1: pilot {words} · {inches}" in line for line in lines)
    assert {"⌀ mm", "⌀ in", "deep mm", inches.removesuffix(" in")} <= set(lines)


def test_each_small_hole_has_a_crosshair_and_a_dot() -> None:
    build = three_and_three()
    layout, drawing = lay_out(build), back(build).drawing
    dots = [circle.centre for circle in circles(drawing, Role.CENTRE_DOT)]
    for at in [hole.at.mirrored for hole in layout.holes] + [post.at.mirrored for post in layout.posts]:
        assert dots.count(at) == 1
        arms = [mark.shape for mark in drawing.only(Role.CROSSHAIR).marks]
        assert sum(isinstance(arm, Contour) and arm.start.distance(at) < 0.71 for arm in arms) == 4


def test_left_and_right_pieces_are_named_as_seen_from_the_face() -> None:
    drawing = back(three_and_three()).drawing
    names = {
        mark.shape.words: mark.bounds.centre.x
        for mark in drawing.marks
        if isinstance(mark.shape, Text) and mark.shape.bold and mark.shape.words[-2:] in {" L", " R"}
    }
    # Right-handed: trebles 1 to 3 stand right on the face, so left on the back, and take right pieces.
    assert set(names) == {"1 R", "2 R", "3 R", "4 L", "5 L", "6 L"}
    assert all((x < 0) == name.endswith("R") for name, x in names.items())
    assert any(line.startswith("This is the back") for line in said(drawing))


def test_pieces_without_a_hand_are_not_named_left_or_right() -> None:
    drawing = back(four_friction()).drawing
    assert {"1", "2", "3", "4", "No screws, no pins"} <= set(said(drawing))
    assert len(circles(drawing, Role.BUTTON)) == 4
    assert not drawing.only(Role.SHAFT).marks


def test_runs_of_holes_are_summed_up() -> None:
    lines = said(back(eight_on_plates()).drawing)
    assert any(line.startswith("S1 to S8: pilot 1.4 mm · #54") for line in lines)
    mixed = laden_head()
    rows = (mixed.rows[0], change(mixed.rows[1], hardware=ENCLOSED_TWO_PINS.key))
    lines = said(back(change(mixed, rows=rows, hardware=(*mixed.hardware, ENCLOSED_TWO_PINS))).drawing)
    assert any(line.startswith("S1 to S3: pilot") for line in lines)
    assert any(line.startswith("P1 to P6: pin 2.0 mm · 0.079 in") for line in lines)


def test_two_screws_are_both_named() -> None:
    one, two = row("treble"), row("bass")
    screw = Screw(along=-8.0, outward=0.0, diameter=2.2, root=1.5, length=10.0)
    lines = said(back(plain_head(one, two, hardware=(tuner(screws=(screw,)),))).drawing)
    assert any(line.startswith("S1, S2: pilot") for line in lines)


@pytest.mark.parametrize("make", BUILDS)
def test_every_back_takes_one_page(make: Callable[[], Build]) -> None:
    build = make()
    sheets = back_sheets(build, lay_out(build), Shop(), ROOM)
    for sheet in sheets:
        assert len(paginate(sheet, Stamp(build=build.name))) == 1
    layout = lay_out(build)
    assert len(sheets[0].seam_avoid) == len(layout.posts) + len(layout.holes)


def test_a_back_with_nothing_to_drill_is_no_page() -> None:
    friction = four_friction()
    assert BACK.drawn(friction, lay_out(friction), Shop(), ROOM) == ()
    geared = three_and_three()
    assert len(BACK.drawn(geared, lay_out(geared), Shop(), ROOM)) == 1


def test_coordinates_in_inches_on_request() -> None:
    lines = said(back(with_screw(""), units="inch").drawing)
    # 20 mm, 52 mm; 10 mm deep.
    assert {"x in", "y in", "−0.787", "2.047", "0.394"} <= set(lines)


def test_a_head_without_an_edge_still_makes_a_sheet() -> None:
    build = plain_head(row(), outline=Nodes(nodes=()))
    assert not back(build).drawing.only(Role.OUTLINE, Role.BORE).marks


def test_the_marks_are_given_as_the_face_shows_them() -> None:
    build = three_and_three()
    layout = lay_out(build)
    face = Drawing(tuple(back_marks(build, layout)))
    assert [circle.centre for circle in circles(face, Role.BORE)] == [post.at for post in layout.posts]


def with_a_rod_pocket() -> Build:
    """The sample whose pocket has its name near a screw's size."""
    path = Path(__file__).parents[3] / "sample_builds" / "three-plus-three.pegwright"
    return read_build(path.read_bytes())


@pytest.mark.parametrize("make", [*BUILDS, with_a_rod_pocket])
def test_labels_beside_each_other_do_not_read_as_one_line(make: Callable[[], Build]) -> None:
    """Words that share more than half their height stand 2.5 mm apart: a dot of the centre line may lie between."""
    words = [mark.bounds for mark in back(make()).drawing.only(Role.LABEL).marks]
    for one, other in combinations(words, 2):
        shared = min(one.top, other.top) - max(one.bottom, other.bottom)
        if shared > min(one.height, other.height) / 2:
            assert max(one.left - other.right, other.left - one.right) >= 2.5 - 1e-9
