"""`pegwright check`: builds held against every limit."""

from __future__ import annotations

import argparse
from typing import Any

from msgspec.structs import replace

from app import VERSION
from app.command_line.common import DONE, FAILED, STOPPED, own_shop
from app.document.files import load_build
from app.document.messages import NO_CURES, Refusal, complain, report, tell, tell_json
from app.document.naming import named
from export.fingerprint import fingerprint
from geometry.checks.judge import Finding, Level, findings, worst
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.trade.measured import say_typical
from geometry.trade.shop import Shop
from geometry.trade.units import Units


def run(chosen: argparse.Namespace) -> int:
    """Check every file and return the exit code; an unreadable one does not keep the others from being checked.

    The shop only chooses the drill that a sentence names, and with the build it is what the fingerprint is of: what is
    found is the same in every shop.
    """
    shop = own_shop(chosen.shop)
    results: dict[str, dict[str, Any]] = {}
    levels = set()
    failed = False
    for path in chosen.files:
        try:
            build = load_build(path)
        except Refusal as refusal:
            complain(str(refusal))
            failed = True
            continue
        layout, mark = lay_out(build), fingerprint(named(build, path), shop, VERSION)
        found = findings(build, layout)
        levels.add(worst(found))
        cures = _cures(build, replace(shop, units=chosen.units)) if chosen.cures else None
        if chosen.json:
            told = _results(build, layout, found, chosen.units, shop, cures)
            results[str(path)] = told | {"fingerprint": mark}
            continue
        # A cure names the drill as well.
        advised = {} if cures else {each: _advice(build, each, chosen.units, shop) for each in found}
        tell(
            *report(
                str(path),
                found,
                everything=chosen.all,
                units=chosen.units,
                advice=advised,
                cures=cures or NO_CURES,
            )
        )
        if typical := say_typical(post.hardware for post in layout.posts):
            tell(f"  {typical}")
        if chosen.rings:
            # Loaded when they are asked for, and so is advice: a plain check must start fast.
            from app.command_line.rings import ring_lines

            tell(*(f"  {line}" for line in ring_lines(build, layout, chosen.units)))
        tell(f"  Fingerprint {mark}.")
    if chosen.json:
        tell_json(results)
    if failed:
        return FAILED
    return STOPPED if Level.STOP in levels else DONE


def _cures(build: Build, shop: Shop) -> dict[Finding, list[str]]:
    """What cures each finding of a build, one line for each cure, in the units of the shop."""
    # Loaded when they are asked for: cures need every edit and every search.
    from geometry.curing.case import head_of
    from geometry.curing.cures import cures_of, say_cure

    head = head_of(build, shop)
    lines: dict[Finding, list[str]] = {}
    for finding in head.found:
        if finding.level is not Level.FINE:
            told = cures_of(head, finding)
            placement = ["Look for a placement that clears: pegwright best."] if told.placement else []
            hand = [told.hand] if told.hand else []
            lines[finding] = [*(f"{say_cure(each, head.units)}." for each in told.cures), *placement, *hand]
    return lines


def _advice(build: Build, finding: Finding, units: Units, shop: Shop) -> str:
    """What to do about a finding, as a sentence; empty where nothing is suggested."""
    if finding.check != "bore fit" or finding.level is Level.FINE:
        return ""
    from geometry.bench.bore_fit import advice
    from geometry.bench.fit_words import advice_words

    found = advice(build, finding.about[0].key, shop)
    return "" if found is None else f"{advice_words(found, units).capitalize()}."


def _results(
    build: Build,
    layout: Layout,
    found: tuple[Finding, ...],
    units: Units,
    shop: Shop,
    cures: dict[Finding, list[str]] | None,
) -> dict[str, Any]:
    from app.command_line.rings import rings_as_json

    told = [as_json(each, units, _advice(build, each, units, shop)) for each in found]
    if cures is not None:
        told = [{**words, "cures": cures.get(each, [])} for words, each in zip(told, found, strict=True)]
    return {"findings": told, **rings_as_json(build, layout, units)}


def as_json(finding: Finding, units: Units, advice: str = "") -> dict[str, Any]:
    """A finding as plain data: lengths in mm, angles in degrees, places in head mm; `advice` goes behind its words."""
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
        "words": f"{say(finding, units)} {advice}".strip(),
    }
