"""Sections against textbook sections, and their widths against shapely."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.hollows import Hollow, hollows
from geometry.bench.sections import LEVEL, cut_at, section, spans_at, thickness_with_volute
from geometry.document.build import Head, OldHole, Polygon, Region, RoundRegion
from geometry.layout.layout import lay_out
from geometry.layout.parts import volute_at
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Circle
from geometry.trade.hardware import Bore, Counterbore
from tests.builds import READY_MADE, change, plain_head, post_at, tuner

WIDE, HIGH = 70.0, 200.0
BOARD = through((Point(-35, 0), Point(35, 0), Point(35, HIGH), Point(-35, HIGH)), closed=True)


def bore(x: float, y: float, diameter: float, **fields: object) -> Hollow:
    return Hollow("bore", Circle(Point(x, y), diameter / 2), **fields)  # type: ignore[arg-type]


def test_a_rectangle() -> None:
    # b t^2 / 6 and b t^3 / 12.
    found = section(BOARD, 15.0, (), 50.0)
    assert found.width == pytest.approx(70)
    assert found.area == pytest.approx(70 * 15)
    assert found.middle == pytest.approx(7.5)
    assert found.inertia == pytest.approx(70 * 15**3 / 12)
    assert found.modulus == pytest.approx(2625)


def test_a_plate_with_two_bores_abreast() -> None:
    # (b - sum d) t^2 / 6 = 50 x 225 / 6.
    found = section(BOARD, 15.0, (bore(-20, 50, 10), bore(20, 50, 10)), 50.0)
    assert found.net_width == pytest.approx(50)
    assert found.modulus == pytest.approx(1875)


@pytest.mark.parametrize("off", [0.0, 3.0, 4.0, 4.9])
def test_beside_its_middle_a_bore_takes_its_chord(off: float) -> None:
    found = section(BOARD, 15.0, (bore(0, 50, 10),), 50.0 + off)
    assert found.net_width == pytest.approx(70 - 2 * math.sqrt(25 - off * off))


def test_past_its_end_a_bore_takes_nothing() -> None:
    assert section(BOARD, 15.0, (bore(0, 50, 10),), 55.0).net_width == pytest.approx(70)


def test_bores_that_overlap_count_once() -> None:
    found = section(BOARD, 15.0, (bore(0, 50, 10), bore(5, 50, 10)), 50.0)
    assert found.net_width == pytest.approx(55)


@pytest.mark.parametrize("side", ["face", "back"])
def test_a_groove_makes_a_channel(side: str) -> None:
    # U section: flanges 2 x 25 x 15 and a web 20 x 6, the groove 9 deep.
    groove = Hollow("pocket", (Point(-10, 0), Point(10, 0), Point(10, 99), Point(-10, 99)), side, 9.0)  # type: ignore[arg-type]
    found = section(BOARD, 15.0, (groove,), 50.0)
    area = 50 * 15 + 20 * 6
    from_whole_side = (50 * 15 * 7.5 + 20 * 6 * 3.0) / area
    inertia = 50 * 15**3 / 12 + 50 * 15 * (7.5 - from_whole_side) ** 2
    inertia += 20 * 6**3 / 12 + 20 * 6 * (from_whole_side - 3.0) ** 2
    assert found.area == pytest.approx(area)
    assert found.middle == pytest.approx(from_whole_side if side == "back" else 15 - from_whole_side)
    assert found.inertia == pytest.approx(inertia)
    assert found.fibre == pytest.approx(15 - from_whole_side)


def test_a_counterbore_and_a_bore_from_both_sides_leave_two_plates() -> None:
    # From the face 5 deep, from the back 4 deep, on one place: 6 of 15 are left there.
    both = (bore(0, 50, 20, side="face", depth=5.0), bore(0, 50, 20, side="back", depth=4.0))
    found = section(BOARD, 15.0, both, 50.0)
    assert found.area == pytest.approx(50 * 15 + 20 * 6)


def test_a_channel_right_through_leaves_two_bars() -> None:
    slot = Hollow("slot", (Point(-6, 20), Point(6, 20), Point(6, 90), Point(-6, 90)))
    found = section(BOARD, 18.0, (slot,), 50.0)
    assert found.modulus == pytest.approx(58 * 18**2 / 6)


def test_a_bore_wider_than_the_board_leaves_nothing() -> None:
    found = section(BOARD, 15.0, (bore(0, 50, 80),), 50.0)
    assert found.area == 0
    assert found.modulus == 0


def test_a_concave_pocket_is_cut_twice() -> None:
    corners = (Point(-9, 10), Point(9, 10), Point(9, 30), Point(0, 15), Point(-9, 30))
    found = Hollow("pocket", corners, "face", 3.0).spans(20.0)
    # The notch rises from (0, 15) by 15 in 9 to both sides: 3 at y = 20.
    assert found == [pytest.approx((-9, -3)), pytest.approx((3, 9))]


@pytest.mark.parametrize("sweep_more", [0.4, 1.0, 2.5])
@pytest.mark.parametrize("turn", [0.0, 0.7, 2.0, 3.9, 5.5])
def test_halves_of_an_arc_rise_or_fall_all_the_way(sweep_more: float, turn: float) -> None:
    start = Point(3 * math.cos(turn), 3 * math.sin(turn))
    end_turn = turn + 4 * math.atan(sweep_more)
    arc = Arc(start, Point(3 * math.cos(end_turn), 3 * math.sin(end_turn)), sweep_more)
    parts = list(cut_at(arc, LEVEL))
    assert sum(part.length for part in parts) == pytest.approx(arc.length)
    for part in parts:
        heights = [part.point_at(step / 20).y for step in range(21)]
        assert heights in (sorted(heights), sorted(heights, reverse=True))


@given(st.sampled_from(READY_MADE), st.floats(0.02, 0.98))
def test_widths_agree_with_shapely(make: object, share: float) -> None:
    edge = lay_out(make()).edge  # type: ignore[operator]
    assert edge is not None
    y = share * edge.top
    points = [(point.x, point.y) for point in edge.region.flatten(0.0005)]
    line = shapely.LineString([(-500, y), (500, y)])
    cut = shapely.intersection(shapely.Polygon(points), line)
    assert sum(right - left for left, right in spans_at(edge.region, y)) == pytest.approx(
        cut.length, abs=0.05
    )


def test_nodes_that_meet_nearly_are_no_gap() -> None:
    # The upper left corner is missed by half of what counts as the same.
    corners = (Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10))
    sides = [*zip(corners, (*corners[1:], corners[0]), strict=True)]
    lines = [through(side).segments[0] for side in sides]
    lines[1] = through((Point(10, 0), Point(10, 10 - 5e-7))).segments[0]
    region = Contour(tuple(lines), closed=True)
    for y in (5.0, 10 - 4e-7, 0.0):
        assert len(spans_at(region, y)) <= 1
    assert spans_at(region, 5.0) == [pytest.approx((0, 10))]


# The head's thickness


def test_a_volute_is_highest_at_the_nut_and_runs_out_both_ways() -> None:
    head = Head(thickness_nut=14.0, thickness_tip=14.0, volute_height=3.0, volute_length=24.0)
    assert volute_at(head, 0.0) == pytest.approx(3.0)
    assert volute_at(head, 6.0) == volute_at(head, -6.0) == pytest.approx(1.5)
    assert volute_at(head, 12.0) == volute_at(head, -20.0) == 0
    assert volute_at(Head(volute_height=3.0), 0.0) == 0
    assert thickness_with_volute(plain_head(head=head), 6.0, 200.0) == pytest.approx(15.5)
    # Behind the nut it stands on the neck.
    deep = plain_head(head=change(head, neck_depth=17.0))
    assert thickness_with_volute(deep, -6.0, 200.0) == pytest.approx(18.5)


# What is missing


def test_hollows_of_a_head() -> None:
    stepped = tuner(bore=Bore(through=6.5, counterbore=Counterbore(diameter=8.8, depth=9.0)))
    build = plain_head(
        post_at(20.0, 60.0),
        hardware=(stepped,),
        keep_clear=(
            Region(
                key="a",
                name="rod pocket",
                shape=RoundRegion(centre=Point(0, 10), radius=4),
                side="face",
                depth=9,
            ),
            Region(key="b", name="logo", shape=RoundRegion(centre=Point(0, 90), radius=4), side="face"),
            Region(key="c", name="", shape=Polygon(points=(Point(0, 40), Point(5, 40), Point(5, 50)))),
        ),
        old_holes=(
            OldHole(key="o1", at=Point(0, 70), diameter=6.0),
            OldHole(key="o2", at=Point(9, 70), diameter=2.0, depth=8.0),
            OldHole(key="o3", at=Point(-9, 70), diameter=6.0, plugged=True),
        ),
    )
    found = {hollow.name: hollow for hollow in hollows(build, lay_out(build))}
    assert list(found) == [
        "bore spare A",
        "counterbore spare A",
        "the rod pocket",
        "the c",
        "old hole H1",
        "old hole H2",
    ]
    assert found["counterbore spare A"].levels(15.0) == (0.0, 9.0)
    assert found["bore spare A"].levels(15.0) == (0.0, 15.0)
    assert found["old hole H2"].levels(15.0) == (7.0, 15.0)
    assert found["the c"].heights == (40, 40, 50)


def test_a_head_without_anything_has_no_hollows() -> None:
    build = change(plain_head(), rows=())
    assert hollows(build, lay_out(build)) == ()
