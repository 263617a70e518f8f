import math
import time

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.shape.biarc import as_arcs
from geometry.shape.contour import Contour, rectangle, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Cubic, Line
from geometry.shape.tolerance import SAME

SQUARE = through([Point(0, 0), Point(4, 0), Point(4, 4), Point(0, 4)], closed=True)
DISC = Contour((Arc(Point(5, 0), Point(-5, 0), 1.0), Arc(Point(-5, 0), Point(5, 0), 1.0)), closed=True)
HOOK = Contour((Line(Point(0, 0), Point(3, 0)), Arc(Point(3, 0), Point(3, 4), 1.0)))


def egg() -> Contour:
    """Four cubics round the origin, smooth, nothing straight."""
    nodes = [Point(30, 0), Point(0, 50), Point(-25, 5), Point(2, -20)]
    handles = [Vector(0, 15), Vector(-14, 0), Vector(0, -12), Vector(16, 0)]
    ends, arrivals = [*nodes[1:], nodes[0]], [*handles[1:], handles[0]]
    zipped = zip(nodes, ends, handles, arrivals, strict=True)
    return Contour(tuple(Cubic(a, b, h, -k) for a, b, h, k in zipped), closed=True)


def head() -> Contour:
    """A long outline of smooth cubics with about 170 arcs."""
    nodes = [Point(22, 0), Point(36, 25), Point(38, 140), Point(20, 178), Point(0, 170)]
    ways = [Vector(0.1, 1), Vector(0.3, 1), Vector(-0.05, 1), Vector(-1, 0.3), Vector(-1, 0)]
    right = []
    for a, b, s, t in zip(nodes[:-1], nodes[1:], ways[:-1], ways[1:], strict=True):
        reach = 0.4 * a.distance(b)
        right.append(Cubic(a, b, s.unit() * reach, t.unit() * -reach))
    left = [segment.mirrored().reversed() for segment in reversed(right)]
    return Contour((*right, *left))


def test_nodes_length_and_bounds() -> None:
    assert HOOK.points == (Point(0, 0), Point(3, 0), Point(3, 4))
    assert SQUARE.points == (Point(0, 0), Point(4, 0), Point(4, 4), Point(0, 4))
    assert HOOK.length == pytest.approx(3 + 2 * math.pi)
    assert (HOOK.start, HOOK.end) == (Point(0, 0), Point(3, 4))
    bounds = HOOK.bounds
    assert (bounds.left, bounds.bottom, bounds.right, bounds.top) == pytest.approx((0, 0, 5, 4))
    assert SQUARE.bounds == Bounds(0, 0, 4, 4)


def test_areas_in_closed_form() -> None:
    assert SQUARE.area() == 16
    assert SQUARE.reversed().area() == -16
    assert DISC.area() == pytest.approx(25 * math.pi)
    assert DISC.moved(Vector(100, -70)).area() == pytest.approx(25 * math.pi)
    assert DISC.mirrored().area() == pytest.approx(-25 * math.pi)


def test_area_of_cubics_against_shapely() -> None:
    polygon = shapely.Polygon([(place.x, place.y) for place in egg().flatten(1e-6)])
    assert egg().area() == pytest.approx(polygon.area, rel=1e-6)


def test_neighbours_must_meet() -> None:
    with pytest.raises(AssertionError):
        Contour((Line(Point(0, 0), Point(1, 0)), Line(Point(1, 1e-5), Point(2, 0))))
    with pytest.raises(AssertionError):
        Contour((Line(Point(0, 0), Point(1, 0)),), closed=True)
    with pytest.raises(AssertionError):
        Contour(())
    with pytest.raises(AssertionError):
        HOOK.area()


def test_nearest_names_segment_and_place() -> None:
    nearest = HOOK.nearest(Point(9, 2))
    assert nearest.index == 1
    assert (nearest.t, nearest.distance) == pytest.approx((0.5, 4))
    nearest = HOOK.nearest(Point(1, -2))
    assert (nearest.index, nearest.point, nearest.distance) == (0, Point(1, 0), 2)


@pytest.mark.parametrize("contour", [egg(), egg().reversed(), as_arcs(egg(), 0.0009)])
def test_nearest_against_shapely(contour: Contour) -> None:
    edge = shapely.LineString([(place.x, place.y) for place in contour.flatten(1e-6)])
    for x, y in np.random.default_rng(1).uniform(-60, 60, (60, 2)).tolist():
        expected = edge.distance(shapely.Point(x, y))
        assert contour.nearest(Point(x, y)).distance == pytest.approx(expected, abs=2e-6)


