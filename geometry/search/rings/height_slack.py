"""How far strings keep their break over the nut, their height over covers, and their trees, when posts move.

All bounds here are sound and simple: heights seldom are what ends a ring.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely

from geometry.checks.facts import Facts
from geometry.checks.gaps import Part
from geometry.document.build import Retainer
from geometry.layout.paths import StringPath
from geometry.layout.regions import region_core
from geometry.search.rings.slack import LARGEST, Slack, joined, slack_of, slope_of, told
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import RearButton

HEIGHTS = frozenset({"wraps", "break", "thickness", "screw depth"})
"""Checks of heights: a hole far off may change them by a hair."""


def rigid_slack(facts: Facts) -> Slack:
    """The rows of all rigid parts and of all heights."""
    found = [slack_of(facts), *(rows(facts) for rows in (height_slack, bend_slack, tree_slack))]
    return joined(found, len(facts.posts))


def height_slack(facts: Facts) -> Slack:
    """Rows of strings that are over covers now, or may come over them."""
    return told("string over washers", len(facts.posts), list(_over_covers(facts)))


Row = tuple[Floats, float, tuple[Part, Part]]


def _over_covers(facts: Facts) -> Iterator[Row]:
    stop = facts.rule("string over washers").stop
    covers = [region for region in facts.build.keep_clear if region.cover_height > 0]
    places = {post.key: number for number, post in enumerate(facts.posts)}
    for region in covers if stop is not None else ():
        for part, path in zip(facts.strings, facts.paths, strict=True):
            low = min(path.heights) - path.string.diameter / 2 - abs(slope_of(facts)) * LARGEST
            if stop is None or low - region.cover_height - stop.least >= -SAME:
                continue
            weights = np.zeros(len(facts.posts))
            weights[places[path.post]] = 1.2
            core, reach = region_core(region)
            aside = shapely.distance(path.line, core) - reach
            yield weights, max(aside, 0.0), (part, Part("region", region.key, region.name or region.key))


def bend_slack(facts: Facts) -> Slack:
    """Rows of the breaks over the nut, in millimetres that the post of each may move at least.

    The break hangs on the length to the place where the string is next held, between D - a and D + a from the start
    for a post at D that moves by up to a: the least a at which one of both, with the thickness there, breaks the limit.
    What is broken now is told in degrees.
    """
    stop = facts.rule("break").stop
    count = len(facts.posts)
    if stop is None:
        return told("break", count, ())
    places = {post.key: number for number, post in enumerate(facts.posts)}
    own = np.eye(count)
    rows = [
        (own[places[path.post]], _room_of_bend(facts, path, math.radians(stop.least)), (part,))
        for part, path in zip(facts.strings, facts.paths, strict=True)
    ]
    return told("break", count, rows)


def _room_of_bend(facts: Facts, path: StringPath, needed: float) -> float:
    """How far a post may move before its string presses too little on the nut; missing degrees if it does so now."""
    missing = math.degrees(path.break_angle - needed)
    if missing < -SAME:
        return missing
    if len(path.points) > 2:
        # A tree or guide post holds the string where it is, whatever the post does.
        return LARGEST
    low, high = 0.0, LARGEST
    if _least_break(facts, path, high) >= needed:
        return high
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (middle, high) if _least_break(facts, path, middle) >= needed else (low, middle)
    return low


def _least_break(facts: Facts, path: StringPath, move: float) -> float:
    """The least break in radians when the post moves by up to `move` mm."""
    post = facts.layout.post(path.post)
    slope = 0.0 if isinstance(post.hardware.button, RearButton) else abs(slope_of(facts)) * move
    rise = path.heights[-1] - path.heights[0] + slope
    distance = path.slot.distance(post.at)
    lengths = (
        math.sqrt(max((distance + step) ** 2 - path.contact_radius**2, SAME)) for step in (-move, move)
    )
    return math.radians(facts.build.head.angle_deg) - max(math.atan2(rise, length) for length in lengths)


def bend_slope(facts: Facts, path: StringPath, *, broken: bool) -> tuple[float, float]:
    """How a row of `bend_slack` grows with the x and y of the post: in mm for a mm, in degrees where it is broken."""
    post = facts.layout.post(path.post)
    way = (post.at - path.slot).unit()
    if not broken:
        # A string that falls to its post breaks less the longer it is, one that climbs breaks more.
        sign = -1.0 if path.heights[-1] < path.heights[0] else 1.0
        return sign * way.x, sign * way.y
    if len(path.points) > 2:
        return 0.0, 0.0
    # Of alpha - atan(rise / length): the length grows along the string, the rise with the taper of the head.
    rise, length = path.heights[-1] - path.heights[0], path.slot.distance(path.tangent)
    square = rise**2 + length**2
    longer = math.degrees(rise / square) * path.slot.distance(post.at) / length
    taper = (
        0.0
        if isinstance(post.hardware.button, RearButton)
        else math.degrees(slope_of(facts) * length / square)
    )
    return longer * way.x, longer * way.y + taper


def tree_slack(facts: Facts) -> Slack:
    """Rows of the strings that go on passing under their trees, or beside them, in mm that the post of each may move.

    A string from S touches a circle of radius R about its post, D from S. It passes a place P when the line from S to P
    touches the circle: the post moves square to that line by what it is off. So the least move that brings the string
    to the end of a tree is known; what a string does that a tree lets go, or takes, is not looked into.
    """
    own = np.eye(len(facts.posts))
    rows = [
        (own[n], room, (part, Part("retainer", tree.key, tree.key)))
        for n, post in enumerate(facts.posts)
        for part, path in zip(facts.strings, facts.paths, strict=True)
        if path.post == post.key
        for tree in facts.build.retainers
        if tree.kind == "tree" and path.string.key in tree.strings
        if (room := _room_at_tree(path, post.at, tree)) < LARGEST
    ]
    return told("retainer", len(facts.posts), rows)


def _room_at_tree(path: StringPath, post: Point, tree: Retainer) -> float:
    """How far a post may move before its string comes to an end of a tree, or the post past it."""
    guides = [
        place for place, each in zip(path.points[1:], path.held, strict=False) if each.kind == "guide post"
    ]
    start = guides[-1] if guides else path.slot
    if tree.at.y <= start.y:
        return LARGEST
    if tree.at.y >= post.y:
        return tree.at.y - post.y
    ends = (Point(tree.at.x + side * tree.half_width, tree.at.y) for side in (-1.0, 1.0))
    side = 1.0 if path.left else -1.0
    off = [abs((end - start).unit().cross(post - start) + side * path.contact_radius) for end in ends]
    # The end of the string moves by less than twice what its post does.
    return min(*off, max(0.0, path.tangent.y - tree.at.y) / 2)
