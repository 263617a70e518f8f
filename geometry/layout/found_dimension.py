"""A measure that is found on the drawing: what it lies between, and where its line and its words are."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec

from geometry.document.build import Build, Row
from geometry.layout.layout import Layout
from geometry.shape.point import Point, Vector

BESIDE = 9.0
"""A line of measure stands so far beside the head, mm."""

LEFT, RIGHT, UP, DOWN = Vector(-1.0, 0.0), Vector(1.0, 0.0), Vector(0.0, 1.0), Vector(0.0, -1.0)

MeasureKind = Literal["length", "gauge", "angle", "count"]
"""What a number is: a length or the diameter of a string in mm, an angle in degrees, or a plain number."""


class Found(msgspec.Struct, frozen=True):
    """Two places in head mm, and where the measure between them is drawn.

    Its words stand beside `words_at` on the side `away`, without it beside the middle of its line. The line is drawn
    moved by `aside` where it would lie among other things, with thin lines from the places to its ends. An angle is
    the way round `about` from one place to the other. `value` is the number itself where the distance of the places
    does not tell it: an angle, a number with a sign, a length that is too long to be drawn. `by_row`: it is where the
    rule of a row has a post that a hand has moved away from there.
    """

    one: Point
    two: Point
    away: Vector
    words_at: Point | None = None
    aside: Vector = Vector(0.0, 0.0)
    about: Point | None = None
    value: float | None = None
    kind: MeasureKind = "length"
    by_row: bool = False


Finder = Callable[[Build, Layout, Row | None], Found | None]
"""Finds a measure of a build as it lies, of a row where it is a row's; None where there is nothing to show."""

PartFinder = Callable[[Build, Layout, str], Found | None]
"""The same for a post or a string by its key."""
