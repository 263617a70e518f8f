"""Laws that hold for every kind of segment."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line, Segment

coordinates = st.floats(-200, 200).map(lambda value: round(value, 3))
points = st.builds(Point, coordinates, coordinates)
handles = st.builds(Vector, st.floats(-80, 80), st.floats(-80, 80))
bulges = st.floats(-10, 10).filter(lambda bulge: abs(bulge) > 1e-9) | st.floats(-1e-6, 1e-6)
lines = st.builds(Line, points, points)
arcs = st.builds(Arc, points, points, bulges)
cubics = st.builds(Cubic, points, points, handles, handles)
segments = lines | arcs | cubics
shares = st.floats(0, 1)


def close(a: Point, b: Point, within: float = 1e-9) -> bool:
    return a.distance(b) <= within


@given(segments)
def test_ends_are_met_exactly(segment: Segment) -> None:
    assert segment.point_at(0) == segment.start
    assert segment.point_at(1) == segment.end


@given(segments)
def test_reversed_or_mirrored_twice_is_the_same(segment: Segment) -> None:
    assert segment.reversed().reversed() == segment
    assert segment.mirrored().mirrored() == segment


@given(segments, shares)
def test_reversed_runs_backwards(segment: Segment, t: float) -> None:
    assert close(segment.reversed().point_at(1 - t), segment.point_at(t), 1e-7)
    assert segment.reversed().length == pytest.approx(segment.length, abs=1e-7)
    assert segment.reversed().swept_area == pytest.approx(-segment.swept_area, abs=1e-6)


@given(segments, shares)
def test_mirrored_is_the_mirror_image_to_the_last_bit(segment: Segment, t: float) -> None:
    assert segment.mirrored().point_at(t) == segment.point_at(t).mirrored
    assert segment.mirrored().tangent_at(t).y == segment.tangent_at(t).y or segment.length == 0


@given(segments, shares, handles)
def test_moved_is_the_same_shape_elsewhere(segment: Segment, t: float, step: Vector) -> None:
    assert close(segment.moved(step).point_at(t), segment.point_at(t) + step)


@given(segments, shares)
def test_tangents_are_unit(segment: Segment, t: float) -> None:
    assert segment.tangent_at(t).length == pytest.approx(1)


@given(segments, shares, shares)
def test_split_parts_follow_the_whole(segment: Segment, t: float, s: float) -> None:
    before, after = segment.split(t)
    assert before.end == after.start
    assert close(before.point_at(s), segment.point_at(t * s), 1e-7)
    assert close(after.point_at(s), segment.point_at(t + (1 - t) * s), 1e-7)
    assert before.length + after.length == pytest.approx(segment.length, rel=1e-7, abs=1e-6)


@given(segments)
def test_bounds_hold_the_segment_and_touch_it(segment: Segment) -> None:
    bounds = segment.bounds
    places = [segment.point_at(step / 200) for step in range(201)]
    assert all(bounds.grown(1e-7).contains(place) for place in places)
    # Between 201 places a curve turns at most a little further than the furthest of them.
    slack = 0.01 * (1 + segment.length)
    assert bounds.left == pytest.approx(min(place.x for place in places), abs=slack)
    assert bounds.top == pytest.approx(max(place.y for place in places), abs=slack)


@given(segments, st.sampled_from([1e-3, 0.05, 1.0]))
def test_flattened_within_tolerance(segment: Segment, tolerance: float) -> None:
    flat = segment.flatten(tolerance)
    assert (flat[0], flat[-1]) == (segment.start, segment.end)
    places = [segment.point_at(step / 64) for step in range(65)]
    chords = shapely.LineString([(place.x, place.y) for place in flat])
    distances = shapely.distance(chords, shapely.points([(place.x, place.y) for place in places]))
    assert float(np.max(distances)) <= tolerance + 1e-7


@given(segments, points)
def test_nearest_is_nearer_than_anything_else(segment: Segment, point: Point) -> None:
    nearest = segment.nearest(point)
    assert 0 <= nearest.t <= 1
    assert close(segment.point_at(nearest.t), nearest.point, 1e-7)
    assert nearest.distance == pytest.approx(nearest.point.distance(point), abs=1e-7)
    others = (segment.point_at(step / 100).distance(point) for step in range(101))
    assert nearest.distance <= min(others) + 1e-8


@given(segments, shares)
def test_a_place_on_the_segment_has_no_distance(segment: Segment, t: float) -> None:
    assert segment.nearest(segment.point_at(t)).distance <= 2e-6


@given(segments, st.floats(0.01, 0.99))
def test_tangent_is_the_direction_of_the_run(segment: Segment, t: float) -> None:
    step = segment.point_at(t + 1e-5) - segment.point_at(t - 1e-5)
    if segment.length > 1 and step.length > 1e-6 * segment.length:
        tangent = segment.tangent_at(t)
        # A sharp bend may turn within the step.
        assert step.unit().dot(tangent) > 0.9 or _bends_sharply(segment, t)


def _bends_sharply(segment: Segment, t: float) -> bool:
    return segment.tangent_at(t - 1e-5).dot(segment.tangent_at(t + 1e-5)) < 0.99


def test_a_line_without_length_keeps_quiet() -> None:
    line = Line(Point(1, 2), Point(1, 2))
    assert line.tangent_at(0.5) == Vector(1, 0)
    assert line.nearest(Point(4, 6)).distance == 5
    assert line.length == 0


def test_line_measures() -> None:
    line = Line(Point(0, 0), Point(3, 4))
    assert line.length == 5
    assert line.chord == Vector(3, 4)
    assert line.tangent_at(0.2) == Vector(0.6, 0.8)
    assert line.swept_area == 0
    assert Line(Point(1, 0), Point(0, 1)).swept_area == pytest.approx(0.5)
    assert math.isclose(line.nearest(Point(4, -3)).distance, 5)


def test_measures() -> None:
    circle = Circle(Point(3, 4), 2)
    assert circle.length == pytest.approx(4 * math.pi)
    assert circle.area == pytest.approx(4 * math.pi)
    assert circle.bounds == Bounds(1, 2, 5, 6)


def test_moving_and_mirroring_keep_the_radius() -> None:
    circle = Circle(Point(3, 4), 2)
    assert circle.moved(Vector(1, -1)) == Circle(Point(4, 3), 2)
    assert circle.mirrored() == Circle(Point(-3, 4), 2)
