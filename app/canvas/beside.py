"""Lines of measure beside the head, moved out past the hardware of the back where that is in view."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec.structs import replace
from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath

from geometry.layout.head_dimensions import HeadDimension
from geometry.layout.layout import Layout
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector

CLEAR = 4.0
"""Millimetres between hardware and a line of measure beside it."""


def hardware_of(layout: Layout) -> tuple[Bounds, ...]:
    """The upright boxes round all buttons and bodies, in head mm."""
    return tuple(
        part.bounds for post in layout.posts for part in (post.button, post.body) if part is not None
    )


def beside_hardware(each: HeadDimension, hardware: Sequence[Bounds], wood: QPainterPath) -> HeadDimension:
    """The dimension, its line further out where it runs up beside the head among the hardware there.

    A line over the `wood` stays; it and `hardware` are in head mm.
    """
    one, two = each.ends
    rise, run = abs(one.y - two.y), abs(one.x - two.x)
    middle = one.toward(two, 0.5)
    if each.about is not None or rise <= run or wood.contains(QPointF(middle.x, middle.y)):
        return each
    side = 1.0 if each.away.x > 0 else -1.0
    out = max((need for box in hardware for need in _needs(one, two, box, side)), default=0.0)
    return replace(each, aside=each.aside + Vector(side * out, 0.0)) if out > 0 else each


def _needs(one: Point, two: Point, box: Bounds, side: float) -> Iterator[float]:
    """By how much a line must go out to one side to pass a box, where it runs beside it and just above and below."""
    low, high = max(min(one.y, two.y), box.bottom - CLEAR), min(max(one.y, two.y), box.top + CLEAR)
    outermost = box.right if side > 0 else box.left
    for y in (low, high) if low <= high else ():
        x = one.x + (two.x - one.x) * (y - one.y) / (two.y - one.y)
        yield side * (outermost - x) + CLEAR
