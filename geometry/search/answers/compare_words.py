"""A comparison of two heads as words: the same cells for sheets, tables and the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.checks.judge import Finding, Level
from geometry.checks.words import COUNTS
from geometry.search.answers.compare import (
    SHOWN,
    WORST_FIRST,
    Better,
    CheckLine,
    Comparison,
    HoleLine,
    Number,
)
from geometry.trade.quantities import UNKNOWN, Unit, show_quantity, show_radius, with_sign
from geometry.trade.units import Units

NAMES = ("A", "B")
"""What the two heads are called in tables."""

SIGNS = {Level.STOP: "■", Level.WATCH: "▲", Level.FINE: "✓"}


def say_change(change: float | None, unit: Unit, units: Units) -> str:
    """A difference with its sign; "=" where it does not show."""
    if change is None:
        return UNKNOWN
    if abs(change) < SHOWN[unit]:
        return "="
    return with_sign(show_quantity(change, unit, units))


def say_better(better: Better) -> str:
    """Which head a line speaks for."""
    return {"one": NAMES[0], "two": NAMES[1], "same": ""}[better]


def say_finding(finding: Finding | None, units: Units) -> str:
    """The sign of a level and what was measured."""
    if finding is None:
        return UNKNOWN
    if finding.measured is None:
        return f"{SIGNS[finding.level]} unknown"
    if finding.check in COUNTS:
        return SIGNS[finding.level]
    return f"{SIGNS[finding.level]} {show_quantity(finding.measured, finding.unit, units)}"


NUMBER_HEADS = ("", *NAMES, "B minus A", "better")
CHECK_HEADS = ("Check", *NAMES, "margin, B minus A", "better")
HOLE_HEADS = ("Hole", "apart", "ring A", "ring B", "splay A", "splay B", "break A", "break B", "better")


def number_cells(number: Number, units: Units) -> tuple[str, ...]:
    """A line of the table of quantities."""
    return (
        number.name,
        *_pair(number, units),
        say_change(number.change, number.unit, units),
        say_better(number.better),
    )


def check_cells(line: CheckLine, units: Units) -> tuple[str, ...]:
    """A line of the table of checks."""
    change = say_change(line.change, line.unit, units) if line.check not in COUNTS else UNKNOWN
    return (
        line.check,
        say_finding(line.one, units),
        say_finding(line.two, units),
        change,
        say_better(line.better),
    )


def hole_cells(line: HoleLine, units: Units) -> tuple[str, ...]:
    """A line of the table of holes; what is better is told of ring and splay."""
    apart = UNKNOWN if line.apart is None else say_change(line.apart, "mm", units).removeprefix("+")
    told = [
        f"{say_better(each.better)}: {each.name}" for each in (line.ring, line.splay) if each.better != "same"
    ]
    numbers = (line.ring, line.splay, line.break_angle)
    return (line.label, apart, *(cell for each in numbers for cell in _pair(each, units)), ", ".join(told))


def _pair(number: Number, units: Units) -> tuple[str, str]:
    return _say(number, number.one, units), _say(number, number.two, units)


def _say(number: Number, value: float | None, units: Units) -> str:
    if value is None:
        return UNKNOWN
    if "ring" in number.name:
        return show_radius(value, units)
    return show_quantity(value, number.unit, units)


def differing(lines: Sequence[CheckLine]) -> tuple[CheckLine, ...]:
    """The checks that differ or are not fine on one of the heads, what is worst on either first."""
    told = [
        line
        for line in lines
        if line.better != "same" or (line.one is None) != (line.two is None) or line.worst is not Level.FINE
    ]
    return tuple(sorted(told, key=lambda line: WORST_FIRST[line.worst]))


def say_verdicts(found: Comparison) -> Iterator[str]:
    """What can be said of both heads in a sentence or two."""
    levels = [side.level for side in (found.one, found.two)]
    if levels[0] is not levels[1]:
        loser = 0 if levels[0] is Level.STOP or levels[1] is Level.FINE else 1
        words = "has something at stop" if levels[loser] is Level.STOP else "has something to look at"
        less = "only something to look at" if levels[1 - loser] is Level.WATCH else "nothing"
        yield f"{NAMES[loser]} {words}, {NAMES[1 - loser]} {less}."
    count = {side: sum(line.better == side for line in found.checks) for side in ("one", "two", "same")}
    equal = {0: "none is equal", 1: "1 is equal"}.get(count["same"], f"{count['same']} are equal")
    yield (
        f"Of {len(found.checks)} checks {NAMES[0]} is better on {count['one']}, {NAMES[1]} on {count['two']}; "
        f"{equal}."
    )
