"""What cures a height that no moving of holes cures: other wood, other turns, a tree, a steeper head.

A cure is looked for in steps as a maker takes them, and it is only told when the cured head has been judged: the check
is broken nowhere any more, nothing else is that was not, and what stays broken is broken no further.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import groupby
from typing import Literal

import msgspec
from msgspec.structs import replace

from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build, Retainer
from geometry.document.edits import add_retainer, fresh_key, set_turns
from geometry.layout.layout import Layout, lay_out
from geometry.layout.paths import StringPath, turns_round
from geometry.layout.trees import TREE_AT, TREE_FALL_DEG
from geometry.search.placing.gate import harm, new_stops, stops_of
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.units import Units

WOOD_STEP: dict[Units, float] = {"mm": 0.1, "inch": 0.254}
"""Wood is planed by so many mm at a time."""

ANGLE_STEP = 0.5
"""Head angles are told to half a degree."""

_STEEPEST = 60.0  # no head falls back further, in degrees
# With fewer turns round the post a string slips; common practice, no source.
_FEWEST_WOUND, _FEWEST_PLAIN = 1.0, 2.0
_A_PAIR = 2  # a tree holds so many strings beside each other


Kind = Literal["thinner", "thicker", "fewer turns", "more turns", "trees", "steeper", "higher holes"]


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
    return replace(build, head=replace(build.head, angle_deg=angle)) if 0 <= angle <= _STEEPEST else None


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
            if now < (_FEWEST_WOUND if path.string.kind == "wound" else _FEWEST_PLAIN):
                return None
            build = set_turns(build, path.post, now)
    return build


class HeightCure(msgspec.Struct, frozen=True):
    """One change and the head with it.

    `amount` is in mm, turns or degrees; trees stand `amount` from the nut, over strings with these `labels` each.
    """

    kind: Kind
    amount: float
    build: Build
    labels: tuple[tuple[str, ...], ...] = ()


def with_trees(build: Build, layout: Layout, posts: Collection[str]) -> HeightCure | None:
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
    return HeightCure("trees", round(y, 1), build, labels) if holds else None


def _neighbours(layout: Layout, posts: Collection[str]) -> list[list[StringPath]]:
    """The paths to these posts in pairs of strings that lie beside each other at the nut, single ones alone."""
    pairs: list[list[StringPath]] = [[]]
    for path in sorted(layout.paths, key=lambda path: path.slot.x):
        if path.post not in posts or len(pairs[-1]) == _A_PAIR:
            pairs.append([])
        if path.post in posts:
            pairs[-1].append(path)
    return sorted((pair for pair in pairs if pair), key=lambda pair: layout.labels[pair[0].string.key])


CURES: dict[str, tuple[Kind, ...]] = {
    "wraps": ("thinner", "fewer turns", "higher holes"),
    "string over washers": ("thinner", "fewer turns"),
    "break": ("trees", "more turns", "thicker", "steeper"),
    "thickness": ("thinner", "thicker"),
    "screw depth": ("thicker",),
}
"""What may cure each check of heights; other tuners only where nothing before them does."""

MOST_WOOD, MOST_TURNS, MOST_ANGLE, MOST_HIGHER = 5.0, 4, 10.0, 10.0
"""No cure takes more: mm of wood, turns, degrees, mm from the back to the string hole."""


class Remedy(msgspec.Struct, frozen=True):
    """What each by itself cures all stops of one check; `broken` are those stops."""

    check: str
    broken: tuple[Finding, ...]
    cures: tuple[HeightCure, ...]


def remedies(build: Build, units: Units = "mm") -> tuple[Remedy, ...]:
    """What cures the heights that are at stop, check by check; only what has been judged, so perhaps nothing.

    Wood is told in steps that are round in `units`.
    """
    head = _Head(build, lay_out(build), findings(build), WOOD_STEP[units])
    stops = [each for each in stops_of(head.found) if each.check in CURES]
    told = []
    for check, group in groupby(sorted(stops, key=lambda each: each.check), lambda each: each.check):
        broken = tuple(group)
        told.append(Remedy(check, broken, tuple(_all_tried(head, check, broken))))
    return tuple(each for each in told if each.cures)


class _Head(msgspec.Struct, frozen=True):
    """The head as it is."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    wood_step: float


Steps = Callable[[int], Build | None]
"""The build with so many steps of a change; None where it cannot have them."""


def _all_tried(head: _Head, check: str, broken: Sequence[Finding]) -> Iterator[HeightCure]:
    found = False
    for kind in CURES[check]:
        cure = None if found and kind == "higher holes" else _tried(head, kind, check, broken)
        if cure is not None:
            found = True
            yield cure


def _tried(head: _Head, kind: Kind, check: str, broken: Sequence[Finding]) -> HeightCure | None:
    if kind == "trees":
        return _trees(head, check, broken)
    step, most, change = _change(head, kind, [post for each in broken for post in _post_of(head, each)])
    for steps in _guesses(head, check, most, change):
        build = change(steps)
        if build is not None and _cures(head, check, build):
            return HeightCure(kind, steps * step, build)
    return None


def _change(head: _Head, kind: Kind, posts: list[str]) -> tuple[float, int, Steps]:
    """How much one step of a kind is, how many there may be at most, and the change itself."""
    if kind in ("thinner", "thicker"):
        step = head.wood_step
        signed = step if kind == "thicker" else -step
        return step, round(MOST_WOOD / step), lambda steps: planed(head.build, steps * signed)
    if kind == "steeper":
        most = round(MOST_ANGLE / ANGLE_STEP) if head.build.head.angle_deg > 0 else 0
        return ANGLE_STEP, most, lambda steps: steeper(head.build, steps * ANGLE_STEP)
    if kind == "higher holes":
        step = head.wood_step
        return (
            step,
            round(MOST_HIGHER / step),
            lambda steps: taller(head.build, head.layout, posts, steps * step),
        )
    turn = 1 if kind == "more turns" else -1
    return 1.0, MOST_TURNS, lambda steps: wound(head.build, head.layout, posts, turn * steps)


def _guesses(head: _Head, check: str, most: int, change: Steps) -> Iterator[int]:
    """Numbers of steps that may be enough, the likeliest and least first: heights change nearly evenly."""
    build = change(1) if most else None
    if build is None:
        return
    before = _missing(head.found, check)
    gain = before - _missing(findings(build), check)
    if gain <= SAME:
        return
    guess = math.ceil(before / gain - SAME)
    yield from (steps for steps in range(max(1, guess - 1), guess + 3) if steps <= most)


def _missing(found: Sequence[Finding], check: str) -> float:
    return max((-(each.margin or 0.0) for each in found if each.check == check), default=0.0)


def _cures(head: _Head, check: str, build: Build) -> bool:
    found = findings(build)
    stopped = any(each.check == check for each in stops_of(found))
    return not stopped and not new_stops(head.found, found) and not harm(head.found, found)


def _post_of(head: _Head, finding: Finding) -> Iterator[str]:
    """The post of the string that a finding is about, if it is about one."""
    keys = [part.key for part in finding.about if part.kind == "string"]
    yield from (path.post for path in head.layout.paths if path.string.key in keys)


# Trees


def _trees(head: _Head, check: str, broken: Sequence[Finding]) -> HeightCure | None:
    """Trees for the strings that break too little and that nothing holds yet, two neighbours under each."""
    made = with_trees(head.build, head.layout, {post for each in broken for post in _post_of(head, each)})
    return made if made is not None and _cures(head, check, made.build) else None
