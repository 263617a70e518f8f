"""The options of `pegwright bore`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import Commands, add_json, add_output, add_shop, add_units


def add_bore_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    bore = commands.add_parser(
        "bore",
        help="whether a bore suits tuner and wood, and keep the one that felt right",
        description="Say whether the bores of a build suit its tuners and its wood, or which bore a tuner wants in any "
        "wood, and which drill of the shop comes nearest; or keep in the shop which bore felt right.",
    )
    add = bore.add_argument
    add(
        "file",
        nargs="?",
        type=Path,
        metavar="FILE",
        help="a build file (.pegwright), for its wood and tuners",
    )
    add("--wood", metavar="NAME", help="a wood other than the build's, from pegwright woods or the shop")
    add(
        "--hardware",
        metavar="KEY",
        help="only this kind of tuner of the build, by its key; without a build, a class from pegwright hardware",
    )
    change = bore.add_mutually_exclusive_group()
    change.add_argument(
        "--felt", metavar="LENGTH", help="keep this bore, measured without finish in it: it felt right"
    )
    change.add_argument(
        "--forget", action="store_true", help="forget what was kept for this wood and bushing"
    )
    add_output(bore, "write the build with bores that suit better", required=False)
    add_json(bore, "all figures as JSON")
    add_units(bore)
    add_shop(bore, ", which keeps the bore (default: yours)")
    bore.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.bore import run

    return run(chosen)
