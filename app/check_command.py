"""`pegwright check`: builds held against every limit."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import Any

from app.files import load_build
from app.messages import Refusal, complain, report
from geometry.build.lengths import Units
from geometry.checks.judge import Finding, Level, findings, worst
from geometry.checks.words import say


def run(chosen: argparse.Namespace) -> int:
    """Check every file and return the exit code; an unreadable one does not keep the others from being checked."""
    from app.cli import DONE, FAILED, STOPPED

    results: dict[str, list[dict[str, Any]]] = {}
    levels = set()
    failed = False
    for path in chosen.files:
        try:
            found = check(path)
        except Refusal as refusal:
            complain(str(refusal))
            failed = True
            continue
        levels.add(worst(found))
        if chosen.json:
            results[str(path)] = [as_json(finding, chosen.units) for finding in found]
        else:
            print(report(str(path), found, everything=chosen.all, units=chosen.units))
    if chosen.json:
        print(json.dumps(results, indent=2, ensure_ascii=False))
    if failed:
        return FAILED
    return STOPPED if Level.STOP in levels else DONE


def check(path: Path) -> tuple[Finding, ...]:
    """The findings of a file; Refusal when it cannot be read."""
    return findings(load_build(path))


def as_json(finding: Finding, units: Units) -> dict[str, Any]:
    """A finding as plain data: lengths in mm, angles in degrees, places in head mm."""
    where = [[point.x, point.y] for point in finding.where] if finding.where else None
    return {
        "check": finding.check,
        "level": str(finding.level),
        "measured": finding.measured,
        "watch": finding.watch,
        "stop": finding.stop,
        "margin": finding.margin,
        "unit": finding.unit,
        "about": [part.name for part in finding.about],
        "where": where,
        "words": say(finding, units),
    }
