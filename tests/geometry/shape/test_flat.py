"""Chords of lines and arcs, against what the arcs themselves are in closed form."""

import math

import numpy as np
import pytest
import shapely

from geometry.shape.flat import chord_counts, flattened
from geometry.shape.pieces import arrays, pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Line, Piece
from tests.geometry.shape.test_pieces import keyhole, wavy


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
