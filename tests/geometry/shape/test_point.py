import math

import pytest

from geometry.shape.point import ZERO, Point, Vector


def test_differences_and_sums() -> None:
    assert Point(3, 4) - Point(1, 1) == Vector(2, 3)
    assert Point(3, 4) - Vector(1, 1) == Point(2, 3)
    assert Point(3, 4) + ZERO == Point(3, 4)
    assert Vector(1, 2) + Vector(3, 4) - Vector(1, 1) == Vector(3, 5)


def test_quarter_turns_and_products() -> None:
    assert Vector(1, 2).left == Vector(-2, 1)
    assert Vector(1, 2).right == Vector(2, -1)
    assert Vector(1, 2).dot(Vector(3, 4)) == 11
    assert Vector(1, 2).cross(Vector(3, 4)) == -2
    assert Vector(3, 4).length == 5
    assert Vector(0, 2).angle == pytest.approx(math.pi / 2)
    assert (2 * Vector(3, 4), Vector(3, 4) / 2, -Vector(1, 2)) == (
        Vector(6, 8),
        Vector(1.5, 2),
        Vector(-1, -2),
    )


def test_directions() -> None:
    assert Vector(3, 4).unit() == Vector(0.6, 0.8)
    assert (Vector(1, 0).turned(math.pi / 6) - Vector(math.sqrt(3) / 2, 0.5)).length < 1e-15
    with pytest.raises(AssertionError):
        ZERO.unit()


def test_mirroring_and_ways() -> None:
    assert Point(1, 2).mirrored == Point(-1, 2)
    assert Vector(1, 2).mirrored == Vector(-1, 2)
    assert Point(0, 0).toward(Point(4, 8), 0.25) == Point(1, 2)
    assert Point(0, 0).distance(Point(3, 4)) == 5
