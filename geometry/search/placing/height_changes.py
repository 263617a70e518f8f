"""Changes of heights in the steps that a maker takes: other wood, other turns, a steeper head, other tuners, trees."""

from __future__ import annotations

import math
from collections.abc import Collection

import msgspec
from msgspec.structs import replace

from geometry.checks.judge import Level, findings
from geometry.document.build import Build, Retainer
from geometry.document.edits import add_retainer, fresh_key, set_turns
from geometry.layout.layout import Layout
from geometry.layout.paths import StringPath, turns_round
from geometry.layout.trees import TREE_AT, TREE_FALL_DEG
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.units import Units

WOOD_STEP: dict[Units, float] = {"mm": 0.1, "inch": 0.254}
"""Wood is planed by so many mm at a time."""

ANGLE_STEP = 0.5
"""Head angles are told to half a degree."""

STEEPEST = 60.0
"""No head falls back further, in degrees."""

FEWEST_WOUND, FEWEST_PLAIN = 1.0, 2.0
"""With fewer turns round the post a string slips; common practice, no source."""

A_PAIR = 2
"""A tree holds so many strings beside each other."""


def planed(build: Build, by: float) -> Build | None:
    """With wood thicker by so many mm, thinner where it is negative; None where nothing would be left."""
    head = build.head
    nut, tip = round(head.thickness_nut + by, 6), round(head.thickness_tip + by, 6)
    if min(nut, tip) <= 0:
        return None
    return replace(build, head=replace(head, thickness_nut=nut, thickness_tip=tip))


def steeper(build: Build, by: float) -> Build | None:
    """With a head that falls back by so many degrees more, flatter where that is negative; None where it cannot."""
    # To the next whole step: nobody saws an angle of 13.37 degrees.
    steps = (build.head.angle_deg + by) / ANGLE_STEP
    angle = ANGLE_STEP * (math.floor(steps + SAME) if by > 0 else math.ceil(steps - SAME))
    return replace(build, head=replace(build.head, angle_deg=angle)) if 0 <= angle <= STEEPEST else None


def taller(build: Build, layout: Layout, posts: Collection[str], by: float) -> Build:
    """With tuners in the rows of these posts whose string holes are so many mm higher."""
    keys = {layout.post(post).hardware.key for post in posts}
    hardware = (
        replace(each, hole_height=each.hole_height + by) if each.key in keys else each
        for each in build.hardware
    )
    return replace(build, hardware=tuple(hardware))


def wound(build: Build, layout: Layout, posts: Collection[str], turns: int) -> Build | None:
    """With so many turns more on these posts, fewer where that is negative; None where a string would slip."""
    for path in layout.paths:
        if path.post in posts:
            now = turns_round(path.string, layout.post(path.post)) + turns
            if now < (FEWEST_WOUND if path.string.kind == "wound" else FEWEST_PLAIN):
                return None
            build = set_turns(build, path.post, now)
    return build


class WithTrees(msgspec.Struct, frozen=True):
    """A build with trees that stand `y` mm from the nut, over strings with these `labels` each."""

    build: Build
    y: float
    labels: tuple[tuple[str, ...], ...]


def with_trees(build: Build, layout: Layout, posts: Collection[str]) -> WithTrees | None:
    """With trees over the strings of these posts, two neighbours under each; None where one has something already."""
    pairs = _neighbours(layout, posts)
    paths = [path for pair in pairs for path in pair]
    y = min([TREE_AT, *(0.5 * path.tangent.y for path in paths)])
    height = round(build.nut.slot_floor - y * math.tan(math.radians(TREE_FALL_DEG)), 2)
    if any(len(path.points) > 2 or height < path.string.diameter for path in paths):
        return None
    for pair in pairs:
        x = sum(path.slot.toward(path.tangent, y / path.tangent.y).x for path in pair) / len(pair)
        key = fresh_key("t", {each.key for each in build.retainers})
        strings = tuple(path.string.key for path in pair)
        build = add_retainer(build, Retainer(key, Point(round(x, 1), round(y, 1)), height, strings))
    holds = all(each.level is Level.FINE for each in findings(build) if each.check == "retainer")
    labels = tuple(tuple(sorted(layout.labels[path.string.key] for path in pair)) for pair in pairs)
    return WithTrees(build, round(y, 1), labels) if holds else None


def _neighbours(layout: Layout, posts: Collection[str]) -> list[list[StringPath]]:
    """The paths to these posts in pairs of strings that lie beside each other at the nut, single ones alone."""
    pairs: list[list[StringPath]] = [[]]
    for path in sorted(layout.paths, key=lambda path: path.slot.x):
        if path.post not in posts or len(pairs[-1]) == A_PAIR:
            pairs.append([])
        if path.post in posts:
            pairs[-1].append(path)
    return sorted((pair for pair in pairs if pair), key=lambda pair: layout.labels[pair[0].string.key])
