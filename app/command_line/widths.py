"""`pegwright widths`: one head for a range of nut widths, as templates with a chart or as numbers."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from time import monotonic

from app.command_line.common import DONE, STOPPED, refuse_output
from app.command_line.given import length_of, nut_width_of
from app.command_line.on_paper import chosen_date, chosen_printer, chosen_shop
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, complain, tell
from app.document.naming import named
from app.writing.widths import widths_pages, widths_table
from geometry.document.build import Build
from geometry.layout.edge import edge_of
from geometry.search.refitting.refit import Widen
from geometry.search.refitting.widths import Member, across_widths, say_avoid, say_best, widths_between
from geometry.trade.escapes import quoted
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

SUFFIXES = (".pdf", ".csv")
QUIET = 1.0
"""Work that takes longer than this, in seconds, says how far it is, as often as this."""


def run(chosen: argparse.Namespace) -> int:
    """Write the heads of all widths, say which widths to avoid, and return the exit code."""
    suffix = chosen.output.suffix.lower()
    refuse_output(chosen.output, SUFFIXES, force=chosen.force)
    build = named(load_build(chosen.file), chosen.file)
    if edge_of(build) is None:
        raise Refusal(f"{chosen.file}: the outline has no line yet, so there is nothing to refit.")
    shop = chosen_shop(chosen)
    widths = read_widths(chosen.nut_width, shop.units)
    printer, day = chosen_printer(shop, chosen.printer), chosen_date(chosen.date)
    members = tuple(_told(build, widths, chosen.widen))
    write_whole(
        chosen.output,
        widths_table(members) if suffix == ".csv" else widths_pages(members, build.name, shop, printer, day),
    )
    sentences = (say_avoid(members, shop.units), say_best(members, shop.units))
    tell(" ".join([f"Wrote {chosen.output}.", *(each for each in sentences if each)]))
    return STOPPED if any(member.stopped for member in members) else DONE


def read_widths(text: str, units: Units) -> tuple[float, ...]:
    """The nut widths in mm that FROM:TO:STEP stands for; Refusal for anything else."""
    parts = text.split(":")
    if len(parts) != 3:
        raise Refusal(
            f"--nut-width: {quoted(text)} is no range of widths; expected FROM:TO:STEP, such as 40:48:1."
        )
    first, last = (nut_width_of(part, units) for part in parts[:2])
    step = length_of("--nut-width", parts[2], units)
    try:
        return widths_between(first, last, step)
    except ValueError as error:
        raise Refusal(f"--nut-width: {say_note(error, units)}.") from None


def _told(build: Build, widths: tuple[float, ...], widen: Widen | None) -> Iterator[Member]:
    """The members, with a line on stderr now and then while they take long."""
    told = monotonic()
    for number, member in enumerate(across_widths(build, widths, widen), start=1):
        yield member
        if monotonic() - told > QUIET and sys.stderr is not None:
            told = monotonic()
            complain(f"{number} of {len(widths)} widths")
