"""Sheets brought onto the shop's paper: what is said on every page, and the pages they come to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from app import VERSION
from app.document.messages import Refusal
from app.document.naming import full_name
from export.drawing import Sheet
from export.fingerprint import fingerprint
from export.page import Page, paginate_each, room_for
from export.paper import Stamp, paper_named
from geometry.checks.judge import Finding, Level, worst
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.trade.shop import PrinterProfile, Shop
from geometry.trade.units import Units

if TYPE_CHECKING:
    from geometry.search.answers.compare import Comparison

MARKERS = "Sheet of markers"


def stamp_of(
    build: Build,
    shop: Shop,
    profile: PrinterProfile,
    day: date | None,
    found: tuple[Finding, ...],
    file: Path | None = None,
) -> Stamp:
    """What every page says: names, date, the printer's factors, a banner when something is at `stop`.

    `file` is where the build is kept; its name stands on the pages where it is another one than the build's.
    """
    stopped = worst(found) is Level.STOP
    banner = f"STOP. {headline(found)}" if stopped else None
    return Stamp(
        build=full_name(build.name, file),
        paper=paper_named(shop.paper),
        printer=profile,
        date=day.isoformat() if day else None,
        banner=banner,
        units=shop.units,
        fingerprint=fingerprint(build, shop, VERSION),
    )


def stamped_pages(stamped: Iterable[tuple[Sheet, Stamp]]) -> tuple[Page, ...]:
    """The sheets on paper, numbered through; Refusal when the paper is too small for one of them."""
    try:
        return paginate_each(stamped)
    except ValueError as error:
        raise Refusal(str(error)) from None


# The comparison and the sheet of markers; what draws them is loaded for them alone


def comparison_pdf(
    found: Comparison, shop: Shop, printer: PrinterProfile, day: date | None, units: Units
) -> bytes:
    """The comparison on the shop's paper, as a PDF; Refusal when that is too small."""
    from export.pdf import write_pdf
    from export.sheets.compare import compare_sheets

    stamp = stamp_of(found.one.build, shop, printer, day, ())
    pages = stamped_pages((sheet, stamp) for sheet in compare_sheets(found, units, room_for(stamp)))
    return write_pdf(pages, f"{found.one.name} and {found.two.name}", day)


def markers_pdf(shop: Shop, printer: PrinterProfile, day: date | None, *, pair: bool = False) -> bytes:
    """The sheet of markers for the shop's paper, or a pair of them, and how to use it, as a PDF."""
    from export.pdf import write_pdf

    return write_pdf(markers_pages(shop, printer, day, pair=pair), MARKERS, day)


def markers_pages(
    shop: Shop, printer: PrinterProfile, day: date | None, *, pair: bool = False
) -> tuple[Page, ...]:
    """The same as pages."""
    from export.sheets.markers import marker_sheets
    from geometry.intake.marker_pair import MARKER_PAIRS
    from geometry.intake.marker_sheet import MARKER_SHEETS

    paper = paper_named(shop.paper)
    stamp = Stamp(
        build=MARKERS,
        paper=paper,
        printer=printer,
        date=day.isoformat() if day else None,
        units=shop.units,
        fingerprint=f"markers {paper.name}{' pair' if pair else ''}",
    )
    wanted = MARKER_PAIRS[paper.name] if pair else MARKER_SHEETS[paper.name]
    return stamped_pages((sheet, stamp) for sheet in marker_sheets(wanted, room_for(stamp)))
