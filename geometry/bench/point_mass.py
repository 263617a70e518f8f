"""Masses with their places, put together."""

from __future__ import annotations

from collections.abc import Iterable

import msgspec

from geometry.shape.point import Point


class PointMass(msgspec.Struct, frozen=True, gc=False):
    """A mass in g at a place of the face; what is missing has a negative one."""

    mass: float
    at: Point


def together(masses: Iterable[PointMass]) -> PointMass:
    """All of them as one at their centre of gravity; at the origin where nothing is left to weigh."""
    every = tuple(masses)
    mass = sum(each.mass for each in every)
    if mass <= 0:
        return PointMass(0.0, Point(0.0, 0.0))
    across = sum(each.mass * each.at.x for each in every)
    up = sum(each.mass * each.at.y for each in every)
    return PointMass(mass, Point(across / mass, up / mass))
