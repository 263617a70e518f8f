"""Rounding a corner of a contour with an arc that is tangent to both sides."""

from __future__ import annotations

import math

import msgspec

from geometry.shape.biarc import cubic_to_arcs
from geometry.shape.contour import Contour
from geometry.shape.crossing import circles_meet
from geometry.shape.offset import beside
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Piece, Segment
from geometry.shape.tolerance import ARCS, SAME


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
