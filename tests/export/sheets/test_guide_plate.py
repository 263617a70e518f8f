"""The drill guide: true holes, windows that show the edge, and cut lines that a machine can follow."""

from __future__ import annotations

import math
import tempfile
from collections.abc import Callable
from itertools import combinations
from pathlib import Path

import ezdxf
import ezdxf.audit
import pyogrio
import pytest
import shapely
from shapely import LineString, Polygon
from shapely import Point as Place

from export.drawing import Drawing, Mark, Role, Sheet, Text
from export.dxf import write_dxf
from export.machine import for_machine
from export.sheets.guide import GUIDE, LEAST, MARGIN, PILOT, SCREW_HOLE
from export.sheets.head import ROOM
from export.sheets.windows import CLEAR
from export.text import SMALLEST
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Bounds, Circle, Line
from geometry.shape.tolerance import PRINT
from geometry.trade.shop import Shop
from tests.builds import (
    HALF,
    LENGTH,
    READY_MADE,
    laden_head,
    nodes,
    plain_head,
    post_at,
    row,
    three_and_three,
)

FINE = 1e-3
MAKERS = [*READY_MADE, laden_head]


def guide(build: Build, guide_bushing: float | None = None, kerf: float = 0.0) -> Sheet:
    shop = Shop(guide_bushing=guide_bushing, kerf=kerf)
    (sheet,) = GUIDE.drawn(build, lay_out(build), shop, ROOM)
    return sheet


def marks(sheet: Sheet, role: Role) -> list[Mark]:
    return [mark for mark in sheet.drawing.marks if mark.role is role and not isinstance(mark.shape, Text)]


def area(contour: Contour) -> Polygon:
    assert contour.closed
    return Polygon([(at.x, at.y) for at in contour.flatten(FINE)])


def areas(sheet: Sheet, role: Role) -> list[Polygon]:
    return [area(mark.shape) for mark in marks(sheet, role) if isinstance(mark.shape, Contour)]


def circles(sheet: Sheet, role: Role) -> list[Circle]:
    return [mark.shape for mark in marks(sheet, role) if isinstance(mark.shape, Circle)]


def lines(sheet: Sheet, label: str) -> list[LineString]:
    shapes = [mark.shape for mark in marks(sheet, Role.ENGRAVE) if mark.label == label]
    return [
        LineString([(at.x, at.y) for at in shape.flatten(FINE)])
        for shape in shapes
        if isinstance(shape, Contour)
    ]


def edge_line(build: Build) -> LineString:
    edge = lay_out(build).edge
    assert edge is not None
    return LineString([(at.x, at.y) for at in edge.contour.flatten(FINE)])


def side_of(window: Polygon, edge: LineString) -> str:
    """Which side of the head a window is on: the one whose edge is nearer at its height."""
    y = window.centroid.y
    left, _, right, _ = edge.intersection(LineString([(-500.0, y), (500.0, y)])).bounds
    return "right" if abs(right - window.centroid.x) < abs(left - window.centroid.x) else "left"


# Holes


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("make", READY_MADE)
def test_every_bore_has_its_guide_hole_true_to_place_and_size(make: Callable[..., Build], hand: str) -> None:
    build = make(hand=hand)
    posts = lay_out(build).posts
    for bushing, diameter, kerf in ((None, PILOT, 0.0), (12.0, 12.0, 0.3)):
        holes = circles(guide(build, bushing, kerf), Role.GUIDE_HOLE)
        assert [hole.centre for hole in holes] == [post.at for post in posts]
        assert {hole.radius for hole in holes} == {diameter / 2}


@pytest.mark.parametrize("bushing", [None, 12.0])
@pytest.mark.parametrize("make", MAKERS)
def test_there_is_wood_or_plastic_between_all_openings(
    make: Callable[[], Build], bushing: float | None
) -> None:
    sheet = guide(make(), bushing)
    (plate,) = areas(sheet, Role.CUT_OUTLINE)
    windows = areas(sheet, Role.WINDOW)
    guides = [
        Place(hole.centre.x, hole.centre.y).buffer(hole.radius, 64)
        for hole in circles(sheet, Role.GUIDE_HOLE)
    ]
    screws = [
        Place(hole.centre.x, hole.centre.y).buffer(hole.radius, 64) for hole in circles(sheet, Role.SCREW)
    ]
    openings = [*windows, *guides, *screws]
    for one, other in combinations(openings, 2):
        assert one.distance(other) >= min(CLEAR, LEAST) - 0.01
    for opening in openings:
        assert plate.contains(opening)
        assert opening.distance(plate.exterior) >= 3.9


