"""`pegwright refit`: the same head for another nut width."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from app.command_line.common import DONE, STOPPED, refuse_build
from app.command_line.given import nut_width_of
from app.document.files import load_build, write_whole
from app.document.messages import tell
from geometry.checks.judge import Level, findings, worst
from geometry.checks.words import headline
from geometry.document.codec import write_build
from geometry.layout.layout import lay_out
from geometry.search.placing.gate import harm
from geometry.search.refitting.refit import Widen, harmless_ways, refit
from geometry.search.refitting.refit_words import say_changes, say_harm


def run(chosen: argparse.Namespace) -> int:
    """Write the refitted build, say what changed and how it stands, and return the exit code."""
    refuse_build(chosen.output, force=chosen.force)
    build = load_build(chosen.file)
    width = nut_width_of(chosen.nut_width, chosen.units)
    there = refit(build, width, chosen.widen)
    layouts = lay_out(build), lay_out(there)
    found = findings(there, layouts[1])
    write_whole(chosen.output, write_build(there))
    tell(f"Wrote {chosen.output}. {headline(found)}")
    for sentence in say_changes(build, there, layouts, chosen.units):
        tell(f"  {sentence}")
    worse = harm(findings(build, layouts[0]), found)
    if worse:
        tell(f"  {say_harm(worse, chosen.units)}")
        tell(f"  {_say_ways(harmless_ways(build, width))}")
    return STOPPED if worst(found) is Level.STOP else DONE


def _say_ways(ways: Sequence[Widen | None]) -> str:
    """Which other ways for the outline to follow make nothing worse."""
    if not ways:
        return "No way for the outline to follow this nut was found that makes nothing worse."
    told = " or ".join("without --widen" if way is None else f"with --widen {way}" for way in ways)
    return f"Nothing is worse {told}."
