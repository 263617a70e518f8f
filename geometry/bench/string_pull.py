"""What the strings that cross a section do to it: how hard they press it, and how far they bend it."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import msgspec

from geometry.layout.layout import Layout
from geometry.layout.paths import StringPath


class Strung(msgspec.Struct, frozen=True):
    """A string that is anchored on the head: its path, the y of its post in mm, its pull in N."""

    path: StringPath
    anchored: float
    pull: float


class Crossing(msgspec.Struct, frozen=True, gc=False):
    """A string where it crosses a section: the part of its pull along the head in N, its height over the face in mm.

    The part is negative where the string runs back towards the nut.
    """

    along: float
    height: float


def strung(layout: Layout, pulls: Mapping[str, float]) -> tuple[Strung, ...]:
    """All strings that have a post and whose pull in N is given, by string key."""
    return tuple(
        Strung(path, layout.post(path.post).at.y, pulls[path.string.key])
        for path in layout.paths
        if path.string.key in pulls
    )


def crossings(string: Strung, y: float) -> list[Crossing]:
    """Where a string crosses the section at height `y`.

    On the neck it keeps its height over the nut. Between the place where it meets the post and the post's axis it
    still counts, for the post stands in the wood there.
    """
    path = string.path
    if y < 0:
        return [Crossing(string.pull, path.heights[0])]
    found = _on_legs(string, y)
    if not found and path.tangent.y <= y <= string.anchored:
        found = [Crossing(string.pull * _share_along(path, -1), path.heights[-1])]
    return found


def _on_legs(string: Strung, y: float) -> list[Crossing]:
    path = string.path
    found = []
    for leg, (start, end) in enumerate(pairwise(path.points)):
        if min(start.y, end.y) <= y < max(start.y, end.y):
            share = (y - start.y) / (end.y - start.y)
            low, high = path.heights[leg], path.heights[leg + 1]
            found.append(Crossing(string.pull * _share_along(path, leg), low + (high - low) * share))
    return found


def _share_along(path: StringPath, leg: int) -> float:
    """How much of a pull along one leg of a path runs along the head; 1 is all of it."""
    legs = list(zip(pairwise(path.points), pairwise(path.heights), strict=True))
    (start, end), (low, high) = legs[leg]
    way = end - start
    length = (way.length**2 + (high - low) ** 2) ** 0.5
    return way.y / length if length > 0 else 1.0
