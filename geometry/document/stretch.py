"""The size of an outline as a whole, and its nodes stretched to another one.

Ends and corners keep their shape: to make a head longer its upper half moves as it is, to make it wider each side does.
"""

from __future__ import annotations

from functools import reduce

from geometry.document.build import Build
from geometry.document.outline_edits import is_end, move_nodes, nodes_of, runs_of
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME

_ROUNDS = 8
"""Runs swing a little with their nodes; each round makes up for what the last one left."""


def outline_bounds(build: Build) -> Bounds:
    """The box round the outline and the nut line, in head mm."""
    return reduce(Bounds.joined, (segment.bounds for _, segment in runs_of(build)))


def with_length(build: Build, length: float) -> Build:
    """The build with its highest point at y = `length` mm: nodes above the middle move up or down together."""
    top = outline_bounds(build).top
    places = {
        node.key: Point(node.at.x, node.at.y + length - top)
        for node in nodes_of(build)
        if node.at.y > top / 2 and not is_end(build, node.key)
    }
    return move_nodes(build, places)


def with_width(build: Build, width: float) -> Build:
    """The build as wide as `width` mm where it is widest: each side moves; nut line, middle and length stay."""
    top = outline_bounds(build).top
    for _ in range(_ROUNDS):
        bounds = outline_bounds(build)
        missing = width - (bounds.right - bounds.left)
        if abs(missing) <= SAME:
            break
        build = with_length(_widened(build, missing / 2), top)
    return build


def _widened(build: Build, half: float) -> Build:
    places = {
        node.key: Point(node.at.x + (half if node.at.x > 0 else -half), node.at.y)
        for node in nodes_of(build)
        if abs(node.at.x) > SAME and not is_end(build, node.key)
    }
    return move_nodes(build, places)
