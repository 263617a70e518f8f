"""The options of the commands that begin a build, or write what is printed and cut."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import (
    Commands,
    add_build,
    add_flag,
    add_force,
    add_length,
    add_output,
    add_pages,
    add_picture,
    add_shop,
    add_units,
)


def add_new(commands: Commands) -> None:
    """Add its parser."""
    new = commands.add_parser(
        "new", help="start a build from a starter", description="Write a new build file."
    )
    add = new.add_argument
    add(
        "starter",
        metavar="STARTER",
        help="straight-taper, waisted, one-sided, narrow, rounded-paddle, broad-for-plates",
    )
    add_output(new, "the build file to write")
    add_length(new, "--nut-width", 'such as 44.5 or "1 3/4 in" (default: one that suits the starter)')
    add("--strings", metavar="SET", help="a set of strings by name (see pegwright strings)")
    add("--hardware", metavar="KEY", help="a class of tuners (see pegwright hardware)")
    add(
        "--wood",
        metavar="NAME",
        help="the wood of the head, for which the bores are chosen (see pegwright woods; default: not named)",
    )
    add_shop(new, ", for its drills, and for limits and finish that new builds begin with")
    add("--name", metavar="NAME", help="what to call the build (default: the file's name)")
    add_flag(new, "--left-handed", "bass strings on the right, seen from the face")


def add_intake(commands: Commands) -> None:
    """Add its parser."""
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
    add_length(
        intake,
        "--tolerance",
        "how far the outline may stray from what was found (default 0.2 mm); the more, the fewer nodes it needs",
    )
    add_length(
        intake,
        "--length",
        "length of the head from nut line to tip, where a drawing does not tell its size or tells a wrong one",
    )
    add_length(intake, "--nut", "width of the head at the nut, which tells the size as well")
    add(
        "--nut-end",
        choices=("top", "bottom", "left", "right"),
        help="which side of the drawing the nut is on, where that is not plain",
    )
    add_flag(intake, "--symmetric", "make both halves alike, halfway between what was found")
    add_flag(intake, "--back", "what was drawn or measured is seen from the back")
    add_flag(intake, "--regions", "keep other closed shapes within the head clear of holes")
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
    add_flag(intake, "--left-handed", "bass strings on the right, seen from the face")
    add_picture(intake, "")
    add_units(intake, "the sentences, and of plain numbers in options and tables")
    add_shop(intake, ", for its drills, and for limits and finish that new builds begin with")


def add_intake_sheet(commands: Commands) -> None:
    """Add its parser."""
    sheet = commands.add_parser(
        "intake-sheet",
        help="the sheet of markers to lay a head on for its photo or scan",
        description="Write the sheet of markers that a head is laid on for its photo or scan, with a page on how.",
    )
    add_output(sheet, "the file to write: .pdf")
    add_flag(sheet, "--pair", "two sheets to tape together, for a head longer than one of them")
    add_pages(sheet)
    add_shop(sheet, ": printers, paper, units")


def add_export(commands: Commands) -> None:
    """Add its parser."""
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
    add_length(export, "--guide-bushing", "make the guide for bushings of this outside diameter")
    add_length(export, "--kerf", "width that the laser or saw takes away; moves cut contours, never holes")
    add(
        "--edge",
        choices=("neck", "plate"),
        default="neck",
        help="outline in a DXF or SVG: open at the nut line, for a head on its neck (default), or closed, for a plate",
    )
    add_flag(
        export,
        "--aids",
        "add to a DXF or SVG what helps to set up but is not cut: centre line, ticks, notes, a square of 100 mm",
    )
    add(
        "--dxf-version",
        choices=("R2000", "R12", "plain"),
        default="R2000",
        help="version of DXF files (default R2000); plain is R12 with nothing but lines, arcs and circles",
    )
    add_shop(export, ": drills, printers, paper, units")
    add_flag(export, "--despite-stop", "write files for machines even though something is at stop")
    add_force(export, "write over files that are there already")


def add_desktop(commands: Commands, whole: argparse.ArgumentParser) -> None:
    """Add the command to the parser's; `whole` is the parser of all commands, which the manual is made from."""
    desktop = commands.add_parser(
        "desktop",
        help="put the window into your menu, or take it out again",
        description="Put an entry for the menu, the kind of file .pegwright, the icon, the manual page and what bash "
        "and zsh complete into your own folders (freedesktop.org: Linux and the like), or take them away.",
    )
    way = desktop.add_mutually_exclusive_group(required=True)
    add_flag(way, "--add", "put them there; again after Pegwright has moved")
    add_flag(way, "--remove", "take away what --add has put there")
    desktop.set_defaults(whole=whole)


def add_lists(commands: Commands) -> None:
    """Add the parsers of what only prints what there is."""
    for name, words in (
        ("hardware", "list the classes of tuners and their typical sizes"),
        ("strings", "list the sets of strings"),
        ("woods", "list the woods and how hard they are"),
    ):
        add_units(commands.add_parser(name, help=words), "the sizes")
    for name, words in (
        ("sheets", "list the sheets that export writes, in the order of the pages, and the packets"),
        ("schema", "print the JSON Schema of a build file"),
    ):
        commands.add_parser(name, help=words)
