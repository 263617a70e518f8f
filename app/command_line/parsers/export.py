"""The options of `pegwright export`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import Commands, add_build, add_force, add_pages, add_shop


def add_export_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    export = commands.add_parser(
        "export",
        help="write templates, guides and lists",
        description="Write PDF (sheets at full scale), DXF and SVG (one sheet), CSV (hole list), 3MF and STL (a drill "
        "guide to print); the suffix decides.",
    )
    add_build(export)
    add = export.add_argument
    add("outputs", nargs="+", type=Path, metavar="OUT", help="files to write: .pdf .dxf .svg .csv .3mf .stl")
    which = export.add_mutually_exclusive_group()
    which.add_argument(
        "--packet",
        metavar="NAME",
        help="bench (default), cradle, guides, figures, everything or failed (default of a head with something at "
        "stop)",
    )
    which.add_argument(
        "--sheets",
        metavar="NAMES",
        help="names that pegwright sheets lists, with commas between them, instead of a packet; a CSV "
        "holds the hole list, or the schedule",
    )
    add_pages(export)
    add("--guide-bushing", metavar="LENGTH", help="make the guide for bushings of this outside diameter")
    add(
        "--kerf",
        metavar="LENGTH",
        help="width that the laser or saw takes away; moves cut contours, never holes",
    )
    add(
        "--edge",
        choices=("neck", "plate"),
        default="neck",
        help="outline in a DXF or SVG: open at the nut line, for a head on its neck (default), or closed, for a plate",
    )
    add(
        "--aids",
        action="store_true",
        help="add to a DXF or SVG what helps to set up but is not cut: centre line, ticks, notes, a square of 100 mm",
    )
    add(
        "--dxf-version",
        choices=("R2000", "R12", "plain"),
        default="R2000",
        help="version of DXF files (default R2000); plain is R12 with nothing but lines, arcs and circles",
    )
    add_shop(export, ": drills, printers, paper, units")
    add(
        "--despite-stop",
        action="store_true",
        help="write files for machines even though something is at stop",
    )
    add_force(export, "write over files that are there already")
    export.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.export import run

    return run(chosen)
