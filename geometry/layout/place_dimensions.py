"""Where the numbers of a single post and of a single string are found on the drawing."""

from __future__ import annotations

import math

from geometry.document.build import Build
from geometry.layout.found_dimension import BESIDE, DOWN, LEFT, RIGHT, UP, Found, PartFinder
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.layout.slots import slots_x
from geometry.shape.point import Point, Vector

_ARM = 16.0
"""Length in mm of the arms between which the turn of a tuner is shown."""


def _post(layout: Layout, key: str) -> PlacedPost | None:
    return next((each for each in layout.posts if each.key == key), None)


def _across(_: Build, layout: Layout, key: str) -> Found | None:
    """From the centre line to the post, straight across."""
    post = _post(layout, key)
    if post is None:
        return None
    foot = Point(0.0, post.at.y)
    away = LEFT if post.at.x >= 0 else RIGHT  # the words beside the centre line, clear of the post
    return Found(foot, post.at, away, words_at=foot, value=post.at.x)


def _up(_: Build, layout: Layout, key: str) -> Found | None:
    """From the nut line up to the post."""
    post = _post(layout, key)
    if post is None:
        return None
    way = RIGHT if post.at.x >= 0 else LEFT
    return Found(Point(post.at.x, 0.0), post.at, way, value=post.at.y)


def _moved(field: str) -> PartFinder:
    """From where the rule of its row has a post to where it stands, along the row or inwards."""

    def find(build: Build, layout: Layout, key: str) -> Found | None:
        post = _post(layout, key)
        if post is None:
            return None
        moved = next((each for row in build.rows for each in row.moved if each.post == key), None)
        by, ruled = getattr(moved, field, 0.0), post.ruled
        way = ruled.along if field == "along" else -ruled.outward
        # Both steps end at the post: along a bent edge neither begins just where the rule has it.
        start = post.at - way * by
        return Found(start, post.at, -ruled.outward if field == "along" else ruled.along, value=by)

    return find


def _turned(_: Build, layout: Layout, key: str) -> Found | None:
    """How far a tuner is turned from where its row has its button."""
    post = _post(layout, key)
    if post is None:
        return None
    turn = math.radians(post.post.turned_deg)
    ruled = post.row_frame.outward * _ARM
    ends = post.at + ruled, post.at + ruled.turned(turn)
    middle = post.at + ruled.turned(turn / 2)
    return Found(*ends, UP, words_at=middle, about=post.at, value=post.post.turned_deg, kind="angle")


def _gauge(build: Build, _: Layout, key: str) -> Found | None:
    """Across a string, below the nut."""
    string = next((each for each in build.strings if each.key == key), None)
    if string is None:
        return None
    middle, half = Point(slots_x(build)[key], -build.nut.thickness - BESIDE / 2), string.diameter / 2
    return Found(
        middle + Vector(-half, 0.0), middle + Vector(half, 0.0), DOWN, value=string.diameter, kind="gauge"
    )


OF_PARTS: dict[str, PartFinder] = {
    "Post.x": _across,
    "Post.y": _up,
    "Post.turned_deg": _turned,
    "Moved.along": _moved("along"),
    "Moved.inward": _moved("inward"),
    "String.diameter": _gauge,
}
"""What finds each of them, by the name that its field in a panel has."""
