"""Where a dragged place wants to go: lines worth meeting, and the grid.

Lines that mean something come before the grid: the centre line, the nut line, the x and y of other nodes, and the
directions in which neighbouring runs would go on without a corner.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Literal

import msgspec

from geometry.document.build import Build
from geometry.document.outline_nodes import index_of, nodes_of, segment_between
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME

Axis = Literal["x", "y"]
HintKind = Literal["centre line", "nut line", "node x", "node y", "tangent", "grid"]


class Hint(msgspec.Struct, frozen=True, gc=False):
    """Why a place snapped: the kind of line, and from where to where it is to be shown.

    `node` is the key of the node that the line belongs to.
    """

    kind: HintKind
    start: Point
    end: Point
    node: str = ""


class Snapped(msgspec.Struct, frozen=True):
    """A place after snapping, and the reasons; without any it is the place that was asked."""

    at: Point
    hints: tuple[Hint, ...] = ()


class _Level(msgspec.Struct, frozen=True, gc=False):
    """An upright or level line at a coordinate, and the place that it is shown from."""

    kind: HintKind
    value: float
    anchor: Point
    node: str = ""


class _Ray(msgspec.Struct, frozen=True, gc=False):
    """A line through a node in a direction."""

    node: str
    origin: Point
    way: Vector


def snap(
    build: Build,
    at: Point,
    moving: Collection[str] = (),
    *,
    reach: float,
    grid: float | None = None,
    lines: bool = True,
    keep: Axis | None = None,
) -> Snapped:
    """The place that `at` snaps to within `reach` mm.

    `moving` are the nodes that are dragged along: they do not attract, and the first of them looks along its
    neighbours' tangents. `grid` is a spacing in mm; without `lines` only the grid attracts. The coordinate
    of `keep` is left as it is by the grid.
    """
    upright = _nearest(_uprights(build, moving), at.x, reach) if lines else None
    level = _nearest(_levels(build, moving), at.y, reach) if lines else None
    if upright is not None and level is not None:
        return _met(Point(upright.value, level.value), upright, level)
    ray = _nearest_ray(_rays(build, moving), at, reach) if lines else None
    if ray is not None:
        crossed = _crossing(ray, upright, level)
        if crossed is not None and crossed.distance(at) <= 2 * reach:
            return _met(crossed, upright, level, ray)
        if upright is None and level is None:
            return _met(ray.origin + ray.way * (at - ray.origin).dot(ray.way), ray=ray)
    place = Point(
        upright.value if upright is not None else at.x,
        level.value if level is not None else at.y,
    )
    free = (upright is None and keep != "x", level is None and keep != "y")
    return _on_grid(_met(place, upright, level), grid, reach, free)


def _on_grid(snapped: Snapped, grid: float | None, reach: float, free: tuple[bool, bool]) -> Snapped:
    """The coordinates that no line holds, x and y, drawn to the grid."""
    if not grid:
        return snapped
    at = snapped.at
    x = _rounded(at.x, grid, reach) if free[0] else at.x
    y = _rounded(at.y, grid, reach) if free[1] else at.y
    if (x, y) == (at.x, at.y):
        return snapped
    place = Point(x, y)
    shifted = tuple(msgspec.structs.replace(hint, end=place) for hint in snapped.hints)
    return Snapped(place, (*shifted, Hint("grid", place, place)))


def _rounded(value: float, grid: float, reach: float) -> float:
    nearest = round(value / grid) * grid
    return nearest if abs(nearest - value) <= reach else value


def _met(
    at: Point, upright: _Level | None = None, level: _Level | None = None, ray: _Ray | None = None
) -> Snapped:
    hints = [Hint(each.kind, each.anchor, at, each.node) for each in (upright, level) if each is not None]
    if ray is not None:
        hints.append(Hint("tangent", ray.origin, at, ray.node))
    return Snapped(at, tuple(hints))


# Upright and level lines


def _uprights(build: Build, moving: Collection[str]) -> Iterator[_Level]:
    yield _Level("centre line", 0.0, Point(0.0, 0.0))
    for node in nodes_of(build):
        if node.key not in moving:
            yield _Level("node x", node.at.x, node.at, node.key)


def _levels(build: Build, moving: Collection[str]) -> Iterator[_Level]:
    yield _Level("nut line", 0.0, Point(0.0, 0.0))
    for node in nodes_of(build):
        if node.key not in moving:
            yield _Level("node y", node.at.y, node.at, node.key)


def _nearest(lines: Iterator[_Level], value: float, reach: float) -> _Level | None:
    """The nearest line within reach, of several equal ones the first."""
    near = min(lines, key=lambda line: abs(line.value - value))
    return near if abs(near.value - value) <= reach else None


# Tangents


def _rays(build: Build, moving: Collection[str]) -> Iterator[_Ray]:
    """Where the first moving node would go on straight from the runs beyond its neighbours."""
    nodes = nodes_of(build)
    lead = next(iter(moving), None)
    if lead is None or all(node.key != lead for node in nodes):
        return
    number = index_of(nodes, lead)
    if number >= 2 and nodes[number - 1].key not in moving:
        before, origin = nodes[number - 2], nodes[number - 1]
        yield _Ray(origin.key, origin.at, segment_between(before, origin).tangent_at(1.0))
    if number + 2 < len(nodes) and nodes[number + 1].key not in moving:
        origin, after = nodes[number + 1], nodes[number + 2]
        yield _Ray(origin.key, origin.at, -segment_between(origin, after).tangent_at(0.0))


def _nearest_ray(rays: Iterator[_Ray], at: Point, reach: float) -> _Ray | None:
    """The nearest ray within reach of a place ahead of its origin."""
    ahead = [ray for ray in rays if (at - ray.origin).dot(ray.way) > reach]
    near = min(ahead, key=lambda ray: abs(ray.way.cross(at - ray.origin)), default=None)
    return near if near is not None and abs(near.way.cross(at - near.origin)) <= reach else None


def _crossing(ray: _Ray, upright: _Level | None, level: _Level | None) -> Point | None:
    """Where a ray meets the one upright or level line that was found."""
    if upright is not None and abs(ray.way.x) > SAME:
        far = (upright.value - ray.origin.x) / ray.way.x
        return Point(upright.value, ray.origin.y + ray.way.y * far)
    if level is not None and abs(ray.way.y) > SAME:
        far = (level.value - ray.origin.y) / ray.way.y
        return Point(ray.origin.x + ray.way.x * far, level.value)
    return None
