"""The line at an inset from one side of the edge, run from the nut to the tip."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from geometry.layout.edge import Edge
from geometry.shape.contour import Contour
from geometry.shape.crossing import meetings
from geometry.shape.offset import raw_parallel
from geometry.shape.pieces import Pieces, pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Line, Piece
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import SentenceError

FAR = 5000.0
"""Longer in mm than any head."""


class RuleError(SentenceError):
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
        self.side = _side(edge.contour, sign, inset)
        self.reached = 0

    def at_height(self, y: float) -> Point:
        """The first place at height `y`; RuleError when there is none."""
        side = self.side
        near = np.flatnonzero(np.abs(side.tops[:, 1] - y) <= side.size + SAME)
        probe = Line(Point(-FAR, y), Point(FAR, y))
        for number in near.tolist():
            for point in _in_order(side.piece(number), (probe,)):
                if self._counts(point):
                    self.reached = number
                    return point
        what = "has no place {0} from the edge at {1} from the nut"
        raise self._error(what, self.inset, y)

    def go_on_beside(self, place: Point) -> None:
        """Begin where the track passes a place that lies on another one."""
        _, _, numbers = self.side.nearest([(place.x, place.y)])
        self.reached = int(numbers[0])

    def at_pitch(self, previous: Point, pitch: float) -> Point:
        """The next place a straight `pitch` from `previous`, further along; RuleError when the side ends before."""
        side = self.side
        apart = np.hypot(side.tops[:, 0] - previous.x, side.tops[:, 1] - previous.y)
        near = np.flatnonzero(np.abs(apart - pitch) <= side.size + SAME)
        for number in near[near >= self.reached].tolist():
            for point in side.at_distance(previous, pitch, number):
                # What turns back at the tip is no row any more.
                if point.y > previous.y and self._counts(point):
                    self.reached = number
                    return point
        what = "ends before a place {0} on, {1} from the edge"
        raise self._error(what, pitch, self.inset)

    def _counts(self, point: Point) -> bool:
        return not self.careful or self.edge.contour.nearest(point).distance >= self.inset - SAME

    def _error(self, what: str, *lengths: float) -> RuleError:
        return RuleError(f"The {'right' if self.sign > 0 else 'left'} side of the head {what}.", lengths)


@lru_cache(maxsize=32)
def _side(edge: Contour, sign: int, inset: float) -> Pieces:
    """The untrimmed parallel curve of an edge, from the nut end where x has `sign` to the tip."""
    pieces = pieces_of(edge)
    tip = int(np.argmax(np.maximum(pieces.starts[:, 1], pieces.ends[:, 1])))
    # The tip lies on the piece with the highest end or on a neighbour of it.
    half = pieces.chosen(slice(tip + 2) if sign > 0 else slice(max(0, tip - 1), None))
    return raw_parallel(half if sign > 0 else half.reversed(), inset * sign)


def _in_order(piece: Piece, probes: tuple[Piece, ...]) -> list[Point]:
    """Where a piece meets the probes, in the order of the run."""
    found = [point for probe in probes for point in meetings(piece, probe)]
    return sorted(found, key=lambda point: piece.nearest(point).t)
