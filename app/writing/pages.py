"""Sheets brought onto the shop's paper: what is said on every page, and the pages they come to."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path

from app import VERSION
from app.document.messages import Refusal
from app.document.naming import full_name
from export.drawing import Sheet
from export.fingerprint import fingerprint
from export.page import Page, paginate_each
from export.paper import Stamp, paper_named
from geometry.checks.judge import Finding, Level, worst
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.trade.shop import PrinterProfile, Shop


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
