"""`pegwright intake-sheet`: the sheet of markers that a head is laid on for its picture."""

from __future__ import annotations

import argparse

from app.command_line.common import DONE, refuse_output
from app.command_line.on_paper import chosen_date, chosen_printer, chosen_shop
from app.document.files import write_whole
from app.document.messages import tell
from app.writing.pages import markers_pdf


def run(chosen: argparse.Namespace) -> int:
    """Write the sheet and return the exit code."""
    refuse_output(chosen.output, (".pdf",), force=chosen.force)
    shop = chosen_shop(chosen)
    printer, day = chosen_printer(shop, chosen.printer), chosen_date(chosen.date)
    write_whole(chosen.output, markers_pdf(shop, printer, day, pair=chosen.pair))
    says = "second page says how to use it"
    if chosen.pair:
        says = "last page says how to tape the two sheets and how to use them"
    tell(f"Wrote {chosen.output}. Print it at 100 % on {shop.paper}; its {says}.")
    return DONE
