"""Heights: other wood, other turns, trees, another angle, shorter screws."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from msgspec.structs import replace

from geometry.curing.case import Case, Change, Ladder, Trial
from geometry.document.build import Build, Retainer
from geometry.document.edits import change_hardware
from geometry.document.mark_edits import set_retainer
from geometry.search.placing.cures import MOST_ANGLE, MOST_HIGHER, MOST_TURNS, MOST_WOOD, HeightCure, Kind
from geometry.search.placing.cures_words import say_cure
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
from geometry.trade.hardware import Hardware
from geometry.trade.quantities import show_length
from geometry.trade.units import INCH, Units

SCREW_STEP: dict[Units, float] = {"mm": 0.5, "inch": INCH / 16}
"""Screws are shortened by so many mm at a time; common practice, no source."""

SHORTEST = 5.0
"""No screw that holds a tuner is shorter, in mm: workshop practice, no source."""


def thinner(case: Case) -> Iterator[Change]:
    """Thinner wood."""
    yield _wood(case, "thinner", -1)


def thicker(case: Case) -> Iterator[Change]:
    """Thicker wood."""
    yield _wood(case, "thicker", 1)


def _wood(case: Case, kind: Kind, sign: int) -> Ladder:
    step = WOOD_STEP[case.head.units]
    return _ladder(case, kind, step, MOST_WOOD, lambda amount: planed(case.build, sign * amount))


def fewer_turns(case: Case) -> Iterator[Change]:
    """Fewer turns on the posts."""
    yield from _turns(case, "fewer turns", -1)


def more_turns(case: Case) -> Iterator[Change]:
    """More turns on the posts."""
    yield from _turns(case, "more turns", 1)


def _turns(case: Case, kind: Kind, sign: int) -> Iterator[Change]:
    for post in case.own_posts:

        def changed(amount: float, post: str = post) -> Build | None:
            return wound(case.build, case.layout, [post], sign * round(amount))

        ladder = _ladder(case, kind, 1.0, MOST_TURNS, changed)

        def act(steps: int, turns: Callable[[int], str] = ladder.act, post: str = post) -> str:
            return case.say("{0} on {1}", turns(steps), case.posts_named([post]))

        yield replace(ladder, step=None, act=act)


def higher_holes(case: Case) -> Iterator[Change]:
    """Other tuners, with higher string holes."""
    posts = case.own_posts
    step = WOOD_STEP[case.head.units]
    if posts:
        change = _ladder(
            case, "higher holes", step, MOST_HIGHER, lambda by: taller(case.build, case.layout, posts, by)
        )
        yield change


def steeper_head(case: Case) -> Iterator[Change]:
    """A head that leans back further; a flat one stays flat."""
    if case.build.head.angle_deg > 0:
        yield _ladder(case, "steeper", ANGLE_STEP, MOST_ANGLE, lambda by: steeper(case.build, by))


def flatter_head(case: Case) -> Iterator[Change]:
    """A head that leans back less."""
    if case.build.head.angle_deg > 0:
        yield _ladder(case, "steeper", ANGLE_STEP, MOST_ANGLE, lambda by: steeper(case.build, -by))


def _ladder(
    case: Case, kind: Kind, step: float, most: float, change: Callable[[float], Build | None]
) -> Ladder:
    def act(steps: int) -> str:
        made = change(steps * step)
        assert made is not None, "only what can be made is told"
        cure = HeightCure(kind, round(steps * step, 6), made)
        return say_cure(cure, case.build, case.head.units, case.head.translate)

    return Ladder(act, lambda steps: change(steps * step), round(most / step), step)


# Trees


def trees(case: Case) -> Iterator[Change]:
    """A tree over the string, and its neighbour that bends too little as well."""
    weak = {
        part.key
        for each in case.head.found
        if each.check == case.finding.check and each.level == case.finding.level
        for part in each.about
    }
    all_weak = {post.key for post in case.layout.posts if post.string in weak}
    for posts in dict.fromkeys((frozenset(all_weak), frozenset(case.own_posts))):
        made = with_trees(case.build, case.layout, posts) if posts else None
        if made is not None:
            cure = HeightCure("trees", made.y, made.build, made.labels)
            yield Trial(say_cure(cure, case.build, case.head.units, case.head.translate), made.build)


def lower_tree(case: Case) -> Iterator[Change]:
    """The tree that holds the string lower."""
    yield from _tree_heights(case, "set tree {0} lower by {1}", -1)


def higher_tree(case: Case) -> Iterator[Change]:
    """The tree that holds the string higher."""
    yield from _tree_heights(case, "set tree {0} higher by {1}", 1)


def _tree_heights(case: Case, text: str, sign: int) -> Iterator[Change]:
    step = WOOD_STEP[case.head.units]
    strings = {part.key for part in case.finding.about if part.kind == "string"}
    for tree in case.build.retainers:
        if tree.kind != "tree" or not strings & set(tree.strings):
            continue
        lowest = lowest_under(case.build, tree)
        most = MOST_WOOD if sign > 0 else min(MOST_WOOD, tree.height - lowest)

        def act(steps: int, tree: Retainer = tree) -> str:
            return case.say(text, tree.key, show_length(steps * step, case.head.units))

        def changed(steps: int, tree: Retainer = tree, lowest: float = lowest) -> Build | None:
            height = round(tree.height + sign * steps * step, 6)
            return set_retainer(case.build, replace(tree, height=height)) if height >= lowest else None

        yield Ladder(act, changed, math.floor(most / step + SAME))


def lowest_under(build: Build, tree: Retainer) -> float:
    """How low a tree may hold the centres of its strings, in mm over the face: the thickest clears it by its radius."""
    return max((each.diameter for each in build.strings if each.key in tree.strings), default=0.0)


# Screws


def shorter_screws(case: Case) -> Iterator[Change]:
    """Shorter screws for the tuners, or for the tree."""
    posts, step = case.own_posts, SCREW_STEP[case.head.units]
    for key in dict.fromkeys(case.layout.post(post).hardware.key for post in posts):

        def changed(steps: int, key: str = key) -> Build | None:
            less = steps * step
            hardware = next(each for each in case.build.hardware if each.key == key)
            shorter = _shortened(hardware, less)
            return None if shorter is None else change_hardware(case.build, shorter)

        yield Ladder(lambda steps: _shorter_words(case, steps), changed, 20, step)
    for tree in case.build.retainers:
        screw = tree.held_by
        if screw is None or all(part.key != tree.key for part in case.finding.about):
            continue

        def with_shorter(steps: int, tree: Retainer = tree) -> Build | None:
            own = tree.held_by
            assert own is not None, "only trees with a screw come here"
            depth = own.depth - steps * step
            return (
                set_retainer(case.build, replace(tree, screw=replace(own, depth=depth)))
                if depth >= SHORTEST
                else None
            )

        yield Ladder(lambda steps: _shorter_words(case, steps), with_shorter, 20, step)


def _shorter_words(case: Case, steps: int) -> str:
    length = steps * SCREW_STEP[case.head.units]
    return case.say("use screws {0} shorter", show_length(length, case.head.units))


def _shortened(hardware: Hardware, by: float) -> Hardware | None:
    """With all screws shorter; None where one would hold no more."""
    plate = hardware.plate
    screws = (*hardware.screws, *(plate.screws if plate else ()))
    if not screws or min(each.length for each in screws) - by < SHORTEST:
        return None
    shorter = replace(
        hardware, screws=tuple(replace(each, length=each.length - by) for each in hardware.screws)
    )
    if plate is None:
        return shorter
    plate = replace(plate, screws=tuple(replace(each, length=each.length - by) for each in plate.screws))
    return replace(shorter, plate=plate)
