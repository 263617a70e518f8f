"""Strings: the other side of a post, another post, another pitch or gauge, a tree that holds them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec import UNSET
from msgspec.structs import replace

from geometry.curing.case import Case, Change, Ladder, Trial
from geometry.document.build import Build, Retainer, String
from geometry.document.edits import (
    add_retainer,
    flip_wound_side,
    fresh_key,
    set_string,
    set_string_of,
    swap_strings,
)
from geometry.document.mark_edits import remove_retainer, set_retainer
from geometry.document.row_edits import add_post
from geometry.layout.paths import StringPath
from geometry.layout.string_loads import string_load
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.pitch import pitch_name, pitch_step
from geometry.trade.quantities import show_gauge

_GAUGE_STEP = 0.0254  # strings are sold by thousandths of an inch
_THINNEST = 0.15  # no string is thinner, in mm


def other_side(case: Case) -> Iterator[Change]:
    """The string wound on the other side of its post."""
    for post in case.own_posts:
        words = case.say("wind the string on the other side of {0}", case.posts_named([post]))
        yield Trial(words, flip_wound_side(case.build, post))


def swapped(case: Case) -> Iterator[Change]:
    """Two strings on each other's posts; all strings where the rule leads them."""
    posts = case.own_posts
    now = {post.key: post.string for post in case.layout.posts if post.string is not None}
    if len(posts) == 2 and set(posts) <= now.keys():
        labels = [case.layout.labels[now[post]] for post in posts]
        yield Trial(case.say("swap strings {0} and {1}", *labels), swap_strings(case.build, *posts, now))
    build = case.build
    for row in case.build.rows:
        for post in row.posts:
            build = set_string_of(build, post.key, UNSET)
    yield Trial(case.say("lead all strings to their posts by rule"), build)


def one_more_post(case: Case) -> Iterator[Change]:
    """A tuner more at the tip end of a row, for a string without one; first the posts that stand without a string."""
    strings = [part.key for part in case.finding.about if part.kind == "string"]
    for string in strings:
        for post in case.layout.posts:
            if post.string is None:
                words = case.say("lead it to {0}", case.posts_named([post.key]))
                yield Trial(words, set_string_of(case.build, post.key, string))
        for row in case.build.rows:
            if row.posts:
                words = case.say("add a tuner beyond {0}", case.posts_named([post.key for post in row.posts]))
                yield Trial(words, add_post(case.build, row.key))


# Pull


def lower_pitch(case: Case) -> Iterator[Change]:
    """The string tuned lower, by half steps."""
    for string in _strings(case):
        step = pitch_step(string_load(string, case.build.scale_length).pitch)
        if step is None or string.tension is not UNSET:
            continue

        def act(steps: int, step: int = step) -> str:
            return case.say("tune it to {0}", pitch_name(step - steps))

        def changed(steps: int, string: String = string, step: int = step) -> Build | None:
            if step - steps < 0:
                return None
            return set_string(case.build, replace(string, pitch=pitch_name(step - steps)))

        yield Ladder(act, changed, 24)


def other_gauge(case: Case) -> Iterator[Change]:
    """A thinner string, whose wire is stronger for its size; a thicker one where the pull is typed in."""
    for string in _strings(case):
        for way in (-1, 1):

            def act(steps: int, string: String = string, way: int = way) -> str:
                wide = _gauge(string, way * steps)
                return case.say("use a string of {0}", show_gauge(wide, case.head.units))

            def changed(steps: int, string: String = string, way: int = way) -> Build | None:
                wide = _gauge(string, way * steps)
                return set_string(case.build, replace(string, diameter=wide)) if wide >= _THINNEST else None

            yield Ladder(act, changed, 20)


def _gauge(string: String, steps: int) -> float:
    """So many gauges away; a metric string has its first ones beside it."""
    now = string.diameter / _GAUGE_STEP
    whole = math.floor(now + SAME) if steps > 0 else math.ceil(now - SAME)
    return round((whole + steps) * _GAUGE_STEP, 4)


def _strings(case: Case) -> Iterator[String]:
    keys = [part.key for part in case.finding.about if part.kind == "string"]
    yield from (string for string in case.build.strings if string.key in keys)


# What holds strings


def tree_over_its_strings(case: Case) -> Iterator[Change]:
    """The tree moved over the strings that it shall hold; without those that it misses; one more for them."""
    keys = [part.key for part in case.finding.about]
    for tree in case.build.retainers:
        if tree.key not in keys:
            continue
        paths = [path for path in case.layout.paths if path.string.key in tree.strings]
        passing = [x for path in paths if (x := _passes(path, tree.at.y)) is not None]
        if passing:
            at = Point(round((min(passing) + max(passing)) / 2, 1), tree.at.y)
            words = case.say("move tree {0} over its strings", tree.key)
            yield Trial(words, set_retainer(case.build, replace(tree, at=at)))
        yield from _without(case, tree, [path for path in paths if path.string.key in keys])


def _without(case: Case, tree: Retainer, paths: list[StringPath]) -> Iterator[Change]:
    """The tree without some strings, and these with one of their own or with none."""
    lost = {path.string.key for path in paths}
    kept = tuple(key for key in tree.strings if key not in lost)
    fewer = set_retainer(case.build, replace(tree, strings=kept))
    if not kept:
        fewer = remove_retainer(case.build, tree.key)
    for path in paths:
        x = _passes(path, tree.at.y)
        label = case.layout.labels[path.string.key]
        if x is not None and kept:
            key = fresh_key("t", {each.key for each in case.build.retainers})
            own = replace(tree, key=key, at=Point(round(x, 1), tree.at.y), strings=(path.string.key,))
            yield Trial(case.say("give string {0} a tree of its own", label), add_retainer(fewer, own))
        yield Trial(case.say("leave string {0} without tree {1}", label, tree.key), fewer)


def _passes(path: StringPath, y: float) -> float | None:
    """X at which a string passes a height over the nut line on its way to the post; None where it does not."""
    for one, two in pairwise((path.points[0], path.points[-1])):
        if one.y < y < two.y:
            return one.toward(two, (y - one.y) / (two.y - one.y)).x
    return None
