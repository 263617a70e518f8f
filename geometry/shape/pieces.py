"""A curve of lines and arcs as arrays: many distances and inside tests at once, in closed form.

Every piece is seen in the frame of its chord: u along the chord from its middle, v to the left of it. With
the half chord h, the signed curvature k and the cosine q of half the turn, a place lies on the circle of the
piece when k (u^2 + v^2 - h^2) - 2 v q = 0, and in front of the piece when |u| q <= h (q - k v). Both hold for
lines (k = 0, q = 1), for arcs of any turn, and lose no digits in between.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np
import numpy.typing as npt

from geometry.shape.close import Flags, Floats, Indices, dot, point_segment
from geometry.shape.segment import Arc, Piece

if TYPE_CHECKING:
    from collections.abc import Sequence

    from geometry.shape.contour import Contour


class Pieces(msgspec.Struct, frozen=True, eq=False):
    """Lines and arcs as arrays over the n pieces; get one from `pieces_of`."""

    starts: Floats
    """Starts (n, 2) in mm."""
    ends: Floats
    """Ends (n, 2) in mm."""
    bulges: Floats
    """Bulges (n,), 0 for lines."""
    along: Floats
    """Unit directions (n, 2) from start to end; +x where those are the same."""
    half: Floats
    """Half chords (n,) in mm."""
    curvature: Floats
    """Signed curvatures (n,) in 1/mm, positive turning left."""
    cosine: Floats
    """Cosines (n,) of half the turn."""
    closed: bool
    """Whether the last piece ends where the first starts."""

    @property
    def middles(self) -> Floats:
        """Middles (n, 2) of the chords."""
        return (self.starts + self.ends) / 2

    def bounds(self) -> Floats:
        """Upright rectangles (n, 4) left, bottom, right, top that hold the pieces; never too small."""
        # An arc up to a semicircle stays between its chord and a parallel at its height.
        height = (-self.bulges * self.half)[:, None] * _left(self.along)
        corners = np.stack([self.starts, self.ends, self.starts + height, self.ends + height])
        boxes = np.concatenate([corners.min(axis=0), corners.max(axis=0)], axis=1)
        for index in np.flatnonzero(np.abs(self.bulges) > 1):
            boxes[index] = self._circle_bounds(int(index))
        return boxes

    def _circle_bounds(self, index: int) -> Floats:
        """The rectangle around the whole circle of one arc."""
        left = _left(self.along)[index]
        centre = self.middles[index] + left * (self.cosine[index] / self.curvature[index])
        radius = abs(1 / self.curvature[index])
        return np.concatenate([centre - radius, centre + radius])

    def _frames(self, points: npt.ArrayLike) -> tuple[Floats, Floats]:
        """The coordinates u (k, n) and v (k, n) of points (k, 2) in the frame of every piece."""
        places = np.asarray(points, float).reshape(-1, 2)
        along, middles = self.along, self.middles
        u = places @ along.T - dot(middles, along)
        left = _left(along)
        v = places @ left.T - dot(middles, left)
        return u, v

    def nearest(self, points: npt.ArrayLike) -> tuple[Floats, Floats, Indices]:
        """Distances (k,) of points (k, 2), the nearest places (k, 2), the pieces (k,) they lie on."""
        places = np.asarray(points, float).reshape(-1, 2)
        u, v = self._frames(places)
        beyond, away = np.abs(u), self.cosine - self.curvature * v
        inside = beyond * self.cosine <= self.half * away
        beyond -= self.half
        square = np.where(inside, self._strays(u, v, away) ** 2, beyond * beyond + v * v)
        index = np.argmin(square, axis=1)
        distance, foot = self.feet(places, index)
        return distance, foot, index

    def _strays(self, u: Floats, v: Floats, away: Floats) -> Floats:
        """Signed distances to the circles of the pieces, negative to the left of travel."""
        reach = np.sqrt((self.curvature * u) ** 2 + away * away)
        strays: Floats = self.curvature * (u * u + v * v - self.half**2) - 2 * v * self.cosine
        strays /= 1 + reach
        return strays

    def distance(self, points: npt.ArrayLike) -> tuple[Floats, Floats]:
        """Distances (k,) of points (k, 2) to the curve and the nearest places (k, 2) on it."""
        return self.nearest(points)[:2]

    def feet(self, points: Floats, index: Indices) -> tuple[Floats, Floats]:
        """Distances (k,) of points (k, 2), each to the piece (k,) given with it, and the places (k, 2)."""
        along, half = self.along[index], self.half[index]
        curvature, cosine = self.curvature[index], self.cosine[index]
        left, middle = _left(along), (self.starts[index] + self.ends[index]) / 2
        offset = points - middle
        u, v = dot(offset, along), dot(offset, left)
        away = cosine - curvature * v
        reach = np.hypot(curvature * u, away)
        strays = (curvature * (u * u + v * v - half * half) - 2 * v * cosine) / (1 + reach)
        # In the centre itself every place of the arc is as near: its middle is taken.
        centred = reach == 0
        scale = strays / np.where(centred, 1.0, reach)
        foot_u = u - scale * curvature * u
        foot_v = v + np.where(centred, strays, scale * away)
        foot = middle + foot_u[:, None] * along + foot_v[:, None] * left
        end = np.where((u < 0)[:, None], self.starts[index], self.ends[index])
        before = np.abs(u) * cosine <= half * away
        distance = np.where(before, np.abs(strays), np.hypot(np.abs(u) - half, v))
        return distance, np.where(before[:, None], foot, end)

    def directions(self, points: Floats, index: Indices) -> Floats:
        """Unit directions of travel (k, 2) at places (k, 2) on the pieces (k,) given with them."""
        along, curvature = self.along[index], self.curvature[index][:, None]
        offset = points - (self.starts[index] + self.ends[index]) / 2
        # The radius turned a quarter, in units that stay finite for lines.
        direction = self.cosine[index][:, None] * along + curvature * _left(offset)
        unit: Floats = direction / np.hypot(direction[:, 0], direction[:, 1])[:, None]
        return unit

    def contains(self, points: npt.ArrayLike) -> Flags:
        """Which of the points (k, 2) lie inside the closed curve, exactly, by the even-odd rule.

        The polygon of the nodes decides, and every arc whose cap between chord and curve holds the point
        turns the answer round; both ask the same side of the same chord.
        """
        assert self.closed, "an open curve has no inside"
        places = np.asarray(points, float).reshape(-1, 2)
        u, v = self._frames(places)
        above = self.starts[:, 1] > places[:, 1:]
        end_above = np.concatenate([above[:, 1:], above[:, :1]], axis=1)
        on_left = v > 0
        passes = (above != end_above) & (on_left == end_above)
        power = self.curvature * (u * u + v * v - self.half**2) - 2 * v * self.cosine
        turns_left = self.curvature > 0
        bent = self.curvature != 0
        in_cap = bent & ((power < 0) == turns_left) & (power != 0) & (on_left != turns_left)
        odd: Flags = np.logical_xor.reduce(passes ^ in_cap, axis=1)
        return odd

    def segment_distance(self, starts: npt.ArrayLike, ends: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Distances (k,) of straight segments to the curve, the nearest places (k, 2) on them and on it.

        Where a segment crosses the curve the distance is 0 and both places are a crossing.
        """
        first, last = np.asarray(starts, float).reshape(-1, 2), np.asarray(ends, float).reshape(-1, 2)
        row, index = self._near_pairs(first, last)
        distance, here, there = self._pair_distance(first[row], last[row], index)
        order = np.lexsort((distance, row))
        best = order[np.searchsorted(row[order], np.arange(len(first)))]
        return distance[best], here[best], there[best]

    def _near_pairs(self, starts: Floats, ends: Floats) -> tuple[Indices, Indices]:
        """Segments and pieces of which one may be nearest to the other, ordered by segment."""
        # The middle of a piece is on it, and no place of the piece is further from there than its ends.
        tops = self.middles - (self.bulges * self.half)[:, None] * _left(self.along)
        size = self.half * np.sqrt(1 + self.bulges**2)
        least, _ = point_segment(tops, starts[:, None, :], ends[:, None, :])
        most = least.min(axis=1, keepdims=True)
        row, index = np.nonzero(least - size <= most)
        return row, index

    def _pair_distance(self, starts: Floats, ends: Floats, index: Indices) -> tuple[Floats, Floats, Floats]:
        """Distances (k,) of segments to the pieces (k,) given with them, the places here and there."""
        chord = ends - starts
        shares = np.clip(self._critical_shares(starts, chord, index), 0.0, 1.0)
        places = starts + shares[:, :, None] * chord
        count = len(index)
        distance, feet = self.feet(places.reshape(-1, 2), np.tile(index, len(shares)))
        back = [point_segment(each, starts, ends) for each in (self.starts[index], self.ends[index])]
        distances = np.concatenate([distance, back[0][0], back[1][0]]).reshape(-1, count)
        here = np.concatenate([places, back[0][1][None], back[1][1][None]])
        there = np.concatenate([feet.reshape(-1, count, 2), self.starts[index][None], self.ends[index][None]])
        best, row = np.argmin(distances, axis=0), np.arange(count)
        return distances[best, row], here[best, row], there[best, row]

    def _critical_shares(self, starts: Floats, chord: Floats, index: Indices) -> Floats:
        """Shares (5, k) of segments where they may be nearest: ends, two crossings, next to the centre."""
        along, left = self.along[index], _left(self.along[index])
        half, curvature, cosine = self.half[index], self.curvature[index], self.cosine[index]
        offset = starts - (self.starts[index] + self.ends[index]) / 2
        u, v = dot(offset, along), dot(offset, left)
        step = dot(chord, left)
        square = curvature * dot(chord, chord)
        middle = curvature * dot(offset, chord) - cosine * step
        constant = curvature * (u * u + v * v - half * half) - 2 * v * cosine
        root = np.sqrt(np.maximum(middle * middle - square * constant, 0.0))
        sum_ = -(middle + np.copysign(root, middle))
        shares = [_quotient(sum_, square), _quotient(constant, sum_), _quotient(-middle, square)]
        return np.stack([np.zeros_like(u), np.ones_like(u), *shares])


