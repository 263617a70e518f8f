"""Straight pieces of a curve."""

from __future__ import annotations

import msgspec

from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point, Vector


class Nearest(msgspec.Struct, frozen=True, gc=False):
    """The place of a segment nearest to a point: parameter `t` in 0..1, the place, the distance in mm."""

    t: float
    point: Point
    distance: float


class Line(msgspec.Struct, frozen=True, tag="line", forbid_unknown_fields=True, gc=False):
    """The straight way from `start` to `end`."""

    start: Point
    end: Point

    @property
    def chord(self) -> Vector:
        """The displacement from start to end."""
        return self.end - self.start

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.start.distance(self.end)

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the line."""
        return bounds_of((self.start, self.end))

    @property
    def swept_area(self) -> float:
        """Signed area in mm2 between the origin and the line; summed round a loop it gives the area."""
        return (self.start.x * self.end.y - self.start.y * self.end.x) / 2

    def point_at(self, t: float) -> Point:
        """The place at the share `t` of the way; both ends are met exactly."""
        return self.end if t == 1 else self.start.toward(self.end, t)

    def tangent_at(self, t: float) -> Vector:  # noqa: ARG002
        """The unit direction of the run; +x for a line without length."""
        chord = self.chord
        return chord.unit() if chord.length > 0 else Vector(1.0, 0.0)

    def nearest(self, point: Point) -> Nearest:
        """The place of the line nearest to `point`."""
        chord = self.chord
        square = chord.dot(chord)
        t = (point - self.start).dot(chord) / square if square > 0 else 0.0
        t = min(1.0, max(0.0, t))
        foot = self.point_at(t)
        return Nearest(t, foot, foot.distance(point))

    def split(self, t: float) -> tuple[Line, Line]:
        """The parts before and after `t`."""
        middle = self.point_at(t)
        return Line(self.start, middle), Line(middle, self.end)

    def reversed(self) -> Line:
        """The same line run backwards."""
        return Line(self.end, self.start)

    def mirrored(self) -> Line:
        """The mirror image in the y axis."""
        return Line(self.start.mirrored, self.end.mirrored)

    def moved(self, step: Vector) -> Line:
        """The line displaced by `step`."""
        return Line(self.start + step, self.end + step)

    def flatten(self, tolerance: float) -> list[Point]:  # noqa: ARG002
        """Both ends: a line needs no more, whatever the tolerance in mm."""
        return [self.start, self.end]
