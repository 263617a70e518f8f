"""Acts on rows of tuners: sides, posts, and what one side does taken over by the other."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, OnLine, OnPlate, Post, Row, SideName, StraightPull
from geometry.document.edits import (
    Rule,
    change_hardware,
    changed,
    fresh_key,
    post_in_mirror,
    set_hardware,
    set_rule,
)
from geometry.trade.hardware import Hardware
from geometry.trade.measures import LARGEST, LEAST
from geometry.trade.sentence import SentenceError

_USUAL_START = 35.0  # from the nut line to the first post, mm; from memory

OTHER_SIDE: dict[SideName, SideName] = {"bass": "treble", "treble": "bass"}


def set_side(build: Build, row: str, side: SideName) -> Build:
    """Put a row on a side; pieces chosen for a post stay as they are."""
    return _on_row(build, row, lambda each: replace(each, side=side))


def add_post(build: Build, row: str) -> Build:
    """One more tuner at the tip end of a row; it takes a string by rule."""
    post = Post(key=fresh_key("p", _post_keys(build)))
    return _on_row(build, row, lambda each: replace(each, posts=(*each.posts, post)))


def remove_post(build: Build, post: str) -> Build:
    """Take one tuner away; the others of its row move up to their places by the rule."""
    assert post in _post_keys(build), f"there is no {post!r}"
    rows = (
        replace(
            row,
            posts=tuple(each for each in row.posts if each.key != post),
            moved=tuple(each for each in row.moved if each.post != post),
        )
        for row in build.rows
    )
    return replace(build, rows=tuple(rows))


RuleName = Literal["along the edge", "on a line", "on a plate", "straight pull"]
"""Placement rules by the names that a build file gives them."""


def rule_name(rule: Rule) -> RuleName:
    """The name of a rule."""
    match rule:
        case AlongEdge():
            return "along the edge"
        case OnLine():
            return "on a line"
        case OnPlate():
            return "on a plate"
        case StraightPull():
            return "straight pull"


def rule_as(rule: Rule, name: RuleName, hardware: Hardware) -> Rule:
    """Another rule with the numbers that both have; those it lacks suit the tuners."""
    start = rule.start
    inset = usual_inset(hardware) if isinstance(rule, StraightPull) else rule.inset
    last = rule.inset_last if isinstance(rule, OnLine | OnPlate) else None
    pitch = usual_pitch(hardware) if isinstance(rule, OnPlate) else rule.pitch
    match name:
        case "along the edge":
            return AlongEdge(start=start, pitch=pitch, inset=inset)
        case "on a line":
            return OnLine(start=start, pitch=pitch, inset=inset, inset_last=last)
        case "on a plate":
            return OnPlate(start=start, inset=inset, inset_last=last)
        case "straight pull":
            return rule if isinstance(rule, StraightPull) else StraightPull(start=start, pitch=pitch)


def usual_inset(hardware: Hardware) -> float:
    """From the edge to the first post, mm: the bore and a wall that clears the usual limits; from memory."""
    return round(hardware.bore.largest / 2 + max(6.0, 0.6 * hardware.bore.largest), 1)


def usual_pitch(hardware: Hardware) -> float:
    """From post to post, mm: the plate's, or what buttons need to be turned; from memory."""
    if hardware.plate is not None:
        return hardware.plate.pitch
    return round(hardware.button.swept_diameter + 4.0, 1)


def first_row(build: Build, side: SideName, hardware: Hardware, count: int) -> Build:
    """A row for a build without any, along the edge; tuners that are already in the build come by their key."""
    known = next((each for each in build.hardware if each.key == hardware.key), None)
    tuner = known or hardware
    rule = AlongEdge(start=_USUAL_START, pitch=usual_pitch(tuner), inset=usual_inset(tuner))
    model = Row(key="row", side=side, hardware=tuner.key, rule=rule, posts=())
    added = new_row(build, side, model, count)
    kept = build.hardware if known else (*build.hardware, tuner)
    return replace(build, hardware=kept, rows=(*build.rows, added))


def new_row(build: Build, side: SideName, like: Row, count: int) -> Row:
    """A row of `count` tuners placed as in another row, with keys of its own."""
    used = _post_keys(build)
    posts: list[Post] = []
    for _ in range(count):
        posts.append(Post(key=fresh_key("p", used)))
        used.add(posts[-1].key)
    key = fresh_key("r", {each.key for each in build.rows})
    return Row(key=key, side=side, hardware=like.hardware, rule=like.rule, posts=tuple(posts))


