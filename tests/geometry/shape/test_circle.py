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
