"""The oracle's quantities against the findings that `check --json --all` prints."""

from __future__ import annotations

import math
from collections import defaultdict

from tests.oracle.curve import Json
from tests.oracle.gaps import AT_LEAST, AT_MOST, NEAR, Gap

COMPARED = (set(AT_LEAST) | set(AT_MOST) | {"web"}) - {"web along grain", "web across grain"}
"""Checks that the oracle has an opinion on."""

Key = tuple[str, frozenset[str]]


def disagreements(found: list[Gap], findings: list[Json]) -> list[str]:
    """What the two say differently, in words.

    The findings hold only the closest quantity of each part; so each is looked up, and then the closest quantity of
    every part must be among them.
    """
    if any(gap.check == "outline" and gap.level == "stop" for gap in found):
        findings = [finding for finding in findings if finding["check"] == "outline"]
    findings = [finding | _yes_or_no(finding) for finding in findings]
    if _no_side(found, findings):
        return []
    mine: dict[Key, list[Gap]] = defaultdict(list)
    for gap in found:
        mine[gap.check, frozenset(gap.parts)].append(gap)
    theirs: dict[Key, Json] = {}
    # A washer with a hexagon on it makes two findings of one name: the closest is meant.
    for finding in sorted(findings, key=lambda each: float(each["margin"] or 0.0), reverse=True):
        if finding["check"] in COMPARED:
            theirs[_key(finding)] = finding
    said = []
    for key, finding in theirs.items():
        said += _one(mine.get(key, []), finding)
    return said + _closest(found, list(theirs.values()))


def _no_side(found: list[Gap], findings: list[Json]) -> bool:
    """Whether a row that reaches round the tip has a place for one and none for the other."""
    faint = any(gap.check == "placement" and gap.faint and gap.level == "fine" for gap in found)
    return faint and any(each["check"] == "placement" and each["level"] == "stop" for each in findings)


def _yes_or_no(finding: Json) -> Json:
    """How many rows and strings have no place is the program's own count."""
    return {"measured": float(finding["measured"] > 0)} if finding["check"] == "placement" else {}


def _key(finding: Json) -> Key:
    """Check and parts; the name of the edge or of a hollow is the program's own."""
    about = finding["about"]
    if finding["check"] == "cutter radius":
        about = ["hollow"]
    elif finding["check"] not in ("blank", "width at nut", "overhang at nut"):
        about = [part for part in about if not part.endswith(" edge")]
    return finding["check"], frozenset(about)


def _one(gaps: list[Gap], finding: Json) -> list[str]:
    name = f"{finding['check']} {finding['about']}"
    if not gaps:
        return [f"{name}: {finding['measured']}, which the oracle does not know"]
    gap = min(gaps, key=_tightness)
    if gap.faint:
        return []
    measured, near = finding["measured"], gap.near
    said = []
    if gap.overlaps:
        if measured > near:
            said.append(f"{name}: {measured}, where the oracle finds an overlap of {gap.measured:.4f}")
    elif abs(measured - gap.measured) > near:
        said.append(f"{name}: {measured:.4f}, oracle {gap.measured:.4f}")
    for level in ("watch", "stop"):
        one, two = finding[level], getattr(gap, level)
        if (one is None) != (two is None) or (one is not None and abs(one - two) > NEAR):
            said.append(f"{name}: {level} below {one}, oracle {two}")
    if finding["level"] != gap.level and not said and not _close_call(gap):
        said.append(f"{name}: {finding['level']} at {measured}, oracle {gap.level} at {gap.measured}")
    return said


def _tightness(gap: Gap) -> float:
    return gap.margin(gap.stop if gap.stop is not None else gap.watch)


def _close_call(gap: Gap) -> bool:
    return any(abs(gap.margin(limit)) <= gap.near for limit in (gap.watch, gap.stop))


def _closest(found: list[Gap], findings: list[Json]) -> list[str]:
    """Parts whose closest quantity is missing among the findings."""
    least: dict[tuple[str, str], float] = defaultdict(lambda: math.inf)
    for finding in findings:
        for part in _key(finding)[1]:
            key = finding["check"], part
            least[key] = min(least[key], finding["margin"])
    said = []
    tightest: dict[tuple[str, str], Gap] = {}
    for gap in found:
        for part in gap.parts:
            if gap.faint:
                continue
            before = tightest.get((gap.check, part))
            if before is None or _tightness(gap) < _tightness(before):
                tightest[gap.check, part] = gap
    for (check, part), gap in tightest.items():
        lost = least[check, part] > _tightness(gap) + gap.near
        if lost and not (gap.overlaps and least[check, part] <= gap.near):
            said.append(
                f"{check} {gap.parts}: the oracle finds {gap.measured:.4f} ({gap.level}), missing for {part}"
            )
    return said
