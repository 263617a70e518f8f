"""Masses with their places, put together."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from geometry.shape.point import Point


class Lump(msgspec.Struct, frozen=True, gc=False):
    """A mass in g at a place of the face; what is missing has a negative one."""

    mass: float
    at: Point


def together(lumps: Iterable[Lump]) -> Lump:
    """All of them as one at their centre of gravity; at the origin where nothing is left to weigh."""
    every = tuple(lumps)
    mass = sum(each.mass for each in every)
    if mass <= 0:
        return Lump(0.0, Point(0.0, 0.0))
    across = sum(each.mass * each.at.x for each in every)
    up = sum(each.mass * each.at.y for each in every)
    return Lump(mass, Point(across / mass, up / mass))
