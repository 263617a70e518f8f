"""The options of `pegwright nut`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_json, add_shop, add_units


def add_nut_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    nut = commands.add_parser(
        "nut",
        help="slots, strings, and how much to take off the nut's bottom",
        description="Print the nut's slots and the strings' pull and lengths; with the clearances measured over "
        "fret 1, how much to take off the bottom as one straight cut.",
    )
    add_build(nut)
    add = nut.add_argument
    add("--measured-bass", metavar="LENGTH", help="clearance over fret 1 under the bass-most open string")
    add("--measured-treble", metavar="LENGTH", help="the same under the treble-most string")
    add("--wanted-bass", metavar="LENGTH", help="clearance wanted there (default: the build's)")
    add("--wanted-treble", metavar="LENGTH", help="the same under the treble-most string")
    add(
        "--height",
        metavar="LENGTH",
        help="height of the nut as it is now (default: at its lowest finished slot)",
    )
    add_json(nut, "everything as JSON, lengths in mm")
    add_units(nut, "the tables, and of plain numbers")
    add_shop(nut, ": nut files, units")
    nut.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.nut import run

    return run(chosen)
