import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.shape.contour import Contour, through
from geometry.shape.pieces import arrays, chord_counts, flattened, pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Line, Piece

CIRCLE = Contour((Arc(Point(5, 0), Point(-5, 0), 1.0), Arc(Point(-5, 0), Point(5, 0), 1.0)), closed=True)


def keyhole() -> Contour:
    """A slot 2 wide under a disc of radius 5 round the origin: an arc of much more than half a turn."""
    height = -math.sqrt(24)
    sweep = 2 * math.pi - 2 * math.asin(1 / 5)
    right, left = Point(1, height), Point(-1, height)
    return Contour(
        (
            Arc(right, left, math.tan(sweep / 4)),
            Line(left, Point(-1, -12)),
            Line(Point(-1, -12), Point(1, -12)),
            Line(Point(1, -12), right),
        ),
        closed=True,
    )


def wavy(seed: int, count: int = 40) -> Contour:
    """A star-shaped closed curve of arcs bent both ways."""
    random = np.random.default_rng(seed)
    angles = np.linspace(0, 2 * math.pi, count, endpoint=False)
    radii = random.uniform(40, 50, count)
    nodes = [
        Point(float(r * math.cos(a)), float(r * math.sin(a))) for r, a in zip(radii, angles, strict=True)
    ]
    bulges = random.uniform(-0.4, 0.4, count)
    ends = [*nodes[1:], nodes[0]]
    return Contour(
        tuple(Arc(a, b, float(bulge)) for a, b, bulge in zip(nodes, ends, bulges, strict=True)), closed=True
    )


def dense(contour: Contour) -> list[tuple[float, float]]:
    return [(place.x, place.y) for place in contour.flatten(1e-6)]


def test_distances_to_a_circle_in_closed_form() -> None:
    distance, nearest = pieces_of(CIRCLE).distance([[3, 4], [8, 0], [0, 1], [0, -2]])
    assert distance == pytest.approx([0, 3, 4, 3])
    assert nearest[1:] == pytest.approx(np.array([[5, 0], [0, 5], [0, -5]]))


def test_the_centre_gets_some_place_of_the_arc() -> None:
    distance, nearest = pieces_of(CIRCLE).distance([[0, 0]])
    assert distance == pytest.approx([5])
    assert np.hypot(*nearest[0]) == pytest.approx(5)


@pytest.mark.parametrize("backwards", [False, True])
def test_distance_against_shapely(backwards: bool) -> None:
    contour = wavy(3).reversed() if backwards else wavy(3)
    places = np.random.default_rng(4).uniform(-60, 60, (2000, 2))
    polygon = shapely.Polygon(dense(contour))
    distance, nearest = pieces_of(contour).distance(places)
    expected = shapely.distance(polygon.exterior, shapely.points(places))
    assert distance == pytest.approx(expected, abs=2e-6)
    assert np.hypot(*(places - nearest).T) == pytest.approx(distance, abs=1e-12)


def test_places_at_a_distance_in_closed_form() -> None:
    # A circle round (0, 10) with the radius sqrt(58) is met by the line x = 3 and the circle round the origin.
    pieces = arrays((Line(Point(3, -2), Point(3, 40)), *CIRCLE.segments), closed=False)  # type: ignore[arg-type]
    found = [pieces.at_distance(Point(0, 10), math.sqrt(58), number) for number in range(3)]
    # x^2 + (y - 10)^2 = 58 meets x = 3 at 10 -+ 7, and x^2 + y^2 = 25 where 20 y = 25 + 100 - 58.
    aside = math.sqrt(25 - 3.35**2)
    assert [len(places) for places in found] == [2, 2, 0]
    wanted = [(3, 3), (3, 17), (aside, 3.35), (-aside, 3.35)]
    assert [(each.x, each.y) for places in found for each in places] == [
        pytest.approx(each) for each in wanted
    ]


@given(st.floats(0.1, 3.0), st.floats(1.0, 60.0), st.floats(-3.0, 3.0), st.floats(-50.0, 50.0))
def test_a_circle_that_just_touches_meets_the_piece(
    sweep: float, radius: float, direction: float, apart: float
) -> None:
    # The far side of an arc whose middle lies in a direction: circles about places on that axis touch it there.
    one, two = (
        (radius * math.cos(direction + half), radius * math.sin(direction + half)) for half in (-sweep, sweep)
    )
    piece = arrays([Arc(Point(*one), Point(*two), math.tan(sweep / 2))], closed=False)
    axis = Point(math.cos(direction), math.sin(direction))
    centre, reach = Point(-apart * axis.x, -apart * axis.y), radius + apart
    if abs(apart) < 1.0 or abs(reach) < 1.0:
        return
    found = piece.at_distance(centre, abs(reach), 0)
    # A touch that rounding takes a little off spreads by the root of it.
    assert found
    assert min(each.distance(Point(radius * axis.x, radius * axis.y)) for each in found) < 0.02


