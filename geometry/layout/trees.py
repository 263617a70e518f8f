"""Trees for a new build: where strings hardly bend over the nut because their posts are far up a flat head."""

from __future__ import annotations

import math
from itertools import pairwise

from msgspec.structs import replace

from geometry.document.build import HALF_WIDTH, Build, Retainer
from geometry.layout.layout import lay_out
from geometry.layout.paths import StringPath
from geometry.shape.point import Point

TREE_AT = 50.0
TREE_FALL_DEG = 6.0
"""A tree stands so far from the nut and holds strings down at such an angle; from memory."""

FAR = 1.4
"""Strings whose posts are so many times further off get one."""

CLEAR = 1.0
"""What a tree reaches beyond the strings that it holds at least, in mm; from memory."""


def with_trees(build: Build) -> Build:
    """The build with a tree for every one or two neighbours of its far strings, if its head is flat."""
    if build.head.angle_deg != 0:
        return build
    far = [path for path in lay_out(build).paths if path.tangent.y > FAR * TREE_AT]
    height = round(build.nut.slot_floor - TREE_AT * math.tan(math.radians(TREE_FALL_DEG)), 2)
    trees = tuple(
        Retainer(
            key=f"tree-{number}",
            at=Point(round(sum(_x(path) for path in held) / len(held), 1), TREE_AT),
            height=height,
            strings=tuple(path.string.key for path in held),
        )
        for number, held in enumerate(_pairs(far), start=1)
    )
    return replace(build, retainers=(*build.retainers, *trees))


def _pairs(paths: list[StringPath]) -> list[list[StringPath]]:
    """The strings two by two where they run near enough to each other, from the treble side."""
    found: list[list[StringPath]] = [paths[:1]] if paths else []
    for one, two in pairwise(paths):
        apart = abs(_x(two) - _x(one))
        if len(found[-1]) == 1 and apart <= 2 * (HALF_WIDTH - CLEAR):
            found[-1].append(two)
        else:
            found.append([two])
    return found


def _x(path: StringPath) -> float:
    """X in mm where a string passes its tree."""
    return path.slot.toward(path.tangent, TREE_AT / path.tangent.y).x
