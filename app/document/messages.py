"""What the command line says to people: one line for an error, a few for findings."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping, Sequence

from geometry.checks.judge import Finding, Level
from geometry.checks.words import headline, say
from geometry.trade.escapes import in_json, on_one_line
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

MARKS = {Level.STOP: "STOP ", Level.WATCH: "watch", Level.FINE: "fine "}

Progress = Callable[[int, int], None]
"""Told how many steps of how many are done; may raise to end the work."""


class Refusal(Exception):  # noqa: N818 - it is not a fault of the program
    """Something that cannot be done; the text is one sentence for the user."""


def tell(*lines: str) -> None:
    """Lines on stdout, each one line whatever the names in it hold."""
    print("\n".join(map(on_one_line, lines)))


def tell_json(value: object) -> None:
    """Plain data on stdout as JSON, in which nothing steers a terminal."""
    print(in_json(json.dumps(value, indent=2, ensure_ascii=False)))


def complain(text: str) -> None:
    """One line on stderr; nothing where that is closed, for print would take stdout instead."""
    if sys.stderr is not None:
        print(f"pegwright: {on_one_line(text)}", file=sys.stderr)


NO_ADVICE: Mapping[Finding, str] = {}
NO_CURES: Mapping[Finding, Sequence[str]] = {}


def report(
    name: str,
    found: Sequence[Finding],
    *,
    everything: bool,
    units: Units,
    advice: Mapping[Finding, str] = NO_ADVICE,
    cures: Mapping[Finding, Sequence[str]] = NO_CURES,
) -> list[str]:
    """The findings of one build as lines of text, worst first, each with what is advised about it.

    Beneath each stands what cures it.
    """
    shown = [finding for finding in found if everything or finding.level is not Level.FINE]
    lines = [f"{name}: {headline(found)}"]
    told = [finding for finding in shown if finding.measured is not None]
    # What is true of several places reads alike: once is enough.
    once: dict[str, Finding] = {}
    for each in told:
        once.setdefault(f"  {MARKS[each.level]}  {say(each, units)} {advice.get(each, '')}".rstrip(), each)
    for line, each in once.items():
        lines += [line, *(f"           {cure}" for cure in cures.get(each, ()))]
    untold = [finding for finding in shown if finding.measured is None]
    if untold:
        names = ", ".join(finding.check for finding in untold)
        lines.append(f"  {MARKS[Level.WATCH]}  {say_note(untold[0].note, units)} That goes for: {names}.")
    return lines
