"""Sections square to the centre line: how wide, how thick, and how stiff against bending out of the face."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

import msgspec

from geometry.bench.hollows import Hollow, Span
from geometry.document.build import Build
from geometry.layout.parts import thickness_at, volute_at
from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Line, Piece
from geometry.shape.tolerance import SAME

LEVEL = (math.pi / 2, -math.pi / 2)
"""Directions (radians) from the centre of an arc in which it runs level: its highest and its lowest place."""


class Section(msgspec.Struct, frozen=True):
    """The wood at one height y; lengths in mm.

    `width` is that of the outline, `area` in mm2 and all else that of the wood that is left. `middle` is the depth of
    its centroid below the face, `inertia` in mm4 its second moment about the line across through the centroid, `fibre`
    the distance of the farthest wood from that line.
    """

    y: float
    width: float
    thickness: float
    area: float
    middle: float
    inertia: float
    fibre: float

    @property
    def net_width(self) -> float:
        """Width of a full section with as much wood, in mm."""
        return self.area / self.thickness

    @property
    def modulus(self) -> float:
        """Section modulus in mm3: the bending moment divided by it is the greatest bending stress."""
        return self.inertia / self.fibre if self.fibre > 0 else 0.0


def section(region: Contour, thickness: float, hollows: Iterable[Hollow], y: float) -> Section:
    """The section of a closed region of lines and arcs at height `y`, less the hollows."""
    wood = spans_at(region, y)
    blocks = list(_blocks(wood, thickness, hollows, y))
    area = sum(block.area for block in blocks)
    width = sum(right - left for left, right in wood)
    if area <= SAME * SAME:
        return Section(y, width, thickness, 0.0, thickness / 2, 0.0, 0.0)
    middle = sum(block.area * block.middle for block in blocks) / area
    inertia = sum(block.inertia + block.area * (block.middle - middle) ** 2 for block in blocks)
    fibre = max(max(middle - block.top, block.bottom - middle) for block in blocks)
    return Section(y, width, thickness, area, middle, inertia, fibre)


# Thickness


def thickness_with_volute(build: Build, y: float, top: float) -> float:
    """Thickness in mm at height `y`, the volute counted; `top` is the y of the tip.

    Behind the nut line, at y below 0, it is the depth of the neck.
    """
    plain = thickness_at(build, y, top) if y >= 0 else build.head.neck_depth
    return plain + volute_at(build.head, y)


# Wood across a section


def spans_at(region: Contour, y: float) -> list[Span]:
    """From where to where along x a closed region of lines and arcs has wood at height `y`, from left to right."""
    places = _crossings(region, y)
    if len(places) % 2:
        # Nodes meet within SAME only; just above them the count is even again.
        places = _crossings(region, y + 4 * SAME)
    return list(zip(places[::2], places[1::2], strict=False))


def _crossings(region: Contour, y: float) -> list[float]:
    rising = _monotone(region)
    return sorted(x_at(piece, y) for low, high, piece in rising if low <= y < high)


@lru_cache(maxsize=16)
def _monotone(region: Contour) -> tuple[tuple[float, float, Piece], ...]:
    """The pieces of a region cut where they are level, each with its lowest and highest y."""
    parts: list[tuple[float, float, Piece]] = []
    for segment in region.segments:
        assert isinstance(segment, Line | Arc), "make cubics arcs first"
        parts += [
            (min(part.start.y, part.end.y), max(part.start.y, part.end.y), part)
            for part in cut_at(segment, LEVEL)
        ]
    return tuple(parts)


def cut_at(piece: Piece, angles: Iterable[float]) -> Iterator[Piece]:
    """A line as it is, an arc cut at the places that lie in these directions (radians) from its centre."""
    if isinstance(piece, Line) or piece.is_straight:
        yield piece.line if isinstance(piece, Arc) else piece
        return
    shares = {0.0, *(share for share in piece.shares_at(angles) if share < 1), 1.0}
    for low, high in pairwise(sorted(shares)):
        yield stretch(piece, low, high)


def stretch(piece: Piece, low: float, high: float) -> Piece:
    """The part of a piece between two shares of it."""
    start, end = piece.point_at(low), piece.point_at(high)
    if isinstance(piece, Line):
        return Line(start, end)
    return Arc(start, end, math.tan(math.atan(piece.bulge) * (high - low)))


def x_at(piece: Piece, y: float) -> float:
    """Where a piece that rises or falls all the way reaches a height between its ends."""
    if isinstance(piece, Line) or abs(piece.bulge) * piece.start.distance(piece.end) < SAME:
        share = (y - piece.start.y) / (piece.end.y - piece.start.y)
        return piece.start.x + (piece.end.x - piece.start.x) * share
    half = math.sqrt(max(0.0, piece.radius**2 - (y - piece.centre.y) ** 2))
    return piece.centre.x + math.copysign(half, piece.point_at(0.5).x - piece.centre.x)


# Wood that is left


class _Block(msgspec.Struct, frozen=True, gc=False):
    """A rectangle of wood in a section, by its width and its depths below the face."""

    width: float
    top: float
    bottom: float

    @property
    def area(self) -> float:
        return self.width * (self.bottom - self.top)

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2

    @property
    def inertia(self) -> float:
        """Second moment in mm4 about its own middle."""
        return self.width * (self.bottom - self.top) ** 3 / 12


def _blocks(wood: Sequence[Span], thickness: float, hollows: Iterable[Hollow], y: float) -> Iterator[_Block]:
    """The wood of a section as rectangles: columns between all ends of wood and hollows."""
    cut = [(span, hollow.levels(thickness)) for hollow in hollows for span in hollow.spans(y)]
    for left, right in wood:
        ends = {left, right, *(end for span, _ in cut for end in span if left < end < right)}
        for low, high in pairwise(sorted(ends)):
            middle = (low + high) / 2
            gone = [levels for span, levels in cut if span[0] < middle < span[1]]
            yield from (_Block(high - low, top, bottom) for top, bottom in _left_over(gone, thickness))


def _left_over(gone: Iterable[Span], thickness: float) -> Iterator[Span]:
    """The depths between face and back that none of these spans takes away."""
    top = 0.0
    for start, end in sorted(gone):
        if start > top:
            yield top, start
        top = max(top, end)
    if top < thickness:
        yield top, thickness
