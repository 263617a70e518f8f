from geometry.shape.point import Point
from geometry.shape.segment import Bounds, bounds_of


def test_sizes_and_centre() -> None:
    bounds = bounds_of([Point(1, 5), Point(-2, 3), Point(0, 9)])
    assert bounds == Bounds(-2, 3, 1, 9)
    assert (bounds.width, bounds.height) == (3, 6)
    assert bounds.centre == Point(-0.5, 6)


def test_joining_and_growing() -> None:
    assert Bounds(0, 0, 1, 1).joined(Bounds(-1, 0.5, 0.5, 3)) == Bounds(-1, 0, 1, 3)
    assert Bounds(0, 1, 2, 3).grown(0.5) == Bounds(-0.5, 0.5, 2.5, 3.5)


def test_contains_its_sides_but_nothing_beyond() -> None:
    bounds = Bounds(0, 0, 2, 1)
    assert bounds.contains(Point(2, 1))
    assert bounds.contains(Point(1, 0.5))
    assert not bounds.contains(Point(2.001, 0.5))
    assert not bounds.contains(Point(1, -0.001))


def test_overlap_needs_both_directions() -> None:
    bounds = Bounds(0, 0, 2, 1)
    assert bounds.overlaps(Bounds(2, 1, 3, 3))
    assert not bounds.overlaps(Bounds(2.1, 0, 3, 1))
    assert not bounds.overlaps(Bounds(0, 1.1, 2, 2))
    assert not Bounds(2.1, 0, 3, 1).overlaps(bounds)
    assert not Bounds(0, 1.1, 2, 2).overlaps(bounds)
