"""Options that several commands have, in the same words everywhere."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeAlias

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name
Options: TypeAlias = "argparse._ActionsContainer"  # noqa: SLF001 - of a parser and of a group in it

SIGNED = ("--about", "--by")
"""Options whose lengths may begin with a minus sign."""


def add_build(parser: argparse.ArgumentParser, what: str = "") -> None:
    """The build file that a command is about; `what` goes behind its help."""
    parser.add_argument("file", type=Path, metavar="FILE", help=f"a build file (.pegwright){what}")


def add_output(parser: argparse.ArgumentParser, words: str, *, required: bool = True) -> None:
    """The one file that is written, and whether over another one."""
    parser.add_argument("-o", "--output", type=Path, required=required, metavar="OUT", help=words)
    add_force(parser, "write over the file if it is there already")


def add_length(options: Options, name: str, words: str) -> None:
    """An option that gives a length."""
    options.add_argument(name, metavar="LENGTH", help=words)


def add_flag(options: Options, name: str, words: str) -> None:
    """An option that is given or not."""
    options.add_argument(name, action="store_true", help=words)


def add_force(parser: argparse.ArgumentParser, words: str) -> None:
    """Whether files that are there are written over."""
    add_flag(parser, "--force", words)


def add_json(parser: argparse.ArgumentParser, words: str) -> None:
    """Whether the answer is data instead of sentences."""
    add_flag(parser, "--json", words)


def add_units(parser: argparse.ArgumentParser, of: str = "the sentences, and of plain numbers") -> None:
    """The units of what is printed and typed; where they are left out, `program.main` puts those of the shop."""
    parser.add_argument("--units", choices=("mm", "inch"), help=f"units of {of} (default: the shop's)")


def add_shop(parser: argparse.ArgumentParser, holds: str) -> None:
    """The file of the shop; `holds` is what the command wants of it."""
    parser.add_argument("--shop", type=Path, metavar="FILE", help=f"the shop's own file{holds}")


def add_pages(parser: argparse.ArgumentParser) -> None:
    """Paper, printer and date of the pages."""
    add = parser.add_argument
    add("--paper", metavar="NAME", help="A5 to A1, Letter, Legal, Tabloid (default: the shop's)")
    add(
        "--printer",
        metavar="NAME",
        help="the printer of the shop whose correction is applied (default: the first)",
    )
    add("--date", metavar="DATE", help="print this date, YYYY-MM-DD or today (default: none)")


def add_picture(parser: argparse.ArgumentParser, thickness: str) -> None:
    """What is told of a photo or a scan; `thickness` is said behind the help of --thickness."""
    group = parser.add_argument_group("of a photo or a scan")
    add = group.add_argument
    add_length(group, "--thickness", f"thickness of the head, for a photo on the sheet of markers{thickness}")
    add_length(group, "--thickness-at-tip", "thickness at the tip, where it is not the same as at the nut")
    add_length(
        group,
        "--camera-height",
        "how high the camera was over the sheet, such as 450, to about 10 mm; needed where it was held level",
    )
    add(
        "--sides",
        nargs="+",
        metavar="KIND",
        help="square (default), or tapered and the degrees that the sides lean, such as tapered 3; negative where the "
        "back is the narrower side",
    )
    add_length(
        group,
        "--measured-ruler",
        "what a printed ruler of the sheet measures under a steel rule, such as 149.6",
    )
    add_flag(group, "--scan", "a flatbed scan, with the face and the printed side down on the glass")
    add("--dpi", type=float, metavar="N", help="for a flatbed scan without the sheet: its pixels to the inch")
    add(
        "--known",
        metavar="X1,Y1,X2,Y2,LENGTH",
        help="for a flat picture without the sheet, such as a scan: two places in pixels and the distance between them",
    )


def with_signs(given: Sequence[str]) -> list[str]:
    """The arguments with a place that begins with a minus sign tied to its option, which would be taken for one."""
    tied: list[str] = []
    for word in given:
        if tied and tied[-1] in SIGNED and word.startswith("-"):
            tied[-1] = f"{tied[-1]}={word}"
        else:
            tied.append(word)
    return tied
