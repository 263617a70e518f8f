"""Places, lines and areas by the array, as shapely has them, which judges distances and what lies in what."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np
import shapely

from geometry.shape.close import Floats, Indices
from geometry.shape.point import Point

if TYPE_CHECKING:
    import numpy.typing as npt

    Shapes = npt.NDArray[np.object_]
    """An array of geometries."""
else:
    # As in geometry.shape.close: a running program needs no types.
    Shapes = np.ndarray


def points(places: Sequence[Point]) -> Floats:
    """Places as an array (n, 2)."""
    return np.array([(place.x, place.y) for place in places], float).reshape(-1, 2)


def places_at(points: Floats) -> Shapes:
    """Points (n, 2) as shapes (n,)."""
    return np.asarray(shapely.points(points), dtype=object)


def lines_of(ends: Floats) -> Shapes:
    """Straight lines (n,) from their ends (n, 2, 2); one without length is a point.

    A line without length crashes GEOS when a shape with an index is asked for its distance.
    """
    lines = np.asarray(shapely.linestrings(ends), dtype=object)
    single = (ends[:, 0] == ends[:, 1]).all(axis=1)
    lines[single] = shapely.points(ends[single, 0])
    return lines


def lines_through(vertices: Floats, line: Indices) -> shapely.MultiLineString:
    """Lines through vertices (k, 2) as one shape: each through those that have its number (k,), in order."""
    lines = np.asarray(shapely.linestrings(vertices, indices=line), dtype=object)
    return shapely.MultiLineString(lines.tolist())


def areas_of(corners: Floats) -> Shapes:
    """Areas (n,) from their corners (n, k, 2)."""
    return np.asarray(shapely.polygons(corners), dtype=object)


class OftenAsked:
    """A shape with an index of its parts, made once in each thread: the first of two that are asked for is asked often.

    GEOS changes an index while it answers from it, so two threads that ask one index at once crash the program.
    """

    def __init__(self, shape: shapely.Geometry) -> None:
        """No index is made before somebody asks."""
        self._shape = shape
        self._made = threading.local()

    def here(self) -> shapely.Geometry:
        """The shape, with the index of this thread."""
        made: shapely.Geometry | None = getattr(self._made, "shape", None)
        if made is None:
            made = self._made.shape = shapely.transform(self._shape, np.copy)
            shapely.prepare(made)
        return made


def shortest(
    ones: Shapes | shapely.Geometry, others: Shapes | shapely.Geometry
) -> tuple[Floats, Floats, Floats]:
    """The distances (k,) in mm of shapes (k,) to others, and the places (k, 2) on the ones and on the others.

    Where two meet both places are one that they share, and the distance is 0 or what rounding leaves of it.
    """
    ways = np.asarray(shapely.shortest_line(ones, others), dtype=object)
    ends = shapely.get_coordinates(ways).reshape(-1, 2, 2)
    return np.asarray(shapely.length(ways)), ends[:, 0], ends[:, 1]


def depth_out(areas: Shapes | shapely.Geometry, places: Floats) -> tuple[Floats, Floats]:
    """The distances (k,) in mm of places (k, 2) from areas, negative inside, and the nearest places of their edges."""
    length, feet, _ = shortest(shapely.boundary(areas), places_at(places))
    return np.where(shapely.contains_xy(areas, *places.T), -length, length), feet
