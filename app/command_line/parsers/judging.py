"""The options of the commands that tell something of a head: what clears, what fits, what the bench needs."""

from __future__ import annotations

import argparse
from pathlib import Path

from app.command_line.parsers.shared import (
    Commands,
    add_build,
    add_flag,
    add_json,
    add_length,
    add_output,
    add_pages,
    add_shop,
    add_units,
)


def add_check(commands: Commands) -> None:
    """Add its parser."""
    check = commands.add_parser(
        "check",
        help="say what clears and what does not",
        description="Hold builds against every limit, and say in sentences what does not clear.",
    )
    check.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a build file (.pegwright)")
    add_json(check, "all findings and rings as JSON, by file")
    add_flag(check, "--all", "also say what is fine")
    add_flag(check, "--rings", "also say how far each hole may miss its mark")
    add_flag(check, "--cures", "also say what cures each finding, beneath it")
    add_units(check, "the sentences")
    add_shop(check, ", whose drills are named; nothing that is found depends on it")


def add_strength(commands: Commands) -> None:
    """Add its parser."""
    strength = commands.add_parser(
        "strength",
        help="whether the wood of the head holds its strings",
        description="Say how much of what a timber code would allow the strings use, where the head is weakest, and "
        "what knock at the tip it bears. An aid to compare designs, never a promise.",
    )
    _add_common(strength)


def add_balance(commands: Commands) -> None:
    """Add its parser."""
    balance = commands.add_parser(
        "balance",
        help="what the head weighs, and what other tuners would save",
        description="Weigh a head with its tuners, and with those tuners of the library that would fit instead.",
    )
    _add_common(balance)
    balance.add_argument(
        "--about",
        metavar="X,Y",
        help="the place it is balanced about, such as a strap button or knee: X to the right and Y towards the tip "
        'from the middle of the nut, such as 0,-650 or "0, -25 1/2 in" (default: the bridge)',
    )


def _add_common(parser: argparse.ArgumentParser) -> None:
    add_build(parser)
    add_shop(parser, ", for its woods")
    add_json(parser, "all figures as JSON")
    add_units(parser)


def add_fits(commands: Commands) -> None:
    """Add its parser."""
    fits = commands.add_parser(
        "fits",
        help="which tuners of the library go into the drilled bores",
        description="Say which tuners of the library go into the bores of a head: its open old holes where they lie at "
        "a post, else the bores of the build.",
    )
    add_build(fits)
    add_units(fits, "the table")


def add_nut(commands: Commands) -> None:
    """Add its parser."""
    nut = commands.add_parser(
        "nut",
        help="slots, strings, and how much to take off the nut's bottom",
        description="Print the nut's slots and the strings' pull and lengths; with the clearances measured over "
        "fret 1, how much to take off the bottom as one straight cut.",
    )
    add_build(nut)
    add_length(nut, "--measured-bass", "clearance over fret 1 under the bass-most open string")
    add_length(nut, "--measured-treble", "the same under the treble-most string")
    add_length(nut, "--wanted-bass", "clearance wanted there (default: the build's)")
    add_length(nut, "--wanted-treble", "the same under the treble-most string")
    add_length(nut, "--height", "height of the nut as it is now (default: at its lowest finished slot)")
    add_json(nut, "everything as JSON, lengths in mm")
    add_units(nut, "the tables, and of plain numbers")
    add_shop(nut, ": nut files, units")


def add_bore(commands: Commands) -> None:
    """Add its parser."""
    bore = commands.add_parser(
        "bore",
        help="whether a bore suits tuner and wood, and keep the one that felt right",
        description="Say whether the bores of a build suit its tuners and its wood, or which bore a tuner wants in any "
        "wood, and which drill of the shop comes nearest; or keep in the shop which bore felt right.",
    )
    add = bore.add_argument
    add(
        "file",
        nargs="?",
        type=Path,
        metavar="FILE",
        help="a build file (.pegwright), for its wood and tuners",
    )
    add("--wood", metavar="NAME", help="a wood other than the build's, from pegwright woods or the shop")
    add(
        "--hardware",
        metavar="KEY",
        help="only this kind of tuner of the build, by its key; without a build, a class from pegwright hardware",
    )
    change = bore.add_mutually_exclusive_group()
    add_length(change, "--felt", "keep this bore, measured without finish in it: it felt right")
    add_flag(change, "--forget", "forget what was kept for this wood and bushing")
    add_output(bore, "write the build with bores that suit better", required=False)
    add_json(bore, "all figures as JSON")
    add_units(bore)
    add_shop(bore, ", which keeps the bore (default: yours)")


def add_compare(commands: Commands) -> None:
    """Add its parser."""
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
