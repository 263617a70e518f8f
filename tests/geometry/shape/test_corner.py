import itertools
import math

import pytest

from geometry.shape.contour import Contour, through
from geometry.shape.corner import round_corner
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line

SQUARE = through([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)], closed=True)
TIP = Contour(
    (
        Cubic(Point(-10, 0), Point(0, 0), Vector(0, 10), Vector(-3, 8)),
        Cubic(Point(0, 0), Point(10, 0), Vector(3, 8), Vector(0, 10)),
    )
)
PEAK = Contour(
    (Line(Point(0, 0), Point(0, 20)), Cubic(Point(0, 20), Point(30, 0), Vector(9, 3), Vector(0, 9)))
)


def kink(contour: Contour, index: int) -> float:
    """The angle in radians between a segment and the next."""
    following = contour.segments[(index + 1) % len(contour.segments)]
    a, b = contour.segments[index].tangent_at(1), following.tangent_at(0)
    return abs(math.atan2(a.cross(b), a.dot(b)))


@pytest.mark.parametrize("node", range(4))
def test_a_corner_of_a_square_either_way(node: int) -> None:
    for square in (SQUARE, SQUARE.reversed()):
        rounded = round_corner(square, node, 2)
        assert abs(rounded.area()) == pytest.approx(100 - (4 - math.pi))
        (arc,) = [segment for segment in rounded.segments if isinstance(segment, Arc)]
        assert arc.radius == pytest.approx(2)


def test_a_radius_that_uses_a_side_up_exactly() -> None:
    rounded = round_corner(round_corner(SQUARE, 1, 5), 3, 5)
    assert [type(segment) for segment in rounded.segments] == [Line, Arc, Arc, Line, Line]
    assert rounded.area() == pytest.approx(100 - 2 * (25 - 25 * math.pi / 4))


def test_a_line_and_an_arc() -> None:
    # The circle of radius 5 about the origin cut by its x axis; inside, the rounding's centre is at the
    # height r and 5 - r from the origin.
    half = Contour((Line(Point(-5, 0), Point(5, 0)), Arc(Point(5, 0), Point(-5, 0), 1.0)), closed=True)
    rounded = round_corner(half, 1, 1)
    line, arc, rest = rounded.segments
    assert line.end.distance(Point(math.sqrt(15), 0)) < 1e-9
    assert isinstance(arc, Arc)
    assert arc.centre.distance(Point(math.sqrt(15), 1)) < 1e-9
    assert max(kink(rounded, 0), kink(rounded, 1)) < 1e-9
    assert isinstance(rest, Arc)
    assert rest.radius == pytest.approx(5)


def test_two_arcs() -> None:
    # Two circles of radius 5 about (3, 0) and (-3, 0) meet at (0, 4); a circle of radius 1 inside both.
    right = Arc(Point(2, 0), Point(0, 4), math.tan(math.atan2(4, 3) / 4))
    left = Arc(Point(0, 4), Point(-2, 0), math.tan(math.atan2(4, 3) / 4))
    rounded = round_corner(Contour((right, left)), 1, 1)
    arc = rounded.segments[1]
    assert isinstance(arc, Arc)
    assert arc.centre.distance(Point(0, math.sqrt(7))) < 1e-9
    assert max(kink(rounded, 0), kink(rounded, 1)) < 1e-9


@pytest.mark.parametrize("radius", [0.5, 1, 3, 20])
def test_cubics_stay_cubics_and_are_touched_exactly(radius: float) -> None:
    rounded = round_corner(TIP, 1, radius)
    first, arc, last = rounded.segments
    assert isinstance(first, Cubic)
    assert isinstance(arc, Arc)
    assert isinstance(last, Cubic)
    assert arc.radius == pytest.approx(radius, abs=1e-8)
    assert abs(arc.centre.x) < 1e-8
    assert max(kink(rounded, 0), kink(rounded, 1)) < 1e-7
    assert TIP.segments[0].nearest(first.point_at(0.5)).distance < 1e-9


def test_a_line_and_a_cubic_turning_right() -> None:
    rounded = round_corner(PEAK, 1, 4)
    arc = rounded.segments[1]
    assert isinstance(arc, Arc)
    assert arc.sweep < 0
    assert arc.centre.x == pytest.approx(4)
    assert max(kink(rounded, 0), kink(rounded, 1)) < 1e-7


def test_the_ends_of_a_drop_of_one_cubic() -> None:
    drop = Contour((Cubic(Point(0, 0), Point(0, 0), Vector(30, 30), Vector(-30, 30)),), closed=True)
    rounded = round_corner(drop, 0, 2)
    assert [type(segment) for segment in rounded.segments] == [Cubic, Cubic, Arc]
    assert all(kink(rounded, index) < 1e-7 for index in range(3))
    assert rounded.area() < drop.area()
    assert all(a.end.distance(b.start) < 1e-9 for a, b in itertools.pairwise(rounded.segments))


@pytest.mark.parametrize("radius", [0, -1, float("nan")])
def test_a_radius_must_be_positive(radius: float) -> None:
    with pytest.raises(ValueError, match="more than zero"):
        round_corner(SQUARE, 0, radius)


def test_a_radius_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        round_corner(SQUARE, 1, 10.1)
    with pytest.raises(ValueError, match="does not fit"):
        round_corner(PEAK, 1, 400)


def test_smooth_nodes_and_open_ends_are_no_corners() -> None:
    straight = through([Point(0, 0), Point(1, 0), Point(2, 0)])
    with pytest.raises(ValueError, match="smooth"):
        round_corner(straight, 1, 0.1)
    for node in (0, 2):
        with pytest.raises(ValueError, match="end of an open"):
            round_corner(straight, node, 0.1)
