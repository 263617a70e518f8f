"""What the list of findings shows, row by row, and the words and numbers of each row."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence

import msgspec
from PySide6.QtCore import QCoreApplication

from geometry.checks.judge import Finding, Level, worst
from geometry.checks.words import headline
from geometry.trade.limits import DEFAULT_RULES, ChangedLimit, Rule
from geometry.trade.quantities import show_quantity
from geometry.trade.units import Units

Identity = tuple[str, tuple[tuple[str, str], ...]]
"""What a finding is about, whatever was measured: its check, kinds and keys of its parts."""


class FindingRow(msgspec.Struct, frozen=True, gc=False):
    """A row with one finding."""

    finding: Finding


class LimitsRow(msgspec.Struct, frozen=True, gc=False):
    """The row under a finding in which its limits are changed."""

    check: str


class CuresRow(msgspec.Struct, frozen=True, gc=False):
    """The row under a finding that tells what cures it."""

    check: str


class FoldRow(msgspec.Struct, frozen=True, gc=False):
    """The row that counts what is fine, and opens and folds it."""

    count: int
    opened: bool


ListRow = FindingRow | CuresRow | LimitsRow | FoldRow


def identity(finding: Finding) -> Identity:
    """What tells a finding from others of its build, and finds it again after a change."""
    return finding.check, tuple((part.kind, part.key) for part in finding.about)


def found_again(finding: Finding, findings: Iterable[Finding]) -> Finding | None:
    """The finding of the same check and parts among those of another build, None where there is none."""
    wanted = identity(finding)
    return next((each for each in findings if each.check == finding.check and identity(each) == wanted), None)


def first_fine(found: Sequence[Finding]) -> int:
    """Where the fine ones begin among findings that come worst first."""
    return bisect_left(found, True, key=lambda each: each.level is Level.FINE)


def rows_of(
    found: Sequence[Finding],
    *,
    fine_shown: bool,
    limits_of: Identity | None,
    cures_of: Identity | None = None,
) -> list[ListRow]:
    """The rows: what stops and what to watch, then what is fine, folded to a line.

    The finding whose limits are being changed stays in sight when it becomes fine; what is fine has no cures.
    """
    bad = first_fine(found)
    limits = None if limits_of is None else _place(found, limits_of)
    cures = None if cures_of is None else _place(found[:bad], cures_of)

    def with_rooms(places: Iterable[int]) -> Iterator[ListRow]:
        """Findings, each with what is open beneath it."""
        for place in places:
            yield FindingRow(found[place])
            if place == cures:
                yield CuresRow(found[place].check)
            if place == limits:
                yield LimitsRow(found[place].check)

    rows = [*with_rooms(range(bad))]
    if limits is not None and limits >= bad and not fine_shown:
        rows += with_rooms((limits,))
    if bad < len(found):
        rows.append(FoldRow(len(found) - bad, fine_shown))
    if fine_shown:
        rows += with_rooms(range(bad, len(found)))
    return rows


def _place(found: Sequence[Finding], wanted: Identity) -> int | None:
    check = wanted[0]
    return next((n for n, each in enumerate(found) if each.check == check and identity(each) == wanted), None)


# Numbers


class Bar(msgspec.Struct, frozen=True, gc=False):
    """Shares of a bar's length: how far it is filled, and where the limits stand, None where there is none."""

    filled: float
    watch: float | None
    stop: float | None


def bar_of(finding: Finding) -> Bar | None:
    """The margin of a finding as a bar, None for what is counted or cannot be told.

    The bar runs from half a limit's worth below the lowest limit to three quarters above the highest.
    """
    limits = [limit for limit in (finding.stop, finding.watch) if limit is not None]
    if finding.measured is None or not finding.unit or not limits:
        return None
    worth = max(max(abs(limit) for limit in limits), 1.0)
    low, high = min(limits) - 0.5 * worth, max(limits) + 0.75 * worth

    def share(value: float | None) -> float | None:
        return None if value is None else min(1.0, max(0.0, (value - low) / (high - low)))

    return Bar(filled=share(finding.measured) or 0.0, watch=share(finding.watch), stop=share(finding.stop))


def measured_words(finding: Finding, units: Units, room: float, width: Callable[[str], float]) -> str:
    """What was measured and what is asked for, as far as there is room; empty for what is counted.

    `width` tells how wide a text is, in the unit of `room`. The sentence of the finding says both in any case.
    """
    required = finding.stop if finding.level is Level.STOP or finding.watch is None else finding.watch
    if finding.measured is None or required is None or not finding.unit:
        return ""
    sign = "≥" if finding.sense == "at least" else "≤"
    measured = show_quantity(finding.measured, finding.unit, units)
    needed = show_quantity(required, finding.unit, units)
    # Where room is short the unit stands once.
    short = f"{measured.rpartition(' ')[0] or measured} ({sign} {needed})"
    told = (f"{measured} ({sign} {needed})", short, measured)
    return next((words for words in told if width(words) <= room), "")


# Words


def translated(text: str) -> str:
    """A text of the checks in the window's language."""
    return QCoreApplication.translate("Finding", text)


def verdict(found: Sequence[Finding]) -> tuple[Level, str]:
    """The worst level, and one sentence in the window's language that says whether the head can be drilled."""
    return worst(found), headline(found, translated)


# Limits


_SPLIT = {"web": ("web along grain", "web across grain")}
_RULES = {rule.name: rule for rule in DEFAULT_RULES}


def rules_of(check: str) -> tuple[Rule, ...]:
    """The default rules whose limits a check holds against; none for what is counted."""
    rules = (_RULES[name] for name in _SPLIT.get(check, (check,)))
    return tuple(rule for rule in rules if rule.unit)


def is_changed(check: str, changed: Sequence[ChangedLimit]) -> bool:
    """Whether a build holds a check against limits of its own."""
    names = _SPLIT.get(check, (check,))
    return any(each.rule in names for each in changed)
