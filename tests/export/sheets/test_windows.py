"""Stretches along a line, and windows with rounded corners."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.sheets.windows import Window, sight_windows, stretch, stretches
from export.tiles import Span
from geometry.layout.edge import edge_of
from geometry.shape.box import Box
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Line
from tests.builds import HALF, LENGTH, nodes, plain_head

SPANS = st.lists(st.tuples(st.floats(0, 90), st.floats(1, 30)).map(lambda at: Span(at[0], at[0] + at[1])))


def test_what_overlaps_is_joined_and_gaps_are_left_out() -> None:
    wanted = (Span(30.0, 40.0), Span(0.0, 10.0), Span(8.0, 20.0))
    gaps = (Span(5.0, 6.0), Span(38.0, 50.0), Span(100.0, 200.0))
    assert stretches(wanted, gaps) == (Span(0.0, 5.0), Span(6.0, 20.0), Span(30.0, 38.0))
    assert stretches((), gaps) == ()


@given(SPANS, SPANS)
def test_stretches_cover_what_is_wanted_and_nothing_else(wanted: list[Span], gaps: list[Span]) -> None:
    found = stretches(wanted, gaps)
    for before, after in pairwise(found):
        assert before.high <= after.low
    for place in (index / 4 + 0.013 for index in range(500)):
        inside = any(each.low < place < each.high for each in found)
        asked = any(each.low < place < each.high for each in wanted)
        cut = any(each.low < place < each.high for each in gaps)
        if inside:
            assert asked
            assert not cut


def test_a_stretch_of_a_line_and_a_semicircle() -> None:
    # 10 mm straight, then a half circle of radius 5.
    contour = Contour((Line(Point(0, 0), Point(10, 0)), Arc(Point(10, 0), Point(10, 10), 1.0)))
    part = stretch(contour, Span(4.0, 10.0 + 5 * math.pi / 2))
    assert part.length == pytest.approx(6.0 + 5 * math.pi / 2)
    assert (part.start.x, part.start.y) == pytest.approx((4.0, 0.0))
    assert (part.end.x, part.end.y) == pytest.approx((15.0, 5.0))
    whole = stretch(contour, Span(0.0, contour.length))
    assert whole == contour


@given(st.floats(0.0, 1.5), st.floats(0.0, math.tau))
def test_a_rim_is_a_rounded_rectangle(inward: float, angle: float) -> None:
    box = Box(Point(3.0, 4.0), Vector(1.0, 0.0).turned(angle), 7.0, 5.0)
    rim = Window(box).rim(1.5, inward)
    radius = 1.5 - inward
    sharp = (14.0 - 2 * inward) * (10.0 - 2 * inward)
    assert rim.closed
    assert rim.area() == pytest.approx(sharp - (4 - math.pi) * radius**2, abs=1e-5)
    assert min(piece.length for piece in rim.segments) > 1e-6


def test_a_rim_that_is_all_corners_has_no_straight_line() -> None:
    box = Box(Point(0.0, 0.0), Vector(1.0, 0.0), 5.0, 5.0)
    rim = Window(box).rim(5.0, 0.0)
    assert rim.area() == pytest.approx(25 * math.pi)
    assert len(rim.segments) == 4


def test_windows_of_a_plain_head_stand_where_they_can_be_reckoned() -> None:
    edge = edge_of(plain_head())
    assert edge is not None
    plate = Bounds(-HALF - 24.0, 0.0, HALF + 24.0, LENGTH + 24.0)
    found = sight_windows(edge, plate, ())
    places = [(window.box.centre.x, window.box.centre.y) for window in found]
    spans = [window.span for window in found]
    # Lowest: 6 mm over the plate's rim and half a window of 14 mm.
    assert [x for x, _ in places[2:4]] == pytest.approx([HALF, -HALF])
    assert [y for _, y in places[2:4]] == pytest.approx([13.0, 13.0])
    assert places[4][0] == pytest.approx(0.0, abs=0.5)
    assert places[4][1] == pytest.approx(LENGTH)
    assert spans[2] is not None
    assert (spans[2].low, spans[2].high) == pytest.approx((6.0, 20.0), abs=1e-6)
    # On the centre line: 12 mm high, 6 mm from the rim below, 4 mm from the window at the tip above.
    assert places[5] == (0.0, 12.0)
    assert places[6][1] == pytest.approx(LENGTH - 5.0 - 4.0 - 6.0, abs=0.5)
    assert spans[5:] == [None, None]
    # Where the corners are, the edge does not run straight across a window.
    assert all(abs(y - LENGTH) > 7.0 for _, y in places[:2])


def test_without_room_there_is_no_window() -> None:
    edge = edge_of(plain_head())
    assert edge is not None
    plate = Bounds(-HALF - 24.0, 0.0, HALF + 24.0, LENGTH + 24.0)
    everywhere = tuple(
        Circle(Point(x, y), 6.0) for x in (-HALF, 0.0, HALF) for y in range(0, int(LENGTH) + 10, 10)
    ) + tuple(Circle(Point(float(x), LENGTH), 6.0) for x in range(-40, 50, 10))
    assert sight_windows(edge, plate, everywhere) == ()


def test_a_smaller_window_is_taken_where_a_large_one_does_not_fit() -> None:
    edge = edge_of(plain_head())
    assert edge is not None
    plate = Bounds(-HALF - 24.0, 0.0, HALF + 24.0, LENGTH + 24.0)
    # Discs of 10 mm whose rims come to within 7.1 mm of the edge leave 3 mm over the wood.
    rows = tuple(Circle(Point(side * 28.0, float(y)), 4.9) for side in (-1, 1) for y in range(0, 210, 5))
    found = [window for window in sight_windows(edge, plate, rows) if window.span is not None]
    sides = [window for window in found if abs(window.box.centre.x) > 30]
    assert len(sides) == 4
    assert {round(window.box.half_across, 6) for window in sides} == {3.5}


def test_a_window_shows_one_run_of_the_edge_only() -> None:
    # From y = 60 on the head is 4 mm wide: a window across one side there would show the other side too.
    outline = nodes((40, 0), (40, 60), (2, 60), (2, 160), (-2, 160), (-2, 60), (-40, 60), (-40, 0))
    edge = edge_of(plain_head(outline=outline))
    assert edge is not None
    sides = [window for window in sight_windows(edge, Bounds(-64.0, 0.0, 64.0, 184.0), ()) if window.span]
    assert any(window.box.centre.y > 60 for window in sides)
    for window in sides:
        right, left = (window.box.contains(Point(x, window.box.centre.y)) for x in (2.0, -2.0))
        assert window.box.centre.y < 60 or not (right and left)


def test_no_two_windows_are_the_same() -> None:
    edge = edge_of(plain_head())
    assert edge is not None
    found = sight_windows(edge, Bounds(-64.0, 0.0, 64.0, 224.0), ())
    assert len({(each.box.centre.x, each.box.centre.y) for each in found}) == len(found) == 7
