"""Measured quantities held against their limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum

import msgspec
import numpy as np

from geometry.checks import bore, hardware, outline, rows, stress, strings, wood
from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Gaps, Part
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.point import Point
from geometry.shape.tolerance import PRINT
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


TOLD_ANYWAY = frozenset({"outline", "placement", "piece", "bore fit"})
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
    return tuple(sorted(found, key=_worst_first))


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
        note="Cannot be told while the outline is open or crosses itself.",
    )


def judge(measured: list[Gaps]) -> list[Finding]:
    """The closest quantity of each part against its limits, check by check.

    All quantities are compared in one go: most checks have few, and asking numpy once costs less than asking often.
    """
    if not measured:
        return []
    margin, level, watch, stop = _margins(measured)
    found: list[Finding] = []
    first = 0
    for each in measured:
        span = slice(first, first + len(each.measured))
        found += _findings(each, margin[span], level[span], watch[span], stop[span])
        first = span.stop
    return found


def _margins(measured: list[Gaps]) -> tuple[list[float], list[int], list[float], list[float]]:
    """Distances to the limits, levels (0 stop, 1 watch, 2 fine), and the limits. NEVER compares as passed."""
    values = np.concatenate([each.measured for each in measured])
    sign, watch, stop = np.empty((3, len(values)))
    first = 0
    for each in measured:
        span = slice(first, first + len(each.measured))
        sign[span] = 1.0 if each.rule.sense == "at least" else -1.0
        watch[span], stop[span] = each.watch, each.stop
        first = span.stop
    to_stop, to_watch = sign * (values - stop), sign * (values - watch)
    # Plus zero: a margin of none is 0, not -0.
    margin = np.where(np.isnan(to_stop), to_watch, to_stop) + 0.0
    # What is asked of chords of the edge may be short by less than PRINT / 2.
    level = np.where(to_stop < -PRINT / 2, 0, np.where(to_watch < -PRINT / 2, 1, 2))
    return margin.tolist(), level.tolist(), watch.tolist(), stop.tolist()


def _closest(gaps: Gaps, margin: list[float]) -> list[int]:
    """Quantities that are the closest one of their part or of their other part, in their order."""
    first = gaps.i.tolist()
    if gaps.j is None and len(set(first)) == len(first):
        return list(range(len(first)))
    best: dict[int, int] = {}
    for of_part in (first,) if gaps.j is None else (first, gaps.j.tolist()):
        for k, part in enumerate(of_part):
            if part not in best or margin[k] < margin[best[part]]:
                best[part] = k
    return sorted(set(best.values()))


_LEVELS = (Level.STOP, Level.WATCH, Level.FINE)


def _findings(
    gaps: Gaps, margin: list[float], level: list[int], watch: list[float], stop: list[float]
) -> list[Finding]:
    chosen = _closest(gaps, margin)
    i, values = gaps.i.tolist(), gaps.measured.tolist()
    j = None if gaps.j is None else gaps.j.tolist()
    here, there, parts, rule = gaps.here[chosen].tolist(), gaps.there[chosen].tolist(), gaps.parts, gaps.rule
    return [
        Finding(
            check=rule.name,
            level=_LEVELS[level[k]],
            measured=values[k],
            watch=_or_none(watch[k]),
            stop=_or_none(stop[k]),
            margin=margin[k],
            unit=rule.unit,
            sense=rule.sense,
            where=(Point(*one), Point(*two)),
            about=(parts[i[k]],) if j is None else (parts[i[k]], parts[j[k]]),
            note=gaps.notes[k] if gaps.notes else "",
        )
        for k, one, two in zip(chosen, here, there, strict=True)
    ]


def _or_none(limit: float) -> float | None:
    return None if limit != limit else limit  # NEVER is a NaN
