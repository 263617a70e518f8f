"""The options of `pegwright check`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import Commands, add_json, add_shop, add_units


def add_check_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    check = commands.add_parser(
        "check",
        help="say what clears and what does not",
        description="Hold builds against every limit, and say in sentences what does not clear.",
    )
    check.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a build file (.pegwright)")
    add_json(check, "all findings and rings as JSON, by file")
    check.add_argument("--all", action="store_true", help="also say what is fine")
    check.add_argument("--rings", action="store_true", help="also say how far each hole may miss its mark")
    check.add_argument("--cures", action="store_true", help="also say what cures each finding, beneath it")
    add_units(check, "the sentences")
    add_shop(check, ", whose drills are named; nothing that is found depends on it")
    check.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.check import run

    return run(chosen)