@pytest.mark.parametrize("make", MAKERS)
def test_screw_holes_lie_beside_the_head(make: Callable[[], Build]) -> None:
    build = make()
    edge = lay_out(build).edge
    assert edge is not None
    head = Polygon([(at.x, at.y) for at in edge.contour.flatten(FINE)])
    screws = circles(guide(build), Role.SCREW)
    assert len(screws) == 4
    for hole in screws:
        assert hole.radius == SCREW_HOLE / 2
        assert head.distance(Place(hole.centre.x, hole.centre.y)) - hole.radius > CLEAR


# The plate


def test_plate_of_a_plain_head() -> None:
    sheet = guide(plain_head(row("treble", 1)))
    (plate,) = areas(sheet, Role.CUT_OUTLINE)
    wide, high = 2 * (HALF + MARGIN), LENGTH + MARGIN
    assert plate.bounds == pytest.approx((-wide / 2, 0.0, wide / 2, high))
    # Less the notch of 6 by 3 mm, and the corner cut off at 14 by 14 mm.
    assert plate.area == pytest.approx(wide * high - 9.0 - 98.0)
    assert not plate.contains(Place(wide / 2 - 1, high - 1))
    assert plate.contains(Place(1 - wide / 2, high - 1))
    assert not plate.contains(Place(0.0, 2.9))
    assert plate.contains(Place(0.0, 3.1))


@pytest.mark.parametrize("kerf", [0.1, 0.2, 1.0, 3.175])
def test_kerf_moves_cut_lines_into_the_waste_and_nothing_else(kerf: float) -> None:
    build = three_and_three()
    true, cut = guide(build), guide(build, kerf=kerf)
    (plate,), (path,) = areas(true, Role.CUT_OUTLINE), areas(cut, Role.CUT_OUTLINE)
    # A tool as wide as the kerf that follows the path leaves the plate: what it sweeps only touches it.
    swept = path.exterior.buffer(kerf / 2, 64)
    left = Polygon(path.exterior).difference(swept)
    assert left.hausdorff_distance(plate) < kerf * 0.71 + 0.01  # in the notch a round tool leaves a hollow
    assert left.difference(plate.buffer(0.01)).area < 0.6 * kerf**2 + 0.01
    assert plate.difference(left.buffer(0.01)).area < 0.01
    for window, inner in zip(areas(true, Role.WINDOW), areas(cut, Role.WINDOW), strict=True):
        opened = inner.buffer(kerf / 2, 64)
        assert opened.symmetric_difference(window).area < 0.02 + (4 - math.pi) * max(
            0.0, kerf**2 / 4 - 1.5**2
        )
    for role in (Role.GUIDE_HOLE, Role.SCREW, Role.ENGRAVE):
        assert marks(true, role) == marks(cut, role)


@pytest.mark.parametrize("kerf", [0.0, 0.2, 3.0])
@pytest.mark.parametrize("make", MAKERS)
def test_cut_lines_are_closed_lines_and_arcs_without_specks(make: Callable[[], Build], kerf: float) -> None:
    sheet = guide(make(), kerf=kerf)
    for mark in (*marks(sheet, Role.CUT_OUTLINE), *marks(sheet, Role.WINDOW)):
        assert isinstance(mark.shape, Contour)
        assert mark.shape.closed
        assert mark.shape.self_crossings() == ()
        assert all(isinstance(piece, Line | Arc) and piece.length > 1e-3 for piece in mark.shape.segments)
    shapes = [mark.shape for mark in sheet.drawing.marks]
    assert len(set(map(repr, shapes))) == len(shapes)


# Windows


@pytest.mark.parametrize("bushing", [None, 12.0])
@pytest.mark.parametrize("make", MAKERS)
def test_the_edge_is_seen_on_both_sides_and_at_the_tip(
    make: Callable[[], Build], bushing: float | None
) -> None:
    build = make()
    edge = edge_line(build)
    sheet = guide(build, bushing)
    windows = areas(sheet, Role.WINDOW)
    seen = [window for window in windows if window.intersects(edge)]
    sides = [side_of(window, edge) for window in seen]
    assert sides.count("right") >= 2
    assert sides.count("left") >= 2
    assert any(abs(window.centroid.x) < 25 and window.centroid.y > edge.bounds[3] - 20 for window in seen)
    for window in seen:
        through_it = edge.intersection(window)
        assert through_it.geom_type == "LineString"
        # Right across the short sides, at least a millimetre from the corners.
        assert through_it.length > math.sqrt(window.minimum_rotated_rectangle.area) * 0.7
    for window in windows:
        if not window.intersects(edge):
            assert window.centroid.x == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("bushing", [None, 12.0])
