"""How good one placement is: the room it leaves, how straight the strings pull, how even the posts stand."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby, pairwise
from typing import Literal

import msgspec
import numpy as np

from geometry.checks.facts import Facts, facts_of
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.rings.height_slack import rigid_slack
from geometry.search.rings.rings import drilled_of, of_the_rest
from geometry.search.rings.slack import LARGEST, Slack
from geometry.search.rings.string_rows import string_slack_of
from geometry.search.rings.string_slack import StringSlack
from geometry.search.rings.string_worst import worst_of
from geometry.shape.close import Floats
from geometry.shape.tolerance import SAME

Kind = Literal["mirrored", "even", "free"]


class Span(msgspec.Struct, frozen=True, gc=False):
    """A length in mm that is kept between two others, both allowed."""

    least: float
    most: float


class Wish(msgspec.Struct, frozen=True):
    """How the best placement is looked for.

    `kind`: "even" changes the numbers of the rules and takes back what was moved by hand; "mirrored" does so too and
    gives rows that mirror each other the same numbers; "free" moves each post by hand and leaves the rules of rows that
    have a place alone. Rows on a rigid plate keep to it in all. None is "mirrored" where both sides are alike and
    something may move so, else "even". Posts in `fixed` (by key) stay where they are. `pitch` bounds the distance of
    neighbours that no plate holds apart, `inset` that of every post from the edge. `straight` is how many mm of the
    smallest ring a degree of splay is worth, in the mean of all strings; at 0 the pull only decides between equals.
    `seed` chooses the shifts from which the search starts again.
    """

    kind: Kind | None = None
    fixed: tuple[str, ...] = ()
    pitch: Span | None = None
    inset: Span | None = None
    straight: float = 0.0
    seed: int = 0


_FINEST = 5e-5  # rooms are found to this, in mm

PASSES = 12


class Standing(msgspec.Struct, frozen=True):
    """A placement as the search sees it.

    `room` is the radius in mm by which all posts may be off at once, never more than the largest ring; negative where a
    limit is broken: by how much, in the limit's own unit. `splay` is the mean turn of the
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
    drilled = drilled_of(facts)
    rigid, strings = placing_slack(facts), of_the_rest(string_slack_of(facts), drilled)
    bounds = wished_slack(facts, wish)
    off = pitches_of(facts).off
    return Standing(
        build=build,
        facts=facts,
        rigid=rigid,
        strings=strings,
        room=_room(rigid, strings, np.where(drilled, 0.0, 1.0)),
        splay=mean_splay(layout),
        uneven=float(np.abs(off).mean()) if len(off) else 0.0,
        outside=float(np.max(-bounds[0], initial=0.0)),
    )


def mean_splay(layout: Layout) -> float:
    """The mean turn of the strings at the nut in degrees, whichever way they turn; 0 without strings."""
    turns = [abs(path.splay) for path in layout.paths]
    return math.degrees(sum(turns) / len(turns)) if turns else 0.0


def placing_slack(facts: Facts) -> Slack:
    """The rows of rigid parts and of heights that holes still to be drilled take part in.

    Without the fit of plates that no drilled hole holds: rows on a plate keep to it, so that no search changes how far
    their holes may miss, and the room of everything else is worth having.
    """
    rows = rigid_slack(facts)
    drilled = drilled_of(facts)
    fits = np.array([check == "plate fit" for check in rows.checks], dtype=bool)
    held = (rows.weights[:, drilled] > 0).any(axis=1) | (rows.margins < 0)
    return of_the_rest(rows.only(~fits | held), drilled)


def _room(rigid: Slack, strings: StringSlack, free: Floats) -> float:
    """The largest radius that all posts may have at once, in which `free` (n,) is 1; negative where broken."""
    most = min(LARGEST, _least_room(rigid))
    least = min(most, _least_room(strings))
    return least if least <= 0 or not len(strings.margins) else _strings_permit(strings, most, free)


def _least_room(rows: Slack | StringSlack) -> float:
    """The least radius that a row has room for, as far as rows yield evenly; negative where one is broken."""
    return float(np.min(rows.margins / np.maximum(lost_by_room(rows), 1e-6), initial=np.inf))


