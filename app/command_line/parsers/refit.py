"""The options of `pegwright refit`, `fits` and `widths`; what they do is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_output, add_pages, add_shop, add_units

WIDEN_HELP = (
    "head: the whole head gets wider by the change; shoulders: only the nut end does, the widest place stays; scale: "
    "every width grows in proportion (default: each node by its own weight)"
)


def add_refit_commands(commands: Commands) -> None:
    """Add the three commands to the parser's."""
    _add_refit(commands)
    _add_fits(commands)
    _add_widths(commands)


def _add_refit(commands: Commands) -> None:
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
    refit.set_defaults(run=_run_refit)


def _add_widen(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--widen", choices=("head", "shoulders", "scale"), help=WIDEN_HELP)


def _run_refit(chosen: argparse.Namespace) -> int:
    from app.command_line.refit import run

    return run(chosen)


def _add_fits(commands: Commands) -> None:
    fits = commands.add_parser(
        "fits",
        help="which tuners of the library go into the drilled bores",
        description="Say which tuners of the library go into the bores of a head: its open old holes where they lie at "
        "a post, else the bores of the build.",
    )
    add_build(fits)
    add_units(fits, "the table")
    fits.set_defaults(run=_run_fits)


def _run_fits(chosen: argparse.Namespace) -> int:
    from app.command_line.fits import run

    return run(chosen)


def _add_widths(commands: Commands) -> None:
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
    widths.set_defaults(run=_run_widths)


def _run_widths(chosen: argparse.Namespace) -> int:
    from app.command_line.widths import run

    return run(chosen)
