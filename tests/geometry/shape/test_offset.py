import itertools
import math

import numpy as np
import pytest
import shapely

from geometry.shape.biarc import as_arcs
from geometry.shape.contour import Contour, through
from geometry.shape.offset import parallel, raw_parallel, round_corner
from geometry.shape.pieces import pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line
from geometry.shape.tolerance import ARCS

SQUARE = through([Point(0, 0), Point(20, 0), Point(20, 20), Point(0, 20)], closed=True)
DISC = Contour((Arc(Point(9, 0), Point(-9, 0), 1.0), Arc(Point(-9, 0), Point(9, 0), 1.0)), closed=True)
DISTANCES = [0.01, 1, 3, 5, 7.5, 12, 15, -0.1, -2.5, -7, -15]


def star(seed: int) -> Contour:
    """A closed curve of lines and arcs round the origin, with corners both ways."""
    random = np.random.default_rng(seed)
    count = int(random.integers(5, 12))
    angles, radii = np.linspace(0, 2 * math.pi, count, endpoint=False), random.uniform(20, 60, count)
    nodes = [
        Point(float(r * math.cos(a)), float(r * math.sin(a))) for a, r in zip(angles, radii, strict=True)
    ]
    ends, bulges = [*nodes[1:], nodes[0]], random.uniform(-0.4, 0.4, count).tolist()
    return Contour(
        tuple(
            Arc(a, b, bulge) if abs(bulge) > 0.1 else Line(a, b)
            for a, b, bulge in zip(nodes, ends, bulges, strict=True)
        ),
        closed=True,
    )


def waist() -> Contour:
    """Two bellies of cubics with a waist 8 wide between them."""
    right = (
        Cubic(Point(0, -40), Point(4, 0), Vector(45, 0), Vector(0, -15)),
        Cubic(Point(4, 0), Point(0, 40), Vector(0, 15), Vector(45, 0)),
    )
    left = tuple(segment.mirrored().reversed() for segment in reversed(right))
    return as_arcs(Contour(right + left, closed=True), ARCS)


def assert_is_parallel(contour: Contour, distance: float) -> None:
    """The curves part the places further left than the distance from all others, and are that far away."""
    curves = parallel(contour, distance)
    bounds = contour.bounds.grown(20)
    lower, upper = (bounds.left, bounds.bottom), (bounds.right, bounds.top)
    places = np.random.default_rng(9).uniform(lower, upper, (1500, 2))
    polygon = shapely.Polygon([(place.x, place.y) for place in contour.flatten(1e-5)])
    away = shapely.distance(polygon.exterior, shapely.points(places))
    left = shapely.contains_xy(polygon, places) == (contour.area() > 0)
    signed = np.where(left, away, -away)
    # Inside a clockwise curve is to its right.
    expected = signed > distance if contour.area() > 0 else signed < distance
    found = np.zeros(len(places), dtype=bool)
    for curve in curves:
        assert curve.closed
        assert curve.self_crossings() == ()
        found ^= shapely.contains_xy(
            shapely.Polygon([(place.x, place.y) for place in curve.flatten(1e-5)]), places
        )
        on = [(p.x, p.y) for each in curve.segments for p in (each.point_at(0.3), each.point_at(0.8))]
        assert pieces_of(contour).distance(on)[0] == pytest.approx(abs(distance), abs=2e-6)
    assert (found == expected)[abs(signed - distance) > 1e-4].all()


@pytest.mark.parametrize("distance", DISTANCES)
@pytest.mark.parametrize("seed", [2, 3, 4])
def test_stars_both_ways(seed: int, distance: float) -> None:
    contour = star(seed)
    assert contour.self_crossings() == ()
    assert_is_parallel(contour, distance)
    assert_is_parallel(contour.reversed(), distance)


@pytest.mark.parametrize("distance", DISTANCES)
def test_smooth_bellies(distance: float) -> None:
    assert_is_parallel(waist(), distance)


def test_inside_a_square_corners_stay_sharp() -> None:
    (inner,) = parallel(SQUARE, 3)
    assert inner.area() == pytest.approx(14 * 14)
    assert all(isinstance(segment, Line) for segment in inner.segments)


def test_outside_a_square_corners_are_true_arcs() -> None:
    (outer,) = parallel(SQUARE, -3)
    assert outer.area() == pytest.approx(400 + 80 * 3 + math.pi * 9)
    arcs = [segment for segment in outer.segments if isinstance(segment, Arc)]
    assert [arc.radius for arc in arcs] == pytest.approx([3] * 4)


