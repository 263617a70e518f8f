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

from geometry.shape.close import Flags, Floats, Indices, dot, point_segment
from geometry.shape.segment import Arc, Chain, Cubic, Piece
from geometry.shape.tolerance import SAME

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy.typing as npt


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
    frame: Floats
    """What (k, 3) rows x, y, 1 are multiplied with for (k, 2n): u in every frame, then v in every frame."""
    tops: Floats
    """Middles (n, 2) of the pieces, on the curve."""
    size: Floats
    """Distances (n,) of the ends from the middle; no place of the piece is further from it."""
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

    def _frames(self, points: Floats) -> tuple[Floats, Floats]:
        """The coordinates u (k, n) and v (k, n) of points (k, 2) in the frame of every piece."""
        both = _with_ones(points) @ self.frame
        count = len(self.half)
        return both[:, :count], both[:, count:]

    def nearest(self, points: npt.ArrayLike) -> tuple[Floats, Floats, Indices]:
        """Distances (k,) of points (k, 2), the nearest places (k, 2), the pieces (k,) they lie on."""
        places = np.asarray(points, float).reshape(-1, 2)
        across, up = places[:, :1] - self.tops[:, 0], places[:, 1:] - self.tops[:, 1]
        across *= across
        up *= up
        across += up
        row, index = self._in_reach(np.sqrt(across, out=across))
        distance, feet = self.feet(places[row], index)
        best = _least(distance, row)
        return distance[best], feet[best], index[best]

    def _in_reach(self, least: Floats) -> tuple[Indices, Indices]:
        """Rows and pieces that may be nearest, from distances (k, n) to the middles; in the order of rows."""
        near = least - self.size <= least.min(axis=1, keepdims=True) + SAME
        row, index = np.divmod(np.flatnonzero(near), len(self.size))
        return row, index

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
        """Unit directions of the run (k, 2) at places (k, 2) on the pieces (k,) given with them."""
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
        # A place on a chord counts as a trifle above, then right of it, as in the comparison of heights.
        across, up = self.along[:, 0], self.along[:, 1]
        on_left = (v > 0) | ((v == 0) & ((across > 0) | ((across == 0) & (up < 0))))
        passes = (above != end_above) & (on_left == end_above)
        # Inside the circle, as seen from a piece turning left; a line has nothing on either side.
        power = u * u
        power += v * v
        power -= self.half**2
        power *= np.abs(self.curvature)
        v *= 2 * self.cosine * np.sign(self.curvature)
        in_cap = (power < v) & (on_left == (self.curvature < 0)) & (self.curvature != 0)
        odd: Flags = np.logical_xor.reduce(passes ^ in_cap, axis=1)
        return odd

    def segment_distance(self, starts: npt.ArrayLike, ends: npt.ArrayLike) -> tuple[Floats, Floats, Floats]:
        """Distances (k,) of straight segments to the curve, the nearest places (k, 2) on them and on it.

        Where a segment crosses the curve the distance is 0 and both places are a crossing.
        """
        first, last = np.asarray(starts, float).reshape(-1, 2), np.asarray(ends, float).reshape(-1, 2)
        half, frame = _segment_frame(first, last)
        both = _with_ones(self.tops) @ frame
        beyond = np.maximum(np.abs(both[:, : len(half)]) - half, 0.0)
        beyond *= beyond
        beyond += both[:, len(half) :] ** 2
        row, index = self._in_reach(np.ascontiguousarray(np.sqrt(beyond).T))
        distance, here, there = self._pair_distance(first[row], last[row], index)
        best = _least(distance, row)
        return distance[best], here[best], there[best]

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


def _with_ones(points: Floats) -> Floats:
    """Places (k, 2) as rows x, y, 1."""
    return np.concatenate([points, np.ones((len(points), 1))], axis=1)


def _least(distance: Floats, row: Indices) -> Indices:
    """Where the first of the least distances of every row is; each row occurs, in order."""
    begins = np.flatnonzero(np.diff(row, prepend=-1))
    least = np.minimum.reduceat(distance, begins)
    chosen = np.flatnonzero(distance == least[row])
    return chosen[np.flatnonzero(np.diff(row[chosen], prepend=-1))]


def _segment_frame(starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
    """Half lengths (n,) of segments and the matrix (3, 2n) that turns rows x, y, 1 into their frames."""
    chord = ends - starts
    length = np.hypot(chord[:, 0], chord[:, 1])
    known = length > 0
    along = np.where(known[:, None], chord / np.where(known, length, 1.0)[:, None], [1.0, 0.0])
    left, middles = _left(along), (starts + ends) / 2
    axes = np.concatenate([along, left])
    shift = np.concatenate([dot(middles, along), dot(middles, left)])
    return length / 2, np.concatenate([axes.T, -shift[None]])


def _left(vectors: Floats) -> Floats:
    """Vectors (k, 2) turned a quarter counter-clockwise."""
    return np.stack([-vectors[:, 1], vectors[:, 0]], axis=1)


@lru_cache(maxsize=64)
def pieces_of(contour: Chain) -> Pieces:
    """The arrays of a contour of lines and arcs; cubics are a programming error."""
    assert not any(isinstance(each, Cubic) for each in contour.segments), "make cubics arcs first"
    return arrays(contour.segments, closed=contour.closed)  # type: ignore[arg-type]


def arrays(pieces: Sequence[Piece], *, closed: bool) -> Pieces:
    """The arrays of lines and arcs in order; none at all is a curve of no pieces."""
    rows = [(each.start.x, each.start.y, each.end.x, each.end.y, _bulge(each)) for each in pieces]
    table = np.array(rows, float).reshape(-1, 5)
    starts, ends, bulges = table[:, :2], table[:, 2:4], table[:, 4]
    half, frame = _segment_frame(starts, ends)
    along = np.ascontiguousarray(frame[:2, : len(half)].T)
    grown = 1 + bulges**2
    curvature, cosine = 2 * bulges / (grown * np.where(half > 0, half, 1.0)), (1 - bulges**2) / grown
    tops = (starts + ends) / 2 - (bulges * half)[:, None] * _left(along)
    size = half * np.sqrt(grown)
    return Pieces(starts, ends, bulges, along, half, curvature, cosine, frame, tops, size, closed)


def _bulge(piece: Piece) -> float:
    """The bulge of a piece, 0 when it is to be taken as its chord."""
    return 0.0 if not isinstance(piece, Arc) or piece.is_straight else piece.bulge
