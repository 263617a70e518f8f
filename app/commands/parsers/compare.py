"""The options of `pegwright compare`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, TypeAlias

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name


def add_compare_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    compare = commands.add_parser(
        "compare",
        help="two heads side by side, or one with other tuners",
        description="Hold two heads against each other: margins, rings, splay, break, mass of the tuners.",
    )
    add = compare.add_argument
    add("file", type=Path, metavar="FILE", help="a build file (.pegwright): head A")
    add("other", type=Path, nargs="?", metavar="OTHER", help="another build file: head B")
    add(
        "--hardware",
        metavar="KEY",
        help="head B is the same with this class of tuners (see pegwright hardware)",
    )
    add("-o", "--output", type=Path, metavar="OUT", help="the file to write: .pdf (both drawn) or .csv")
    add("--json", action="store_true", help="all lines as JSON")
    add("--units", choices=("mm", "inch"), help="of what is printed (default: the shop's)")
    add("--paper", metavar="NAME", help="A5 to A1, Letter, Legal, Tabloid (default: the shop's)")
    add(
        "--printer",
        metavar="NAME",
        help="whose correction to apply, a printer of the shop (default: its first)",
    )
    add("--shop", type=Path, metavar="FILE", help="the shop's own file: printers, paper, units")
    add("--date", metavar="DATE", help="print this date, YYYY-MM-DD or today (default: none)")
    add("--force", action="store_true", help="write over a file that is there")
    compare.set_defaults(run=_run_compare)


def _run_compare(chosen: argparse.Namespace) -> int:
    from app.commands.compare import run

    return run(chosen)
