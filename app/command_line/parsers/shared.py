"""Options that several commands have, in the same words everywhere."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any, TypeAlias

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name

SIGNED = ("--about", "--by")
"""Options whose lengths may begin with a minus sign."""


def add_build(parser: argparse.ArgumentParser, what: str = "") -> None:
    """The build file that a command is about; `what` goes behind its help."""
    parser.add_argument("file", type=Path, metavar="FILE", help=f"a build file (.pegwright){what}")


def add_output(parser: argparse.ArgumentParser, words: str, *, required: bool = True) -> None:
    """The one file that is written, and whether over another one."""
    parser.add_argument("-o", "--output", type=Path, required=required, metavar="OUT", help=words)
    add_force(parser, "write over the file if it is there already")


def add_force(parser: argparse.ArgumentParser, words: str) -> None:
    """Whether files that are there are written over."""
    parser.add_argument("--force", action="store_true", help=words)


def add_json(parser: argparse.ArgumentParser, words: str) -> None:
    """Whether the answer is data instead of sentences."""
    parser.add_argument("--json", action="store_true", help=words)


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


def with_signs(given: Sequence[str]) -> list[str]:
    """The arguments with a place that begins with a minus sign tied to its option, which would be taken for one."""
    tied: list[str] = []
    for word in given:
        if tied and tied[-1] in SIGNED and word.startswith("-"):
            tied[-1] = f"{tied[-1]}={word}"
        else:
            tied.append(word)
    return tied
