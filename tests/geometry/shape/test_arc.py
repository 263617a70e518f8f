import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds

HALF = Arc(Point(1, 0), Point(-1, 0), 1.0)
QUARTER = Arc(Point(5, 0), Point(0, 5), math.tan(math.pi / 8))


def test_a_semicircle_counter_clockwise() -> None:
    assert HALF.sweep == pytest.approx(math.pi)
    assert HALF.radius == pytest.approx(1)
    assert HALF.centre.distance(Point(0, 0)) < 1e-15
    assert HALF.length == pytest.approx(math.pi)
    assert HALF.start_angle == pytest.approx(0)
    assert HALF.point_at(0.5).distance(Point(0, 1)) < 1e-15
    assert HALF.curvature == pytest.approx(1)
    assert HALF.swept_area == pytest.approx(math.pi / 2)


def test_a_negative_bulge_runs_clockwise() -> None:
    arc = Arc(Point(1, 0), Point(-1, 0), -1.0)
    assert arc.point_at(0.5).distance(Point(0, -1)) < 1e-15
    assert arc.sweep == pytest.approx(-math.pi)
    assert (arc.tangent_at(0) - Vector(0, -1)).length < 1e-15


def test_a_quarter() -> None:
    assert QUARTER.radius == pytest.approx(5)
    assert QUARTER.length == pytest.approx(5 * math.pi / 2)
    assert QUARTER.point_at(1 / 3).distance(Point(5 * math.sqrt(3) / 2, 2.5)) < 1e-14
    assert QUARTER.bounds == Bounds(0, 0, 5, 5)


@given(st.floats(0.01, 6.2), st.floats(-math.pi, math.pi), st.floats(0.1, 100), st.booleans())
def test_any_turn_has_its_circle(turn: float, first: float, radius: float, clockwise: bool) -> None:
    sweep = -turn if clockwise else turn
    centre = Point(3, -7)
    start = centre + Vector(radius, 0).turned(first)
    end = centre + Vector(radius, 0).turned(first + sweep)
    arc = Arc(start, end, math.tan(sweep / 4))
    assert arc.radius == pytest.approx(radius, rel=1e-9)
    assert arc.centre.distance(centre) < 1e-9 * radius / min(turn, 2 * math.pi - turn)
    assert arc.length == pytest.approx(radius * turn, rel=1e-9)
    middle = centre + Vector(radius, 0).turned(first + sweep / 3)
    assert arc.point_at(1 / 3).distance(middle) < 1e-9 * radius / (2 * math.pi - turn)
    assert arc.tangent_at(0).dot((start - centre) / radius) == pytest.approx(0, abs=1e-9)


@given(st.floats(0.01, 6.2), st.floats(-math.pi, math.pi), st.floats(-4.0, 4.0), st.booleans())
def test_at_its_share_an_arc_lies_in_the_direction_asked_for(
    turn: float, first: float, asked: float, clockwise: bool
) -> None:
    sweep = -turn if clockwise else turn
    start, end = (Point(0, 0) + Vector(7, 0).turned(each) for each in (first, first + sweep))
    arc = Arc(start, end, math.tan(sweep / 4))
    (share,) = arc.shares_at((asked,))
    assert share >= 0
    # On from the start by that share of the turn, whole turns aside.
    assert math.cos(first + share * sweep - asked) == pytest.approx(1.0, abs=1e-9)
    assert share * turn < 2 * math.pi + 1e-9


def test_more_than_a_semicircle_reaches_all_round() -> None:
    sweep = math.radians(350)
    end = Point(2 * math.cos(sweep), 2 * math.sin(sweep))
    arc = Arc(Point(2, 0), end, math.tan(sweep / 4))
    bounds = arc.bounds
    assert (bounds.left, bounds.bottom, bounds.top) == pytest.approx((-2, -2, 2))
    assert arc.nearest(Point(-9, 0)).distance == pytest.approx(7)
    in_gap = Vector(5, 0).turned(math.radians(-3))
    nearest = arc.nearest(Point(in_gap.x, in_gap.y))
    assert nearest.t == 0
    assert nearest.point == arc.start


def test_the_centre_is_as_near_to_every_place() -> None:
    nearest = HALF.nearest(Point(0, 0))
    assert nearest.distance == pytest.approx(1)
    assert nearest.point.distance(Point(0, 1)) < 1e-12


@pytest.mark.parametrize("bulge", [0.0, 1e-13, -1e-13])
def test_no_bulge_is_the_chord(bulge: float) -> None:
    arc = Arc(Point(0, 0), Point(10, 0), bulge)
    assert arc.is_straight
    assert arc.length == 10
    assert arc.curvature == 0
    assert arc.radius == math.inf
    assert arc.point_at(0.3) == Point(3, 0)
    assert arc.tangent_at(0.7) == Vector(1, 0)
    assert arc.flatten(0.01) == [Point(0, 0), Point(10, 0)]
    assert arc.nearest(Point(4, 3)).distance == 3
    assert arc.bounds == Bounds(0, 0, 10, 0)
    assert arc.swept_area == 0


def test_coincident_ends_are_a_place() -> None:
    arc = Arc(Point(1, 1), Point(1, 1), 0.5)
    assert arc.is_straight
    assert arc.length == 0
    assert arc.nearest(Point(1, 4)).distance == 3


@given(st.floats(1e-11, 1e-3), st.floats(0, 1))
def test_a_nearly_straight_arc_loses_no_digits(bulge: float, t: float) -> None:
    # A parabola of the same height is within bulge^2 of the arc, relative to its height.
    arc = Arc(Point(0, 0), Point(100, 0), bulge)
    place = arc.point_at(t)
    height = -50 * bulge * (1 - (2 * t - 1) ** 2)
    assert place.y == pytest.approx(height, rel=2e-5, abs=1e-13)
    beside = place + arc.tangent_at(t).left * 3
    assert arc.nearest(beside).distance == pytest.approx(3, abs=1e-9)
    assert arc.length == pytest.approx(100 * (1 + 2 * bulge**2 / 3), rel=1e-9)


def test_area_of_a_shallow_cap_from_its_series() -> None:
    # Cap of a chord c and bulge b, both small: 2/3 c h with the height h = b c / 2, less than b^2 off.
    for bulge in (1e-9, 1e-6, 1e-4):
        arc = Arc(Point(0, 0), Point(100, 0), bulge)
        assert arc.swept_area == pytest.approx(2 / 3 * 100 * 50 * bulge, rel=1e-6)


def test_area_series_and_closed_form_agree_where_they_meet() -> None:
    for sweep in (0.00999, 0.01001):
        radius = 50 / math.sin(sweep / 2)
        arc = Arc(Point(0, 0), Point(100, 0), math.tan(sweep / 4))
        exact = radius**2 * (sweep - math.sin(sweep)) / 2
        assert arc.swept_area == pytest.approx(exact, rel=1e-8)
