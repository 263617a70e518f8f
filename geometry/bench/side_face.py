"""The face of a block that follows one side of a head: what can be pushed on from the side, and cut.

All here is about the right side of the head as its face shows it; the left side is the mirror image of a right one.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise

import msgspec

from geometry.bench.sections import cut_at, stretch, x_at
from geometry.shape.contour import Contour
from geometry.shape.crossing import meetings
from geometry.shape.offset import parallel
from geometry.shape.pieces import pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Line, Piece
from geometry.shape.tolerance import SAME

# Directions from the centre of an arc in which it runs level or slants by 45°.
_SLANTS = tuple(number * math.pi / 4 for number in (1, 2, 3, 5, 6, 7))
_STEP = 0.1


class _Part(msgspec.Struct, frozen=True):
    """A piece that rises all the way; `side` tells whether it leans less than 45° from the centre line."""

    piece: Piece
    side: bool

    @property
    def low(self) -> float:
        return self.piece.start.y

    @property
    def high(self) -> float:
        return self.piece.end.y


class _Span(msgspec.Struct, frozen=True):
    """The stretch of a part that is seen from the right, by its heights."""

    part: _Part
    low: float
    high: float


def side_face(edge: Contour, gap: float, cutter: float, lowest: float) -> Contour | None:
    """The face `gap` mm off the right side of an edge of lines and arcs, from below upwards; None without a side.

    It begins at y = `lowest` or above it, and ends where the edge has turned by more than 45° towards the tip. Where
    the head is undercut, the face goes straight up to the next place that it can touch. Corners tighter than the
    `cutter` (its diameter in mm) are opened by its circle, so that it never leaves wood that the head would meet.
    """
    parts = [part for curve in parallel(edge, -gap) for part in _rising(curve.segments)]
    plain = _seen(parts, [])
    sides = [span for span in plain if span.part.side and span.high > lowest + SAME]
    if not sides:
        return None
    low, high = max(lowest, sides[0].low), sides[-1].high
    discs = list(_rising(_half(disc) for disc in _relief(edge, gap, cutter / 2)))
    spans = _clipped(_seen(parts, discs), low, high)
    return _joined(_between(span.part.piece, span.low, span.high) for span in spans)


# Rising parts


def _rising(pieces: Iterable[object]) -> Iterator[_Part]:
    """The parts of pieces that rise, cut where they begin to lean more than 45°, or to fall."""
    for piece in pieces:
        assert isinstance(piece, Line | Arc), "make cubics arcs first"
        for part in cut_at(piece, _SLANTS):
            if part.end.y - part.start.y > SAME:
                way = part.tangent_at(0.5)
                yield _Part(part, side=abs(way.x) <= way.y)


def _between(piece: Piece, low: float, high: float) -> Piece:
    """The part of a rising piece between two heights."""
    return stretch(piece, _share(piece, low), _share(piece, high))


def _share(piece: Piece, y: float) -> float:
    """Where a rising piece reaches the height `y`."""
    if y <= piece.start.y:
        return 0.0
    if y >= piece.end.y:
        return 1.0
    if isinstance(piece, Line):
        return (y - piece.start.y) / (piece.end.y - piece.start.y)
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if piece.point_at(middle).y < y else (low, middle)
    return (low + high) / 2


# What is seen from the right


def _seen(parts: Sequence[_Part], discs: Sequence[_Part]) -> list[_Span]:
    """The stretches of parts and discs that lie outermost, from below upwards; only discs cross anything."""
    every = [*parts, *discs]
    spans: list[_Span] = []
    coming, here = sorted(every, key=lambda part: part.low, reverse=True), list[_Part]()
    order = {id(part): place for place, part in enumerate(every)}
    for low, high in pairwise(_heights(every, discs)):
        middle = (low + high) / 2
        while coming and coming[-1].low < middle:
            here.append(coming.pop())
        here = [part for part in here if part.high > middle]
        there = sorted(here, key=lambda part: order[id(part)])
        if not there:
            continue
        outermost = there[0] if len(there) == 1 else max(there, key=lambda part: x_at(part.piece, middle))
        if spans and spans[-1].part is outermost:
            spans[-1] = _Span(outermost, spans[-1].low, high)
        else:
            spans.append(_Span(outermost, low, high))
    return spans


def _heights(every: Sequence[_Part], discs: Sequence[_Part]) -> list[float]:
    """All heights at which the order of the parts may change."""
    found = {height for part in every for height in (part.low, part.high)}
    for disc in discs:
        near = (part for part in every if part is not disc and part.low < disc.high and disc.low < part.high)
        found |= {place.y for part in near for place in meetings(disc.piece, part.piece)}
    heights: list[float] = []
    for height in sorted(found):
        if not heights or height - heights[-1] > SAME / 10:
            heights.append(height)
    return heights


def _clipped(spans: Iterable[_Span], low: float, high: float) -> Iterator[_Span]:
    for span in spans:
        bottom, top = max(span.low, low), min(span.high, high)
        if top - bottom > SAME:
            yield _Span(span.part, bottom, top)


def _joined(pieces: Iterable[Piece]) -> Contour:
    """The pieces end to end, with straight steps where one ends off the next."""
    chain: list[Piece] = []
    for piece in pieces:
        if chain and chain[-1].end.distance(piece.start) > SAME:
            chain.append(Line(chain[-1].end, piece.start))
        chain.append(piece)
    return Contour(tuple(chain))


# Room for the cutter


def _relief(edge: Contour, gap: float, radius: float) -> Iterator[Circle]:
    """Circles of a cutter that open each corner and each bend of an edge that are tighter than it."""
    if radius <= gap + SAME:
        return
    for segment in edge.segments:
        if isinstance(segment, Arc) and segment.bulge > 0 and segment.radius + gap < radius - SAME:
            middle = segment.tangent_at(0.5).right
            yield Circle(segment.centre + middle * (segment.radius + gap - radius), radius)
    for before, after in pairwise(edge.segments):
        arriving, leaving = before.tangent_at(1.0), after.tangent_at(0.0)
        if arriving.cross(leaving) > SAME:
            outward = (arriving + leaving).right.unit()
            yield Circle(after.start + outward * (gap - radius), radius)


def _half(disc: Circle) -> Arc:
    """The right half of a circle, rising."""
    up = Vector(0.0, disc.radius)
    return Arc(disc.centre - up, disc.centre + up, 1.0)


# How far it stands off


class StandOff(msgspec.Struct, frozen=True, gc=False):
    """Heights between which a face stands further off than its gap, and the most it does, from the edge, in mm."""

    low: float
    high: float
    most: float


def stands_off(face: Contour, edge: Contour, gap: float, tolerance: float) -> tuple[StandOff, ...]:
    """Where a face lies more than the `gap` and the `tolerance` (mm) from the edge, from below upwards."""
    places = list(dense(face))
    distances, _ = pieces_of(edge).distance([(place.x, place.y) for place in places])
    found: list[StandOff] = []
    open_before = False
    for place, distance in zip(places, distances.tolist(), strict=True):
        far = distance > gap + tolerance
        if far and open_before:
            last = found[-1]
            found[-1] = StandOff(last.low, max(place.y, last.high), max(last.most, distance))
        elif far:
            found.append(StandOff(place.y, place.y, distance))
        open_before = far
    return tuple(found)


def dense(contour: Contour) -> Iterator[Point]:
    """Places along a contour, 0.1 mm apart at most."""
    for segment in contour.segments:
        count = max(1, math.ceil(segment.length / _STEP))
        yield from (segment.point_at(step / count) for step in range(count + 1))
