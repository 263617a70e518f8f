"""Circular pieces of a curve, described by their chord and bulge.

Everything is computed in the frame of the chord with the curvature instead of the centre, so that an arc
that is nearly straight, with its centre kilometres away, loses no digits.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from functools import lru_cache

import msgspec

from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.line import Line, Nearest
from geometry.shape.point import Point, Vector

STRAIGHT = 1e-12
"""An arc with a smaller bulge is its chord."""


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
        return abs(self.bulge) < STRAIGHT or self.start == self.end

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
