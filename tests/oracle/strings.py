"""Brute-force checks of the strings: what they rub, how they turn at the nut, how they lie on their posts."""

from __future__ import annotations

import math

import numpy as np
import shapely

from tests.oracle.curve import Floats, unit
from tests.oracle.gaps import NEAR, Found, Gap
from tests.oracle.head import Head
from tests.oracle.parts import collar_height
from tests.oracle.paths import Path

GAP_SHARE = 0.8
"""Strings may come this much closer than at the nut before it is worth a watch."""


def check_strings(head: Head, found: Found) -> None:
    """Everything about strings."""
    for path in head.paths:
        _to_posts(head, found, path)
        _over_washers(head, found, path)
        _at_the_nut(head, found, path)
        if most := path.post.part.get("most_string"):
            share = 100 * 2 * path.radius / most
            found.add("thickest string", path.name, f"post {path.post.label}", measured=share)
        found.add("wraps", path.name, measured=path.heights[-1] - path.radius - collar_height(path.post))
        found.add("first post", path.name, measured=float(path.places[-1][1]))
        leaves = not head.edge.wood.contains(path.line)
        clear = -_outside(head, path) if leaves else float(path.line.distance(head.edge.line))
        found.add("string over wood", path.name, measured=clear, overlaps=leaves)
    for n, one in enumerate(head.paths):
        for two in head.paths[:n]:
            _to_each_other(found, one, two)
            found.add("order", one.name, two.name, measured=float(one.line.crosses(two.line)))


def _to_posts(head: Head, found: Found, path: Path) -> None:
    for post in head.posts:
        if post.key != path.post.key:
            reach = post.part["post_diameter"] / 2 + (post.string["diameter"] if post.string else 0.0)
            clear = path.line.distance(shapely.Point(post.at)) - reach - path.radius
            found.add("string to post", path.name, f"post {post.label}", measured=float(clear))


def _to_each_other(found: Found, one: Path, two: Path) -> None:
    """Not against the last stretch of either; held against the gap of the two at the nut as well."""
    apart = one.free.distance(two.free) - one.radius - two.radius
    at_nut = abs(one.places[0][0] - two.places[0][0]) - one.radius - two.radius
    watch, stop = found.limits.of("string to string")
    watch = None if watch is None else min(watch, GAP_SHARE * at_nut)
    found.gaps.append(Gap("string to string", (one.name, two.name), float(apart), watch, stop))


def _outside(head: Head, path: Path) -> float:
    """How far a path that leaves the wood strays from it."""
    beyond = shapely.segmentize(path.line.difference(head.edge.wood), 0.1)
    return float(-head.edge.distances(shapely.get_coordinates(beyond)).min())


# Over washers and covers


def _over_washers(head: Head, found: Found, path: Path) -> None:
    for post in head.posts:
        if post.key == path.post.key:
            continue
        _add_over(found, path, f"washer {post.label}", head.discs[post.key])
    for region in head.build.get("keep_clear", []):
        if (height := region.get("cover_height", 0.0)) > 0:
            _add_over(found, path, f"region {region['name']}", [(_area(region), height)])


def _area(region: dict[str, object]) -> shapely.Polygon:
    shape = region["shape"]
    assert isinstance(shape, dict)
    if shape["shape"] == "circle":
        return shapely.Point(shape["centre"]).buffer(shape["radius"], quad_segs=256)
    return shapely.Polygon(shape["points"])


def _add_over(found: Found, path: Path, name: str, spans: list[tuple[shapely.Polygon, float]]) -> None:
    """The least height of the underside of the string over what lies below it."""
    watch, stop = found.limits.of("string over washers")
    heights, faint = [], False
    for area, height in spans:
        over = path.line.intersection(area)
        if over.is_empty:
            # A string that only grazes the rim may as well lie over it: known, but held against nothing.
            over = path.line.intersection(area.buffer(NEAR))
        if over.is_empty:
            continue
        faint = faint or over.length < 1.0
        heights += [_height(path, at) - path.radius - height for at in shapely.get_coordinates(over)]
    if heights:
        found.gaps.append(
            Gap("string over washers", (path.name, name), min(heights), watch, stop, faint=faint)
        )


def _height(path: Path, at: Floats) -> float:
    """Height of a string's centre at a place of its path."""
    lengths = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path.places, axis=0), axis=1))])
    return float(np.interp(path.line.project(shapely.Point(at)), lengths, path.heights))


# At the nut


def _at_the_nut(head: Head, found: Found, path: Path) -> None:
    way = path.first - path.places[0]
    length = float(np.linalg.norm(way))
    way = unit(way)
    cross = path.over_nut[0] * way[1] - path.over_nut[1] * way[0]
    found.add("splay", path.name, measured=abs(math.degrees(math.atan2(cross, path.over_nut @ way))))
    rise = math.degrees(math.atan((path.heights[1] - path.heights[0]) / length))
    bend = head.build.get("head", {}).get("angle_deg", 0.0) - rise
    found.add("break", path.name, measured=bend)
    found.add("high break", path.name, measured=bend)
