"""What cures a height that no moving of holes cures: other wood, other turns, a tree, a steeper head.

A cure is looked for in steps as a maker takes them, and it is only told when the cured head has been judged: the check
is broken nowhere any more, nothing else is that was not, and what stays broken is broken no further.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import Literal

import msgspec

from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.gate import harm, new_stops
from geometry.search.placing.height_changes import (
    ANGLE_STEP,
    WOOD_STEP,
    planed,
    steeper,
    taller,
    with_trees,
    wound,
)
from geometry.shape.tolerance import SAME
from geometry.trade.units import Units

Kind = Literal["thinner", "thicker", "fewer turns", "more turns", "trees", "steeper", "higher holes"]

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


class HeightCure(msgspec.Struct, frozen=True):
    """One change and the head with it.

    `amount` is in mm, turns or degrees; trees stand `amount` from the nut, over strings with these `labels` each.
    """

    kind: Kind
    amount: float
    build: Build
    labels: tuple[tuple[str, ...], ...] = ()


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
    stops = [each for each in head.found if each.level is Level.STOP and each.check in CURES]
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
    stops = [each for each in found if each.check == check and each.level is Level.STOP]
    return not stops and not new_stops(head.found, found) and not harm(head.found, found)


def _post_of(head: _Head, finding: Finding) -> Iterator[str]:
    """The post of the string that a finding is about, if it is about one."""
    keys = [part.key for part in finding.about if part.kind == "string"]
    yield from (path.post for path in head.layout.paths if path.string.key in keys)


# Trees


def _trees(head: _Head, check: str, broken: Sequence[Finding]) -> HeightCure | None:
    """Trees for the strings that break too little and that nothing holds yet, two neighbours under each."""
    made = with_trees(head.build, head.layout, {post for each in broken for post in _post_of(head, each)})
    if made is None or not _cures(head, check, made.build):
        return None
    return HeightCure("trees", made.y, made.build, made.labels)
