"""The kinds of segment a curve is made of, under one roof.

Every segment knows its `length`, `bounds` and `swept_area`, and answers `point_at`, `tangent_at`, `nearest`,
`split`, `reversed`, `mirrored`, `moved` and `flatten`.
"""

from __future__ import annotations

from geometry.shape.arc import Arc
from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.circle import Circle
from geometry.shape.cubic import Cubic
from geometry.shape.line import Line, Nearest

Segment = Line | Arc | Cubic
"""What a drawn curve is made of."""

Piece = Line | Arc
"""What a curve is made of once its cubics are arcs; everything about it has a closed form."""

__all__ = ["Arc", "Bounds", "Circle", "Cubic", "Line", "Nearest", "Piece", "Segment", "bounds_of"]
