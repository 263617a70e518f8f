"""The options of `pegwright compare`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import (
    Commands,
    add_build,
    add_json,
    add_output,
    add_pages,
    add_shop,
    add_units,
)


def add_compare_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    compare = commands.add_parser(
        "compare",
        help="two heads side by side, or one with other tuners",
        description="Compare two heads: margins, rings, splay, break, mass of the tuners.",
    )
    add_build(compare, ": head A")
    add = compare.add_argument
    add("other", type=Path, nargs="?", metavar="OTHER", help="another build file: head B")
    add(
        "--hardware",
        metavar="KEY",
        help="head B is head A with this class of tuners (see pegwright hardware)",
    )
    add_output(compare, "the file to write: .pdf (both drawn) or .csv", required=False)
    add_json(compare, "all lines as JSON")
    add_units(compare, "what is printed")
    add_pages(compare)
    add_shop(compare, ": printers, paper, units")
    compare.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.compare import run

    return run(chosen)
