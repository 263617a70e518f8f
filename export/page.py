"""Sheets placed on paper: the values that the PDF and the preview take."""

from __future__ import annotations

import msgspec

from export.sheet import Sheet
from geometry.shape.point import Point
from geometry.shape.segment import Bounds


class Matrix(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """From sheet mm to page mm: scale by `a` across and `d` up, then shift by (`e`, `f`). No turning."""

    a: float = 1.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def at(self, point: Point) -> Point:
        """Where a point of the sheet lands on the page."""
        return Point(self.a * point.x + self.e, self.d * point.y + self.f)

    def box(self, bounds: Bounds) -> Bounds:
        """Where a region of the sheet lands on the page."""
        low = self.at(Point(bounds.left, bounds.bottom))
        high = self.at(Point(bounds.right, bounds.top))
        return Bounds(low.x, low.y, high.x, high.y)


class Placed(msgspec.Struct, frozen=True):
    """A sheet on a page; nothing is shown outside `clip`, a region in page mm (None: all is shown)."""

    sheet: Sheet
    matrix: Matrix = Matrix()
    clip: Bounds | None = None


class Page(msgspec.Struct, frozen=True):
    """One side of paper, `width` by `height` mm, origin at its lower left corner, y up."""

    width: float
    height: float
    placed: tuple[Placed, ...]
