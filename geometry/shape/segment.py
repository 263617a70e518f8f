"""The kinds of segment a curve is made of, under one roof, and whole circles.

Every segment knows its `length`, `bounds` and `swept_area`, and answers `point_at`, `tangent_at`, `nearest`,
`split`, `reversed`, `mirrored`, `moved` and `flatten`.
"""

from __future__ import annotations

import math
from typing import Protocol

import msgspec

from geometry.shape.arc import Arc, Line, Nearest
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.cubic import Cubic
from geometry.shape.point import Point, Vector

Segment = Line | Arc | Cubic
"""What a drawn curve is made of."""

Piece = Line | Arc
"""What a curve is made of once its cubics are arcs; everything about it has a closed form."""


class Chain(Protocol):
    """Segments end to end, as a contour has them; closed when the last ends where the first starts."""

    def __hash__(self) -> int: ...

    @property
    def segments(self) -> tuple[Segment, ...]:
        """The segments in order."""

    @property
    def closed(self) -> bool:
        """Whether the last ends where the first starts."""


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


__all__ = ["Arc", "Bounds", "Chain", "Circle", "Cubic", "Line", "Nearest", "Piece", "Segment", "bounds_of"]
