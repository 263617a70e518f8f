"""`pegwright new`: a build file from a starter."""

from __future__ import annotations

import argparse
from typing import get_args

from app.command_line.common import DONE, own_shop, refuse_build
from app.command_line.given import hardware_named, known_as, nut_width_of
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
from geometry.trade.string_sets import STRING_SETS
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
    shapes: dict[str, StarterShape] = {shape: shape for shape in get_args(StarterShape)}
    shape = known_as(chosen.starter, shapes, "There is no starter {}. Starters: {}.")
    suggestion, sets = SUGGESTIONS[shape], {each.key: each for each in STRING_SETS}
    return new_build(
        shape,
        name=_short("--name", chosen.name or chosen.output.stem),
        nut_width=suggestion.nut_width if nut_width is None else nut_width,
        string_set=known_as(
            chosen.strings or suggestion.string_set, sets, "There is no set of strings {}. Sets: {}."
        ),
        hardware=hardware_named(chosen.hardware or suggestion.hardware),
        left_handed=chosen.left_handed,
    )


def finished(build: Build, chosen: argparse.Namespace) -> Build:
    """The build with trees where it wants them, and bores, limits and finish by its wood and the shop."""
    return begun(with_trees(build), _short("--wood", chosen.wood or ""), own_shop(chosen.shop))


def _short(option: str, text: str) -> str:
    """A text of a build, with a mark for each character that is none in UTF-8; Refusal for a long one."""
    if len(text) > LONGEST_NAME:
        raise Refusal(f"{option}: {len(text)} characters are too many; expected {LONGEST_NAME} at most.")
    return text.encode(errors="replace").decode()
