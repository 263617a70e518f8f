"""Where the measures of head, nut and rows are found on the drawing."""

from __future__ import annotations

from collections.abc import Callable

import msgspec

from geometry.document.build import Build, Row, Starter
from geometry.document.stretch import outline_bounds
from geometry.layout.layout import Layout
from geometry.shape.point import Point, Vector

BESIDE = 9.0
"""A line of measure stands so far beside the head, mm."""


class HeadDimension(msgspec.Struct, frozen=True):
    """A measure between two places in head mm; `away` is the side of its line on which its words stand."""

    name: str
    one: Point
    two: Point
    away: Vector

    @property
    def length(self) -> float:
        """What is measured, in mm."""
        return self.one.distance(self.two)


Finder = Callable[[Build, Layout, Row | None], tuple[Point, Point, Vector] | None]
LEFT, RIGHT, UP, DOWN = Vector(-1.0, 0.0), Vector(1.0, 0.0), Vector(0.0, 1.0), Vector(0.0, -1.0)

MEASURES: dict[str, tuple[str, ...]] = {
    "head": ("Starter.length", "Starter.width_low", "Starter.width_high", "Free.length", "Free.width"),
    "strings": ("Nut.width",),
    "tuners": ("OnLine.start", "OnLine.pitch", "OnLine.inset"),
}
"""The measures that the numbers of a panel have on the drawing, by the panel's name."""


def head_dimension(build: Build, layout: Layout, name: str, row: str | None = None) -> HeadDimension | None:
    """The measure called `name`, of a row by its key where it is a row's; None where there is nothing to show."""
    chosen = next((each for each in build.rows if each.key == row), None)
    finder = _FINDERS.get(name)
    found = None if finder is None else finder(build, layout, chosen)
    return None if found is None else HeadDimension(name, *found)


def _length(build: Build, _: Layout, __: Row | None) -> tuple[Point, Point, Vector]:
    bounds = outline_bounds(build)
    x = bounds.right + BESIDE
    return Point(x, 0.0), Point(x, bounds.top), RIGHT


def _nut(build: Build, _: Layout, __: Row | None) -> tuple[Point, Point, Vector]:
    half, y = build.nut.width / 2, -BESIDE
    return Point(-half, y), Point(half, y), DOWN


def _starter_width(field: str) -> Finder:
    def find(build: Build, _: Layout, __: Row | None) -> tuple[Point, Point, Vector] | None:
        starter = build.outline
        # A one-sided head leans: its widths do not lie across the middle.
        if not isinstance(starter, Starter) or starter.lean_deg:
            return None
        half = getattr(starter, field) / 2
        y = starter.shoulder if field == "width_low" else starter.length - starter.tip_rise
        return Point(-half, y), Point(half, y), UP

    return find


def _starter_length(build: Build, layout: Layout, row: Row | None) -> tuple[Point, Point, Vector] | None:
    return _length(build, layout, row) if isinstance(build.outline, Starter) else None


def _free_length(build: Build, layout: Layout, row: Row | None) -> tuple[Point, Point, Vector] | None:
    return None if isinstance(build.outline, Starter) else _length(build, layout, row)


def _free_width(build: Build, _: Layout, __: Row | None) -> tuple[Point, Point, Vector] | None:
    if isinstance(build.outline, Starter):
        return None
    bounds = outline_bounds(build)
    y = bounds.top + BESIDE
    return Point(bounds.left, y), Point(bounds.right, y), UP


def _start(build: Build, layout: Layout, row: Row | None) -> tuple[Point, Point, Vector] | None:
    posts = _places(layout, row)
    if row is None or not posts:
        return None
    side = build.sign_of(row.side)
    return Point(posts[0].x, 0.0), posts[0], Vector(-float(side), 0.0)


def _pitch(build: Build, layout: Layout, row: Row | None) -> tuple[Point, Point, Vector] | None:
    posts = _places(layout, row)
    if row is None or len(posts) < 2 or not hasattr(row.rule, "pitch"):
        return None
    return posts[0], posts[1], Vector(-float(build.sign_of(row.side)), 0.0)


def _inset(_: Build, layout: Layout, row: Row | None) -> tuple[Point, Point, Vector] | None:
    posts = _places(layout, row)
    if row is None or not posts or layout.edge is None or not hasattr(row.rule, "inset"):
        return None
    foot = layout.edge.contour.nearest(posts[0])
    return posts[0], layout.edge.contour.segments[foot.index].point_at(foot.t), DOWN


def _places(layout: Layout, row: Row | None) -> list[Point]:
    at = {post.key: post.ruled.at for post in layout.posts}
    return [] if row is None else [at[post.key] for post in row.posts if post.key in at]


_FINDERS: dict[str, Finder] = {
    "Starter.length": _starter_length,
    "Starter.width_low": _starter_width("width_low"),
    "Starter.width_high": _starter_width("width_high"),
    "Free.length": _free_length,
    "Free.width": _free_width,
    "Nut.width": _nut,
    "OnLine.start": _start,
    "OnLine.pitch": _pitch,
    "OnLine.inset": _inset,
}
