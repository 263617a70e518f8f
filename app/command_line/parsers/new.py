"""The options of `pegwright new`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_output, add_shop


def add_new_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    new = commands.add_parser(
        "new", help="start a build from a starter", description="Write a new build file."
    )
    add = new.add_argument
    add(
        "starter",
        metavar="STARTER",
        help="straight-taper, waisted, one-sided, narrow, rounded-paddle, broad-for-plates",
    )
    add_output(new, "the build file to write")
    add(
        "--nut-width",
        metavar="LENGTH",
        help='such as 44.5 or "1 3/4 in" (default: one that suits the starter)',
    )
    add("--strings", metavar="SET", help="a set of strings by name (see pegwright strings)")
    add("--hardware", metavar="KEY", help="a class of tuners (see pegwright hardware)")
    add(
        "--wood",
        metavar="NAME",
        help="the wood of the head, for which the bores are chosen (see pegwright woods; default: not named)",
    )
    add_shop(new, ", for its drills, and for limits and finish that new builds begin with")
    add("--name", metavar="NAME", help="what to call the build (default: the file's name)")
    add("--left-handed", action="store_true", help="bass strings on the right, seen from the face")
    new.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.new import run

    return run(chosen)