def test_a_disc_shrinks_and_grows() -> None:
    (inner,) = parallel(DISC, 4)
    assert inner.area() == pytest.approx(25 * math.pi)
    (outer,) = parallel(DISC, -4)
    assert outer.area() == pytest.approx(169 * math.pi)


def test_what_is_too_narrow_vanishes() -> None:
    assert parallel(SQUARE, 10) == ()
    assert parallel(SQUARE, 12) == ()
    assert parallel(DISC, 9) == ()
    assert parallel(DISC, 9.5) == ()


def test_a_waist_parts_in_two() -> None:
    lower, upper = sorted(parallel(waist(), 5), key=lambda curve: curve.bounds.bottom)
    assert lower.area() == pytest.approx(upper.area(), rel=1e-9)
    assert lower.bounds.top < 0 < upper.bounds.bottom


def test_no_distance_is_the_same_curve() -> None:
    assert parallel(DISC, 0) == (DISC,)


def test_an_open_curve_keeps_its_ends() -> None:
    bend = Contour((Line(Point(0, 0), Point(10, 0)), Arc(Point(10, 0), Point(10, 8), 1.0)))
    (left,) = parallel(bend, 1)
    assert not left.closed
    assert left.length == pytest.approx(10 + 3 * math.pi)
    assert left.start.distance(Point(0, 1)) < 1e-12
    assert left.end.distance(Point(10, 7)) < 1e-12
    (right,) = parallel(bend, -1)
    assert right.length == pytest.approx(10 + 5 * math.pi)


def test_a_hollow_corner_of_an_open_curve_is_cut_at_the_crossing() -> None:
    corner = through([Point(0, 0), Point(10, 0), Point(10, 10)])
    (inner,) = parallel(corner, 2)
    assert inner.points == pytest.approx([Point(0, 2), Point(8, 2), Point(8, 10)])


def test_raw_pieces_follow_each_other() -> None:
    raw = list(raw_parallel(pieces_of(SQUARE), -3))
    assert [type(piece) for piece in raw] == [Line, Arc] * 4
    assert all(a.end.distance(b.start) < 1e-12 for a, b in zip(raw, [*raw[1:], raw[0]], strict=True))
    tight = raw_parallel(pieces_of(Contour((Arc(Point(1, 0), Point(-1, 0), 1.0),))), 3)
    assert tight.piece(0).point_at(0.5).distance(Point(0, -2)) < 1e-12


def test_cubics_are_refused() -> None:
    cubic = Cubic(Point(0, 0), Point(4, 0), Vector(1, 1), Vector(-1, 1))
    with pytest.raises(AssertionError):
        parallel(Contour((cubic,)), 1)


@pytest.mark.parametrize("kink", [1e-7, 1e-6, 5e-6, 1e-5, 2e-5, 3e-5, 1e-4, 1e-3])
@pytest.mark.parametrize("distance", [12, -12])
def test_a_kink_that_is_barely_one_leaves_one_curve(kink: float, distance: float) -> None:
    bend = through([Point(0, 0), Point(50, 0), Point(100, 50 * kink)])
    (curve,) = parallel(bend, distance)
    assert curve.length == pytest.approx(bend.length - distance * kink, abs=1e-5)
    assert curve.self_crossings() == ()


BLOCK = through([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)], closed=True)
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
    for square in (BLOCK, BLOCK.reversed()):
        rounded = round_corner(square, node, 2)
        assert abs(rounded.area()) == pytest.approx(100 - (4 - math.pi))
        (arc,) = [segment for segment in rounded.segments if isinstance(segment, Arc)]
        assert arc.radius == pytest.approx(2)


def test_a_radius_that_uses_a_side_up_exactly() -> None:
    rounded = round_corner(round_corner(BLOCK, 1, 5), 3, 5)
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
        round_corner(BLOCK, 0, radius)


def test_a_radius_that_does_not_fit_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        round_corner(BLOCK, 1, 10.1)
    with pytest.raises(ValueError, match="does not fit"):
        round_corner(PEAK, 1, 400)


def test_smooth_nodes_and_open_ends_are_no_corners() -> None:
    straight = through([Point(0, 0), Point(1, 0), Point(2, 0)])
    with pytest.raises(ValueError, match="smooth"):
        round_corner(straight, 1, 0.1)
    for node in (0, 2):
        with pytest.raises(ValueError, match="end of an open"):
            round_corner(straight, node, 0.1)
