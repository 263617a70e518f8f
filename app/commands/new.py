"""`pegwright new`: a build file from a starter."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import get_args

from msgspec.structs import replace

from app.files import refuse_target, write_whole
from app.messages import Refusal
from app.own_shop import own_shop
from geometry.build.build import StarterShape
from geometry.build.codec import write_build
from geometry.build.fresh import SUGGESTIONS, new_build
from geometry.build.lengths import LengthError, read_length
from geometry.checks.judge import findings
from geometry.checks.words import headline
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY, find
from geometry.trade.string_sets import STRING_SETS, StringSet, find_string_set

SUFFIX = ".pegwright"
LEAST_NUT, MOST_NUT = 15.0, 120.0
LONGEST_NAME = 200


def run(chosen: argparse.Namespace) -> int:
    """Write the new build, say how it stands, and return the exit code."""
    if chosen.output.suffix.lower() != SUFFIX:
        raise Refusal(f"{chosen.output}: a build file ends in {SUFFIX}; expected such a name.")
    shape = _shape(chosen.starter)
    suggestion = SUGGESTIONS[shape]
    build = new_build(
        shape,
        name=_name(chosen.name, chosen.output),
        nut_width=nut_width(chosen.nut_width) if chosen.nut_width is not None else suggestion.nut_width,
        string_set=_string_set(chosen.strings or suggestion.string_set),
        hardware=_hardware(chosen.hardware or suggestion.hardware),
        left_handed=chosen.left_handed,
    )
    build = replace(build, limits=own_shop(chosen.shop).limits)
    refuse_target(chosen.output, force=chosen.force)
    write_whole(chosen.output, write_build(build))
    print(f"Wrote {chosen.output}. {headline(findings(build))}")
    print(f"Next: pegwright check {chosen.output}")
    return 0


def _shape(name: str) -> StarterShape:
    for shape in get_args(StarterShape):
        if shape == name:
            return shape  # type: ignore[no-any-return]
    raise Refusal(f"There is no starter {name!r}. Starters: {', '.join(get_args(StarterShape))}.")


def _name(given: str | None, output: Path) -> str:
    """The name that is asked for, else that of the file; a character that is none in UTF-8 becomes a mark."""
    name = (given or output.stem).encode(errors="replace").decode()
    if len(name) > LONGEST_NAME:
        raise Refusal(f"--name: {len(name)} characters are too many; expected {LONGEST_NAME} at most.")
    return name


def nut_width(text: str) -> float:
    """The width of a nut in mm that an option gives; Refusal when it is none."""
    try:
        width = read_length(text)
    except LengthError as error:
        raise Refusal(f"--nut-width: {error}") from None
    if not LEAST_NUT <= width <= MOST_NUT:
        raise Refusal(f"--nut-width: {text} is no width of a nut; expected {LEAST_NUT:g} to {MOST_NUT:g} mm.")
    return width


def _string_set(key: str) -> StringSet:
    found = find_string_set(key)
    if found is None:
        raise Refusal(
            f"There is no set of strings {key!r}. Sets: {', '.join(each.key for each in STRING_SETS)}."
        )
    return found


def _hardware(key: str) -> Hardware:
    if key.startswith("taper"):
        raise Refusal("Tapered wooden pegs are not supported yet: they want a tapered reamer, not a bore.")
    found = find(key)
    if found is None:
        raise Refusal(f"There is no hardware {key!r}. Classes: {', '.join(each.key for each in LIBRARY)}.")
    return found