@pytest.mark.parametrize("make", MAKERS)
def test_engraved_lines_go_on_from_the_edge_up_to_the_windows(
    make: Callable[[], Build], bushing: float | None
) -> None:
    build = make()
    edge, sheet = edge_line(build), guide(build, bushing)
    windows = areas(sheet, Role.WINDOW)
    guides = [
        Place(hole.centre.x, hole.centre.y).buffer(hole.radius) for hole in circles(sheet, Role.GUIDE_HOLE)
    ]
    openings = shapely.union_all([*windows, *guides])
    engraved = lines(sheet, "edge of the head")
    for line in engraved:
        assert shapely.hausdorff_distance(line, edge.intersection(line.buffer(0.001))) < 0.01
        assert line.intersection(openings).length < 0.01
        assert min(line.distance(window) for window in windows) < 0.01
        assert line.length <= 16.0 + 1e-6
    for window in (each for each in windows if each.intersects(edge)):
        assert sum(line.distance(window) < 0.01 for line in engraved) >= 1
    for line in lines(sheet, "centre line"):
        assert [x for x, _ in line.coords] == [0.0, 0.0]
        assert line.intersection(openings).length < 0.01


def test_the_centre_line_is_not_engraved_over_a_hole() -> None:
    # A guide hole of 12 mm on the centre line just above the lower window.
    sheet = guide(plain_head(post_at(0.0, 36.0), post_at(20.0, 60.0, key="two")), 12.0)
    hole = Place(0.0, 36.0).buffer(6.0)
    engraved = lines(sheet, "centre line")
    assert engraved
    assert all(line.distance(hole) >= 0.4 for line in engraved)


def test_the_edge_is_not_engraved_through_a_hole() -> None:
    # A guide bushing of 16 mm over the edge itself, next to the lower window.
    build = plain_head(post_at(39.0, 36.0), post_at(-20.0, 60.0, key="two"))
    sheet = guide(build, 16.0)
    hole = Place(39.0, 36.0).buffer(8.0)
    assert all(line.distance(hole) >= 0.4 for line in lines(sheet, "edge of the head"))


# Words


def written(sheet: Sheet, word: str) -> list[Mark]:
    """The lines or the text of one word on the plate."""
    return [
        mark
        for mark in sheet.drawing.only(Role.ENGRAVE).marks
        if mark.label == word or (isinstance(mark.shape, Text) and mark.shape.words == word)
    ]


def bounds_around(marks: list[Mark]) -> Bounds:
    return Drawing(tuple(marks)).bounds


@pytest.mark.parametrize("bushing", [None, 12.0])
@pytest.mark.parametrize("make", MAKERS)
def test_words_say_which_side_is_up_and_touch_nothing(
    make: Callable[[], Build], bushing: float | None
) -> None:
    build = make()
    sheet = guide(build, bushing)
    labels = [post.label for post in lay_out(build).posts]
    words = {word: written(sheet, word) for word in (*labels, "NUT", "FACE UP")}
    assert all(words.values())
    # Words to engrave are lines; only a name with other letters, as of a spare post, stays text.
    engraved = [
        mark.shape for mark in sheet.drawing.only(Role.ENGRAVE).marks if mark.label in {"NUT", "FACE UP"}
    ]
    assert not any(isinstance(shape, Text) for shape in engraved)
    boxes = [
        shapely.box(each.left, each.bottom, each.right, each.top)
        for each in (bounds_around(marks) for marks in words.values())
    ]
    for one, other in combinations(boxes, 2):
        assert one.distance(other) > 0
    openings = shapely.union_all(
        [
            *areas(sheet, Role.WINDOW),
            *(
                Place(hole.centre.x, hole.centre.y).buffer(hole.radius)
                for hole in circles(sheet, Role.GUIDE_HOLE)
            ),
            *(Place(hole.centre.x, hole.centre.y).buffer(hole.radius) for hole in circles(sheet, Role.SCREW)),
        ]
    )
    (plate,) = areas(sheet, Role.CUT_OUTLINE)
    rims = shapely.union_all([plate.boundary, *(area.boundary for area in areas(sheet, Role.WINDOW))])
    for box in boxes:
        # A laser burns away what is engraved nearer to a cut.
        assert box.distance(rims) >= 1.5
        # Engraved letters are as high as printed ones of 7 point at least.
        assert box.bounds[3] - box.bounds[1] >= 0.7 * SMALLEST
        assert plate.contains(box)
        assert box.distance(openings) > 0


def test_notes_say_kerf_drills_and_packing() -> None:
    plain, cut = " ".join(guide(three_and_three()).notes), " ".join(guide(three_and_three(), 16.0, 0.2).notes)
    assert "Kerf 0: cut lines are true to size" in plain
    assert "2 mm for a pilot drill" in plain
    assert "(13.5 mm)" in plain
    assert "Kerf 0.2 mm is compensated" in cut
    assert "plate 0.1 mm outside, windows 0.1 mm inside" in cut
    assert "16 mm for the guide bushing" in cut


# What is refused


