"""The sheet of markers on paper."""

from __future__ import annotations

from datetime import date

from app.writing.pages import stamped_pages
from export.page import Page, room_for
from export.paper import Stamp, paper_named
from export.sheets.markers import marker_sheets
from geometry.intake.marker_pair import MARKER_PAIRS, Sheets
from geometry.intake.marker_sheet import MARKER_SHEETS
from geometry.trade.shop import PrinterProfile, Shop

TITLE = "Sheet of markers"


def markers_pdf(shop: Shop, printer: PrinterProfile, day: date | None, *, pair: bool = False) -> bytes:
    """The sheet of markers for the shop's paper, or a pair of them, and how to use it, as a PDF."""
    from export.pdf import write_pdf

    return write_pdf(markers_pages(shop, printer, day, pair=pair), TITLE, day)


def markers_pages(
    shop: Shop, printer: PrinterProfile, day: date | None, *, pair: bool = False
) -> tuple[Page, ...]:
    """The same as pages."""
    paper = paper_named(shop.paper)
    stamp = Stamp(
        build=TITLE,
        paper=paper,
        printer=printer,
        date=day.isoformat() if day else None,
        units=shop.units,
        fingerprint=f"markers {paper.name}{' pair' if pair else ''}",
    )
    wanted: Sheets = MARKER_PAIRS[paper.name] if pair else MARKER_SHEETS[paper.name]
    sheets = marker_sheets(wanted, room_for(stamp))
    return tuple(stamped_pages((sheet, stamp) for sheet in sheets))
