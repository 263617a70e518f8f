"""A measure that is found on the drawing: what it lies between, and where its line and its words are."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from geometry.document.build import Build, Row
from geometry.layout.layout import Layout
from geometry.shape.point import Point, Vector

BESIDE = 9.0
"""A line of measure stands so far beside the head, mm."""

LEFT, RIGHT, UP, DOWN = Vector(-1.0, 0.0), Vector(1.0, 0.0), Vector(0.0, 1.0), Vector(0.0, -1.0)


class Found(msgspec.Struct, frozen=True):
    """Two places in head mm, and where the measure between them is drawn.

    Its words stand beside `words_at` on the side `away`, without it beside the middle of its line. The line is drawn
    moved by `aside` where it would lie among other things, with thin lines from the places to its ends.
    """

    one: Point
    two: Point
    away: Vector
    words_at: Point | None = None
    aside: Vector = Vector(0.0, 0.0)


Finder = Callable[[Build, Layout, Row | None], Found | None]
"""Finds a measure of a build as it lies, of a row where it is a row's; None where there is nothing to show."""
