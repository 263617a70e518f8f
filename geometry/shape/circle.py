"""Whole circles: bores, bushings, washers."""

from __future__ import annotations

import math

import msgspec

from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector


class Circle(msgspec.Struct, frozen=True, tag="circle", forbid_unknown_fields=True, gc=False):
    """A circle around `centre` with `radius` in mm."""

    centre: Point
    radius: float

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the circle."""
        return Bounds(self.centre.x, self.centre.y, self.centre.x, self.centre.y).grown(self.radius)

    @property
    def length(self) -> float:
        """Circumference in mm."""
        return math.tau * self.radius

    @property
    def area(self) -> float:
        """Area in mm2."""
        return math.pi * self.radius**2

    def moved(self, step: Vector) -> Circle:
        """The circle displaced by `step`."""
        return Circle(self.centre + step, self.radius)

    def mirrored(self) -> Circle:
        """The mirror image in the y axis."""
        return Circle(self.centre.mirrored, self.radius)
