"""The sheets of a cradle: pieces at true size, the head level from the side, a list, and one drawing for machines."""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import combinations

import pytest
import shapely
from msgspec.structs import astuple

from export.drawing import NO_SCALE, REDUCED, Mark, Role, Sheet, Text
from export.sheets.cradle import CRADLE, cradle_machine_sheet
from export.sheets.cradle_list import part_rows
from export.sheets.head import ROOM
from export.sheets.head_rest import rest_views, support_rows
from export.sheets.kerf import cut_line
from geometry.bench.cradle import THIN_END, Cradle, cradle
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.trade.shop import CradleSizes, Shop
from geometry.trade.units import Units
from tests.builds import (
    READY_MADE,
    change,
    laden_head,
    nodes,
    plain_head,
    post_at,
    rectangle,
    three_and_three,
)

EVERY = pytest.mark.parametrize("make", READY_MADE)
FINE = 0.001


def sheets(build: Build, shop: Shop | None = None) -> dict[str, Sheet]:
    return {sheet.name: sheet for sheet in CRADLE.drawn(build, lay_out(build), shop or Shop(), ROOM)}


def machine(build: Build, kerf: float = 0.0, shop: Shop | None = None) -> Sheet:
    return cradle_machine_sheet(build, lay_out(build), change(shop or Shop(), kerf=kerf))


def made(build: Build, sizes: CradleSizes | None = None, kerf: float = 0.0) -> Cradle:
    return cradle(build, lay_out(build), sizes or CradleSizes(), kerf)


def area(contour: Contour) -> shapely.Polygon:
    return shapely.Polygon([(p.x, p.y) for p in contour.flatten(FINE)])


def contours(sheet: Sheet, role: Role, label: str = "") -> list[Contour]:
    return [
        mark.shape
        for mark in sheet.drawing.marks
        if mark.role is role and isinstance(mark.shape, Contour) and label in mark.label
    ]


