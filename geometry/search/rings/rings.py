"""Joint and single rings from rows of slack: a sound bound at once, exact values with a little patience.

Radii are shared out fairly: the smallest as large as it can be, then each of the others in turn. Holes that are in the
wood already cannot miss any more, so that only the others share out what is left.
"""

from __future__ import annotations

from typing import TypeVar

import msgspec
import numpy as np

from geometry.checks.facts import Facts
from geometry.document.build import Build
from geometry.search.rings.height_slack import rigid_slack
from geometry.search.rings.slack import LARGEST, Slack
from geometry.search.rings.string_rows import string_slack_of
from geometry.search.rings.string_slack import StringSlack
from geometry.search.rings.string_worst import worst_of
from geometry.shape.close import Flags, Floats
from geometry.shape.tolerance import PASS, SAME

Yielding = TypeVar("Yielding", Slack, StringSlack)


def drilled_posts(build: Build) -> tuple[str, ...]:
    """The keys of the posts whose holes are drilled."""
    return tuple(post.key for row in build.rows for post in row.posts if post.drilled)


def drilled_of(facts: Facts) -> Flags:
    """Which posts (n,) of a layout are drilled."""
    return np.array([post.post.drilled for post in facts.posts], dtype=bool)


def of_the_rest(slack: Yielding, drilled: Flags) -> Yielding:
    """The rows as they yield when `drilled` (n,) posts stay; those that only these take part in are left out."""
    if not drilled.any():
        return slack
    free = np.where(drilled, 0.0, slack.weights)
    yields: Flags = np.asarray((free > 0).any(axis=1) | ~(slack.weights > 0).any(axis=1))
    return msgspec.structs.replace(slack, weights=free).only(yields)


_TIGHT = 1e-9  # below this slack, in mm, a row is used up


def fill(weights: Floats, margins: Floats, most: Floats) -> Floats:
    """The radii (n,) with weights (k, n) @ radii <= margins (k,) and radii <= most (n,), all of them 0 or more.

    The smallest radius is as large as possible, then the next smallest, and so on (lexicographic max-min). A row
    without slack leaves its posts nothing.
    """
    count = weights.shape[1]
    table = np.vstack([weights, np.eye(count)])
    room = np.maximum(np.concatenate([margins, most]), 0.0)
    growing = np.ones(count, dtype=bool)
    radii = np.zeros(count)
    while growing.any():
        share = table[:, growing].sum(axis=1)
        touched = share > 0
        slack = np.maximum(room - table @ radii, 0.0)
        step = float(np.min(slack[touched] / share[touched]))
        radii[growing] += step
        used = touched & (slack - step * share <= _TIGHT)
        growing &= ~(table[used] > 0).any(axis=0)
    return radii


NEAR = 0.2
"""Strings whose bound is below this many millimetres are worth an exact answer."""

PASSES = 12
# No string yields slower or faster than this for what its posts move, weighed as at first.
_LEAST_SLOPE, _MOST_SLOPE = 0.05, 20.0
_CLOSE = 1e-3  # radii that change by less than this, in mm, have settled


class Rows(msgspec.Struct, frozen=True):
    """Everything that can end a ring: rigid parts, and strings.

    `broken` (n,) marks posts that take part in something broken already, `drilled` (n,) those that cannot miss now.
    """

    rigid: Slack
    strings: StringSlack
    broken: Flags
    drilled: Flags

    @property
    def count(self) -> int:
        """The number of posts."""
        return len(self.broken)


def rows_of(facts: Facts) -> Rows:
    """The rows of a layout with a sound outline; what nobody's miss can reach is left out.

    What takes part in something broken already has a ring of 0, whatever is moved; what is drilled has none.
    """
    drilled = drilled_of(facts)
    rigid = rigid_slack(facts)
    strings = string_slack_of(facts)
    broken_rows = rigid.margins < -PASS
    broken_lines = strings.margins < -PASS
    touched = np.zeros(len(facts.posts), dtype=bool)
    for weights in (rigid.weights[broken_rows], strings.weights[broken_lines]):
        touched |= (weights > 0).any(axis=0)
    reach = np.where(touched | drilled, 0.0, LARGEST)
    matter = ~broken_rows & (rigid.margins < rigid.weights @ reach)
    bound = strings.at_least(reach)
    return Rows(rigid.only(matter), strings.only(~broken_lines & (bound < 0)), touched, drilled)


