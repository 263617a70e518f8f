"""What cures each finding, as lines of text."""

from __future__ import annotations

from geometry.checks.judge import Finding, Level
from geometry.curing.case import Head, head_of
from geometry.curing.cures import cures_of
from geometry.curing.words import say_cure
from geometry.document.build import Build
from geometry.trade.shop import Shop


def cures_in_words(build: Build, shop: Shop) -> dict[Finding, list[str]]:
    """What cures each finding of a build, one line for each cure, in the units of the shop."""
    head = head_of(build, shop)
    return {each: _cure_lines(head, each) for each in head.found if each.level is not Level.FINE}


def _cure_lines(head: Head, finding: Finding) -> list[str]:
    told = cures_of(head, finding)
    lines = [f"{say_cure(each, head.units)}." for each in told.cures]
    if told.placement:
        lines.append("Look for a placement that clears: pegwright best.")
    return [*lines, told.hand] if told.hand else lines