def words(sheet: Sheet) -> list[str]:
    return [mark.shape.words for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def everything(sheet: Sheet) -> str:
    return " ".join((*words(sheet), *sheet.notes))


# Paper


@EVERY
def test_paper_shows_the_pieces_at_true_size(make: Callable[[], Build]) -> None:
    build = make()
    done, drawn = made(build), sheets(build)
    assert list(drawn) == ["cradle-blocks", "cradle-wedges", "cradle-base", "cradle-level", "cradle-parts"]
    blocks = contours(drawn["cradle-blocks"], Role.CUT_OUTLINE)
    for shown, block in zip(blocks, done.blocks, strict=True):
        assert shown.area() == pytest.approx(block.outline.area())
        assert (shown.bounds.width, shown.bounds.height) == pytest.approx((block.width, block.length))
    assert area(blocks[0]).distance(area(blocks[1])) > 5.0
    (wedge,) = contours(drawn["cradle-wedges"], Role.CUT_OUTLINE, "wedge")
    assert wedge.area() == pytest.approx(done.wedge_length * (THIN_END + done.thick_end) / 2)
    (base,) = contours(drawn["cradle-base"], Role.CUT_OUTLINE)
    assert base.bounds == done.base


@EVERY
def test_the_base_plate_shows_head_bores_and_all_places(make: Callable[[], Build]) -> None:
    build = make()
    sheet, done, layout = sheets(build)["cradle-base"], made(build), lay_out(build)
    assert contours(sheet, Role.OUTLINE) == [done.edge.contour]
    bores = [mark.shape for mark in sheet.drawing.marks if mark.role is Role.BORE]
    assert bores == [Circle(post.at, post.bore / 2) for post in layout.posts]
    assert len(contours(sheet, Role.FENCE)) == 8
    assert [text for text in words(sheet) if text.isupper()].count("WEDGE") == 4
    screws = [mark.shape for mark in sheet.drawing.marks if mark.role is Role.SCREW]
    assert len(screws) == 8
    assert set(screws) <= set(sheet.seam_avoid)


@EVERY
def test_words_lie_on_their_pieces(make: Callable[[], Build]) -> None:
    drawn = sheets(make())
    for name in ("cradle-blocks", "cradle-wedges", "cradle-base"):
        pieces = [
            area(each) for each in contours(drawn[name], Role.CUT_OUTLINE) + contours(drawn[name], Role.FENCE)
        ]
        for mark in drawn[name].drawing.marks:
            if isinstance(mark.shape, Text):
                at = mark.shape.bounds
                box = shapely.box(at.left, at.bottom, at.right, at.top)
                assert any(piece.contains(box) for piece in pieces), mark.shape.words


# From the side


def side(build: Build, label: str) -> list[Contour]:
    return [
        mark.shape
        for mark in sheets(build)["cradle-level"].drawing.marks
        if mark.label == label and isinstance(mark.shape, Contour)
    ]


def leaning(degrees: float, **fields: float) -> Build:
    build = three_and_three()
    return change(build, head=change(build.head, angle_deg=degrees, **fields))


def test_an_angled_head_is_shown_three_ways_to_scale() -> None:
    build = leaning(14.0)
    rest = made(build).rest
    sheet = sheets(build)["cradle-level"]
    scale = int(next(text for text in words(sheet) if text.startswith("From the side")).rpartition(":")[2])
    up, edge, down = side(build, "head and neck")
    for view, sign in ((up, -1.0), (edge, -1.0), (down, 1.0)):
        lines = [segment for segment in view.segments if segment.length * scale > rest.far.along]
        assert len(lines) == 2
        for line in lines:
            rise = abs(line.end.y - line.start.y) / abs(line.end.x - line.start.x)
            assert rise == pytest.approx(math.tan(rest.angle))
        far = max(view.points, key=lambda point: point.x)
        near = min(view.points, key=lambda point: point.x)
        assert (far.y - near.y) * sign > 0
    supports = side(build, "support")
    heights = [support.bounds.height * scale for support in supports]
    assert heights[:2] == pytest.approx([rest.near.on_riser, rest.far.on_riser])
    assert heights[4:] == pytest.approx([rest.near.face_down, rest.far.face_down])
    (riser,) = side(build, "riser")
    assert riser.bounds.height * scale == pytest.approx(rest.riser)


def test_numbers_beside_the_supports_are_those_of_the_table() -> None:
    said = everything(sheets(leaning(14.0))["cradle-level"])
    rest = made(leaning(14.0)).rest
    assert f"B: {-rest.far.at_edge:.1f} mm below the table" in said
    assert f"−{-rest.far.at_edge:.1f} mm" in said
    assert f"{rest.far.falls:.1f} mm" in said
    assert "chuck, belt cover" in said


@pytest.mark.parametrize("wide", [45.0, 70.0, 170.0])
@pytest.mark.parametrize("degrees", [0.0, 14.0])
def test_heights_keep_apart_however_small_a_view_is(degrees: float, wide: float) -> None:
    build = leaning(degrees)
    _, views = rest_views(build, made(build), "inch", wide)
    for view in views:
        texts = [
            mark.shape for mark in view.marks if isinstance(mark.shape, Text) and ": " in mark.shape.words
        ]
        assert [text.words[0] for text in texts] == ["A", "B"]
        boxes = [shapely.box(*astuple(text.bounds)) for text in texts]
        assert boxes[0].distance(boxes[1]) > 0


def test_a_flat_head_lies_flat_both_ways() -> None:
    build = leaning(0.0)
    assert len(side(build, "head and neck")) == 2
    assert side(build, "riser") == []
    said = everything(sheets(build)["cradle-level"])
    assert "The head is flat" in said
    assert "belt cover" not in said
    assert "riser of" not in said
    heads, rows = support_rows(made(build), "mm")
    assert heads == ("Support", "from nut", "face up", "face down")
    assert {row[2] for row in rows} == {f"{made(build).rest.near.on_riser:g} mm"}
    assert "below it" not in said


@pytest.mark.parametrize("units", ["mm", "inch"])
@pytest.mark.parametrize("degrees", [0.0, 17.0])
@pytest.mark.parametrize("height", [90.0, 110.0])
def test_on_small_paper_no_words_are_divided(height: float, degrees: float, units: Units) -> None:
    build, small = leaning(degrees), (112.5, height)
    pages = [
        sheet
        for sheet in CRADLE.drawn(build, lay_out(build), Shop(units=units), small)
        if sheet.name.startswith(("cradle-level", "cradle-parts"))
    ]
    assert len({sheet.name for sheet in pages}) == len(pages) > (2 if degrees else 1)
    assert all(sheet.bounds.width <= small[0] and sheet.bounds.height <= small[1] for sheet in pages)
    for sheet in pages:
        assert sheet.scale == (REDUCED if contours(sheet, Role.OUTLINE) else NO_SCALE)


def test_sizes_in_inches_are_those_of_a_rule() -> None:
    cells = [cell for row in part_rows(made(leaning(14.0)), "inch") for cell in row[2:]]
    cells += [cell for row in support_rows(made(leaning(14.0)), "inch")[1] for cell in row[1:]]
    for cell in cells:
        whole = Fraction(0)
        for part in cell.removesuffix(" in").removeprefix("−").split():
            whole += Fraction(part)
        assert 64 % whole.denominator == 0
    driving = everything(sheets(leaning(14.0), Shop(units="inch"))["cradle-wedges"])
    assert "1/4 in of driving takes up 1/32 in" in driving


def test_a_deep_neck_on_a_slight_angle_meets_the_head_with_a_step() -> None:
    sheet = sheets(leaning(3.0, neck_depth=40.0))["cradle-level"]
    (view, *_) = contours(sheet, Role.OUTLINE, "head and neck")
    assert len(view.points) == 7


def test_a_head_that_tapers_in_thickness_is_packed() -> None:
    assert "pack 2.0 mm under the tip" in everything(
        sheets(leaning(0.0, thickness_tip=11.0, thickness_nut=13.0))["cradle-level"]
    )


# The list


def test_the_list_names_sizes_in_the_units_of_the_shop() -> None:
    build = three_and_three()
    inches = everything(sheets(build, Shop(units="inch"))["cradle-parts"])
    assert " mm" not in inches
    assert "Left block" in inches
    assert "13.5 mm" in everything(sheets(build)["cradle-parts"]) or build.head.thickness_nut != 13.5


@pytest.mark.parametrize(
    ("thickness", "said"), [(30.0, "see that the chuck"), (5.0, "take a thicker board"), (12.0, None)]
)
def test_blocks_of_another_thickness_than_the_head_are_spoken_of(thickness: float, said: str | None) -> None:
    build = leaning(0.0, thickness_nut=13.0, thickness_tip=13.0)
    text = everything(sheets(build, Shop(cradle=CradleSizes(block_thickness=thickness)))["cradle-parts"])
    assert ("Blocks " in text) == (said is not None)
    assert said is None or said in text


def test_what_stands_off_is_said() -> None:
    build = plain_head(post_at(10.0, 60.0), outline=rectangle(60.0, 150.0))
    assert "off the head, more than the gap" in everything(sheets(build)["cradle-parts"])


# Machines


@pytest.mark.parametrize("make", [*READY_MADE, laden_head])
@pytest.mark.parametrize("kerf", [0.0, 0.2, 6.35, 10.0])
def test_machine_pieces_are_the_pieces_when_half_the_kerf_has_gone(
    make: Callable[[], Build], kerf: float
) -> None:
    build = make()
    done, sheet = made(build, kerf=kerf), machine(build, kerf)
    pieces = [area(each) for each in contours(sheet, Role.CUT_OUTLINE)]
    assert len(pieces) == 9
    for shown, block in zip(pieces[:2], done.blocks, strict=True):
        left = shown.buffer(-kerf / 2, quad_segs=128)
        assert left.symmetric_difference(area(block.outline)).area < 0.02 * block.length
    for one, other in combinations(pieces, 2):
        assert one.distance(other) > 1.0


def test_engraved_places_lie_on_the_base_plate() -> None:
    sheet = machine(three_and_three(), 0.2)
    base = max((area(each) for each in contours(sheet, Role.CUT_OUTLINE)), key=lambda piece: piece.area)
    places = contours(sheet, Role.ENGRAVE)
    assert len(places) == 4
    for place in places:
        assert base.exterior.distance(area(place)) > 1.0
        assert base.contains(area(place))


def test_screw_holes_are_drilled_true_to_size() -> None:
    holes = {
        mark.shape.radius
        for mark in machine(three_and_three(), 1.0).drawing.marks
        if mark.role is Role.SCREW and isinstance(mark.shape, Circle)
    }
    assert holes == {2.25}


def test_the_kerf_is_told() -> None:
    assert "Kerf 0" in machine(three_and_three()).notes[0]
    assert (
        "Kerf 0.2 mm is compensated on cut lines: 0.1 mm outside" in machine(three_and_three(), 0.2).notes[0]
    )


@pytest.mark.parametrize("kerf", [-0.1, 11.0, math.nan])
def test_a_kerf_that_is_none_is_refused(kerf: float) -> None:
    with pytest.raises(ValueError, match="A kerf is a width"):
        machine(three_and_three(), kerf)


def test_the_slot_for_a_finger_of_the_head_is_made_as_wide_as_the_kerf() -> None:
    finger = [(40.0, 88.0), (52.0, 88.0), (52.0, 92.0), (40.0, 92.0)]
    build = plain_head(outline=nodes((40.0, 0.0), *finger, (40.0, 180.0), (-40.0, 180.0), (-40.0, 0.0)))
    block = area(made(build, kerf=10.0).right.outline)
    left = area(contours(machine(build, 10.0), Role.CUT_OUTLINE, "right block")[0]).buffer(
        -5.0, quad_segs=128
    )
    assert left.symmetric_difference(block).area < 1.0
    assert left.distance(shapely.Polygon(finger)) > 0.49


def test_a_kerf_wider_than_a_hollow_is_refused() -> None:
    slotted = [(0, 0), (60, 0), (60, 40), (33, 40), (33, 20), (30, 20), (30, 40), (0, 40)]
    outline = through([Point(float(x), float(y)) for x, y in slotted], closed=True)
    with pytest.raises(ValueError, match="A kerf of 4 mm does not fit into a hollow of the comb"):
        cut_line(outline, 4.0, "comb", "mm")
    # Nor do square inner corners take any kerf but a fine one.
    assert cut_line(outline, 0.04, "comb", "mm").area() == pytest.approx(outline.area(), abs=8.0)


def test_marks_are_what_machines_know() -> None:
    roles = {mark.role for mark in machine(three_and_three()).drawing.marks if isinstance(mark, Mark)}
    assert roles == {Role.CUT_OUTLINE, Role.SCREW, Role.ENGRAVE}
