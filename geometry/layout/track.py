"""The line at an inset from one side of the edge, travelled from the nut to the tip."""

from __future__ import annotations

from functools import lru_cache

from geometry.layout.edge import Edge
from geometry.shape.contour import Contour
from geometry.shape.crossing import meetings
from geometry.shape.offset import raw_parallel
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Line, Piece
from geometry.shape.tolerance import SAME

FAR = 5000.0
"""Longer in mm than any head."""


class RuleError(ValueError):
    """A row that its rule cannot place on this head; the message is a sentence for the maker."""


class Track:
    """Places at `inset` from the side of an edge where x has `sign`.

    The parallel curve is walked untrimmed. A careful track takes a place only when no other part of the edge is nearer;
    otherwise the caller looks at the distances of all its places at once, which is quicker.
    """

    def __init__(self, edge: Edge, sign: int, inset: float, *, careful: bool) -> None:
        """Start at the nut."""
        self.edge = edge
        self.inset = inset
        self.sign = sign
        self.careful = careful
        self.pieces = _track(edge.contour, sign, inset)
        self.reached = 0

    def at_height(self, y: float) -> Point:
        """The first place at height `y`; RuleError when there is none."""
        probe = Line(Point(-FAR, y), Point(FAR, y))
        for number, piece in enumerate(self.pieces):
            if abs((piece.start.y + piece.end.y) / 2 - y) > piece.length / 2 + SAME:
                continue
            for point in _in_order(piece, (probe,)):
                if self._counts(point):
                    self.reached = number
                    return point
        msg = f"has no place {self.inset:.1f} mm from the edge at {y:.1f} mm from the nut"
        raise self._error(msg)

    def at_pitch(self, previous: Point, pitch: float) -> Point:
        """The next place a straight `pitch` from `previous`, further along; RuleError when the side ends before."""
        across = Vector(pitch, 0.0)
        circle = (
            Arc(previous + across, previous - across, 1.0),
            Arc(previous - across, previous + across, 1.0),
        )
        for number in range(self.reached, len(self.pieces)):
            piece = self.pieces[number]
            if not _may_reach(piece, previous, pitch):
                continue
            for point in _in_order(piece, circle):
                if (number > self.reached or point.y > previous.y) and self._counts(point):
                    self.reached = number
                    return point
        msg = f"ends before a place {pitch:.1f} mm on, {self.inset:.1f} mm from the edge"
        raise self._error(msg)

    def _counts(self, point: Point) -> bool:
        return not self.careful or self.edge.contour.nearest(point).distance >= self.inset - SAME

    def _error(self, what: str) -> RuleError:
        return RuleError(f"The {'right' if self.sign > 0 else 'left'} side of the head {what}.")


@lru_cache(maxsize=32)
def _track(edge: Contour, sign: int, inset: float) -> tuple[Piece, ...]:
    """The untrimmed parallel curve of an edge, from the nut end where x has `sign`."""
    return raw_parallel(edge if sign > 0 else edge.reversed(), inset * sign)


def _may_reach(piece: Piece, centre: Point, radius: float) -> bool:
    """Whether a piece can have a point at `radius`: its ends are at most half its length from any of its points."""
    ends = (piece.start.distance(centre), piece.end.distance(centre))
    return min(ends) - piece.length <= radius + SAME and max(ends) + piece.length >= radius - SAME


def _in_order(piece: Piece, probes: tuple[Piece, ...]) -> list[Point]:
    """Where a piece meets the probes, in the order of travel."""
    found = [point for probe in probes for point in meetings(piece, probe)]
    return sorted(found, key=lambda point: piece.nearest(point).t)
