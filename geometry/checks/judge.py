"""Measured quantities held against their limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum
from typing import Any

import msgspec
import numpy as np

from geometry.checks import bore, hardware, load, outline, rows, stress, strings, wood
from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Gaps, Part
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.close import Floats, Indices
from geometry.shape.point import Point
from geometry.shape.tolerance import PASS
from geometry.trade.limits import Rule, Sense, Unit
from geometry.trade.sentence import Note

Check = Callable[[Facts], Gaps]


class Level(StrEnum):
    """How bad it is; `stop`: it cannot be assembled, or wood fails."""

    STOP = "stop"
    WATCH = "watch"
    FINE = "fine"


class Finding(msgspec.Struct, frozen=True, gc=False):
    """The result of one check for one part or pair.

    `measured`, `watch` and `stop` are in `unit`; a limit that is never reached is None, and so is a quantity that
    cannot be told. `margin` is how far the quantity is from its stop limit (from its watch limit where there is no
    other), negative beyond it. `where` are the ends of the dimension, `note` a sentence that goes with it.
    """

    check: str
    level: Level
    measured: float | None
    watch: float | None
    stop: float | None
    margin: float | None
    unit: Unit
    sense: Sense
    where: tuple[Point, Point] | None
    about: tuple[Part, ...]
    note: Note = ""


EDGE_CHECKS: tuple[Check, ...] = (
    wood.wall,
    wood.end_distance,
    hardware.washer_gap,
    hardware.seat,
    hardware.button_to_edge,
    hardware.screw_to_edge,
    strings.string_over_wood,
    outline.width_at_nut,
    outline.overhang_at_nut,
    outline.cutter_radius,
    wood.blank,
)
"""Checks that mean nothing while the outline is open or crosses itself."""

OTHER_CHECKS: tuple[Check, ...] = (
    outline.outline,
    outline.placement,
    bore.bore_fit,
    bore.tuner_measures,
    load.hardest_pull,
    load.thickest_string,
    wood.web,
    wood.into_the_nut,
    wood.thickness,
    wood.keep_clear,
    wood.scar,
    hardware.body_gap,
    hardware.butting_body_gap,
    hardware.seat_on_flat_back,
    hardware.button_gap,
    hardware.screw_to_hole,
    hardware.screw_to_own_bore,
    hardware.screw_depth,
    hardware.piece,
    strings.string_to_post,
    strings.string_to_string,
    strings.string_over_washers,
    strings.string_over_covers,
    strings.wraps,
    strings.splay,
    strings.break_at_nut,
    strings.high_break,
    stress.string_stress,
    strings.first_post,
    strings.first_washer,
    strings.first_button,
    strings.retainer,
    strings.order,
    rows.plate_fit,
    rows.evenness,
)

CHECKS: tuple[Check, ...] = EDGE_CHECKS + OTHER_CHECKS


TOLD_ANYWAY = frozenset(
    {"outline", "placement", "piece", "bore fit", "tuner measures", "hardest pull", "thickest string"}
)
"""Checks that do not depend on where the edge is."""


def findings(build: Build, layout: Layout | None = None) -> tuple[Finding, ...]:
    """All findings of a build, worst first; every check says something of every part it is about."""
    facts = facts_of(build, layout or lay_out(build))
    sound = outline.outline_is_sound(facts.layout.edge)
    measured = [check(facts) for check in (CHECKS if sound else OTHER_CHECKS)]
    found = judge([each for each in measured if len(each.measured)])
    if not sound:
        # What rows on a bad edge seem to clear proves nothing; what they break is worth saying.
        doubtful = {finding.check for finding in found if finding.level is Level.FINE} - TOLD_ANYWAY
        rules = [facts.rule(check.__name__.replace("_", " ")) for check in EDGE_CHECKS]
        rules += [each.rule for each in measured if each.rule.name in doubtful]
        found = [each for each in found if each.level is not Level.FINE or each.check in TOLD_ANYWAY]
        found += [_cannot_tell(rule) for rule in {rule.name: rule for rule in rules}.values()]
        # The outline first: most of what else is broken follows from it.
        found.sort(key=lambda each: (each.check != "outline", *_worst_first(each)))
    return tuple(found)


def worst(found: Iterable[Finding]) -> Level:
    """The worst level among findings; fine without any."""
    levels = {finding.level for finding in found}
    return next((level for level in (Level.STOP, Level.WATCH) if level in levels), Level.FINE)


_ORDER = {Level.STOP: 0, Level.WATCH: 1, Level.FINE: 2}


def _worst_first(finding: Finding) -> tuple[int, float]:
    return _ORDER[finding.level], finding.margin if finding.margin is not None else 0.0


def _cannot_tell(rule: Rule) -> Finding:
    return Finding(
        check=rule.name,
        level=Level.WATCH,
        measured=None,
        watch=rule.watch.least if rule.watch else None,
        stop=rule.stop.least if rule.stop else None,
        margin=None,
        unit=rule.unit,
        sense=rule.sense,
        where=None,
        about=(outline.HEAD,),
        note="Not known until the outline is closed and does not cross itself.",
    )


def judge(measured: list[Gaps]) -> list[Finding]:
    """The closest quantity of each part against its limits, worst first.

    All quantities are compared in one go: most checks have few, and asking numpy once costs less than asking often.
    """
    if not measured:
        return []
    all_ = _All.of(measured)
    to_stop, to_watch = all_.sign * (all_.values - all_.stop), all_.sign * (all_.values - all_.watch)
    # Plus zero: a margin of none is 0, not -0.
    margin = np.where(np.isnan(to_stop), to_watch, to_stop) + 0.0
    # NEVER compares as passed.
    level = np.where(to_stop < -PASS, 0, np.where(to_watch < -PASS, 1, 2))
    # Rounding does not decide which of two like parts is closest or comes first.
    rank = np.round(margin, 9)
    chosen = all_.closest(rank)
    chosen = chosen[np.lexsort((rank[chosen], level[chosen]))]
    columns = (all_.check, all_.row, all_.i, all_.j, level, all_.values, all_.watch, all_.stop, margin)
    return _told(measured, zip(*(each[chosen].tolist() for each in (*columns, all_.ends)), strict=True))


class _All(msgspec.Struct, frozen=True):
    """The quantities (k,) of several checks one after the other: number of the check, row in it, what it holds.

    `sign` is -1 where a quantity must not be larger than its limits, `j` -1 where there is no other part.
    """

    check: Indices
    row: Indices
    i: Indices
    j: Indices
    values: Floats
    sign: Floats
    watch: Floats
    stop: Floats
    ends: Floats

    @classmethod
    def of(cls, measured: list[Gaps]) -> _All:
        """All of them; at least one check."""
        counts = [len(each.measured) for each in measured]
        firsts = np.cumsum([0, *counts])[:-1]
        check = np.repeat(np.arange(len(counts)), counts)
        sign, watch, stop = np.empty((3, len(check)))
        j = np.full(len(check), -1)
        for each, first, count in zip(measured, firsts.tolist(), counts, strict=True):
            span = slice(first, first + count)
            sign[span] = 1.0 if each.rule.sense == "at least" else -1.0
            watch[span], stop[span] = each.watch, each.stop
            if each.j is not None:
                j[span] = each.j
        i, values = (np.concatenate([getattr(each, name) for each in measured]) for name in ("i", "measured"))
        here, there = (
            np.concatenate([getattr(each, name) for each in measured]) for name in ("here", "there")
        )
        row = np.arange(len(check)) - firsts[check]
        return cls(check, row, i, j, values, sign, watch, stop, np.hstack([here, there]))

    def closest(self, margin: Floats) -> Indices:
        """Those that are the closest one of their part or of their other part, in their order."""
        paired = np.flatnonzero(self.j >= 0)
        own = np.concatenate([np.arange(len(margin)), paired])
        part = np.concatenate([self.i, self.j[paired]])
        # Each part of each check has a number of its own.
        whose = self.check[own] * (part.max(initial=0) + 1) + part
        closest = np.full(whose.max(initial=-1) + 1, -1)
        # The least is written last, and of equals the first.
        order = np.argsort(margin[own], kind="stable")[::-1]
        closest[whose[order]] = own[order]
        told = np.zeros(len(margin), bool)
        told[closest[closest >= 0]] = True
        return np.flatnonzero(told)


_LEVELS = (Level.STOP, Level.WATCH, Level.FINE)


def _told(measured: list[Gaps], rows: Iterable[tuple[Any, ...]]) -> list[Finding]:
    """The findings of rows as `judge` has them; in one loop, for there are hundreds at every move of a hand."""
    found = []
    for check, row, i, j, level, value, watch, stop, margin, (x, y, other_x, other_y) in rows:
        gaps = measured[check]
        rule, parts = gaps.rule, gaps.parts
        # By position: names of arguments would cost as much again.
        one = Finding(
            rule.name,
            _LEVELS[level],
            value,
            # NEVER is a NaN.
            watch if watch == watch else None,
            stop if stop == stop else None,
            margin,
            rule.unit,
            rule.sense,
            (Point(x, y), Point(other_x, other_y)),
            (parts[i],) if j < 0 else (parts[i], parts[j]),
            gaps.notes[row] if gaps.notes else "",
        )
        found.append(one)
    return found
