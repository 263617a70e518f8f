"""Heights: other wood, other turns, trees, another angle, shorter screws."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from functools import partial

from msgspec.structs import replace

from geometry.curing.case import Case, Change, Ladder, Trial
from geometry.document.build import Build, FaceScrew, Retainer
from geometry.document.edits import change_hardware
from geometry.document.mark_edits import set_retainer
from geometry.search.placing.cures import (
    ANGLE_STEP,
    MOST_ANGLE,
    MOST_HIGHER,
    MOST_TURNS,
    MOST_WOOD,
    WOOD_STEP,
    HeightCure,
    Kind,
    planed,
    steeper,
    taller,
    with_trees,
    wound,
)
from geometry.search.placing.cures_words import say_cure
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware
from geometry.trade.units import INCH, Units

# Screws are shortened by so many mm at a time; common practice, no source.
_SCREW_STEP: dict[Units, float] = {"mm": 0.5, "inch": INCH / 16}
_SHORTEST = 5.0  # no screw that holds a tuner is shorter, in mm: workshop practice, no source


def _wood(case: Case, kind: Kind, sign: int) -> Iterator[Change]:
    step = WOOD_STEP[case.head.units]
    yield _ladder(case, kind, step, MOST_WOOD, lambda amount: planed(case.build, sign * amount))


thinner = partial(_wood, kind="thinner", sign=-1)
thicker = partial(_wood, kind="thicker", sign=1)
"""A thicker head; the one above is a thinner one."""


def _turns(case: Case, kind: Kind, sign: int) -> Iterator[Change]:
    yield from (_turns_on(case, post, kind, sign) for post in case.own_posts)


def _turns_on(case: Case, post: str, kind: Kind, sign: int) -> Ladder:
    def changed(amount: float) -> Build | None:
        return wound(case.build, case.layout, [post], sign * round(amount))

    turns = _ladder(case, kind, 1.0, MOST_TURNS, changed)
    names = case.posts_named([post])
    return replace(turns, step=None, act=lambda steps: case.say("{0} on {1}", turns.act(steps), names))


fewer_turns = partial(_turns, kind="fewer turns", sign=-1)
more_turns = partial(_turns, kind="more turns", sign=1)
"""More turns on the posts; the one above takes fewer."""


def higher_holes(case: Case) -> Iterator[Change]:
    """Other tuners, with higher string holes."""
    posts = case.own_posts
    step = WOOD_STEP[case.head.units]
    if posts:
        change = _ladder(
            case, "higher holes", step, MOST_HIGHER, lambda by: taller(case.build, case.layout, posts, by)
        )
        yield change


def _angle(case: Case, sign: int) -> Iterator[Change]:
    if case.build.head.angle_deg > 0:
        yield _ladder(case, "steeper", ANGLE_STEP, MOST_ANGLE, lambda by: steeper(case.build, sign * by))


steeper_head = partial(_angle, sign=1)
flatter_head = partial(_angle, sign=-1)
"""A head that leans back less; the one above leans further. A flat one stays flat."""


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
            yield Trial(say_cure(made, case.build, case.head.units, case.head.translate), made.build)


def _tree_heights(case: Case, text: str, sign: int) -> Iterator[Change]:
    step = WOOD_STEP[case.head.units]
    strings = {part.key for part in case.finding.about if part.kind == "string"}
    for tree in case.build.retainers:
        if tree.kind == "tree" and strings & set(tree.strings):
            most = MOST_WOOD if sign > 0 else min(MOST_WOOD, tree.height - lowest_under(case.build, tree))
            words, changed = partial(case.say, text, tree.key), partial(_tree_higher, case.build, tree, sign)
            yield case.lengths(words, step, math.floor(most / step + SAME), changed)


def _tree_higher(build: Build, tree: Retainer, sign: int, by: float) -> Build | None:
    height = round(tree.height + sign * by, 6)
    return set_retainer(build, replace(tree, height=height)) if height >= lowest_under(build, tree) else None


lower_tree = partial(_tree_heights, text="set tree {0} lower by {1}", sign=-1)
higher_tree = partial(_tree_heights, text="set tree {0} higher by {1}", sign=1)
"""The tree that holds the string lower, or higher."""


def lowest_under(build: Build, tree: Retainer) -> float:
    """How low a tree may hold the centres of its strings, in mm over the face: the thickest clears it by its radius."""
    return max((each.diameter for each in build.strings if each.key in tree.strings), default=0.0)


# Screws


def shorter_screws(case: Case) -> Iterator[Change]:
    """Shorter screws for the tuners, or for the tree."""
    step, words = _SCREW_STEP[case.head.units], partial(case.say, "use screws {0} shorter")
    for key in dict.fromkeys(case.layout.post(post).hardware.key for post in case.own_posts):
        hardware = next(each for each in case.build.hardware if each.key == key)
        yield case.lengths(words, step, 20, partial(_with_shorter, case.build, hardware), step)
    for tree in case.build.retainers:
        if tree.held_by is not None and any(part.key == tree.key for part in case.finding.about):
            yield case.lengths(
                words, step, 20, partial(_held_by_shorter, case.build, tree, tree.held_by), step
            )


def _with_shorter(build: Build, hardware: Hardware, by: float) -> Build | None:
    shorter = _shortened(hardware, by)
    return None if shorter is None else change_hardware(build, shorter)


def _held_by_shorter(build: Build, tree: Retainer, screw: FaceScrew, by: float) -> Build | None:
    depth = screw.depth - by
    if depth < _SHORTEST:
        return None
    return set_retainer(build, replace(tree, screw=replace(screw, depth=depth)))


def _shortened(hardware: Hardware, by: float) -> Hardware | None:
    """With all screws shorter; None where one would hold no more."""
    plate = hardware.plate
    screws = (*hardware.screws, *(plate.screws if plate else ()))
    if not screws or min(each.length for each in screws) - by < _SHORTEST:
        return None
    shorter = replace(
        hardware, screws=tuple(replace(each, length=each.length - by) for each in hardware.screws)
    )
    if plate is None:
        return shorter
    plate = replace(plate, screws=tuple(replace(each, length=each.length - by) for each in plate.screws))
    return replace(shorter, plate=plate)
