"""Measured quantities held against their limits."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum

import msgspec
import numpy as np

from geometry.build.build import Build
from geometry.checks import hardware, outline, strings, wood
from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Floats, Gaps, Part
from geometry.layout.layout import Layout, lay_out
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.limits import Sense, Unit

Check = Callable[[Facts], Gaps]


class Level(StrEnum):
    """How bad it is; `stop`: it cannot be assembled, or wood fails."""

    STOP = "stop"
    WATCH = "watch"
    FINE = "fine"


class Finding(msgspec.Struct, frozen=True):
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
    note: str = ""


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
    strings.first_post,
    strings.first_washer,
    strings.first_button,
    strings.order,
)

CHECKS: tuple[Check, ...] = EDGE_CHECKS + OTHER_CHECKS


def findings(build: Build, layout: Layout | None = None) -> tuple[Finding, ...]:
    """All findings of a build, worst first; every check says something of every part it is about."""
    facts = facts_of(build, layout or lay_out(build))
    sound = outline.outline_is_sound(facts.layout.edge)
    found: list[Finding] = []
    for check in CHECKS:
        if check in EDGE_CHECKS and not sound:
            found.append(_cannot_tell(check, facts))
        else:
            found += judge(check(facts))
    return tuple(sorted(found, key=_worst_first))


def worst(found: Iterable[Finding]) -> Level:
    """The worst level among findings; fine without any."""
    levels = {finding.level for finding in found}
    return next((level for level in (Level.STOP, Level.WATCH) if level in levels), Level.FINE)


_ORDER = {Level.STOP: 0, Level.WATCH: 1, Level.FINE: 2}


def _worst_first(finding: Finding) -> tuple[int, float]:
    return _ORDER[finding.level], finding.margin if finding.margin is not None else 0.0


def _cannot_tell(check: Check, facts: Facts) -> Finding:
    rule = facts.rule(check.__name__.replace("_", " "))
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


def judge(measured: Gaps) -> list[Finding]:
    """The closest quantity of each part against its limits."""
    margin, level = _margins(measured)
    return [_finding(measured, int(k), float(margin[k]), int(level[k])) for k in _closest(measured, margin)]


def _margins(measured: Gaps) -> tuple[Floats, Floats]:
    """Distances to the limits, and levels: 0 stop, 1 watch, 2 fine. NEVER compares as passed."""
    sign = 1.0 if measured.sense == "at least" else -1.0
    to_stop = sign * (measured.measured - measured.stop)
    to_watch = sign * (measured.measured - measured.watch)
    margin = np.where(np.isnan(measured.stop), to_watch, to_stop)
    level = np.where(to_stop < -SAME, 0, np.where(to_watch < -SAME, 1, 2))
    return margin, level.astype(float)


def _closest(measured: Gaps, margin: Floats) -> list[int]:
    """Quantities that are the closest one of their part or of their other part, in their order."""
    best: dict[int, int] = {}
    values = margin.tolist()
    for k, (i, j) in enumerate(zip(measured.i.tolist(), measured.j.tolist(), strict=True)):
        for part in (i, j) if j >= 0 else (i,):
            if part not in best or values[k] < values[best[part]]:
                best[part] = k
    return sorted(set(best.values()))


_LEVELS = (Level.STOP, Level.WATCH, Level.FINE)


def _finding(measured: Gaps, k: int, margin: float, level: int) -> Finding:
    i, j = int(measured.i[k]), int(measured.j[k])
    parts = measured.parts
    here, there = measured.here[k], measured.there[k]
    return Finding(
        check=measured.rule.name,
        level=_LEVELS[level],
        measured=float(measured.measured[k]),
        watch=_or_none(float(measured.watch[k])),
        stop=_or_none(float(measured.stop[k])),
        margin=margin,
        unit=measured.unit,
        sense=measured.sense,
        where=(Point(float(here[0]), float(here[1])), Point(float(there[0]), float(there[1]))),
        about=(parts[i],) if j < 0 else (parts[i], parts[j]),
        note=measured.notes[k] if measured.notes else "",
    )


def _or_none(limit: float) -> float | None:
    return None if limit != limit else limit  # NEVER is a NaN
