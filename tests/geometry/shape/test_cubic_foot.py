"""Places of cubics nearest to points, against a parabola's closed form and the search one by one."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.shape.cubic import Cubic
from geometry.shape.cubic_foot import cubic_foot
from geometry.shape.point import Point, Vector
from tests.amount import sampled

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
