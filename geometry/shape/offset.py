"""Parallel curves of lines and arcs, made of true lines and arcs, and corners rounded by true arcs."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.shape.biarc import cubic_to_arcs, without_specks
from geometry.shape.close import cross, dot, left
from geometry.shape.contour import Contour
from geometry.shape.crossing import circles_meet, meetings, pairs_that_may_meet
from geometry.shape.pieces import Pieces, arrays, pieces_of, pieces_through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Piece, Segment
from geometry.shape.tolerance import ARCS, PRINT, SAME

_ROUNDING = SAME / 1000  # how much nearer than it should be rounding may bring a place


def parallel(contour: Contour, distance: float, tolerance: float = _ROUNDING) -> tuple[Contour, ...]:
    """The curves at `distance` mm to the left of a contour of lines and arcs, to the right when negative.

    Corners are rounded by true arcs. Whatever comes nearer to the contour than the distance less `tolerance`
    mm is cut off at exact crossings; so the result may be several curves, or none. The edge of a region keeps
    the sense of its run. The ends of an open contour get no caps.
    """
    if abs(distance) <= SAME:
        return (contour,)
    parts = _cut(raw_parallel(pieces_of(contour), distance))
    kept = _far_enough(parts, contour, abs(distance) - tolerance)
    chains = (_contour(chain, closed=contour.closed) for chain in _chained(kept))
    return tuple(chain for chain in chains if chain is not None)


def raw_parallel(curve: Pieces, distance: float) -> Pieces:
    """Every piece moved `distance` mm to the left, in order, joined by arcs around the corners.

    Nothing is cut off: at hollow corners and bends tighter than the distance the curve runs through itself.
    """
    long = curve.lengths > SAME
    curve = curve if long.all() else curve.chosen(long)
    every = np.arange(len(curve.half))
    leaving, arriving = (curve.directions(at, every) for at in (curve.starts, curve.ends))
    starts, ends = curve.starts + distance * left(leaving), curve.ends + distance * left(arriving)
    following = np.roll(leaving, -1, axis=0)
    turns = np.arctan2(cross(arriving, following), dot(arriving, following))
    corner = np.abs(turns * distance) > SAME / 10
    corner[-1:] &= curve.closed
    # Each arc around a corner comes after the piece that arrives there.
    after = np.flatnonzero(corner) + 1
    starts, ends, bulges = (
        np.insert(pieces, after, arcs[corner], axis=0)
        for pieces, arcs in (
            (starts, ends), (ends, np.roll(starts, -1, axis=0)), (curve.bulges, np.tan(turns / 4)),
        )
    )  # fmt: skip
    starts[1:] = ends[:-1]
    raw = pieces_through(starts, ends, bulges, closed=curve.closed)
    return raw if (raw.lengths > SAME).all() else arrays(without_specks(raw), closed=curve.closed)


def beside(piece: Piece, distance: float) -> Piece:
    """The piece moved to the left; an arc tighter than the distance comes out beyond its centre."""
    return raw_parallel(arrays([piece], closed=False), distance).piece(0)


def _cut(raw: Pieces) -> list[Piece]:
    """The raw pieces cut wherever they meet each other, in order."""
    whole, places = tuple(raw), defaultdict[int, list[Point]](list)
    for i, j in pairs_that_may_meet(raw) if whole else ():
        for place in meetings(whole[i], whole[j]):
            places[i].append(place)
            places[j].append(place)
    return [part for index, piece in enumerate(whole) for part in _parts(piece, places[index])]


def _parts(piece: Piece, places: list[Point]) -> list[Piece]:
    """The parts of a piece between places next to it."""
    # Each piece is cut on itself: a place it shares within SAME would tilt it.
    feet = sorted((piece.nearest(place) for place in places), key=lambda foot: foot.t)
    shares = [(foot.t, foot.point) for foot in feet]
    stops = [(0.0, piece.start), *shares, (1.0, piece.end)]
    ends = piece.start, piece.end
    inner = [stop for stop in stops[1:-1] if all(stop[1].distance(end) > SAME for end in ends)]
    parts = []
    for (before, start), (after, end) in pairwise([stops[0], *inner, stops[-1]]):
        if start.distance(end) > SAME or after - before > 0.5:
            parts.append(_part(piece, start, end, after - before))
    return parts


def _part(piece: Piece, start: Point, end: Point, share: float) -> Piece:
    """The part of a piece between two places on it that make up a share of its turn."""
    if isinstance(piece, Line):
        return Line(start, end)
    return Arc(start, end, float(np.tan(np.arctan(piece.bulge) * share)))


def _far_enough(parts: list[Piece], contour: Contour, least: float) -> list[Piece]:
    """The parts that keep the distance all along: none crosses anything, so three places decide."""
    if not parts:
        return []
    shares = (0.25, 0.5, 0.75)
    places = [part.point_at(share) for part in parts for share in shares]
    distance, _ = pieces_of(contour).distance([(place.x, place.y) for place in places])
    far = distance.reshape(-1, len(shares)).min(axis=1) >= least
    return [parts[index] for index in np.flatnonzero(far).tolist()]


def _chained(parts: list[Piece]) -> list[list[Piece]]:
    """The parts linked end to start; each chain ends where it comes back to its start or nothing follows."""
    following = _successors(parts)
    led_to = {index for successors in following for index in successors}
    rest = set(range(len(parts)))
    chains = []
    for first in [*sorted(rest - led_to), *sorted(led_to)]:
        if first not in rest:
            continue
        rest.discard(first)
        chain = [first]
        while first not in following[chain[-1]]:
            ahead = [index for index in following[chain[-1]] if index in rest]
            if not ahead:
                break
            # The furthest ahead leaves out what rounding left between a crossing and a corner.
            chain.append(max(ahead, key=lambda index: (index - chain[-1]) % len(parts)))
            rest.discard(chain[-1])
        chains.append([parts[index] for index in chain])
    return chains


def _successors(parts: list[Piece]) -> list[list[int]]:
    """For every part the parts that start where it ends."""
    starts = np.array([(part.start.x, part.start.y) for part in parts]).reshape(-1, 2)
    ends = np.array([(part.end.x, part.end.y) for part in parts]).reshape(-1, 2)
    gap = np.abs(ends[:, None, :] - starts[None, :, :]).max(axis=2)
    return [np.flatnonzero(row <= 2 * SAME).tolist() for row in gap]


def _contour(chain: list[Piece], *, closed: bool) -> Contour | None:
    """The chain as a contour; nothing when it is a leftover of rounding, not longer or wider than PRINT."""
    pieces = without_specks(chain)
    length = sum(piece.length for piece in pieces)
    if length <= PRINT:
        return None
    if not closed:
        return Contour(tuple(pieces))
    pieces[-1] = replace(pieces[-1], end=pieces[0].start)
    loop = Contour(tuple(pieces), closed=True)
    return loop if abs(loop.area()) > PRINT * length / 2 else None


# Corners rounded by an arc that is tangent to both sides


class _Tangency(msgspec.Struct, frozen=True, gc=False):
    """Where a rounding leaves the segment before and meets the segment after, and its centre."""

    before: float
    after: float
    centre: Point


def round_corner(contour: Contour, node_index: int, radius: float) -> Contour:
    """The contour with one node, counted as in `points`, replaced by a tangent arc of `radius` mm.

    The two segments at the node are shortened and keep their kind; one that is used up is dropped. Raises
    ValueError when the node is no corner or the arc does not fit on the two segments.
    """
    if not radius > SAME:
        message = f"A corner radius must be more than zero, not {radius:g} mm."
        raise ValueError(message)
    if len(contour.segments) == 1 and contour.closed:
        contour = Contour(contour.segments[0].split(0.5), closed=True)
    count = len(contour.segments)
    if not contour.closed and not 0 < node_index < count:
        message = "The end of an open curve is no corner."
        raise ValueError(message)
    before, after = contour.segments[node_index - 1], contour.segments[node_index % count]
    rounding = _rounding(before, after, radius)
    if node_index % count == 0:
        return Contour(_kept(rounding[2], *contour.segments[1:-1], *rounding[:2]), closed=True)
    head, tail = contour.segments[: node_index - 1], contour.segments[node_index + 1 :]
    return Contour(_kept(*head, *rounding, *tail), contour.closed)


def _kept(*segments: Segment) -> tuple[Segment, ...]:
    """The segments that are longer than SAME."""
    return tuple(segment for segment in segments if segment.length > SAME)


def _rounding(before: Segment, after: Segment, radius: float) -> tuple[Segment, Arc, Segment]:
    """What is left of two segments, and the arc between them."""
    arriving, leaving = before.tangent_at(1.0), after.tangent_at(0.0)
    turn = math.atan2(arriving.cross(leaving), arriving.dot(leaving))
    if abs(turn) < SAME:
        message = "The curve is smooth here: there is no corner to round."
        raise ValueError(message)
    reach = math.copysign(radius, turn)
    tangency = _exact(before, after, reach) or _near(before, after, reach)
    if tangency is None:
        message = f"A radius of {radius:g} mm does not fit between the two sides of this corner."
        raise ValueError(message)
    first, second = before.split(tangency.before)[0], after.split(tangency.after)[1]
    start, end = first.end - tangency.centre, second.start - tangency.centre
    # The rounding nearest to the corner turns at most half round.
    sweep = math.copysign(math.atan2(abs(start.cross(end)), start.dot(end)), turn)
    return first, Arc(first.end, second.start, math.tan(sweep / 4)), second


def _exact(before: Segment, after: Segment, reach: float) -> _Tangency | None:
    """Where an arc of radius `reach`, to the left when positive, touches two lines or arcs."""
    if isinstance(before, Cubic) or isinstance(after, Cubic):
        return None
    return _nearest_to_corner(before, after, _centres(before, after, reach))


def _near(before: Segment, after: Segment, reach: float) -> _Tangency | None:
    """The same where a cubic is involved: found on its arcs, then on itself."""
    pairs = ((a, b) for a in _pieces(before) for b in _pieces(after))
    centres = [centre for a, b in pairs for centre in _centres(a, b, reach)]
    guess = _nearest_to_corner(before, after, centres)
    return guess and _refined(before, after, reach, guess)


def _pieces(segment: Segment) -> tuple[Piece, ...]:
    """The segment as lines and arcs."""
    return cubic_to_arcs(segment, ARCS) if isinstance(segment, Cubic) else (segment,)


def _centres(before: Piece, after: Piece, reach: float) -> list[Point]:
    """The places that have the distance `reach` to the left of both pieces."""
    found = circles_meet(beside(before, reach), beside(after, reach))
    return [centre for centre in found if _touches(before, centre, reach) and _touches(after, centre, reach)]


def _touches(piece: Piece, centre: Point, reach: float) -> bool:
    """Whether a circle around the centre is tangent to the piece, and no part of the piece is inside it."""
    foot = piece.nearest(centre)
    along = piece.tangent_at(foot.t)
    return (
        abs(along.cross(centre - foot.point) - reach) <= SAME and abs(along.dot(centre - foot.point)) <= SAME
    )


def _nearest_to_corner(before: Segment, after: Segment, centres: list[Point]) -> _Tangency | None:
    """The rounding nearest to the corner, of those around the centres."""
    if not centres:
        return None
    centre = min(centres, key=before.end.distance)
    return _Tangency(before.nearest(centre).t, after.nearest(centre).t, centre)


def _refined(before: Segment, after: Segment, reach: float, guess: _Tangency) -> _Tangency | None:
    """The guess after Newton steps on both parameters; nothing when the centres do not meet."""
    t, u = guess.before, guess.after
    for _ in range(20):
        centre = _inward(before, t, reach)
        miss = _inward(after, u, reach) - centre
        drift, other = _drift(before, t, reach), _drift(after, u, reach)
        turn = drift.cross(other)
        if miss.length <= SAME / 1000 or turn == 0:
            break
        t = min(1.0, max(0.0, t + miss.cross(other) / turn))
        u = min(1.0, max(0.0, u + miss.cross(drift) / turn))
    return _Tangency(t, u, centre) if miss.length <= SAME / 1000 else None


def _inward(segment: Segment, t: float, reach: float) -> Point:
    """The place at the distance `reach` to the left of a place of the segment."""
    return segment.point_at(t) + segment.tangent_at(t).left * reach


def _drift(segment: Segment, t: float, reach: float) -> Vector:
    """How fast that place moves with the parameter, by a central difference inside the segment."""
    low, high = max(0.0, t - 1e-6), min(1.0, t + 1e-6)
    return (_inward(segment, high, reach) - _inward(segment, low, reach)) / (high - low)
