"""Cubic Bezier pieces of a curve, with handles relative to their nodes."""

from __future__ import annotations

import math
from functools import lru_cache
from math import hypot

import msgspec
import numpy as np

from geometry.shape.arc import Nearest
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.point import Point, Vector


class Cubic(msgspec.Struct, frozen=True, tag="cubic", forbid_unknown_fields=True, gc=False):
    """A cubic from `start` to `end` with the control points start + leave and end + arrive."""

    start: Point
    end: Point
    leave: Vector
    arrive: Vector

    @property
    def controls(self) -> tuple[Point, Point, Point, Point]:
        """The four control points."""
        return self.start, self.start + self.leave, self.end + self.arrive, self.end

    @property
    def reach(self) -> float:
        """Length in mm of the way over the control points: the curve is never longer."""
        first, second, third, last = self.controls
        return first.distance(second) + second.distance(third) + third.distance(last)

    @property
    def length(self) -> float:
        """Length in mm, to about 1e-10 of itself, or 1e-12 mm."""
        tolerance = max(1e-10 * self.reach, 1e-12)
        return sum(_length(part, tolerance, 0) for part in _between_turns(self))

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the curve."""
        return bounds_of([self.start, self.end, *map(self.point_at, _turns(self))])

    @property
    def swept_area(self) -> float:
        """Signed area in mm2 between the origin and the curve; summed round a loop it gives the area."""
        origin = Point(0.0, 0.0)
        a, b, c, d = (control - origin for control in self.controls)
        near = 6 * a.cross(b) + 3 * a.cross(c) + a.cross(d)
        return (near + 3 * b.cross(c) + 3 * b.cross(d) + 6 * c.cross(d)) / 20

    def point_at(self, t: float) -> Point:
        """The place at the parameter `t`; both ends are met exactly."""
        if t in (0, 1):
            return self.end if t else self.start
        s = 1 - t
        chord = self.end - self.start
        return self.start + (
            chord * (t * t * (3 - 2 * t)) + self.leave * (3 * s * s * t) + self.arrive * (3 * s * t * t)
        )

    def derivative_at(self, t: float) -> Vector:
        """The velocity at `t`, in mm per whole parameter."""
        s = 1 - t
        middle = self.end - self.start + self.arrive - self.leave
        return self.leave * (3 * s * s) + middle * (6 * s * t) - self.arrive * (3 * t * t)

    def tangent_at(self, t: float) -> Vector:
        """The unit direction of the run at `t`; +x for a curve that is one point.

        Where the velocity vanishes (a handle without length, a cusp) it is the direction in which the curve
        goes on, at the end the one in which it arrives.
        """
        velocity = self.leave if t == 0 else -self.arrive if t == 1 else self.derivative_at(t)
        size = self.start.distance(self.end) + self.leave.length + self.arrive.length
        if velocity.length > 1e-9 * size:
            return velocity.unit()
        return -_direction_of_rest(self.reversed()) if t == 1 else _direction_of_rest(self.split(t)[1])

    def nearest(self, point: Point) -> Nearest:
        """The place of the curve nearest to `point`."""
        found = min(_candidates(self, point), key=lambda t: self.point_at(t).distance(point))
        place = self.point_at(found)
        return Nearest(found, place, place.distance(point))

    def split(self, t: float) -> tuple[Cubic, Cubic]:
        """The parts before and after `t`."""
        middle, step = self.point_at(t), self.derivative_at(t) / 3
        first = Cubic(self.start, middle, self.leave * t, step * -t)
        return first, Cubic(middle, self.end, step * (1 - t), self.arrive * (1 - t))

    def reversed(self) -> Cubic:
        """The same curve run backwards."""
        return Cubic(self.end, self.start, self.arrive, self.leave)

    def mirrored(self) -> Cubic:
        """The mirror image in the y axis."""
        return Cubic(self.start.mirrored, self.end.mirrored, self.leave.mirrored, self.arrive.mirrored)

    def moved(self, step: Vector) -> Cubic:
        """The curve displaced by `step`."""
        return Cubic(self.start + step, self.end + step, self.leave, self.arrive)

    def flatten(self, tolerance: float) -> list[Point]:
        """Points on the curve, both ends included, whose chords stray at most `tolerance` mm."""
        first, second, third, last = self.controls
        bend = max(
            ((first - second) + (third - second)).length,
            ((second - third) + (last - third)).length,
        )
        # A chord over the parameter step h strays at most h^2 / 8 times the second derivative.
        count = max(1, math.ceil(math.sqrt(0.75 * bend / tolerance)))
        return [self.point_at(step / count) for step in range(count + 1)]


def _direction_of_rest(cubic: Cubic) -> Vector:
    """The direction in which a cubic leaves its start, from the first control point that is elsewhere."""
    first, second, third, last = cubic.controls
    reach = cubic.reach
    for control in (second, third, last):
        if first.distance(control) > 1e-9 * reach:
            return (control - first).unit()
    return Vector(1.0, 0.0)


def _length(cubic: Cubic, tolerance: float, depth: int) -> float:
    """The length of the cubic, halving it until the quadrature settles."""
    whole = _quadrature(cubic)
    first, second = cubic.split(0.5)
    halves = _quadrature(first) + _quadrature(second)
    # Next to a cusp it settles slowly; the parts shrink fast enough to stop by depth.
    if abs(halves - whole) <= tolerance or depth >= 24:
        return halves
    return _length(first, tolerance, depth + 1) + _length(second, tolerance, depth + 1)


def _quadrature(cubic: Cubic) -> float:
    """The length of the cubic by one Gauss-Legendre rule."""
    return sum(weight * cubic.derivative_at(share).length for share, weight in _gauss())


@lru_cache(maxsize=1)
def _gauss() -> tuple[tuple[float, float], ...]:
    """Shares of a whole and weights of the Gauss-Legendre rule with 16 nodes; its numpy module loads slowly."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    return tuple(
        ((float(node) + 1) / 2, float(weight) / 2) for node, weight in zip(nodes, weights, strict=True)
    )


