"""Straight and circular pieces of a curve; an arc is described by its chord and bulge.

Everything about arcs is computed in the frame of the chord with the curvature instead of the centre, so that an arc
that is nearly straight, with its centre kilometres away, loses no digits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

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


_STRAIGHT = 1e-12  # an arc with a smaller bulge is its chord


class Arc(msgspec.Struct, frozen=True, tag="arc", forbid_unknown_fields=True, gc=False):
    """A circular arc; `bulge` is the tangent of a quarter of its turn, negative when it runs clockwise.

    The bulge is that of DXF polylines: 0 is the chord, 1 a semicircle to the right of the chord, more than 1
    the longer way round.
    """

    start: Point
    end: Point
    bulge: float

    @property
    def is_straight(self) -> bool:
        """Whether the arc is to be taken as its chord: no bulge, or no chord."""
        return abs(self.bulge) < _STRAIGHT or self.start == self.end

    @property
    def line(self) -> Line:
        """The chord as a line."""
        return Line(self.start, self.end)

    @property
    def sweep(self) -> float:
        """The turn from start to end in radians, counter-clockwise positive, in (-2 pi, 2 pi)."""
        return 4 * math.atan(self.bulge)

    @property
    def curvature(self) -> float:
        """Signed curvature in 1/mm, positive when turning left; 0 for a straight arc."""
        if self.is_straight:
            return 0.0
        return 4 * self.bulge / ((1 + self.bulge**2) * self.start.distance(self.end))

    @property
    def radius(self) -> float:
        """Radius in mm; infinite for a straight arc."""
        curvature = self.curvature
        return 1 / abs(curvature) if curvature else math.inf

    @property
    def centre(self) -> Point:
        """Centre of the circle; asking a straight arc is a programming error."""
        assert not self.is_straight, "a straight arc has no centre"
        chord = self.end - self.start
        return self.start.toward(self.end, 0.5) + chord.left * ((1 - self.bulge**2) / (4 * self.bulge))

    @property
    def start_angle(self) -> float:
        """Direction in radians from the centre to the start."""
        return (self.start - self.centre).angle

    @property
    def length(self) -> float:
        """Length in mm."""
        chord = self.start.distance(self.end)
        if self.is_straight:
            return chord
        return chord * (1 + self.bulge**2) * math.atan(self.bulge) / self.bulge

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the arc."""
        extremes = [self.start, self.end]
        if not self.is_straight:
            shares = self.shares_at(quarter * math.pi / 2 for quarter in range(4))
            extremes += [self.point_at(share) for share in shares if share < 1]
        return bounds_of(extremes)

    @property
    def swept_area(self) -> float:
        """Signed area in mm2 between the origin and the arc; summed round a loop it gives the area."""
        if self.is_straight:
            return self.line.swept_area
        sweep = self.sweep
        # The difference of turn and sine loses its digits when small.
        excess = sweep - math.sin(sweep) if abs(sweep) > 1e-2 else sweep**3 / 6 - sweep**5 / 120
        return self.line.swept_area + excess / (2 * self.curvature**2)

    def point_at(self, t: float) -> Point:
        """The place after the share `t` of the turn; both ends are met exactly."""
        if self.is_straight or t in (0, 1):
            return self.line.point_at(t)
        half = self.sweep / 2
        chord = self.end - self.start
        return self.start + chord.turned(half * (t - 1)) * (math.sin(half * t) / math.sin(half))

    def shares_at(self, angles: Iterable[float]) -> list[float]:
        """The shares of the turn after which the arc lies in these directions (radians) from its centre.

        Not below 0; 1 or more where the arc does not reach. Asking a straight arc is a programming error.
        """
        first, sweep = self.start_angle, self.sweep
        turns = (angle - first for angle in angles)
        return [(turn % math.tau if sweep > 0 else -(-turn % math.tau)) / sweep for turn in turns]

    def tangent_at(self, t: float) -> Vector:
        """The unit direction of the run after the share `t` of the turn."""
        if self.is_straight:
            return self.line.tangent_at(t)
        return (self.end - self.start).unit().turned(self.sweep * (t - 0.5))

    def nearest(self, point: Point) -> Nearest:
        """The place of the arc nearest to `point`; the middle of the arc when that is its centre."""
        if self.is_straight:
            return self.line.nearest(point)
        along = (self.end - self.start).unit()
        half = self.start.distance(self.end) / 2
        curvature, cosine = self.curvature, (1 - self.bulge**2) / (1 + self.bulge**2)
        offset = point - self.start.toward(self.end, 0.5)
        u, v = offset.dot(along), along.cross(offset)
        away = cosine - curvature * v
        if abs(u) * cosine > half * away:
            t = 0.0 if u < 0 else 1.0
            end = self.point_at(t)
            return Nearest(t, end, end.distance(point))
        reach = math.hypot(curvature * u, away)
        turn = math.atan2(curvature * u, away) if reach else 0.0
        strays = (curvature * (u * u + v * v - half * half) - 2 * v * cosine) / (1 + reach)
        t = min(1.0, max(0.0, 0.5 + turn / self.sweep))
        return Nearest(t, self.point_at(t), abs(strays))

    def split(self, t: float) -> tuple[Arc, Arc]:
        """The parts before and after `t`."""
        middle, quarter = self.point_at(t), math.atan(self.bulge)
        first = Arc(self.start, middle, math.tan(quarter * t))
        return first, Arc(middle, self.end, math.tan(quarter * (1 - t)))

    def reversed(self) -> Arc:
        """The same arc run backwards."""
        return Arc(self.end, self.start, -self.bulge)

    def mirrored(self) -> Arc:
        """The mirror image in the y axis."""
        return Arc(self.start.mirrored, self.end.mirrored, -self.bulge)

    def moved(self, step: Vector) -> Arc:
        """The arc displaced by `step`."""
        return Arc(self.start + step, self.end + step, self.bulge)

    def flatten(self, tolerance: float) -> list[Point]:
        """Points on the arc, both ends included, whose chords stray at most `tolerance` mm."""
        return list(_flat(self, tolerance))


@lru_cache(maxsize=1024)
def _flat(arc: Arc, tolerance: float) -> tuple[Point, ...]:
    """The points of `flatten`; the same edge is asked for again by every label that looks for its place."""
    if arc.is_straight:
        return (arc.start, arc.end)
    sine = math.sqrt(min(1.0, tolerance / (2 * arc.radius)))
    count = max(1, math.ceil(abs(arc.sweep) / max(4 * math.asin(sine), 1e-6)))
    return tuple(arc.point_at(step / count) for step in range(count + 1))