def test_reversed_and_mirrored_twice_are_the_same() -> None:
    for contour in (HOOK, SQUARE, DISC, egg()):
        assert contour.reversed().reversed() == contour
        assert contour.mirrored().mirrored() == contour
        assert contour.reversed().length == pytest.approx(contour.length)


def test_flattened_keeps_every_node() -> None:
    flat = HOOK.flatten(0.01)
    assert set(HOOK.points) <= set(flat)
    assert SQUARE.flatten(1)[-1] == SQUARE.start


@given(st.integers(0, 1), st.floats(0, 1))
def test_split_lengths_add_up(index: int, t: float) -> None:
    parts = HOOK.split(index, t)
    assert sum(part.length for part in parts) == pytest.approx(HOOK.length)
    (opened,) = DISC.split(index, t)
    assert not opened.closed
    assert opened.length == pytest.approx(DISC.length)
    assert opened.start.distance(opened.end) <= SAME


def test_split_at_a_node_makes_no_empty_part() -> None:
    assert [len(part.segments) for part in HOOK.split(0, 1.0)] == [1, 1]
    assert [len(part.segments) for part in HOOK.split(0, 0.0)] == [2]
    assert [len(part.segments) for part in SQUARE.split(2, 0.0)] == [4]
    assert SQUARE.split(2, 0.0)[0].start == Point(4, 4)


def test_places_along_the_length() -> None:
    assert HOOK.point_at_length(2) == Point(2, 0)
    assert HOOK.point_at_length(3 + math.pi).distance(Point(5, 2)) < 1e-12
    assert HOOK.point_at_length(-1) == HOOK.start
    assert HOOK.point_at_length(99) == HOOK.end
    assert HOOK.at_length(1.5) == (0, 0.5)


@given(st.floats(0.001, 0.999))
def test_places_along_cubics(share: float) -> None:
    along = share * egg().length
    index, t = egg().at_length(along)
    before = sum(segment.length for segment in egg().segments[:index])
    assert before + egg().segments[index].split(t)[0].length == pytest.approx(along, abs=1e-6)


def test_places_along_a_cubic_that_starts_at_rest() -> None:
    # Without handles x = 9 t^2 (3 - 2 t): slow at both ends.
    curve = Contour((Cubic(Point(0, 0), Point(9, 0), Vector(0, 0), Vector(0, 0)),))
    assert curve.point_at_length(0.001).x == pytest.approx(0.001, abs=1e-8)
    assert curve.point_at_length(8.9999).x == pytest.approx(8.9999, abs=1e-8)


def test_closing_by_a_line() -> None:
    closed = HOOK.closed_by_line()
    assert closed.closed
    assert closed.segments[-1] == Line(Point(3, 4), Point(0, 0))
    there_and_back = Contour((Arc(Point(0, 0), Point(2, 0), 1.0), Line(Point(2, 0), Point(0, 0))))
    assert len(there_and_back.closed_by_line().segments) == 2


def test_a_polyline_counts_repeated_points_once() -> None:
    assert len(through([Point(0, 0), Point(0, 0), Point(1, 0)]).segments) == 1
    with pytest.raises(AssertionError):
        through([Point(1, 1), Point(1, 1)])


def test_crossings_are_for_lines_and_arcs() -> None:
    with pytest.raises(AssertionError):
        egg().self_crossings()


def test_crossings_of_a_long_outline_are_found_quickly() -> None:
    outline = as_arcs(head(), 0.0012)
    assert len(outline.segments) > 150
    assert outline.self_crossings() == ()
    spent = []
    for _ in range(20):
        begun = time.perf_counter()
        outline.self_crossings()
        spent.append(time.perf_counter() - begun)
    # About a third of a millisecond when the machine is idle; the rest is room for a busy one.
    assert min(spent) < 0.005


def test_a_rectangle_runs_counter_clockwise_round_its_bounds() -> None:
    bounds = Bounds(-3.0, 1.0, 5.0, 7.0)
    shape = rectangle(bounds)
    assert shape.closed
    assert shape.bounds == bounds
    ring = shapely.LinearRing([(each.start.x, each.start.y) for each in shape.segments])
    assert ring.is_ccw
    assert shapely.Polygon(ring).area == 48.0
