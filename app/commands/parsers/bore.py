"""The options of `pegwright bore`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any, TypeAlias

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name


def add_bore_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    bore = commands.add_parser(
        "bore",
        help="which bore a tuner wants in a wood, and keep the one that felt right",
        description="Say which bore a tuner wants in the wood of a build, or in any wood, and which drill of the shop "
        "comes nearest; or keep in the shop which bore felt right.",
    )
    add = bore.add_argument
    add(
        "file",
        nargs="?",
        type=Path,
        metavar="FILE",
        help="a build file (.pegwright), for its wood and tuners",
    )
    add("--wood", metavar="NAME", help="another wood than the build's, one of the table or of the shop")
    add(
        "--hardware",
        metavar="KEY",
        help="one kind of tuner of the build by its key; without a build a class of the library",
    )
    change = bore.add_mutually_exclusive_group()
    change.add_argument(
        "--felt", metavar="LENGTH", help="keep this bore: it felt right, without finish in it"
    )
    change.add_argument(
        "--forget", action="store_true", help="forget what was kept for this wood and bushing"
    )
    add("--json", action="store_true", help="all figures as JSON")
    add(
        "--shop", type=Path, metavar="FILE", help="the shop's own file, which keeps the bore (default: yours)"
    )
    bore.set_defaults(run=_run_bore)


def _run_bore(chosen: argparse.Namespace) -> int:
    from app.commands.bore import run

    return run(chosen)