@given(st.integers(0, 50), st.floats(-30, 30), st.floats(-30, 30), st.floats(15, 60))
def test_places_at_a_distance_against_shapely(seed: int, x: float, y: float, radius: float) -> None:
    curve = keyhole() if seed == 0 else wavy(seed)
    pieces = pieces_of(curve)
    centre = Point(x, y)
    found = [pieces.at_distance(centre, radius, number) for number in range(len(pieces.half))]
    places = np.array([(each.x, each.y) for here in found for each in here]).reshape(-1, 2)
    line = shapely.LinearRing([(place.x, place.y) for place in curve.flatten(1e-4)])
    assert np.hypot(places[:, 0] - x, places[:, 1] - y) == pytest.approx(np.full(len(places), radius))
    assert shapely.distance(line, shapely.points(places)) == pytest.approx(np.zeros(len(places)), abs=2e-4)
    along = np.array(shapely.line_locate_point(line, shapely.points(places))).tolist()
    assert along == sorted(along)
    # Between two places next to each other the curve is all nearer, or all further: none is missing.
    stops = [0.0, *along, line.length]
    for one, two in pairwise(stops):
        steps = shapely.line_interpolate_point(line, np.linspace(one, two, 9)[1:-1])
        away = shapely.distance(steps, shapely.Point(x, y)) - radius
        assert (away > -3e-4).all() or (away < 3e-4).all()


def test_directions_at_nearest_places() -> None:
    pieces = pieces_of(keyhole())
    _, nearest, index = pieces.nearest([[0, 9], [-4, -9]])
    assert index.tolist() == [0, 1]
    assert pieces.directions(nearest, index) == pytest.approx(np.array([[-1, 0], [0, -1]]), abs=1e-12)


def test_a_piece_without_length_is_a_place() -> None:
    pieces = arrays([Line(Point(1, 1), Point(1, 1)), Arc(Point(9, 1), Point(9, 1), 0.3)], closed=False)
    assert pieces.distance([[1, 4], [9, 0]])[0] == pytest.approx([3, 1])


def test_bounds_hold_every_piece() -> None:
    for contour in (keyhole(), wavy(2), through([Point(0, 0), Point(3, 1)])):
        for box, segment in zip(pieces_of(contour).bounds(), contour.segments, strict=True):
            bounds = segment.bounds
            assert (box[:2] <= [bounds.left + 1e-12, bounds.bottom + 1e-12]).all()
            assert (box[2:] >= [bounds.right - 1e-12, bounds.top - 1e-12]).all()


@pytest.mark.parametrize("tolerance", [0.0003, 0.02])
@pytest.mark.parametrize("contour", [keyhole(), wavy(3), wavy(3).reversed()])
def test_chords_stay_as_near_as_they_must(contour, tolerance) -> None:  # type: ignore[no-untyped-def]
    pieces = pieces_of(contour)
    vertices = flattened(pieces, tolerance)
    assert pieces.distance(vertices)[0] == pytest.approx(0, abs=1e-12)
    strays = pieces.distance((vertices[:-1] + vertices[1:]) / 2)[0]
    assert tolerance / 4 < strays.max() <= tolerance * (1 + 1e-9)
    nodes = shapely.points([(point.x, point.y) for point in contour.points])
    assert shapely.distance(nodes, shapely.MultiPoint(vertices)) == pytest.approx(0, abs=1e-12)


def test_lines_are_their_own_chords() -> None:
    hook: list[Piece] = [Line(Point(0, 0), Point(5, 0)), Line(Point(5, 0), Point(5, 4))]
    assert flattened(arrays(hook, closed=False), 1e-6).tolist() == [[0, 0], [5, 0], [5, 4]]


def test_half_a_circle_in_order() -> None:
    arc = Arc(Point(10, 0), Point(-10, 0), 1.0)
    vertices = flattened(arrays([arc], closed=False), 10.00001 * (1 - math.cos(math.pi / 12)))
    angles = np.arctan2(vertices[:, 1], vertices[:, 0])
    assert np.degrees(angles) == pytest.approx(np.arange(0, 181, 30), abs=1e-9)
    assert np.hypot(*vertices.T) == pytest.approx(10)


def test_huge_radii_need_few_chords() -> None:
    # The rise of an arc of 100 mm with the radius r is 100^2 / 8 r: below the tolerance from r = 4.2 km on.
    radii = np.array([1e6, 1e7, 1e12])
    assert chord_counts(100 / radii, 1 / radii, 0.0003).tolist() == [3, 1, 1]
