"""Distances of many points and straight segments at once, in closed form.

Arrays of places have the shape (k, 2) and hold mm; row by row, the arguments belong together and broadcast.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import numpy.typing as npt

    Floats = npt.NDArray[np.float64]
    """An array of lengths, places or directions."""

    Flags = npt.NDArray[np.bool_]
    """An array of answers."""

    Indices = npt.NDArray[np.intp]
    """An array of indices."""
else:
    # numpy.typing takes as long to import as all of this project's checks; a running program needs no types.
    Floats = Flags = Indices = np.ndarray


def point_segment(points: npt.ArrayLike, starts: npt.ArrayLike, ends: npt.ArrayLike) -> tuple[Floats, Floats]:
    """Distances (k,) of points (k, 2) to segments and the nearest places (k, 2) on those."""
    places, first = np.asarray(points, float), np.asarray(starts, float)
    chord = np.asarray(ends, float) - first
    square = dot(chord, chord)
    share = dot(places - first, chord) / np.where(square > 0, square, 1.0)
    nearest = first + np.clip(share, 0.0, 1.0)[..., None] * chord
    gap = places - nearest
    return np.hypot(gap[..., 0], gap[..., 1]), nearest


def segment_segment(
    starts: npt.ArrayLike, ends: npt.ArrayLike, other_starts: npt.ArrayLike, other_ends: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """Distances (k,) of segments to other segments, the nearest places (k, 2) here and there.

    Segments that cross have the distance 0 and both places where they cross.
    """
    a, b, c, d = np.broadcast_arrays(
        *(np.asarray(each, float) for each in (starts, ends, other_starts, other_ends))
    )
    # The shortest way between two segments that do not cross begins or ends at an end.
    places = np.stack([a, b, c, d])
    distances, nearest = point_segment(places, np.stack([c, c, a, a]), np.stack([d, d, b, b]))
    best = np.argmin(distances, axis=0)
    row = np.arange(best.size)
    distance, place, foot = distances[best, row], places[best, row], nearest[best, row]
    from_here = (best < 2)[:, None]
    here, there = np.where(from_here, place, foot), np.where(from_here, foot, place)
    crosses, crossing = segment_crossing(a, b, c, d)
    meets = crosses[:, None]
    return np.where(crosses, 0.0, distance), np.where(meets, crossing, here), np.where(meets, crossing, there)


def segment_crossing(a: Floats, b: Floats, c: Floats, d: Floats) -> tuple[Flags, Floats]:
    """Which segments a-b cross c-d, and where; parallel ones do not."""
    along, other, apart = b - a, d - c, c - a
    turn = cross(along, other)
    safe = np.where(turn == 0, 1.0, turn)
    share, other_share = cross(apart, other) / safe, cross(apart, along) / safe
    within = (share >= 0) & (share <= 1) & (other_share >= 0) & (other_share <= 1)
    return within & (turn != 0), a + share[:, None] * along


def dot(a: Floats, b: Floats) -> Floats:
    """The scalar products (...) of vectors (..., 2); quicker than a sum over so short an axis."""
    product: Floats = a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1]
    return product


_QUARTER = np.array([-1.0, 1.0])


def left(vectors: Floats) -> Floats:
    """Vectors (k, 2) turned a quarter counter-clockwise."""
    turned: Floats = vectors[:, ::-1] * _QUARTER
    return turned


def cross(a: Floats, b: Floats) -> Floats:
    """The signed areas (k,) that vectors (k, 2) span."""
    area: Floats = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return area
