import math

import pytest

from geometry.shape.point import Point, Vector
from geometry.shape.segment import Cubic


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