def _between_turns(cubic: Cubic) -> list[Cubic]:
    """The parts of a cubic between its turns; a cusp is a turn, and then the end of a part."""
    parts, done = [], 0.0
    for turn in sorted(_turns(cubic)):
        before, cubic = cubic.split((turn - done) / (1 - done))
        parts.append(before)
        done = turn
    return [*parts, cubic]


def _turns(cubic: Cubic) -> list[float]:
    """The parameters inside 0..1 where the curve turns round in x or in y."""
    first, second, third, last = cubic.controls
    across = _turning_points(first.x, second.x, third.x, last.x)
    return across + _turning_points(first.y, second.y, third.y, last.y)


def _turning_points(a: float, b: float, c: float, d: float) -> list[float]:
    """The parameters inside 0..1 where one coordinate of a cubic turns round."""
    square, half, constant = d - a + 3 * (b - c), a - 2 * b + c, b - a
    discriminant = half * half - square * constant
    if discriminant < 0:
        return []
    root = -(half + math.copysign(math.sqrt(discriminant), half))
    quotients = ((root, square), (constant, root))
    return [above / below for above, below in quotients if below != 0 and 0 < above / below < 1]


def _candidates(cubic: Cubic, point: Point) -> list[float]:
    """Parameters among which the nearest place to `point` is: both ends and where the way there is square."""
    first, second, third, last = cubic.controls
    a = (last - first) + (second - third) * 3
    b = ((first - second) + (third - second)) * 3
    c = cubic.leave * 3
    d = first - point
    square = [
        3 * a.dot(a),
        5 * a.dot(b),
        4 * a.dot(c) + 2 * b.dot(b),
        3 * (b.dot(c) + a.dot(d)),
        c.dot(c) + 2 * b.dot(d),
        c.dot(d),
    ]
    scale = max(map(abs, square))
    if scale == 0:
        return [0.0, 1.0]
    # Leading coefficients that are only rounding would send the companion matrix astray.
    coefficients = [0.0 if abs(each) < 1e-15 * scale else each for each in square]
    inside = [min(1.0, max(0.0, float(root.real))) for root in np.roots(coefficients)]
    return [0.0, 1.0, *inside, *(_polished(square, t) for t in inside)]


def _polished(coefficients: list[float], t: float) -> float:
    """The root near `t` after two Newton steps, kept inside 0..1."""
    for _ in range(2):
        value = slope = 0.0
        for coefficient in coefficients:
            slope = slope * t + value
            value = value * t + coefficient
        t = min(1.0, max(0.0, t - value / slope)) if slope else t
    return t


# From a place that is near: quicker than searching the whole cubic


_LOOKED = tuple(step / 16 for step in range(17))
"""Parameters looked at first: the next of them is near enough for Newton's method on any fair curve."""

_ROUNDS = 12
_SETTLED = 1e-10
"""A step in mm along the curve that changes nothing any more."""

_STRAY = 0.01
"""mm; a place so much further from the point than the near one lies on another branch of the curve."""

_Powers = tuple[float, float, float, float]


def cubic_foot(cubic: Cubic, point: Point, near: Point) -> Point:
    """The place of the cubic nearest to `point`, next to `near` on it.

    Newton's method on the square of the distance; where it does not settle, the search of the whole cubic answers.
    """
    (x0, x1, x2, x3), (y0, y1, y2, y3), places = _looked(cubic)
    t = min(places, key=lambda each: (each[1] - near.x) ** 2 + (each[2] - near.y) ** 2)[0]
    for _ in range(_ROUNDS):
        away_x = x0 + t * (x1 + t * (x2 + t * x3)) - point.x
        away_y = y0 + t * (y1 + t * (y2 + t * y3)) - point.y
        ahead_x, ahead_y = x1 + t * (2 * x2 + 3 * t * x3), y1 + t * (2 * y2 + 3 * t * y3)
        speed = ahead_x * ahead_x + ahead_y * ahead_y
        slope = speed + away_x * (2 * x2 + 6 * t * x3) + away_y * (2 * y2 + 6 * t * y3)
        # Where the distance does not bend upwards, a step as for a straight line.
        slope = slope if slope > speed / 10 else speed
        if slope <= 0:
            break
        following = min(1.0, max(0.0, t - (away_x * ahead_x + away_y * ahead_y) / slope))
        settled = abs(following - t) * speed**0.5 <= _SETTLED
        t = following
        if settled:
            x, y = x0 + t * (x1 + t * (x2 + t * x3)), y0 + t * (y1 + t * (y2 + t * y3))
            if hypot(x - point.x, y - point.y) <= point.distance(near) + _STRAY:
                return Point(x, y)
            break
    return cubic.nearest(point).point


@lru_cache(maxsize=512)
def _looked(cubic: Cubic) -> tuple[_Powers, _Powers, tuple[tuple[float, float, float], ...]]:
    """The coefficients of 1, t, t^2 and t^3 in x and in y, and some places (t, x, y)."""
    controls = cubic.controls
    x, y = _powers(*(each.x for each in controls)), _powers(*(each.y for each in controls))
    return x, y, tuple((t, *(a + t * (b + t * (c + t * d)) for a, b, c, d in (x, y))) for t in _LOOKED)  # type: ignore[misc]


def _powers(a: float, b: float, c: float, d: float) -> _Powers:
    return a, 3 * (b - a), 3 * (a - 2 * b + c), d - a + 3 * (b - c)
