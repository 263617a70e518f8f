import math

import pytest

from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle


def test_measures() -> None:
    circle = Circle(Point(3, 4), 2)
    assert circle.length == pytest.approx(4 * math.pi)
    assert circle.area == pytest.approx(4 * math.pi)
    assert circle.bounds == Bounds(1, 2, 5, 6)


def test_moving_and_mirroring_keep_the_radius() -> None:
    circle = Circle(Point(3, 4), 2)
    assert circle.moved(Vector(1, -1)) == Circle(Point(4, 3), 2)
    assert circle.mirrored() == Circle(Point(-3, 4), 2)


def test_gaps_between_discs_and_points() -> None:
    circle = Circle(Point(0, 0), 5)
    assert circle.gap(Circle(Point(9, 12), 4)) == pytest.approx(6)
    assert circle.gap(Circle(Point(3, 4), 1)) == pytest.approx(-1)
    assert circle.gap_to_point(Point(6, 8)) == pytest.approx(5)
    assert circle.gap_to_point(Point(0, 1)) == pytest.approx(-4)
    assert circle.contains(Point(3, 4))
    assert not circle.contains(Point(3.01, 4))
