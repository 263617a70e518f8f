"""The kinds of segment a curve is made of, under one roof.

Every segment knows its `length`, `bounds` and `swept_area`, and answers `point_at`, `tangent_at`, `nearest`,
`split`, `reversed`, `mirrored`, `moved` and `flatten`.
"""

from __future__ import annotations

from typing import Protocol

from geometry.shape.arc import Arc
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.circle import Circle
from geometry.shape.cubic import Cubic
from geometry.shape.line import Line, Nearest

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


__all__ = ["Arc", "Bounds", "Chain", "Circle", "Cubic", "Line", "Nearest", "Piece", "Segment", "bounds_of"]
