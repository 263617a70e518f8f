"""The options that tell of a picture, and those of `pegwright drilled`; what they do is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import Commands, add_build, add_json, add_output, add_units

TABLE = """Readings: a line with the names of the columns, then a line for each hole, such as hole,nut,side,diameter
and 1,48.2,7.1,10.0; for pairs hole,between,across and 1 to 2,29.6,49.6. A file may hold one such table below the other;
an empty cell was not read. nut: square from the rim to the nut line; side: the shortest way from the rim to the side,
left and right: to one of them; centre: from the nearest rim square to the centre line; between: wood between two holes;
across: between their far rims; diameter: of the hole on the face. The caliper card has the same columns."""


def add_picture(parser: argparse.ArgumentParser, thickness: str) -> None:
    """What is told of a photo or a scan; `thickness` is said behind the help of --thickness."""
    group = parser.add_argument_group("of a photo or a scan")
    add = group.add_argument
    add(
        "--thickness",
        metavar="LENGTH",
        help=f"thickness of the head, for a photo on the sheet of markers{thickness}",
    )
    add(
        "--thickness-at-tip",
        metavar="LENGTH",
        help="thickness at the tip, where it is not the same as at the nut",
    )
    add(
        "--camera-height",
        metavar="LENGTH",
        help="how high the camera was over the sheet, such as 450, to about 10 mm; needed where it was held "
        "level",
    )
    add(
        "--sides",
        nargs="+",
        metavar="KIND",
        help="square (default), or tapered and the degrees that the sides lean, such as tapered 3; negative where the "
        "back is the narrower side",
    )
    add(
        "--measured-ruler",
        metavar="LENGTH",
        help="what a printed ruler of the sheet measures under a steel rule, such as 149.6",
    )
    add(
        "--scan",
        action="store_true",
        help="a flatbed scan, with the face and the printed side down on the glass",
    )
    add("--dpi", type=float, metavar="N", help="for a flatbed scan without the sheet: its pixels to the inch")
    add(
        "--known",
        metavar="X1,Y1,X2,Y2,LENGTH",
        help="for a flat picture without the sheet, such as a scan: two places in pixels and the distance between them",
    )


def add_drilled_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    drilled = commands.add_parser(
        "drilled",
        help="the holes in the wood against their plan, from a photo, a scan or caliper readings",
        description="Find the drilled holes in a photo of the head on the sheet of markers (see intake-sheet) or in a "
        "scan, or work them out from caliper readings (.csv), and say how far each hole missed, what that does to the "
        "head, and where the other holes go best.",
        epilog=TABLE,
    )
    add_build(drilled, ": the plan")
    drilled.add_argument(
        "photo",
        type=Path,
        metavar="PHOTO",
        help="a picture (.jpg .png .tif .heic) or caliper readings (.csv)",
    )
    add_output(drilled, "write the build with the holes that are drilled", required=False)
    add_picture(drilled, " (default: the build's)")
    drilled.add_argument(
        "--rest",
        choices=("all", "keep"),
        help="which marks of the holes still to be drilled may move: all, or none (keep; default: all where the head "
        "does not work otherwise, else none)",
    )
    add_json(drilled, "all figures as JSON")
    add_units(drilled)
    drilled.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.drilled import run

    return run(chosen)