def facing_row(build: Build, row: str) -> Row | None:
    """The row of the other side whose first post is nearest along the head; None where that side has no posts."""
    one = next(each for each in build.rows if each.key == row)
    others = [each for each in build.rows if each.side == OTHER_SIDE[one.side] and each.posts]
    return min(others, key=lambda each: abs(each.rule.start - one.rule.start), default=None)


def ahead(build: Build, row: str) -> float | None:
    """How many mm further from the nut a row begins than the one facing it, negative when it begins nearer."""
    one, facing = next(each for each in build.rows if each.key == row), facing_row(build, row)
    return None if facing is None else one.rule.start - facing.rule.start


def set_ahead(build: Build, row: str, distance: float) -> Build:
    """Stagger a row: it begins `distance` mm further from the nut than the one facing it, which stays.

    A SentenceError says it where its first post would come too near the nut line or off every head.
    """
    facing = facing_row(build, row)
    assert facing is not None, "there is a row to be ahead of"
    start = facing.rule.start + distance
    if not LEAST <= start <= LARGEST:
        text = "The row facing it begins {2} from the nut line; expected a number from {0} to {1}."
        least, most = LEAST - facing.rule.start, LARGEST - facing.rule.start
        raise SentenceError(text, typed=(least, most, facing.rule.start))
    one = next(each for each in build.rows if each.key == row)
    return set_rule(build, row, replace(one.rule, start=start))


def copy_across(build: Build, row: str) -> Build:
    """Give the other side the same: hardware and rule, turned tuners and offsets by hand as in a mirror.

    The row that has the same place among those of the other side takes them over and keeps its posts and strings;
    where there is none, one with as many posts is added. Posts beyond the number of the model go by the rule. What was
    drilled on the other side stays: a drilled post its offset, and a row that was drilled for other tuners keeps
    these with their rule and offsets.
    """
    model = next(each for each in build.rows if each.key == row)
    other = OTHER_SIDE[model.side]
    place = [each.key for each in build.rows if each.side == model.side].index(row)
    there = [each for each in build.rows if each.side == other]
    if place < len(there):
        target = there[place]
        return _on_row(build, target.key, lambda each: _as_in_mirror(each, model))
    target = new_row(build, other, model, len(model.posts))
    return replace(build, rows=(*build.rows, _as_in_mirror(target, model)))


def _as_in_mirror(row: Row, model: Row) -> Row:
    """A row with all that another does but posts and strings; offsets are along and inward, so they stay."""
    pairs = list(zip(row.posts, model.posts, strict=False))
    posts = tuple(post_in_mirror(post, other) for post, other in pairs) + row.posts[len(pairs) :]
    if is_drilled(row) and row.hardware != model.hardware:
        return replace(row, posts=posts)
    drilled = {post.key for post in row.posts if post.drilled}
    own = tuple(each for each in row.moved if each.post in drilled)
    by_post = {each.post: each for each in model.moved}
    taken = tuple(
        replace(by_post[other.key], post=post.key)
        for post, other in pairs
        if other.key in by_post and post.key not in drilled
    )
    return replace(row, hardware=model.hardware, rule=model.rule, posts=posts, moved=(*own, *taken))


def is_drilled(row: Row) -> bool:
    """Whether a row has a hole in the wood."""
    return any(post.drilled for post in row.posts)


def _post_keys(build: Build) -> set[str]:
    return {post.key for row in build.rows for post in row.posts}


def _on_row(build: Build, row: str, change: Callable[[Row], Row]) -> Build:
    return replace(build, rows=changed(build.rows, row, change))


def measured(build: Build, row: str, hardware: Hardware) -> Build:
    """Tuners of a row measured anew: under their own key wherever they are used, under another one in this row.

    Where the bore is another, other rows with holes in the wood keep the tuners that these were drilled for, and the
    new ones come in under a key of their own.
    """
    before = next(each.hardware for each in build.rows if each.key == row)
    if hardware.key != before:
        return set_hardware(build, row, hardware)
    bore = next(each.bore for each in build.hardware if each.key == before)
    keep = {
        each.key for each in build.rows if each.hardware == before and each.key != row and is_drilled(each)
    }
    if bore == hardware.bore or not keep:
        return change_hardware(build, hardware)
    taken = replace(hardware, key=fresh_key("h", {each.key for each in build.hardware}))
    rows = tuple(
        replace(each, hardware=taken.key) if each.hardware == before and each.key not in keep else each
        for each in build.rows
    )
    return replace(build, rows=rows, hardware=(*build.hardware, taken))
