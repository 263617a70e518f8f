"""The options of `pegwright intake-sheet`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_output, add_pages, add_shop


def add_intake_sheet_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    sheet = commands.add_parser(
        "intake-sheet",
        help="the sheet of markers to lay a head on for its photo or scan",
        description="Write the sheet of markers that a head is laid on for its photo or scan, with a page on how.",
    )
    add_output(sheet, "the file to write: .pdf")
    sheet.add_argument(
        "--pair", action="store_true", help="two sheets to tape together, for a head longer than one of them"
    )
    add_pages(sheet)
    add_shop(sheet, ": printers, paper, units")
    sheet.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.intake_sheet import run

    return run(chosen)
