"""How good one placement is: the room it leaves, how straight the strings pull, how even the posts stand."""

from __future__ import annotations

import math
from itertools import groupby, pairwise

import msgspec
import numpy as np

from geometry.build.build import Build
from geometry.checks.facts import Facts, facts_of
from geometry.layout.layout import lay_out
from geometry.search.height_slack import bend_slack, height_slack
from geometry.search.slack import LARGEST, Slack, joined, slack_of
from geometry.search.string_rows import string_slack_of
from geometry.search.string_slack import StringSlack
from geometry.search.wish import Wish
from geometry.shape.close import Floats

FINEST = 1e-5
"""Rooms are found to this, in mm."""

PASSES = 12


class Standing(msgspec.Struct, frozen=True):
    """A placement as the search sees it.

    `room` is the radius in mm by which all posts may be off at once, never more than the largest ring; negative where a
    limit is broken: what is missing for each millimetre that the posts could yield. `splay` is the mean turn of the
    strings at the nut in degrees, `uneven` the mean of what pitches differ from that of their row, `outside` by how
    many mm the wished bounds are passed in all.
    """

    build: Build
    facts: Facts
    rigid: Slack
    strings: StringSlack
    room: float
    splay: float
    uneven: float
    outside: float


def standing_of(build: Build, wish: Wish, count: int) -> Standing | None:
    """How a build stands; None where not all of its `count` posts have their places."""
    layout = lay_out(build)
    if layout.edge is None or len(layout.posts) < count:
        return None
    facts = facts_of(build, layout)
    rigid, strings = rigid_slack(facts), string_slack_of(facts)
    bounds = wished_slack(facts, wish)
    apart = pitches(facts)
    return Standing(
        build=build,
        facts=facts,
        rigid=rigid,
        strings=strings,
        room=_room(rigid, strings, count),
        splay=float(np.degrees(np.mean([abs(path.splay) for path in facts.paths]))) if facts.paths else 0.0,
        uneven=float(np.abs(apart[1] @ apart[0]).mean()) if len(apart[0]) else 0.0,
        outside=float(np.maximum(-bounds[0], 0.0).sum()),
    )


def rigid_slack(facts: Facts) -> Slack:
    """The rows of rigid parts and of heights."""
    return joined([slack_of(facts), height_slack(facts), bend_slack(facts)], len(facts.posts))


def _room(rigid: Slack, strings: StringSlack, count: int) -> float:
    """The largest radius that all posts may have at once; negative where something is broken."""
    most = LARGEST
    for margins, weights in ((rigid.margins, rigid.weights), (strings.margins, strings.weights)):
        if len(margins):
            most = min(most, float(np.min(margins / np.maximum(weights.sum(axis=1), 1e-6))))
    if most <= 0 or not len(strings.margins):
        return most
    return _strings_permit(strings, _rigid_room(rigid), count)


def _rigid_room(rigid: Slack) -> float:
    shares = np.maximum(rigid.weights.sum(axis=1), 1e-6)
    return min(LARGEST, float(np.min(rigid.margins / shares, initial=LARGEST)))


def _strings_permit(strings: StringSlack, most: float, count: int) -> float:
    """The largest radius up to `most` at which no string has used up its margin (regula falsi, Illinois rule)."""
    radii = np.ones(count)
    near = np.flatnonzero(strings.at_least(most * radii) < 0)
    if not len(near):
        return most
    low, high = 0.0, most
    above, below = float(strings.margins[near].min()), _least(strings, high * radii, near)
    if below >= 0:
        return most
    for _ in range(PASSES):
        if high - low < FINEST:
            break
        radius = low + (high - low) * min(0.999, max(0.001, above / (above - below)))
        least = _least(strings, radius * radii, near)
        if abs(least) < FINEST / 10:
            return radius
        if least > 0:
            low, above, below = radius, least, below / 2
        else:
            high, above, below = radius, above / 2, least
    return low


def _least(strings: StringSlack, radii: Floats, near: np.ndarray) -> float:
    return float(strings.exact(radii, near)[0].min())


# What the maker wishes


def pitches(facts: Facts) -> tuple[Floats, Floats, tuple[tuple[int, int], ...]]:
    """Distances (p,) of the neighbours of rows of three and more, what each differs from the mean of its row as a
    matrix (p, p), and the pairs."""
    rows = [row for row in _numbers(facts) if len(row) > 2]
    pairs = tuple(pair for row in rows for pair in pairwise(row))
    apart = np.array([math.dist(facts.at[i], facts.at[j]) for i, j in pairs])
    differing = np.eye(len(pairs))
    first = 0
    for row in rows:
        span = slice(first, first + len(row) - 1)
        differing[span, span] -= 1 / (len(row) - 1)
        first = span.stop
    return apart, differing, pairs


def wished_slack(facts: Facts, wish: Wish) -> tuple[Floats, Floats]:
    """Margins (k,) of the wished bounds and their gradients (k, n, 2) by the places of the posts."""
    margins: list[float] = []
    ways: list[Floats] = []
    count = len(facts.posts)
    if wish.pitch is not None:
        for row in _numbers(facts):
            if facts.posts[row[0]].hardware.plate is not None:
                continue
            for i, j in pairwise(row):
                apart = math.dist(facts.at[i], facts.at[j])
                way = np.zeros((count, 2))
                way[j] = (facts.at[j] - facts.at[i]) / max(apart, 1e-9)
                way[i] = -way[j]
                margins += [apart - wish.pitch.least, wish.pitch.most - apart]
                ways += [way, -way]
    if wish.inset is not None:
        posts = facts.near.posts
        for n, distance in enumerate(posts.distance.tolist()):
            way = np.zeros((count, 2))
            way[n] = (facts.at[n] - posts.foot[n]) / (distance if abs(distance) > 1e-9 else 1.0)
            margins += [distance - wish.inset.least, wish.inset.most - distance]
            ways += [way, -way]
    return np.array(margins), np.array(ways).reshape(-1, count, 2)


def _numbers(facts: Facts) -> list[list[int]]:
    numbered = enumerate(facts.posts)
    return [[n for n, _ in group] for _, group in groupby(numbered, lambda each: each[1].row)]
