import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.shape.cubic import cubic_foot
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Cubic
from tests.amount import sampled


def straight(leave: float, arrive: float) -> Cubic:
    return Cubic(Point(0, 0), Point(9, 0), Vector(leave, 0), Vector(arrive, 0))


def test_even_handles_on_a_line_are_the_line() -> None:
    cubic = straight(3, -3)
    assert cubic.length == pytest.approx(9)
    assert cubic.point_at(0.25).distance(Point(2.25, 0)) < 1e-14
    assert cubic.derivative_at(0.7).length == pytest.approx(9)


def test_a_parabola_raised_to_a_cubic_has_its_known_length() -> None:
    # y = x^2 from -1 to 1: sqrt(5) + asinh(2) / 2.
    cubic = Cubic(Point(-1, 1), Point(1, 1), Vector(2 / 3, -4 / 3), Vector(-2 / 3, -4 / 3))
    assert cubic.point_at(0.5).distance(Point(0, 0)) < 1e-15
    assert cubic.length == pytest.approx(math.sqrt(5) + math.asinh(2) / 2, rel=1e-10)
    # Between the curve and its chord: 4/3.
    assert cubic.swept_area - (-1) == pytest.approx(4 / 3)
    assert cubic.bounds.bottom == pytest.approx(0, abs=1e-15)


def test_nearest_of_a_parabola_solves_the_cubic_equation() -> None:
    # From (0, c) on the axis of y = x^2 the nearest places are at y = c - 1/2, the distance sqrt(c - 1/4).
    cubic = Cubic(Point(-1, 1), Point(1, 1), Vector(2 / 3, -4 / 3), Vector(-2 / 3, -4 / 3))
    nearest = cubic.nearest(Point(0, 1.25))
    assert nearest.distance == pytest.approx(1.0, abs=1e-12)
    assert nearest.point.y == pytest.approx(0.75)


@pytest.mark.parametrize(
    ("leave", "arrive", "start", "end"),
    [
        (Vector(0, 0), Vector(0, 3), Vector(0.8, 0.6), Vector(0, -1)),
        (Vector(0, 3), Vector(0, 0), Vector(0, 1), Vector(0.8, -0.6)),
        (Vector(0, 0), Vector(0, 0), Vector(1, 0), Vector(1, 0)),
    ],
)
def test_tangents_at_handles_without_length(
    leave: Vector, arrive: Vector, start: Vector, end: Vector
) -> None:
    cubic = Cubic(Point(0, 0), Point(4, 0), leave, arrive)
    assert (cubic.tangent_at(0) - start).length < 1e-12
    assert (cubic.tangent_at(1) - end).length < 1e-12


def test_a_cusp_goes_on_where_it_turns() -> None:
    # The handles cross so that the curve stops in the middle.
    cubic = Cubic(Point(0, 0), Point(4, 0), Vector(4, 4), Vector(-4, 4))
    assert cubic.derivative_at(0.5).length < 1e-12
    assert (cubic.tangent_at(0.5) - Vector(0, -1)).length < 1e-9
    assert cubic.length == pytest.approx(sum(part.length for part in cubic.split(0.5)), rel=1e-9)


def test_one_point_has_no_direction_but_answers() -> None:
    cubic = Cubic(Point(2, 3), Point(2, 3), Vector(0, 0), Vector(0, 0))
    assert cubic.tangent_at(0.5) == Vector(1, 0)
    assert cubic.tangent_at(1).length == 1
    assert cubic.length == 0
    assert cubic.nearest(Point(2, 7)).distance == 4
    assert cubic.flatten(0.01) == [Point(2, 3), Point(2, 3)]


def test_going_back_on_itself_counts_both_ways() -> None:
    # x runs 0, 9 t (1 - t) (2 - t) ... out to its turning point and back to 0.
    cubic = Cubic(Point(0, 0), Point(0, 0), Vector(6, 0), Vector(6, 0))
    assert cubic.length == pytest.approx(2 * 4.5)
    assert cubic.bounds.right == pytest.approx(4.5)


PARABOLA = Cubic(Point(-1, 1), Point(1, 1), Vector(2 / 3, -4 / 3), Vector(-2 / 3, -4 / 3))
"""y = x^2 from -1 to 1."""

STEPS = st.floats(-40, 40)


@given(st.floats(0.02, 0.98))
def test_nearest_of_a_parabola(x: float) -> None:
    # The normal in (x, x^2) runs along (-2x, 1): from any place on it up to the axis the foot is the nearest one.
    foot = cubic_foot(PARABOLA, Point(0.3 * x, x * x + 0.35), Point(x + 1e-4, (x + 1e-4) ** 2))
    assert (foot.x, foot.y) == pytest.approx((x, x * x), abs=1e-9)


def test_beyond_the_ends_the_ends_are_nearest() -> None:
    for end in (Point(1.0, 1.0), Point(-1.0, 1.0)):
        assert cubic_foot(PARABOLA, Point(2 * end.x, 1.0), end).distance(end) < 1e-12


@settings(max_examples=sampled(20, of=60), deadline=None)
@given(STEPS, STEPS, STEPS, STEPS, st.floats(-60, 60), st.floats(-60, 60))
def test_any_curve(
    leave_x: float, leave_y: float, arrive_x: float, arrive_y: float, x: float, y: float
) -> None:
    cubic = Cubic(Point(-20, 0), Point(20, 5), Vector(leave_x, leave_y), Vector(arrive_x, arrive_y))
    nearest = cubic.nearest(Point(x, y))
    assert cubic_foot(cubic, Point(x, y), nearest.point).distance(Point(x, y)) == pytest.approx(
        nearest.distance, abs=1e-7
    )


def test_a_place_from_which_no_step_leads_is_searched_for() -> None:
    # A cusp in (1/2, 3/4): the curve stands still there, and from above it is nearest.
    cusp = Cubic(Point(0, 0), Point(1, 0), Vector(1, 1), Vector(-1, 1))
    assert cusp.derivative_at(0.5).length == pytest.approx(0.0)
    assert cubic_foot(cusp, Point(0.5, 3.0), Point(0.5, 0.75)).distance(Point(0.5, 0.75)) < 1e-9
