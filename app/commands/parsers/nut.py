"""The options of `pegwright nut`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, TypeAlias

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name


def add_nut_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    nut = commands.add_parser(
        "nut",
        help="slots, strings, and how much to take off the nut's bottom",
        description="Print the nut's slots and the strings' pull and lengths; with the clearances measured over "
        "fret 1, how much to take off the bottom as one straight cut. Lengths in the units of the shop.",
    )
    add = nut.add_argument
    add("file", type=Path, metavar="FILE", help="a build file (.pegwright)")
    add("--measured-bass", metavar="LENGTH", help="clearance over fret 1 under the bass-most open string")
    add("--measured-treble", metavar="LENGTH", help="the same under the treble-most string")
    add("--wanted-bass", metavar="LENGTH", help="clearance that is wanted there (default: the build's)")
    add("--wanted-treble", metavar="LENGTH", help="the same under the treble-most string")
    add("--height", metavar="LENGTH", help="of the nut as it is now (default: of its lowest finished slot)")
    add("--json", action="store_true", help="everything as JSON, lengths in mm")
    add("--shop", type=Path, metavar="FILE", help="the shop's own file: nut files, units")
    nut.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.commands.nut import run

    return run(chosen)
