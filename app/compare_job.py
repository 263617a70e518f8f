"""The comparison of two heads on paper."""

from __future__ import annotations

from datetime import date

from app.export_job import stamp_of
from app.messages import Refusal
from export.drawing import Drawing
from export.page import Page, paginate_each, room
from export.sheet import Sheet
from export.sheets.compare import compare_sheets
from geometry.build.lengths import Units
from geometry.search.compare import Comparison
from geometry.shape.segment import Bounds
from geometry.trade.shop import PrinterProfile, Shop


def comparison_pages(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> tuple[Page, ...]:
    """The comparison on the shop's paper; Refusal when that is too small."""
    stamp = stamp_of(found.one.build, shop, printer, day, ())
    space = room(Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing()), stamp)
    try:
        return paginate_each((sheet, stamp) for sheet in compare_sheets(found, units, space))
    except ValueError as error:
        raise Refusal(str(error)) from None


def comparison_pdf(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> bytes:
    """The same as a PDF."""
    from export.pdf import write_pdf

    pages = comparison_pages(found, shop, printer, day, units)
    return write_pdf(pages, f"{found.one.name} and {found.two.name}", day)