def _quotient(above: Floats, below: Floats) -> Floats:
    """The quotients, 0 where there is none."""
    return np.divide(above, below, out=np.zeros_like(above), where=below != 0)


def _left(vectors: Floats) -> Floats:
    """Vectors (k, 2) turned a quarter counter-clockwise."""
    return np.stack([-vectors[:, 1], vectors[:, 0]], axis=1)


@lru_cache(maxsize=64)
def pieces_of(contour: Contour) -> Pieces:
    """The arrays of a contour of lines and arcs; cubics are a programming error."""
    assert not contour.has_cubics, "make cubics arcs first"
    return arrays(contour.segments, closed=contour.closed)  # type: ignore[arg-type]


def arrays(pieces: Sequence[Piece], *, closed: bool) -> Pieces:
    """The arrays of lines and arcs in order."""
    table = np.array([(each.start.x, each.start.y, each.end.x, each.end.y, _bulge(each)) for each in pieces])
    starts, ends, bulges = table[:, :2], table[:, 2:4], table[:, 4]
    chord = ends - starts
    length = np.hypot(chord[:, 0], chord[:, 1])
    known = length > 0
    along = np.where(known[:, None], chord / np.where(known, length, 1.0)[:, None], [1.0, 0.0])
    curvature = 4 * bulges / ((1 + bulges**2) * np.where(known, length, 1.0))
    cosine = (1 - bulges**2) / (1 + bulges**2)
    return Pieces(starts, ends, bulges, along, length / 2, curvature, cosine, closed)


def _bulge(piece: Piece) -> float:
    """The bulge of a piece, 0 when it is to be taken as its chord."""
    return 0.0 if not isinstance(piece, Arc) or piece.is_straight else piece.bulge
