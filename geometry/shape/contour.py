"""Curves made of segments, open or closed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from itertools import groupby, pairwise

import msgspec

from geometry.shape.bounds import Bounds
from geometry.shape.crossing import self_meetings
from geometry.shape.pieces import pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Cubic, Line, Segment
from geometry.shape.tolerance import SAME


class NearestOnContour(msgspec.Struct, frozen=True, gc=False):
    """The place of a contour nearest to a point: segment, parameter on it, the place, the distance in mm."""

    index: int
    t: float
    point: Point
    distance: float


class Contour(msgspec.Struct, frozen=True, cache_hash=True, forbid_unknown_fields=True):
    """Segments end to end, at least one; a closed contour ends where it starts.

    Neighbours that do not meet within SAME are a programming error.
    """

    segments: tuple[Segment, ...]
    closed: bool = False

    def __post_init__(self) -> None:
        assert self.segments, "a contour needs a segment"
        for before, after in pairwise(self.segments):
            assert before.end.distance(after.start) <= SAME, "the segments of a contour meet"
        assert not self.closed or self.end.distance(self.start) <= SAME, "a closed contour ends at its start"

    @property
    def start(self) -> Point:
        """Where the contour starts."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where the contour ends."""
        return self.segments[-1].end

    @property
    def points(self) -> tuple[Point, ...]:
        """The nodes in order; the start of a closed contour is not repeated."""
        starts = tuple(segment.start for segment in self.segments)
        return starts if self.closed else (*starts, self.end)

    @property
    def length(self) -> float:
        """Length in mm."""
        return sum(segment.length for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the contour."""
        return reduce(Bounds.joined, (segment.bounds for segment in self.segments))

    @property
    def has_cubics(self) -> bool:
        """Whether a segment is a cubic."""
        return any(isinstance(segment, Cubic) for segment in self.segments)

    def area(self) -> float:
        """Exact area in mm2, negative when the closed contour runs clockwise."""
        assert self.closed, "an open contour has no area"
        return sum(segment.swept_area for segment in self.segments)

    def nearest(self, point: Point) -> NearestOnContour:
        """The place of the contour nearest to `point`; the first of several."""
        if not self.has_cubics:
            _, _, indices = pieces_of(self).nearest([(point.x, point.y)])
            return self._on_segment(int(indices[0]), point)
        found = (self._on_segment(index, point) for index in range(len(self.segments)))
        return min(found, key=lambda each: each.distance)

    def _on_segment(self, index: int, point: Point) -> NearestOnContour:
        """The place of one segment nearest to `point`."""
        nearest = self.segments[index].nearest(point)
        return NearestOnContour(index, nearest.t, nearest.point, nearest.distance)

    def flatten(self, tolerance: float) -> list[Point]:
        """Points in order whose chords stray at most `tolerance` mm; closed: the start comes again last."""
        points = [self.start]
        for segment in self.segments:
            points += segment.flatten(tolerance)[1:]
        return points

    def reversed(self) -> Contour:
        """The same curve run backwards."""
        return Contour(tuple(segment.reversed() for segment in reversed(self.segments)), self.closed)

    def mirrored(self) -> Contour:
        """The mirror image in the y axis, run from the image of the start."""
        return Contour(tuple(segment.mirrored() for segment in self.segments), self.closed)

    def moved(self, step: Vector) -> Contour:
        """The contour displaced by `step`."""
        return Contour(tuple(segment.moved(step) for segment in self.segments), self.closed)

    def split(self, index: int, t: float) -> tuple[Contour, ...]:
        """The contour cut at parameter `t` of a segment.

        An open contour gives the two parts, one when the cut falls on its end; a closed one gives one open
        contour that starts and ends at the cut.
        """
        before = self.segments[:index] + _parts(self.segments[index], t)[0]
        after = _parts(self.segments[index], t)[1] + self.segments[index + 1 :]
        if self.closed:
            return (Contour(after + before),)
        return tuple(Contour(part) for part in (before, after) if part)

    def point_at_length(self, along: float) -> Point:
        """The place `along` mm from the start; before the start and past the end it is that end."""
        index, t = self.at_length(along)
        return self.segments[index].point_at(t)

    def at_length(self, along: float) -> tuple[int, float]:
        """Segment and parameter of the place `along` mm from the start, kept to the contour."""
        rest = max(0.0, along)
        for index, segment in enumerate(self.segments):
            length = segment.length
            if rest < length:
                return index, _share_at_length(segment, rest, length)
            rest -= length
        return len(self.segments) - 1, 1.0

    def closed_by_line(self) -> Contour:
        """The open contour closed by a straight line from its end to its start, if those differ."""
        assert not self.closed, "the contour is closed already"
        if self.end.distance(self.start) <= SAME:
            return Contour(self.segments, closed=True)
        return Contour((*self.segments, Line(self.end, self.start)), closed=True)

    def self_crossings(self, most: int | None = None) -> tuple[Point, ...]:
        """Places where a contour of lines and arcs crosses or touches itself, in the order of its segments.

        The shared node of two neighbours is none; where pieces run on each other, both ends of the shared
        part are. The search ends when `most` of them are found. Cubics are a programming error: make them arcs first.
        """
        assert not self.has_cubics, "crossings are exact for lines and arcs only"
        return self_meetings(self, most)


def through(points: Sequence[Point], *, closed: bool = False) -> Contour:
    """The polyline through the points, repeated ones counted once; closed: back to the first."""
    nodes = [*points, points[0]] if closed else list(points)
    lines = [Line(a, b) for a, b in pairwise(node for node, _ in groupby(nodes))]
    assert lines, "a polyline needs two different points"
    return Contour(tuple(lines), closed)


def rectangle(bounds: Bounds) -> Contour:
    """The upright rectangle as a closed contour, counter-clockwise from its lower left corner."""
    left, right = Point(bounds.left, bounds.bottom), Point(bounds.right, bounds.bottom)
    top = Point(bounds.right, bounds.top), Point(bounds.left, bounds.top)
    return through((left, right, *top), closed=True)


def _parts(segment: Segment, t: float) -> tuple[tuple[Segment, ...], tuple[Segment, ...]]:
    """The parts of a segment before and after `t`; nothing where the cut is at an end."""
    if t <= 0:
        return (), (segment,)
    if t >= 1:
        return (segment,), ()
    before, after = segment.split(t)
    return (before,), (after,)


def _share_at_length(segment: Segment, along: float, length: float) -> float:
    """The parameter `along` mm from the start of a segment that is `length` mm long."""
    if not isinstance(segment, Cubic):
        return along / length
    low, high, t = 0.0, 1.0, along / length
    # Newton on the length, with bisection where a cusp or a short handle throws it out.
    for _ in range(60):
        error = segment.split(t)[0].length - along
        if abs(error) <= 1e-10 * length:
            break
        low, high = (low, t) if error > 0 else (t, high)
        speed = segment.derivative_at(t).length
        following = t - error / speed if speed > 0 else low
        t = following if low < following < high else (low + high) / 2
    return t