@pytest.mark.parametrize(
    ("build", "bushing", "kerf", "words"),
    [
        (plain_head(), None, 0.0, "has no bores"),
        (
            plain_head(row(), outline=nodes((40, 0), (-40, 200), (40, 200), (-40, 0))),
            None,
            0.0,
            "crosses itself",
        ),
        (plain_head(row(), outline=nodes((40, 0), (40, 0))), None, 0.0, "open or crosses itself"),
        (plain_head(row()), 0.0, 0.0, "more than nothing, not 0 mm"),
        (plain_head(row()), math.inf, 0.0, "more than nothing"),
        (plain_head(row()), None, -0.1, "A kerf is a width from 0 to 10 mm, not −0.1 mm"),
        (plain_head(row()), None, math.nan, "A kerf is a width from 0 to 10 mm"),
        (plain_head(row()), None, 8.0, "A kerf of 8 mm does not fit into a sight window that is 8 mm wide"),
        (plain_head(post_at(10.0, 7.9)), None, 0.0, "bore spare A comes too near to the nut line"),
        (plain_head(row(count=2)), 36.5, 0.0, "bores spare A and spare B leave less than 4 mm"),
        (plain_head(row(), row("bass")), 120.0, 0.0, "too near to the nut line"),
    ],
)
def test_what_cannot_be_made_is_refused_with_a_sentence(
    build: Build, bushing: float | None, kerf: float, words: str
) -> None:
    with pytest.raises(ValueError, match=words) as refusal:
        guide(build, bushing, kerf)
    assert str(refusal.value).endswith(".")


def test_a_plate_without_windows_on_both_sides_is_refused() -> None:
    # Discs of 46 mm at (+-30, 30) and (+-30, 80) leave nothing free along the sides.
    rows = [post_at(side * 30.0, y, key=f"at{side}{y}") for side in (-1, 1) for y in (30, 80)]
    build = plain_head(*rows, outline=nodes((40, 0), (40, 110), (-40, 110), (-40, 0)))
    with pytest.raises(ValueError, match="no room for sight windows on both"):
        guide(build, 46.0)


def test_exactly_enough_is_enough() -> None:
    assert guide(plain_head(row(count=2)), 36.0)
    assert guide(plain_head(post_at(10.0, 8.0)))
    assert guide(plain_head(row()), kerf=7.9)


# The file


@pytest.mark.parametrize("make", MAKERS)
def test_the_dxf_file_reads_back(make: Callable[[], Build]) -> None:
    build = make()
    sheet = guide(build, 12.0, 0.2)
    posts = lay_out(build).posts
    contents = write_dxf(for_machine(sheet, edge="neck", aids=True))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "guide.dxf"
        path.write_bytes(contents)
        _, _, shapes, fields = pyogrio.raw.read(path)
        document = ezdxf.readfile(path)  # type: ignore[attr-defined]
    assert not document.audit().has_errors
    layers = fields[0].tolist()
    read = dict.fromkeys(set(layers), 0) | {layer: layers.count(layer) for layer in layers}
    assert read["DRILL"] == len(posts) + len(marks(sheet, Role.SCREW))
    assert read["CUT_THROUGH"] == 1 + len(marks(sheet, Role.WINDOW))
    rings = [shapely.from_wkb(shape) for shape, layer in zip(shapes, layers, strict=True) if layer == "DRILL"]
    for ring, post in zip(rings[: len(posts)], posts, strict=True):
        far = [math.hypot(x - post.at.x, y - post.at.y) for x, y, *_ in ring.coords]
        assert max(abs(distance - 6.0) for distance in far) < PRINT
    for entity in document.modelspace():
        if entity.dxf.layer == "CUT_THROUGH":
            assert entity.dxftype() == "LWPOLYLINE"
            assert entity.dxf.flags & 1  # closed
        if entity.dxftype() == "TEXT":
            assert document.layers.get(entity.dxf.layer).is_off()
    kerfs = [
        entity.dxf.text for entity in document.modelspace().query("TEXT") if "Kerf 0.2" in entity.dxf.text
    ]
    assert len(kerfs) == 1


@pytest.mark.parametrize("kerf", [0.0, 0.15, 3.175])
def test_two_reference_lines_stand_the_kerf_apart(kerf: float) -> None:
    sheet = guide(three_and_three(), kerf=kerf)
    lines = [
        mark.shape for mark in sheet.drawing.only(Role.REFERENCE).marks if isinstance(mark.shape, Contour)
    ]
    assert len(lines) == (2 if kerf else 0)
    if lines:
        assert lines[0].start.y - lines[1].start.y == pytest.approx(kerf)
        (plate,) = areas(sheet, Role.CUT_OUTLINE)
        assert all(plate.distance(LineString([(p.x, p.y) for p in line.points])) > 2.0 for line in lines)
