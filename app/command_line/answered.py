"""What commands about holes that were drilled do alike: refuse a bad outline, write the build, say how it stands."""

from __future__ import annotations

import argparse
from collections.abc import Iterable

from app.command_line.common import DONE, STOPPED, refuse_build
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, tell, tell_json
from geometry.checks.judge import Level, findings, worst
from geometry.checks.outline import outline_is_sound
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.layout.layout import Layout, lay_out


def asked(chosen: argparse.Namespace, so_that: str) -> tuple[Build, Layout]:
    """The build that is asked about; Refusal for a place that cannot be written, or for an outline that is not sound.

    `so_that` ends the sentence: what such an outline makes impossible.
    """
    if chosen.output is not None:
        refuse_build(chosen.output, force=chosen.force)
    build = load_build(chosen.file)
    layout = lay_out(build)
    if not outline_is_sound(layout.edge):
        raise Refusal(f"{chosen.file}: the outline is open or crosses itself, so {so_that}.")
    return build, layout


def answered(chosen: argparse.Namespace, build: Build, told: object, sentences: Iterable[str]) -> int:
    """Write the build when asked, print `told` as JSON or the sentences, and return the exit code."""
    found = findings(build)
    if chosen.output is not None:
        write_whole(chosen.output, write_build(build))
    if chosen.json:
        tell_json(told)
    else:
        wrote = f"Wrote {chosen.output}." if chosen.output else f"{chosen.file}:"
        tell(f"{wrote} {headline(found)}")
        tell(*(f"  {sentence}" for sentence in sentences))
    return STOPPED if worst(found) is Level.STOP else DONE
