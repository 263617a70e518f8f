"""The strings' ways over the head: from the slot over retainers to the tangent of the post."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
import shapely.ops

from tests.oracle.curve import Floats, Json, unit
from tests.oracle.edge import Edge
from tests.oracle.nut import sign_of, slots
from tests.oracle.parts import collar_height
from tests.oracle.placing import Post, run_over_nut


@dataclass(frozen=True)
class Path:
    """One string's way: places (n, 2) in plan, heights (n,) of its centre over the face, its direction over the nut."""

    name: str
    string: Json
    post: Post
    places: Floats
    heights: Floats
    over_nut: Floats
    turns: float

    @cached_property
    def line(self) -> shapely.LineString:
        return shapely.LineString(self.places)

    @cached_property
    def free(self) -> shapely.LineString:
        """Its way without what belongs to the turns: the last post radius and two diameters."""
        last = self.post.part["post_diameter"] / 2 + 2 * self.string["diameter"]
        free: shapely.LineString = shapely.ops.substring(self.line, 0.0, max(self.line.length - last, 0.0))  # type: ignore[assignment]
        return free

    @property
    def radius(self) -> float:
        return float(self.string["diameter"] / 2)

    @property
    def first(self) -> Floats:
        """Where it first meets something after the nut."""
        return np.asarray(self.places[1])


def paths_of(build: Json, edge: Edge, posts: list[Post]) -> list[Path]:
    """The paths of all strings that have a post, from the treble side."""
    at_nut = slots(build)
    by_string = {post.string["key"]: post for post in posts if post.string}
    return [
        _path(build, edge, string, post, at_nut[string["key"]])
        for string in build.get("strings", [])
        if (post := by_string.get(string["key"]))
    ]


def _path(build: Json, edge: Edge, string: Json, post: Post, x: float) -> Path:
    slot, radius = np.array([x, 0.0]), string["diameter"] / 2
    floor = build["nut"].get("slot_floor", 7.0)
    named = [each for each in build.get("retainers", []) if string["key"] in each["strings"]]
    usual = 2.0 if string.get("kind", "plain").endswith("wound") else 4.0
    turns = post.said.get("turns", usual)
    passed = sorted(named, key=lambda each: float(each["at"][1]))
    turning = [each for each in passed if each.get("kind", "tree") == "guide post"]
    corners = [slot]
    for each in turning:
        left = _left_of_guide(build, each)
        middle = np.array(each["at"], float)
        corners.append(tangent(corners[-1], middle, each.get("radius", 0.0) + radius, left=left))
    corners.append(
        tangent(corners[-1], post.at, post.part["post_diameter"] / 2 + radius, left=_left(slot, post))
    )
    places, heights = [slot], [floor + radius]
    turned = 0
    for each in passed:
        if each in turning:
            turned += 1
            place = corners[turned]
        else:
            place = _between(corners[turned], corners[turned + 1], each["at"][1])
            if abs(place[0] - each["at"][0]) > each.get("half_width", HALF_WIDTH):
                continue
        places.append(place)
        heights.append(each["height"])
    places.append(corners[-1])
    heights.append(height_at_post(build, edge, string, post, turns))
    name = f"string {post.label}"
    return Path(name, string, post, np.stack(places), np.array(heights), run_over_nut(build, x), turns)


HALF_WIDTH = 6.0
"""How far from the middle of a tree a string may pass and is still held, where the build does not say."""


def _left_of_guide(build: Json, guide: Json) -> bool:
    """Whether the string passes on the left, seen along it: where its side of the post has negative x."""
    return sign_of(build, guide.get("passed_on", "treble")) < 0


def _left(slot: Floats, post: Post) -> bool:
    """A string winds on the side away from the buttons, seen along it; behind, away from the row's side."""
    way = unit(post.at - slot)
    out = post.out if post.part["button"]["axis"] == "side" else np.array([float(post.sign), 0.0])
    to_the_right = way[1] * out[0] - way[0] * out[1] > 0
    return bool(to_the_right) != bool(post.said.get("flip_wound_side", False))


def tangent(start: Floats, centre: Floats, radius: float, *, left: bool) -> Floats:
    """Where a string from `start` touches a circle, passing it on its left or on its right."""
    to = centre - start
    distance = float(np.linalg.norm(to))
    if distance <= radius:
        return centre
    turn = math.asin(radius / distance) * (1 if left else -1)
    way = np.array(
        [
            math.cos(turn) * to[0] - math.sin(turn) * to[1],
            math.sin(turn) * to[0] + math.cos(turn) * to[1],
        ]
    )
    return np.asarray(start + unit(way) * math.sqrt(distance**2 - radius**2))


def _between(start: Floats, end: Floats, y: float) -> Floats:
    share = min(max((y - start[1]) / (end[1] - start[1]), 0.0), 1.0) if end[1] != start[1] else 0.0
    return np.asarray(start + share * (end - start))


def thickness(build: Json, edge: Edge, y: float) -> float:
    """Local thickness: straight from the nut to the tip, and no other beyond them."""
    head = build.get("head", {})
    nut, tip = head.get("thickness_nut", 15.0), head.get("thickness_tip", 15.0)
    return float(nut + (tip - nut) * min(max(y / edge.top, 0.0), 1.0))


def height_at_post(build: Json, edge: Edge, string: Json, post: Post, turns: float) -> float:
    """Height over the face of the string's centre at its lowest turn."""
    base = -thickness(build, edge, post.at[1])
    if post.part["button"]["axis"] == "rear":
        base = collar_height(post)
    return float(post.part["hole_height"] + base - turns * string["diameter"])
