"""`pegwright refit`: the same head for another nut width."""

from __future__ import annotations

import argparse

from app.commands.new import SUFFIX, nut_width
from app.files import load_build, refuse_target, write_whole
from app.messages import Refusal
from geometry.build.codec import write_build
from geometry.checks.judge import Level, findings, worst
from geometry.checks.words import headline
from geometry.layout.layout import lay_out
from geometry.search.refit import refit
from geometry.search.refit_words import say_changes


def run(chosen: argparse.Namespace) -> int:
    """Write the refitted build, say what changed and how it stands, and return the exit code."""
    from app.cli import DONE, STOPPED

    if chosen.output.suffix.lower() != SUFFIX:
        raise Refusal(f"{chosen.output}: a build file ends in {SUFFIX}; expected such a name.")
    build = load_build(chosen.file)
    width = nut_width(chosen.nut_width)
    refuse_target(chosen.output, force=chosen.force)
    there = refit(build, width, chosen.widen)
    layouts = lay_out(build), lay_out(there)
    found = findings(there, layouts[1])
    write_whole(chosen.output, write_build(there))
    print(f"Wrote {chosen.output}. {headline(found)}")
    for sentence in say_changes(build, there, layouts, chosen.units):
        print(f"  {sentence}")
    return STOPPED if worst(found) is Level.STOP else DONE
