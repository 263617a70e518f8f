"""The comparison of two heads on paper."""

from __future__ import annotations

from datetime import date

from app.writing.pages import stamp_of, stamped_pages
from export.page import room_for
from export.sheets.compare import compare_sheets
from geometry.search.answers.compare import Comparison
from geometry.trade.shop import PrinterProfile, Shop
from geometry.trade.units import Units


def comparison_pdf(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> bytes:
    """The comparison on the shop's paper, as a PDF; Refusal when that is too small."""
    from export.pdf import write_pdf

    stamp = stamp_of(found.one.build, shop, printer, day, ())
    pages = stamped_pages((sheet, stamp) for sheet in compare_sheets(found, units, room_for(stamp)))
    return write_pdf(pages, f"{found.one.name} and {found.two.name}", day)
