"""Whether a place lies inside a closed contour."""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING

from geometry.shape.line import Line
from geometry.shape.pieces import Pieces, arrays, pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import FLAT

if TYPE_CHECKING:
    from geometry.shape.contour import Contour


def is_inside(contour: Contour, point: Point) -> bool:
    """Whether the point lies inside: exact for lines and arcs, for cubics by the side of the nearest place.

    Away from cubics the flattened curve decides; next to them the side on which the point lies of the edge.
    """
    place = [(point.x, point.y)]
    if not contour.has_cubics:
        return bool(pieces_of(contour).contains(place)[0])
    nearest = contour.nearest(point)
    if nearest.distance < 2 * FLAT:
        onward = _onward(contour, nearest.index, nearest.t)
        # At a cusp both sides are the same; the flattened curve has to do.
        if onward.length > 0.01:
            to_left = onward.cross(point - nearest.point) >= 0
            return to_left == (contour.area() > 0)
    return bool(_flattened(contour).contains(place)[0])


def _onward(contour: Contour, index: int, t: float) -> Vector:
    """Twice the mean direction of the run just before and after a place of the contour."""
    segments = contour.segments
    before, after = segments[index].tangent_at(t), segments[index].tangent_at(t)
    if t <= 0:
        before = segments[index - 1].tangent_at(1.0)
    if t >= 1:
        after = segments[(index + 1) % len(segments)].tangent_at(0.0)
    return before + after


@lru_cache(maxsize=32)
def _flattened(contour: Contour) -> Pieces:
    """The contour as straight pieces within FLAT."""
    points = contour.flatten(FLAT)
    return arrays([Line(a, b) for a, b in pairwise(points)], closed=True)
