"""A curve of lines and arcs as arrays: the nearest places of many points at once, in closed form.

Every piece is seen in the frame of its chord: u along the chord from its middle, v to the left of it. With
the half chord h, the signed curvature k and the cosine q of half the turn, a place lies on the circle of the
piece when k (u^2 + v^2 - h^2) - 2 v q = 0, and in front of the piece when |u| q <= h (q - k v). Both hold for
lines (k = 0, q = 1), for arcs of any turn, and lose no digits in between.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from geometry.shape.close import Flags, Floats, Indices, dot, left
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Chain, Cubic, Line, Piece
from geometry.shape.tolerance import SAME

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

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
    """Unit directions (n, 2) from start to end; along x where those are the same."""
    half: Floats
    """Half chords (n,) in mm."""
    curvature: Floats
    """Signed curvatures (n,) in 1/mm, positive turning left."""
    cosine: Floats
    """Cosines (n,) of half the turn."""
    tops: Floats
    """Middles (n, 2) of the pieces, on the curve."""
    size: Floats
    """Distances (n,) of the ends from the middle; no place of the piece is further from it."""
    closed: bool
    """Whether the last piece ends where the first starts."""

    @property
    def lengths(self) -> Floats:
        """Lengths (n,) in mm."""
        turn = np.arctan(self.bulges)
        long = np.divide(turn, self.bulges, out=np.ones_like(turn), where=self.bulges != 0)
        return 2 * self.half * (1 + self.bulges**2) * long

    def piece(self, index: int) -> Piece:
        """One piece as a line or an arc."""
        start, end = Point(*self.starts[index].tolist()), Point(*self.ends[index].tolist())
        bulge = self.bulges[index].item()
        return Arc(start, end, bulge) if bulge else Line(start, end)

    def chosen(self, rows: Flags | slice) -> Pieces:
        """Some of the pieces, in order."""
        arrays = {name: getattr(self, name)[rows] for name in self.__struct_fields__ if name != "closed"}
        return msgspec.structs.replace(self, **arrays)

    def reversed(self) -> Pieces:
        """The same curve run backwards."""
        back = slice(None, None, -1)
        return Pieces(
            starts=self.ends[back],
            ends=self.starts[back],
            bulges=-self.bulges[back],
            along=-self.along[back],
            half=self.half[back],
            curvature=-self.curvature[back],
            cosine=self.cosine[back],
            tops=self.tops[back],
            size=self.size[back],
            closed=self.closed,
        )

    def __iter__(self) -> Iterator[Piece]:
        """All pieces in order."""
        return map(self.piece, range(len(self.half)))

    @property
    def middles(self) -> Floats:
        """Middles (n, 2) of the chords."""
        return (self.starts + self.ends) / 2

    def bounds(self) -> Floats:
        """Upright rectangles (n, 4) left, bottom, right, top that hold the pieces; never too small."""
        # An arc up to a semicircle stays between its chord and a parallel at its height.
        height = (-self.bulges * self.half)[:, None] * left(self.along)
        corners = np.stack([self.starts, self.ends, self.starts + height, self.ends + height])
        boxes = np.concatenate([corners.min(axis=0), corners.max(axis=0)], axis=1)
        for index in np.flatnonzero(np.abs(self.bulges) > 1):
            boxes[index] = self._circle_bounds(int(index))
        return boxes

    def _circle_bounds(self, index: int) -> Floats:
        """The rectangle around the whole circle of one arc."""
        aside = left(self.along)[index]
        centre = self.middles[index] + aside * (self.cosine[index] / self.curvature[index])
        radius = abs(1 / self.curvature[index])
        return np.concatenate([centre - radius, centre + radius])

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
        aside, middle = left(along), (self.starts[index] + self.ends[index]) / 2
        offset = points - middle
        u, v = dot(offset, along), dot(offset, aside)
        away = cosine - curvature * v
        reach = np.hypot(curvature * u, away)
        strays = (curvature * (u * u + v * v - half * half) - 2 * v * cosine) / (1 + reach)
        # In the centre itself every place of the arc is as near: its middle is taken.
        centred = reach == 0
        scale = strays / np.where(centred, 1.0, reach)
        foot_u = u - scale * curvature * u
        foot_v = v + np.where(centred, strays, scale * away)
        foot = middle + foot_u[:, None] * along + foot_v[:, None] * aside
        end = np.where((u < 0)[:, None], self.starts[index], self.ends[index])
        before = np.abs(u) * cosine <= half * away
        distance = np.where(before, np.abs(strays), np.hypot(np.abs(u) - half, v))
        return distance, np.where(before[:, None], foot, end)

    def at_distance(self, centre: Point, radius: float, index: int) -> list[Point]:
        """Places of one piece that are `radius` mm from `centre`, in the order of the run.

        The condition of a piece less that of the circle is a straight line, and both lie on it. Within SAME of an end a
        place is on the piece, so that none is lost at a joint, and a circle that comes so near touches. Where a piece
        runs on the circle no place is told. In plain numbers: a row asks for few pieces, one after the other.
        """
        (along_x, along_y), (middle_x, middle_y) = self.along[index].tolist(), self._middle(index)
        half, curvature, cosine = (
            self.half[index].item(),
            self.curvature[index].item(),
            self.cosine[index].item(),
        )
        x, y = centre.x - middle_x, centre.y - middle_y
        a, b = x * along_x + y * along_y, y * along_x - x * along_y
        across, up = curvature * a, curvature * b - cosine
        size = math.hypot(across, up)
        strays = curvature * (a * a + b * b - half * half + radius * radius) / 2 - cosine * b
        if abs(strays) > (radius + SAME) * size or size == 0:
            return []
        across, up, strays = across / size, up / size, strays / size
        # Where the circle just touches the piece, rounding may take it a little off.
        reach = math.sqrt(max(0.0, radius * radius - strays * strays))
        found = []
        for side in (-reach, reach):
            u, v = a - strays * across + side * up, b - strays * up - side * across
            away = cosine - curvature * v
            if abs(u) * cosine - half * away <= SAME:
                place = Point(middle_x + u * along_x - v * along_y, middle_y + u * along_y + v * along_x)
                found.append((math.atan2(abs(curvature) * u, away) if cosine < 0 else u, place))
        return [place for _, place in sorted(found, key=lambda each: each[0])]

    def _middle(self, index: int) -> tuple[float, float]:
        """The middle of the chord of one piece."""
        (x, y), (end_x, end_y) = self.starts[index].tolist(), self.ends[index].tolist()
        return (x + end_x) / 2, (y + end_y) / 2

    def directions(self, points: Floats, index: Indices) -> Floats:
        """Unit directions of the run (k, 2) at places (k, 2) on the pieces (k,) given with them."""
        along, curvature = self.along[index], self.curvature[index][:, None]
        offset = points - (self.starts[index] + self.ends[index]) / 2
        # The radius turned a quarter, in units that stay finite for lines.
        direction = self.cosine[index][:, None] * along + curvature * left(offset)
        return np.asarray(direction / np.hypot(direction[:, 0], direction[:, 1])[:, None])


def _least(distance: Floats, row: Indices) -> Indices:
    """Where the first of the least distances of every row is; each row occurs, in order."""
    begins = np.flatnonzero(np.diff(row, prepend=-1))
    least = np.minimum.reduceat(distance, begins)
    chosen = np.flatnonzero(distance == least[row])
    return chosen[np.flatnonzero(np.diff(row[chosen], prepend=-1))]


@lru_cache(maxsize=64)
def pieces_of(contour: Chain) -> Pieces:
    """The arrays of a contour of lines and arcs; cubics are a programming error."""
    assert not any(isinstance(each, Cubic) for each in contour.segments), "make cubics arcs first"
    return arrays(contour.segments, closed=contour.closed)  # type: ignore[arg-type]


def arrays(pieces: Sequence[Piece], *, closed: bool) -> Pieces:
    """The arrays of lines and arcs in order; none at all is a curve of no pieces."""
    rows = [(each.start.x, each.start.y, each.end.x, each.end.y, _bulge(each)) for each in pieces]
    table = np.array(rows, float).reshape(-1, 5)
    return pieces_through(table[:, :2], table[:, 2:4], table[:, 4], closed=closed)


def pieces_through(starts: Floats, ends: Floats, bulges: Floats, *, closed: bool) -> Pieces:
    """The arrays of pieces with these ends (n, 2) and bulges (n,)."""
    chord = ends - starts
    length = np.hypot(chord[:, 0], chord[:, 1])
    half = length / 2
    long = half > 0
    if long.all():
        along, divisor = chord / length[:, None], half
    else:
        along, divisor = np.where(long[:, None], chord, [1.0, 0.0]), np.where(long, half, 1.0)
        along[long] /= length[long, None]
    square = bulges * bulges
    grown = 1 + square
    curvature, cosine = 2 * bulges / (grown * divisor), (1 - square) / grown
    tops = (starts + ends) / 2 - (bulges * half)[:, None] * left(along)
    size = half * np.sqrt(grown)
    return Pieces(starts, ends, bulges, along, half, curvature, cosine, tops, size, closed)


def _bulge(piece: Piece) -> float:
    """The bulge of a piece, 0 when it is to be taken as its chord."""
    return 0.0 if not isinstance(piece, Arc) or piece.is_straight else piece.bulge


# Vertices of straight chords, for the library that judges distances


def flattened(pieces: Pieces, tolerance: float) -> Floats:
    """Vertices (k, 2) of the pieces in order, whose chords stray at most `tolerance` mm from them, ends included."""
    turns = half_turns(pieces)
    vertices, piece = chords(pieces, np.arange(len(turns)), -turns, turns, tolerance)
    # Each piece starts where the one before it ends.
    return np.asarray(vertices[np.append(np.diff(piece) == 0, True)])


def half_turns(pieces: Pieces) -> Floats:
    """Half of what each piece (n,) turns to the left from its start to its end, in radians; 0 for lines."""
    return 2 * np.arctan(pieces.bulges)


def chords(
    pieces: Pieces, index: Indices, first: Floats, last: Floats, tolerance: float
) -> tuple[Floats, Indices]:
    """Vertices (k, 2) of parts (m,) of pieces, both ends of each included, and the part (k,) of each.

    A part reaches from where an arc has turned by `first` (m,) from the direction of its chord to where it has by
    `last`; a line, which does not turn, is taken whole.
    """
    counts = chord_counts(last - first, pieces.curvature[index], tolerance)
    part = np.repeat(np.arange(len(counts)), counts + 1)
    share = (np.arange(len(part)) - (np.cumsum(counts + 1) - counts - 1)[part]) / counts[part]
    turned, turn = first[part] + (last - first)[part] * share, half_turns(pieces)[index][part]
    piece = index[part]
    curvature = pieces.curvature[piece]
    bent = curvature != 0
    radius = np.divide(1.0, curvature, out=np.zeros_like(curvature), where=bent)
    onward = np.where(bent, np.sin(turned) * radius, pieces.half[piece] * (2 * share - 1))
    # (cos turn - cos turned) / curvature without losing digits on arcs that hardly bend.
    aside = 2 * np.sin((turned + turn) / 2) * np.sin((turned - turn) / 2) * radius
    along = pieces.along[piece]
    return pieces.middles[piece] + onward[:, None] * along + aside[:, None] * left(along), part


def chord_counts(turns: Floats, curvatures: Floats, tolerance: float) -> Indices:
    """Into how many chords (n,) arcs of such turns (n,) and curvatures (n,) go within `tolerance` mm; lines into 1.

    A chord of an arc with the radius r that turns by 2 a strays by r (1 - cos a) = 2 r sin^2(a / 2).
    """
    step = 4 * np.arcsin(np.sqrt(np.minimum(tolerance * np.abs(curvatures) / 2, 0.5)))
    counts = np.ceil(np.divide(np.abs(turns), step, out=np.ones_like(turns), where=step > 0))
    return np.asarray(np.maximum(counts, 1), dtype=np.intp)
