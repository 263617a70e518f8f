"""The options of `pegwright intake`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.pictures import add_picture
from app.command_line.parsers.shared import Commands, add_output, add_shop, add_units


def add_intake_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    intake = commands.add_parser(
        "intake",
        help="a build from a photo, a scan, a drawing or an offset table of a head",
        description="Write a build whose outline follows a real head: a photo of it on the sheet of markers (see "
        "intake-sheet), a flatbed scan, a drawing (.svg, .dxf), of which the largest closed curve is the head and "
        "circles are holes, or an offset table (.csv: y, left, right or y, width). Says how the outline fits, what was "
        "left out and what is not sure.",
    )
    intake.add_argument(
        "file",
        type=Path,
        metavar="FILE",
        help="a picture (.jpg .png .tif .heic), a drawing (.svg .dxf) or a table (.csv)",
    )
    add_output(intake, "the build file to write")
    add = intake.add_argument
    add(
        "--tolerance",
        metavar="LENGTH",
        help="how far the outline may stray from what was found (default 0.2 mm); the more, the fewer nodes it needs",
    )
    add(
        "--length",
        metavar="LENGTH",
        help="length of the head from nut line to tip, where a drawing does not tell its size or tells a wrong one",
    )
    add("--nut", metavar="LENGTH", help="width of the head at the nut, which tells the size as well")
    add(
        "--nut-end",
        choices=("top", "bottom", "left", "right"),
        help="which side of the drawing the nut is on, where that is not plain",
    )
    add("--symmetric", action="store_true", help="make both halves alike, halfway between what was found")
    add("--back", action="store_true", help="what was drawn or measured is seen from the back")
    add("--regions", action="store_true", help="keep other closed shapes within the head clear of holes")
    add(
        "--starter",
        metavar="STARTER",
        default="straight-taper",
        help="begin with the rows, strings and tuners of this starter (default straight-taper; see pegwright new)",
    )
    add("--strings", metavar="SET", help="a set of strings by name (see pegwright strings)")
    add("--hardware", metavar="KEY", help="a class of tuners (see pegwright hardware)")
    add("--wood", metavar="NAME", help="the wood of the head (default: not named)")
    add("--name", metavar="NAME", help="what to call the build (default: the file's name)")
    add("--left-handed", action="store_true", help="bass strings on the right, seen from the face")
    add_picture(intake, "")
    add_units(intake, "the sentences, and of plain numbers in options and tables")
    add_shop(intake, ", for its drills, and for limits and finish that new builds begin with")
    intake.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.intake import run

    return run(chosen)
