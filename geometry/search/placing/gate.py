"""The one gate of all proposals: both heads judged by the checks themselves, before anything is shown or written.

What is proposed never has more stops than the start, and no limit that the start breaks is broken further, in its own
unit: a height in mm of height, an angle in degrees, never by how far a hole would have to go for it. A stop that the
start has not may stand only where there are fewer of them in all. Limits that are only watched do not count here: what
a new watch, or more of an old one, must be worth is said in `geometry.search.placing.plain`.

The start is what the maker has without the proposal. For the best placement that is the build; for a missed hole the
head with the hole where it landed, for that cannot be undone. Another nut is the maker's own wish: it is made, whatever
it breaks, and what it breaks is said; only what is chosen for the maker, such as the best of several widths, must pass.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.shape.tolerance import PASS, SAME

Limit = tuple[str, frozenset[Part]]
"""One limit of a head: the check, and what it is about."""


def harm(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings of `after` that make a head worse than `before`, in their order: none lets a proposal pass."""
    broken = _broken(before)
    fewer = len(stops_of(after)) < len(stops_of(before))
    new = () if fewer else new_stops(before, after)
    return tuple(each for each in after if each in new or _is_further(each, broken))


def new_stops(before: Sequence[Finding], after: Sequence[Finding]) -> tuple[Finding, ...]:
    """The findings of `after` at stop whose limits are not at stop in `before`, or not as often."""
    known = Counter(limit_of(each) for each in stops_of(before))
    new = []
    for each in stops_of(after):
        known[limit_of(each)] -= 1
        if known[limit_of(each)] < 0:
            new.append(each)
    return tuple(new)


def stops_of(found: Iterable[Finding]) -> list[Finding]:
    """Those of the findings that are at stop."""
    return [each for each in found if each.level is Level.STOP]


def harms(start: Build, proposal: Build) -> tuple[Finding, ...]:
    """The same of two builds."""
    return () if proposal == start else harm(findings(start), findings(proposal))


def limit_of(finding: Finding) -> Limit:
    """An edge is everywhere: a bore that breaks out at another one still breaks out."""
    parts = frozenset(part for part in finding.about if part.kind != "edge")
    return finding.check, parts or frozenset(finding.about)


def _limits(finding: Finding) -> Iterable[Limit]:
    """The limit, and that of each part by itself: only its closest neighbour is told of every part."""
    check, parts = limit_of(finding)
    return {(check, parts), *((check, frozenset({part})) for part in parts)}


def _broken(found: Sequence[Finding]) -> dict[Limit, float]:
    """How far each limit is broken at most, in its own unit."""
    broken: dict[Limit, float] = {}
    for each in found:
        missing = _missing(each)
        for limit in _limits(each) if missing > PASS else ():
            broken[limit] = max(broken.get(limit, 0.0), missing)
    return broken


def _is_further(finding: Finding, broken: dict[Limit, float]) -> bool:
    return any(_missing(finding) > broken.get(limit, math.inf) + SAME for limit in _limits(finding))


def _missing(finding: Finding) -> float:
    return 0.0 if finding.margin is None or finding.stop is None else -finding.margin
