"""The comparison of two heads on paper."""

from __future__ import annotations

from datetime import date

from app.writing.pages import stamp_of, stamped_pages
from export.page import Page, room_for
from export.sheets.compare import compare_sheets
from geometry.search.answers.compare import Comparison
from geometry.trade.shop import PrinterProfile, Shop
from geometry.trade.units import Units


def comparison_pages(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> tuple[Page, ...]:
    """The comparison on the shop's paper; Refusal when that is too small."""
    stamp = stamp_of(found.one.build, shop, printer, day, ())
    sheets = compare_sheets(found, units, room_for(stamp))
    return stamped_pages((sheet, stamp) for sheet in sheets)


def comparison_pdf(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> bytes:
    """The same as a PDF."""
    from export.pdf import write_pdf

    pages = comparison_pages(found, shop, printer, day, units)
    return write_pdf(pages, f"{found.one.name} and {found.two.name}", day)
