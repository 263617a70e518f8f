"""Upright rectangles around things."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from geometry.shape.point import Point


class Bounds(msgspec.Struct, frozen=True, gc=False):
    """The smallest upright rectangle around something, sides in mm; right >= left and top >= bottom."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Size along x in mm."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Size along y in mm."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle of the rectangle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    def joined(self, other: Bounds) -> Bounds:
        """The bounds of both together."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def grown(self, by: float) -> Bounds:
        """The bounds with every side moved out by `by` mm."""
        return Bounds(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def contains(self, point: Point) -> bool:
        """Whether the point lies inside or on a side."""
        return self.left <= point.x <= self.right and self.bottom <= point.y <= self.top

    def overlaps(self, other: Bounds) -> bool:
        """Whether the two rectangles share at least a point."""
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.bottom <= other.top
            and other.bottom <= self.top
        )


def bounds_of(points: Iterable[Point]) -> Bounds:
    """The bounds of the points; no points at all is a programming error."""
    places = tuple(points)
    assert places, "nothing has no bounds"
    across = [place.x for place in places]
    along = [place.y for place in places]
    return Bounds(min(across), min(along), max(across), max(along))
