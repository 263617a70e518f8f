"""`pegwright new`: a build file from a starter."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import get_args

from app.command_line.common import DONE, own_shop, refuse_build
from app.command_line.given import hardware_named, nut_width_of
from app.document.files import write_whole
from app.document.messages import Refusal, tell
from geometry.bench.bore_fit import begun
from geometry.bench.fit_words import unknown_wood
from geometry.checks.judge import findings
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.document.outline import StarterShape
from geometry.layout.trees import with_trees
from geometry.trade.escapes import quoted
from geometry.trade.string_sets import STRING_SETS, StringSet, find_string_set
from geometry.trade.wood import find_wood

LONGEST_NAME = 200


def run(chosen: argparse.Namespace) -> int:
    """Write the new build, say how it stands, and return the exit code."""
    refuse_build(chosen.output, force=chosen.force)
    shop = own_shop(chosen.shop)
    width = None if chosen.nut_width is None else nut_width_of(chosen.nut_width, shop.units)
    build = finished(fresh_build(chosen, width), chosen)
    write_whole(chosen.output, write_build(build))
    tell(f"Wrote {chosen.output}. {headline(findings(build))}")
    if build.head.wood and find_wood(build.head.wood, shop.own_woods) is None:
        tell(
            f"The head is of {unknown_wood(build.head.wood, shop.own_woods)}: how hard it is the bores cannot know."
        )
    tell(f"Next: pegwright check {chosen.output}")
    return DONE


def fresh_build(chosen: argparse.Namespace, nut_width: float | None) -> Build:
    """The build that starter, strings, hardware, name and hand ask for; Refusal for one that is not there."""
    shape = _shape(chosen.starter)
    suggestion = SUGGESTIONS[shape]
    return new_build(
        shape,
        name=_name(chosen.name, chosen.output),
        nut_width=suggestion.nut_width if nut_width is None else nut_width,
        string_set=_string_set(chosen.strings or suggestion.string_set),
        hardware=hardware_named(chosen.hardware or suggestion.hardware),
        left_handed=chosen.left_handed,
    )


def finished(build: Build, chosen: argparse.Namespace) -> Build:
    """The build with trees where it wants them, and bores, limits and finish by its wood and the shop."""
    return begun(with_trees(build), _wood(chosen.wood), own_shop(chosen.shop))


def _shape(name: str) -> StarterShape:
    for shape in get_args(StarterShape):
        if shape == name:
            return shape  # type: ignore[no-any-return]
    raise Refusal(f"There is no starter {quoted(name)}. Starters: {', '.join(get_args(StarterShape))}.")


def _name(given: str | None, output: Path) -> str:
    """The name that is asked for, else that of the file; a character that is none in UTF-8 becomes a mark."""
    name = (given or output.stem).encode(errors="replace").decode()
    if len(name) > LONGEST_NAME:
        raise Refusal(f"--name: {len(name)} characters are too many; expected {LONGEST_NAME} at most.")
    return name


def _wood(name: str | None) -> str:
    if name is not None and len(name) > LONGEST_NAME:
        raise Refusal(f"--wood: {len(name)} characters are too many; expected {LONGEST_NAME} at most.")
    return (name or "").encode(errors="replace").decode()


def _string_set(key: str) -> StringSet:
    found = find_string_set(key)
    if found is None:
        raise Refusal(
            f"There is no set of strings {quoted(key)}. Sets: {', '.join(each.key for each in STRING_SETS)}."
        )
    return found
