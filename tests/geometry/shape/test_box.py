import math

import numpy as np
import pytest
import shapely
from shapely.affinity import translate

from geometry.shape.box import Box, box_disc_gaps, box_gaps, rows
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds

UP = Box(Point(1, 2), Vector(0, 1), 3, 1)
FLAT_BOX = Box(Point(0, 0), Vector(1, 0), 4, 2)


def gap(one: Box, other: Box) -> tuple[float, Point, Point]:
    """Distance and places of the gap between two boxes."""
    distance, here, there = box_gaps(rows([one, other]), np.array([0]), np.array([1]))
    return float(distance[0]), Point(*here[0]), Point(*there[0])


def random_boxes(count: int) -> tuple[list[Box], list[shapely.Polygon]]:
    random = np.random.default_rng(11)
    boxes = [
        Box(Point(x, y), Vector(math.cos(turn), math.sin(turn)), half, other)
        for x, y, turn, half, other in random.uniform(
            [-20, -20, 0, 1, 1], [20, 20, 6.3, 9, 9], (count, 5)
        ).tolist()
    ]
    return boxes, [shapely.Polygon([(c.x, c.y) for c in box.corners()]) for box in boxes]


def test_corners_run_counter_clockwise() -> None:
    assert UP.corners() == (Point(2, -1), Point(2, 5), Point(0, 5), Point(0, -1))
    assert UP.contour().area() == pytest.approx(12)
    assert UP.bounds == Bounds(0, -1, 2, 5)
    assert UP.across == Vector(-1, 0)


def test_moved_and_mirrored() -> None:
    assert UP.moved(Vector(1, 1)).centre == Point(2, 3)
    turned = Box(Point(3, 1), Vector(0.6, 0.8), 2, 1)
    images = {(round(-c.x, 9), round(c.y, 9)) for c in turned.corners()}
    assert {(round(c.x, 9), round(c.y, 9)) for c in turned.mirrored().corners()} == images


def test_contains_its_edge() -> None:
    assert UP.contains(Point(2, 5))
    assert not UP.contains(Point(2.01, 5))
    assert not UP.contains(Point(1, -1.01))


def test_gap_side_to_side_and_corner_to_corner() -> None:
    beside, here, there = gap(FLAT_BOX, Box(Point(10, 0), Vector(0, 1), 2, 3))
    assert beside == pytest.approx(3)
    assert there.x - here.x == pytest.approx(3)
    corner, here, there = gap(FLAT_BOX, Box(Point(11, 8), Vector(1, 0), 4, 2))
    assert corner == pytest.approx(5)
    assert (here, there) == (Point(4, 2), Point(7, 6))


def test_overlap_is_the_shortest_way_apart() -> None:
    depth, here, there = gap(FLAT_BOX, Box(Point(7, 0.5), Vector(1, 0), 4, 2))
    assert depth == pytest.approx(-1)
    assert here.distance(there) == pytest.approx(1)
    corner_in = Box(Point(4 + math.sqrt(8) - 0.5, 0), Vector(math.sqrt(0.5), math.sqrt(0.5)), 2, 2)
    for depth, here, there in (gap(FLAT_BOX, corner_in), gap(corner_in, FLAT_BOX)):
        assert depth == pytest.approx(-0.5)
        assert {round(here.x, 9), round(there.x, 9)} == {4.0, 3.5}


def test_overlap_where_rounding_leaves_a_way_between_crossing_sides() -> None:
    along = Vector(math.cos(math.radians(75)), math.sin(math.radians(75)))
    one = Box(Point(-20.635530207336924, 38.93575760504225), along, 12.0, 8.5)
    other = Box(Point(-14.455382308245696, 62.000383562740765), along, 12.0, 8.5)
    depth, here, there = gap(one, other)
    assert depth == pytest.approx((other.centre - one.centre).dot(along) - 24.0)
    assert here.distance(there) == pytest.approx(-depth)


def test_gaps_against_shapely() -> None:
    boxes, polygons = random_boxes(600)
    i, j = np.arange(0, 600, 2), np.arange(1, 600, 2)
    distance, here, there = box_gaps(rows(boxes), i, j)
    first, second = np.array(polygons)[i], np.array(polygons)[j]
    assert np.maximum(distance, 0) == pytest.approx(shapely.distance(first, second), abs=1e-12)
    assert np.hypot(*(here - there).T) == pytest.approx(abs(distance), abs=1e-12)
    apart = distance > 0
    assert shapely.distance(first, shapely.points(here))[apart] == pytest.approx(0, abs=1e-12)
    assert shapely.distance(second, shapely.points(there))[apart] == pytest.approx(0, abs=1e-12)


def test_the_depth_parts_the_boxes_and_less_does_not() -> None:
    boxes, polygons = random_boxes(600)
    i, j = np.arange(0, 600, 2), np.arange(1, 600, 2)
    distance, here, there = box_gaps(rows(boxes), i, j)
    for row in np.flatnonzero(distance < -1e-6).tolist():
        step_x, step_y = (here[row] - there[row]).tolist()
        first, second = polygons[i[row]], polygons[j[row]]
        parted = translate(second, step_x, step_y)
        nearly = translate(second, 0.99 * step_x, 0.99 * step_y)
        assert first.intersection(parted).area < 1e-9
        assert first.intersection(nearly).area > 0


@pytest.mark.parametrize(
    ("centre", "distance", "here", "there"),
    [
        (Point(9, 0), 4, Point(4, 0), Point(8, 0)),
        (Point(7, 6), 4, Point(4, 2), Point(6.4, 5.2)),
        (Point(3, 0.5), -2, Point(4, 0.5), Point(2, 0.5)),
        (Point(-1, -1.75), -1.25, Point(-1, -2), Point(-1, -0.75)),
    ],
)
def test_disc_beside_at_a_corner_and_inside(
    centre: Point, distance: float, here: Point, there: Point
) -> None:
    measured, on_box, on_disc = box_disc_gaps(rows([FLAT_BOX]), np.array([[centre.x, centre.y]]), [1.0])
    assert measured == pytest.approx([distance])
    assert Point(*on_box[0]).distance(here) < 1e-12
    assert Point(*on_disc[0]).distance(there) < 1e-12


def test_disc_gaps_against_shapely() -> None:
    boxes, polygons = random_boxes(500)
    random = np.random.default_rng(12)
    centres, radii = random.uniform(-30, 30, (500, 2)), random.uniform(0.5, 5, 500)
    distance, here, there = box_disc_gaps(rows(boxes), centres, radii)
    places, edges = shapely.points(centres), shapely.boundary(np.array(polygons))
    outside = shapely.distance(np.array(polygons), places)
    signed = np.where(outside > 0, outside, -shapely.distance(edges, places))
    assert distance == pytest.approx(signed - radii, abs=1e-12)
    assert shapely.distance(edges, shapely.points(here)) == pytest.approx(0, abs=1e-12)
    assert np.hypot(*(there - centres).T) == pytest.approx(radii)
    assert np.hypot(*(here - there).T) == pytest.approx(abs(distance), abs=1e-12)
