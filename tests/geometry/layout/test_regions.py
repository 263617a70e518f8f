"""Distances to regions by hand."""

import numpy as np
import pytest

from geometry.document.build import Polygon, Region, RoundRegion
from geometry.layout.regions import region_distance
from geometry.shape.point import Point


def region(shape: Polygon | RoundRegion) -> Region:
    return Region(key="r", name="", shape=shape, side="through", depth=0.0)


def corners(*places: tuple[float, float]) -> Region:
    return region(Polygon(points=tuple(Point(x, y) for x, y in places)))


def test_a_round_region_inside_outside_and_from_its_middle() -> None:
    distance, foot = region_distance(
        np.array([[4.0, 3.0], [1.0, 0.0], [0.0, 0.0]]), region(RoundRegion(Point(0.0, 0.0), 2.0))
    )
    assert distance == pytest.approx([3, -1, -2])
    assert foot == pytest.approx(np.array([[1.6, 1.2], [2, 0], [2, 0]]))


def test_a_square_region_inside_outside_and_at_its_corner() -> None:
    square = corners((0, 0), (10, 0), (10, 10), (0, 10))
    distance, foot = region_distance(np.array([[5.0, 9.0], [5.0, 12.0], [13.0, 14.0]]), square)
    assert distance == pytest.approx([-1, 2, 5])
    assert foot == pytest.approx(np.array([[5, 10], [5, 10], [10, 10]]))


def test_what_is_crossed_over_twice_is_outside() -> None:
    # A bow tie: the left and right triangles are covered, those above and below are not.
    tie = corners((0, 0), (10, 10), (10, 0), (0, 10))
    assert region_distance(np.array([[9.0, 5.0], [5.0, 9.0]]), tie)[0] == pytest.approx([-1, 8**0.5])


@pytest.mark.parametrize("places", [((3, 4), (3, 4), (3, 4)), ((3, 4), (9, 12), (3, 4))])
def test_a_region_without_area(places: tuple[tuple[float, float], ...]) -> None:
    assert region_distance(np.array([[0.0, 0.0]]), corners(*places))[0] == pytest.approx([5])
