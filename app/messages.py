"""What the command line says to people: one line for an error, a few for findings."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from geometry.build.lengths import Units
from geometry.checks.judge import Finding, Level, worst
from geometry.checks.words import say

MARKS = {Level.STOP: "STOP ", Level.WATCH: "watch", Level.FINE: "fine "}


class Refusal(Exception):  # noqa: N818 - it is not a fault of the program
    """Something that cannot be done; the text is one sentence for the user."""


def one_line(text: str) -> str:
    """The text without line breaks, for an error on stderr."""
    return " ".join(text.split())


def complain(text: str) -> None:
    """One line on stderr; nothing where that is closed, for print would take stdout instead."""
    if sys.stderr is not None:
        print(f"pegwright: {one_line(text)}", file=sys.stderr)


def headline(found: Sequence[Finding]) -> str:
    """One sentence that says whether the head can be drilled."""
    level = worst(found)
    stops = sum(finding.level is Level.STOP for finding in found)
    watches = sum(finding.level is Level.WATCH for finding in found)
    if level is Level.STOP:
        return f"Do not drill: {_counted(stops, 'finding')} must be cured first."
    if level is Level.WATCH:
        return f"It can be drilled; {_counted(watches, 'finding')} to look at before."
    return "It can be drilled: everything clears."


def report(name: str, found: Sequence[Finding], *, everything: bool, units: Units) -> str:
    """The findings of one build as lines of text, worst first."""
    shown = [finding for finding in found if everything or finding.level is not Level.FINE]
    lines = [f"{name}: {headline(found)}"]
    told = [finding for finding in shown if finding.measured is not None]
    lines += [f"  {MARKS[finding.level]}  {say(finding, units)}" for finding in told]
    untold = [finding for finding in shown if finding.measured is None]
    if untold:
        names = ", ".join(finding.check for finding in untold)
        lines.append(f"  {MARKS[Level.WATCH]}  {untold[0].note} That goes for: {names}.")
    return "\n".join(lines)


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"
