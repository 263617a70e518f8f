"""Places and displacements in the plane, in millimetres.

A `Point` is a place, a `Vector` a displacement: point - point is a vector, point + vector a point, and
point + point does not exist.
"""

from __future__ import annotations

import math
from typing import overload

import msgspec


class Vector(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """A displacement (x, y) in mm, or a direction when its length is 1."""

    x: float
    y: float

    def __add__(self, other: Vector) -> Vector:
        return Vector(self.x + other.x, self.y + other.y)

    def __sub__(self, other: Vector) -> Vector:
        return Vector(self.x - other.x, self.y - other.y)

    def __mul__(self, factor: float) -> Vector:
        return Vector(self.x * factor, self.y * factor)

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Vector:
        return Vector(self.x / divisor, self.y / divisor)

    def __neg__(self) -> Vector:
        return Vector(-self.x, -self.y)

    @property
    def length(self) -> float:
        """Length in mm."""
        return math.hypot(self.x, self.y)

    @property
    def angle(self) -> float:
        """Direction in radians, counter-clockwise from +x, in (-pi, pi]."""
        return math.atan2(self.y, self.x)

    @property
    def left(self) -> Vector:
        """The vector turned a quarter counter-clockwise."""
        return Vector(-self.y, self.x)

    @property
    def right(self) -> Vector:
        """The vector turned a quarter clockwise."""
        return Vector(self.y, -self.x)

    @property
    def mirrored(self) -> Vector:
        """The mirror image in the y axis."""
        return Vector(-self.x, self.y)

    def unit(self) -> Vector:
        """The direction, length 1; a zero vector is a programming error."""
        length = self.length
        assert length > 0, "a zero vector has no direction"
        return Vector(self.x / length, self.y / length)

    def dot(self, other: Vector) -> float:
        """Scalar product in mm2."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: Vector) -> float:
        """Signed area in mm2 of the parallelogram: positive when `other` lies counter-clockwise."""
        return self.x * other.y - self.y * other.x

    def turned(self, angle: float) -> Vector:
        """The vector turned counter-clockwise by `angle` radians."""
        cosine, sine = math.cos(angle), math.sin(angle)
        return Vector(self.x * cosine - self.y * sine, self.x * sine + self.y * cosine)


class Point(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """A place (x, y) in mm."""

    x: float
    y: float

    def __add__(self, step: Vector) -> Point:
        return Point(self.x + step.x, self.y + step.y)

    @overload
    def __sub__(self, other: Point) -> Vector: ...
    @overload
    def __sub__(self, other: Vector) -> Point: ...
    def __sub__(self, other: Point | Vector) -> Vector | Point:
        if isinstance(other, Point):
            return Vector(self.x - other.x, self.y - other.y)
        return Point(self.x - other.x, self.y - other.y)

    @property
    def mirrored(self) -> Point:
        """The mirror image in the y axis (the centre line)."""
        return Point(-self.x, self.y)

    def distance(self, other: Point) -> float:
        """Distance in mm."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def toward(self, other: Point, share: float) -> Point:
        """The point at `share` (0 here, 1 there) of the straight way to `other`."""
        return Point(self.x + (other.x - self.x) * share, self.y + (other.y - self.y) * share)


ZERO = Vector(0.0, 0.0)
"""No displacement."""
