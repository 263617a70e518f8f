"""Lines of measure beside the head, moved out past the hardware of the back where that is in view."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from geometry.layout.head_dimensions import HeadDimension
from geometry.layout.layout import Layout
from geometry.shape.bounds import Bounds
from geometry.shape.point import Vector
from geometry.shape.tolerance import PRINT

CLEAR = 4.0
"""Millimetres between the hardware that stands out furthest and a line of measure beside it."""


def hardware_of(layout: Layout) -> tuple[Bounds, ...]:
    """The upright boxes round all buttons and bodies, in head mm."""
    return tuple(
        part.bounds for post in layout.posts for part in (post.button, post.body) if part is not None
    )


def beside_hardware(each: HeadDimension, hardware: Sequence[Bounds]) -> HeadDimension:
    """The dimension, its line further out if it runs upwards at the side of the head among the hardware there.

    It clears all of that side, so that lines of one side stand where the eye looks for them; `hardware` in head mm.
    """
    one, two = each.ends
    if each.about is not None or not hardware or abs(one.x - two.x) > PRINT or each.away.y:
        return each
    if each.away.x > 0:
        reach = max(box.right for box in hardware) + CLEAR
        out = max(0.0, reach - one.x)
    else:
        reach = min(box.left for box in hardware) - CLEAR
        out = min(0.0, reach - one.x)
    return replace(each, aside=each.aside + Vector(out, 0.0)) if out else each