def bounds(rows: Rows, most: Floats | None = None) -> Floats:
    """Sound joint radii (n,): never more than the exact ones."""
    return _settled(rows, _most(rows, most), exact=False)


def exact(rows: Rows, most: Floats | None = None) -> Floats:
    """Exact joint radii (n,), to about a thousandth of a millimetre, from below. No radius exceeds `most` (n,)."""
    return _settled(rows, _most(rows, most), exact=True)


def singles(rows: Rows) -> Floats:
    """How far (n,) each post may move while all others stay in place."""
    return np.array([single(rows, number)[number] for number in range(rows.count)])


def single(rows: Rows, number: int) -> Floats:
    """The radii (n,) when only one post may move: 0 for all others."""
    return exact(of_post(rows, number), np.where(np.arange(rows.count) == number, LARGEST, 0.0))


def of_post(rows: Rows, number: int) -> Rows:
    """The rows that one post takes part in."""
    rigid, strings = (each.weights[:, number] > 0 for each in (rows.rigid, rows.strings))
    return Rows(rows.rigid.only(rigid), rows.strings.only(strings), rows.broken, rows.drilled)


def on_back(rows: Rows) -> Floats:
    """Joint radii (n,) of the holes' ends on the back, while they stay where they are on the face."""
    rigid = rows.rigid.only(rows.rigid.on_back)
    return fill(rigid.weights, rigid.margins, _most(rows, None))


def _most(rows: Rows, most: Floats | None) -> Floats:
    limit = np.full(rows.count, LARGEST) if most is None else most
    return np.where(rows.broken | rows.drilled, 0.0, limit)


def _settled(rows: Rows, most: Floats, *, exact: bool) -> Floats:
    """Fill, look how the strings really yield at those radii, and fill again until nothing changes."""
    strings = rows.strings
    start = margins = np.maximum(strings.margins, 0.0)
    slopes, used = np.ones(len(start)), np.zeros(len(start))
    radii = np.zeros(rows.count)
    for _ in range(PASSES if exact else 3):
        weights = np.vstack([rows.rigid.weights, strings.weights * slopes[:, None]])
        # Each string's margin as a straight line through what is known of it last.
        found = fill(weights, np.concatenate([rows.rigid.margins, margins + slopes * used]), most)
        settled = float(np.abs(found - radii).max(initial=0.0)) < _CLOSE
        radii = found
        if settled or not len(start):
            break
        left, taken = _margins(strings, radii, exact=exact), strings.weights @ radii
        step = taken - used
        fall = (margins - left) / np.where(np.abs(step) > SAME, step, 1.0)
        slopes = np.where(np.abs(step) > SAME, np.clip(fall, _LEAST_SLOPE, _MOST_SLOPE), slopes)
        margins, used = left, taken
    return _shrunk(rows, radii, exact=exact)


def _margins(strings: StringSlack, radii: Floats, *, exact: bool) -> Floats:
    """What is left of each string's margin, exactly where it matters."""
    margins = strings.at_least(radii)
    if exact:
        near = np.flatnonzero(margins < NEAR)
        margins[near] = worst_of(strings, radii, near)[0]
    return margins


def _shrunk(rows: Rows, radii: Floats, *, exact: bool) -> Floats:
    """Radii made a little smaller until no string's margin is used up."""
    strings = rows.strings
    for _ in range(40):
        margins = _margins(strings, radii, exact=exact)
        over = np.flatnonzero(margins < 0)
        if not len(over):
            return radii
        for k in over.tolist():
            start = max(strings.margins[k], 0.0)
            share = start / (start - margins[k]) * (1 - 1e-6)
            moving = strings.weights[k] > 0
            radii = np.where(moving, radii * share, radii)
    return np.where((strings.weights[over] > 0).any(axis=0), 0.0, radii)
