"""The options of `pegwright missed`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_json, add_output, add_units

READINGS = """Readings: nut=48.2 (square from the rim to the nut line), side=7.1 (the shortest
way from the rim to the side), left=7.1 and right=30.2 (the same to one of them), centre=11.2 (from the nearest rim
square to the centre line), between:2=29.6 (wood between this bore and bore 2, large jaws), across:2=49.4 (between
the far rims, small jaws). The rims are those on the face."""


def add_missed_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    missed = commands.add_parser(
        "missed",
        help="a hole landed beside its mark: does the head still work, and what now",
        description="Say whether a head still works with a hole where it really is, where the holes still to be "
        "drilled go best, and what else saves it.",
        epilog=READINGS,
    )
    add_build(missed)
    add = missed.add_argument
    add("hole", metavar="HOLE", help="the hole by the number of its string, such as 3 or 1a")
    add(
        "--by",
        metavar="X,Y",
        help="how far the hole is from its mark, seen from the face: X to the right, Y towards the tip; minus for left "
        "and towards the nut",
    )
    add(
        "--reading",
        action="append",
        default=[],
        metavar="WHAT=LENGTH",
        help="a caliper reading from the rim of the hole; two or more, better three (see below)",
    )
    add(
        "--diameter",
        metavar="LENGTH",
        help="diameter of the hole on the face, if it is not the planned one",
    )
    add(
        "--drilled",
        metavar="HOLES",
        help="other holes that are drilled already, on their marks; with commas between them",
    )
    add(
        "--rest",
        choices=("row", "all", "keep"),
        default="row",
        help="which of the other marks may move: those of the same row (default), all, or none (keep)",
    )
    add_output(missed, "write the build with the hole where it is", required=False)
    add_json(missed, "everything as JSON")
    add_units(missed)
    missed.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.missed import run

    return run(chosen)
