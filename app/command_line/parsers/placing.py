"""The options of the commands that put holes elsewhere: another nut, better places, holes that missed."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import (
    Commands,
    add_build,
    add_json,
    add_length,
    add_output,
    add_pages,
    add_picture,
    add_shop,
    add_units,
)

WIDEN_HELP = (
    "head: the whole head gets wider by the change; shoulders: only the nut end does, the widest place stays; scale: "
    "every width grows in proportion (default: each node by its own weight)"
)


def add_refit(commands: Commands) -> None:
    """Add its parser."""
    refit = commands.add_parser(
        "refit",
        help="the same head for another nut width",
        description="Write the build for another nut width: the outline follows, rows go by their rules.",
    )
    add_build(refit)
    refit.add_argument("--nut-width", required=True, metavar="LENGTH", help='such as 44.5 or "1 3/4 in"')
    _add_widen(refit)
    add_output(refit, "the build file to write")
    add_units(refit)


def _add_widen(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--widen", choices=("head", "shoulders", "scale"), help=WIDEN_HELP)


def add_widths(commands: Commands) -> None:
    """Add its parser."""
    widths = commands.add_parser(
        "widths",
        help="the same head for a range of nut widths",
        description="Write a chart of what limits a head at each nut width, and a face template for each (PDF), or "
        "all numbers (CSV).",
    )
    add_build(widths)
    widths.add_argument(
        "--nut-width",
        required=True,
        metavar="FROM:TO:STEP",
        help='first width, last width and step, such as 40:48:1 or "1 5/8 in:2 in:1/16 in"',
    )
    _add_widen(widths)
    add_output(widths, "the file to write: .pdf or .csv")
    add_pages(widths)
    add_shop(widths, ": drills, printers, paper, units")


def add_best(commands: Commands) -> None:
    """Add its parser."""
    best = commands.add_parser(
        "best",
        help="the placement that forgives most",
        description="Find the places for the tuners that let all holes miss their marks by the most, for the same "
        "outline, nut, strings and tuners, and write the build with them.",
    )
    add_build(best)
    add_output(best, "the build file to write (default: only say what is found)", required=False)
    add = best.add_argument
    add(
        "--kind",
        choices=("mirrored", "even", "free"),
        help="mirrored: both sides stay each other's mirror image (default where they are); even: each row keeps an "
        "even pitch of its own (default elsewhere); free: every post is moved by hand",
    )
    add(
        "--fixed",
        metavar="POSTS",
        help="numbers of the posts that stay where they are, with commas between them",
    )
    add("--pitch", metavar="FROM:TO", help="the least and most between neighbouring posts, such as 24:30")
    add("--inset", metavar="FROM:TO", help="the least and most from a post to the edge, such as 10:16")
    add(
        "--straight",
        default="0",
        metavar="LENGTH",
        help="how much of the smallest ring to give up for each degree that the strings pull straighter on average "
        "(default 0: straight pull only decides between equals)",
    )
    add(
        "--seed",
        type=int,
        default=0,
        metavar="N",
        help="start the search elsewhere; the same N gives the same result",
    )
    add_units(best)


READINGS = """Readings: nut=48.2 (square from the rim to the nut line), side=7.1 (the shortest
way from the rim to the side), left=7.1 and right=30.2 (the same to one of them), centre=11.2 (from the nearest rim
square to the centre line), between:2=29.6 (wood between this bore and bore 2, large jaws), across:2=49.4 (between
the far rims, small jaws). The rims are those on the face."""


def add_missed(commands: Commands) -> None:
    """Add its parser."""
    missed = commands.add_parser(
        "missed",
        help="a hole landed beside its mark: does the head still work, and what now",
        description="Say whether a head still works with a hole where it really is, where the holes still to be "
        "drilled go best, and what else saves it.",
        epilog=READINGS,
    )
    add_build(missed)
    add = missed.add_argument
    add("hole", metavar="HOLE", help="the hole by the number of its string, such as 3 or 1a")
    add(
        "--by",
        metavar="X,Y",
        help="how far the hole is from its mark, seen from the face: X to the right, Y towards the tip; minus for left "
        "and towards the nut",
    )
    add(
        "--reading",
        action="append",
        default=[],
        metavar="WHAT=LENGTH",
        help="a caliper reading from the rim of the hole; two or more, better three (see below)",
    )
    add_length(missed, "--diameter", "diameter of the hole on the face, if it is not the planned one")
    add(
        "--drilled",
        metavar="HOLES",
        help="other holes that are drilled already, on their marks; with commas between them",
    )
    add(
        "--rest",
        choices=("row", "all", "keep"),
        default="row",
        help="which of the other marks may move: those of the same row (default), all, or none (keep)",
    )
    add_output(missed, "write the build with the hole where it is", required=False)
    add_json(missed, "everything as JSON")
    add_units(missed)


TABLE = """Readings: a line with the names of the columns, then a line for each hole, such as hole,nut,side,diameter
and 1,48.2,7.1,10.0; for pairs hole,between,across and 1 to 2,29.6,49.6. A file may hold one such table below the other;
an empty cell was not read. nut: square from the rim to the nut line; side: the shortest way from the rim to the side,
left and right: to one of them; centre: from the nearest rim square to the centre line; between: wood between two holes;
across: between their far rims; diameter: of the hole on the face. The caliper card has the same columns."""


def add_drilled(commands: Commands) -> None:
    """Add its parser."""
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
