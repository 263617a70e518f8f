"""Where lines and arcs meet, in closed form."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np

from geometry.shape.close import Flags, Floats, Indices, cross, dot, left
from geometry.shape.pieces import Pieces, pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Chain, Piece
from geometry.shape.tolerance import SAME

_AT_A_TIME = 64  # so many pieces are held against all others in one go

_LARGEST_RADIUS = 1e5
_ROUNDING = 1e-9
"""Circles up to this radius in mm are held against each other; the share of it that rounding may take."""


def meetings(a: Piece, b: Piece) -> tuple[Point, ...]:
    """Places where two pieces cross, touch or come within SAME at an end.

    Where they run on each other, both ends of the shared part are given.
    """
    found = [place for place in circles_meet(a, b) if _is_on(a, place) and _is_on(b, place)]
    found += [end for end in (a.start, a.end) if _is_on(b, end)]
    found += [end for end in (b.start, b.end) if _is_on(a, end)]
    return _apart(found)


def self_meetings(contour: Chain, most: int | None = None) -> tuple[Point, ...]:
    """Places where a contour of lines and arcs crosses or touches itself, in the order of its segments.

    The search ends when `most` of them are found.
    """
    segments = contour.segments
    found: list[Point] = []
    for i, j in pairs_that_may_meet(pieces_of(contour)):
        shared = _shared_nodes(contour, i, j)
        places = meetings(segments[i], segments[j])  # type: ignore[arg-type]
        for place in places:
            if all(place.distance(other) > 2 * SAME for other in (*shared, *found)):
                found.append(place)
        if most is not None and len(found) >= most:
            return tuple(found[:most])
    return tuple(found)


def pairs_that_may_meet(pieces: Pieces) -> Iterator[tuple[int, int]]:
    """Pairs of pieces of one curve, in order, that may meet elsewhere than at a shared node.

    They are looked for as they are asked for: whoever has enough of them leaves the rest of a long curve alone.
    """
    boxes, circles = pieces.bounds() + np.array([-SAME, -SAME, SAME, SAME]), _circles(pieces)
    one, other = _neighbours_that_return(pieces, boxes)
    for first in range(0, len(boxes), _AT_A_TIME):
        reached = np.triu(_pairs_that_overlap(boxes[first : first + _AT_A_TIME], boxes[first:]), 2)
        if pieces.closed and first == 0:
            reached[0, -1] = False
        i, j = np.nonzero(reached)
        reached[i, j] = _circles_that_meet(circles[first + i], circles[first + j])
        here = (first <= one) & (one < first + _AT_A_TIME)
        reached[one[here] - first, other[here] - first] = True
        i, j = np.nonzero(reached)
        yield from zip((first + i).tolist(), (first + j).tolist(), strict=True)


def _circles(pieces: Pieces) -> Floats:
    """Centres and radii (n, 3) of the circles of the pieces; NaN where there is none, or rounding would move it."""
    bent = np.abs(pieces.curvature) > 1 / _LARGEST_RADIUS
    radii = np.divide(1.0, np.abs(pieces.curvature), out=np.full_like(pieces.half, np.nan), where=bent)
    aside = pieces.cosine * np.sign(pieces.curvature) * radii
    return np.column_stack([pieces.middles + left(pieces.along) * aside[:, None], radii])


def _circles_that_meet(circles: Floats, others: Floats) -> Flags:
    """Which circles (n, 3) meet the other (n, 3) given with them; where one is not known they may."""
    apart = circles[:, :2] - others[:, :2]
    distance, one, two = np.hypot(apart[:, 0], apart[:, 1]), circles[:, 2], others[:, 2]
    spare = 2 * SAME + _ROUNDING * (one + two)
    return np.asarray(~((distance > one + two + spare) | (distance < np.abs(one - two) - spare)))


def _pairs_that_overlap(boxes: Floats, others: Floats) -> Flags:
    """Which rectangles (n, 4) overlap which others (m, 4), as (n, m)."""
    return np.asarray(
        (boxes[:, None, 0] <= others[None, :, 2])
        & (others[None, :, 0] <= boxes[:, None, 2])
        & (boxes[:, None, 1] <= others[None, :, 3])
        & (others[None, :, 1] <= boxes[:, None, 3])
    )


def _neighbours_that_return(pieces: Pieces, boxes: Floats) -> tuple[Indices, Indices]:
    """Neighbours (k,) and (k,) that may meet again after their shared node, or fold back on each other.

    Two circles through a node, with directions s and t and curvatures k and l there, meet again at
    2 (s x t) (k t - l s) / |k t - l s|^2 from it.
    """
    count = len(pieces.half)
    before: Indices = np.arange(count if pieces.closed else count - 1)
    after = (before + 1) % count
    nodes = pieces.starts[after]
    arriving, leaving = pieces.directions(nodes, before), pieces.directions(nodes, after)
    turn = cross(arriving, leaving)
    radical = pieces.curvature[before][:, None] * leaving - pieces.curvature[after][:, None] * arriving
    square = dot(radical, radical)
    step = radical * np.divide(2 * turn, square, out=np.zeros_like(turn), where=square > 0)[:, None]
    # What a kink of rounding cuts off is thinner than SAME: no crossing.
    meets = np.abs(turn) * np.hypot(step[:, 0], step[:, 1]) > 4 * SAME
    folds = dot(arriving, leaving) < SAME - 1
    chosen = (folds | (meets & _within(boxes, nodes + step, before, after))) & (before != after)
    return np.minimum(before, after)[chosen], np.maximum(before, after)[chosen]


def _within(boxes: Floats, places: Floats, before: Indices, after: Indices) -> Flags:
    """Which places (k, 2) lie in the rectangles of both pieces given with them."""
    lower = np.maximum(boxes[before, :2], boxes[after, :2])
    upper = np.minimum(boxes[before, 2:], boxes[after, 2:])
    return np.asarray(np.all((places >= lower) & (places <= upper), axis=1))


def _shared_nodes(contour: Chain, i: int, j: int) -> list[Point]:
    """The nodes that two segments i < j share as neighbours."""
    segments, shared = contour.segments, []
    if j == i + 1:
        shared.append(segments[j].start)
    if contour.closed and i == 0 and j == len(segments) - 1:
        shared.append(segments[0].start)
    return shared


def circles_meet(a: Piece, b: Piece) -> list[Point]:
    """Where the whole circles or straight lines through two pieces meet; where they come closest if not."""
    if abs(_curvature(b)) > abs(_curvature(a)):
        a, b = b, a
    origin, shift = a.start, a.start - b.start
    bend, other_bend = _curvature(a), _curvature(b)
    normal, other_normal = a.tangent_at(0).left, b.tangent_at(0).left
    if bend == 0:
        return _lines_meet(a, b)
    # Both circles are k |w|^2 = 2 n.w about the origin; their difference is the line through the meetings.
    gradient = other_normal * bend - normal * other_bend - shift * (bend * other_bend)
    constant = bend * other_normal.dot(shift) - bend * other_bend * shift.dot(shift) / 2
    size = gradient.length
    if size <= 1e-12 * abs(bend):
        return []
    closest = gradient * (-constant / size**2)
    along = gradient.left / size
    middle = -normal.dot(along)
    rest = bend * closest.dot(closest) - 2 * normal.dot(closest)
    root = math.sqrt(max(0.0, middle * middle - bend * rest))
    sum_ = -(middle + math.copysign(root, middle))
    shares = [sum_ / bend, rest / sum_ if sum_ else 0.0]
    return [origin + closest + along * share for share in shares]


def _lines_meet(a: Piece, b: Piece) -> list[Point]:
    """Where two straight pieces, prolonged, cross; nothing for parallel ones."""
    along, other, apart = a.end - a.start, b.end - b.start, b.start - a.start
    turn = along.cross(other)
    return [a.start + along * (apart.cross(other) / turn)] if turn else []


def _curvature(piece: Piece) -> float:
    """Signed curvature of a piece in 1/mm."""
    return piece.curvature if isinstance(piece, Arc) else 0.0


def _is_on(piece: Piece, place: Point) -> bool:
    """Whether the place lies on the piece within SAME."""
    return piece.nearest(place).distance <= SAME


def _apart(places: Iterable[Point]) -> tuple[Point, ...]:
    """The places without those that are the same as an earlier one."""
    kept: list[Point] = []
    for place in places:
        if all(place.distance(other) > 2 * SAME for other in kept):
            kept.append(place)
    return tuple(kept)