def lost_by_room(rows: Slack | StringSlack) -> Floats:
    """What the margins (k,) lose for a mm of room.

    What is broken counts in its own unit. Divided by how slowly it yields, a height that is a tenth of a mm too low on
    a head with little taper would be a hundred mm of room, and bores thrown off the wood for it would be a gain.
    """
    found: Floats = np.where(rows.margins < 0, 1.0, rows.weights.sum(axis=1))
    return found


def _strings_permit(strings: StringSlack, most: float, radii: Floats) -> float:
    """The largest radius up to `most` at which no string has used up its margin (regula falsi, Illinois rule)."""
    near = np.flatnonzero(strings.at_least(most * radii) < 0)
    worst = worst_of(strings, most * radii, near)[0]
    # A string that keeps something at the largest radius keeps more at smaller ones.
    near, worst = near[worst < 0], worst[worst < 0]
    if not len(near):
        return most
    low, high = 0.0, most
    above, below = float(strings.margins[near].min()), float(worst.min())
    for _ in range(PASSES):
        radius = low + (high - low) * min(0.999, max(0.001, above / (above - below)))
        least = float(worst_of(strings, radius * radii, near)[0].min())
        if abs(least) < _FINEST or high - low < _FINEST:
            return radius + min(0.0, least)
        if least > 0:
            low, above, below = radius, least, below / 2
        else:
            high, above, below = radius, above / 2, least
    return low


# What the maker wishes


class Pitches(msgspec.Struct, frozen=True):
    """The neighbours of rows of three and more: pairs (p,) of posts.

    `off` (p,) is what the distance of each pair differs from the mean of its row in mm, `differing` (p, p) the matrix
    that makes that of the distances.
    """

    pairs: tuple[tuple[int, int], ...]
    off: Floats
    differing: Floats


def pitches_of(facts: Facts) -> Pitches:
    """How far the pitches of a layout are from even."""
    rows = [row for row in _numbers(facts) if len(row) > 2]
    pairs = tuple(pair for row in rows for pair in pairwise(row))
    apart = np.array([math.dist(facts.at[i], facts.at[j]) for i, j in pairs])
    differing = np.eye(len(pairs))
    first = 0
    for row in rows:
        span = slice(first, first + len(row) - 1)
        differing[span, span] -= 1 / (len(row) - 1)
        first = span.stop
    return Pitches(pairs, differing @ apart, differing)


def wished_slack(facts: Facts, wish: Wish) -> tuple[Floats, Floats]:
    """Margins (k,) of the wished bounds and their gradients (k, n, 2) by the places of the posts."""
    found = [
        (margin, sign * way)
        for span, lengths in ((wish.pitch, _apart), (wish.inset, _inset))
        for length, way in (lengths(facts) if span is not None else ())
        for margin, sign in ((length - span.least, 1.0), (span.most - length, -1.0))  # type: ignore[union-attr]
    ]
    ways = np.array([way for _, way in found]).reshape(-1, len(facts.posts), 2)
    return np.array([margin for margin, _ in found]), ways


def _apart(facts: Facts) -> Iterator[tuple[float, Floats]]:
    """Distances of neighbours that no plate holds apart, with their gradients (n, 2)."""
    for row in _numbers(facts):
        if facts.posts[row[0]].hardware.plate is None:
            for i, j in pairwise(row):
                yield facts.posts[i].at.distance(facts.posts[j].at), apart_way(facts, i, j)


def apart_way(facts: Facts, i: int, j: int) -> Floats:
    """The gradient (n, 2) of the distance of two posts; along the row where one stands upon the other."""
    step = facts.posts[j].at - facts.posts[i].at
    unit = step.unit() if step.length > SAME else facts.posts[j].frame.along
    way = np.zeros((len(facts.posts), 2))
    way[j] = unit.x, unit.y
    way[i] = -way[j]
    return way


def _inset(facts: Facts) -> Iterator[tuple[float, Floats]]:
    """Distances of posts from the edge, with their gradients (n, 2)."""
    posts = facts.near.posts
    for n, distance in enumerate(posts.distance.tolist()):
        way = np.zeros((len(facts.posts), 2))
        way[n] = (facts.at[n] - posts.foot[n]) / (distance if abs(distance) > SAME else 1.0)
        yield distance, way


def _numbers(facts: Facts) -> list[list[int]]:
    numbered = enumerate(facts.posts)
    return [[n for n, _ in group] for _, group in groupby(numbered, lambda each: each[1].row)]
