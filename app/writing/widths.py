"""The files of one head for several nut widths: the summary, a face template for each, or all numbers as a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

import msgspec

from app.writing.pages import stamp_of, stamped_pages
from export.csv import write_table
from export.drawing import Sheet
from export.page import Page, room_for
from export.paper import Stamp
from export.sheets.face import FACE
from export.sheets.widths import widths_sheets
from geometry.checks.judge import Level
from geometry.search.refitting.widths import Member, say_limit, say_narrowest
from geometry.trade.quantities import show_length
from geometry.trade.shop import PrinterProfile, Shop


def widths_pages(
    members: Sequence[Member], name: str, shop: Shop, printer: PrinterProfile, day: date | None
) -> bytes:
    """The summary and the templates as a PDF; Refusal when the paper is too small."""
    from export.pdf import write_pdf

    return write_pdf(pages_of_widths(members, shop, printer, day), name, day)


def pages_of_widths(
    members: Sequence[Member], shop: Shop, printer: PrinterProfile, day: date | None
) -> tuple[Page, ...]:
    """The summary and the templates on paper, numbered through; those at stop have their banner."""
    return stamped_pages(_stamped(members, shop, printer, day))


def _stamped(
    members: Sequence[Member], shop: Shop, printer: PrinterProfile, day: date | None
) -> Iterator[tuple[Sheet, Stamp]]:
    plain = stamp_of(members[0].build, shop, printer, day, ())
    for sheet in widths_sheets(members, shop.units, room_for(plain)):
        yield sheet, plain
    for number, member in enumerate(members, start=1):
        stamp = stamp_of(member.build, shop, printer, day, member.found)
        for sheet in FACE.on_paper(member.build, member.layout, shop, stamp):
            title = f"{sheet.title}: nut {show_length(member.width, shop.units)}"
            yield msgspec.structs.replace(sheet, name=f"{sheet.name}-{number}", title=title), stamp


# Numbers

_HEADS = (
    "nut width",
    "level",
    "at stop",
    "to watch",
    "worst margin",
    "limited by",
    "smallest ring",
    "narrowest hole",
)


def widths_table(members: Sequence[Member]) -> bytes:
    """A line for each width: verdict, margin and rings, then place and ring of every hole, all in mm, as CSV."""
    labels = list(dict.fromkeys(post.label for member in members for post in member.layout.posts))
    heads = (*_HEADS, *(f"{label} {what}" for label in labels for what in ("x", "y", "ring")))
    return write_table(heads, (_line(member, labels) for member in members))


def _line(member: Member, labels: list[str]) -> tuple[str | float | None, ...]:
    counts = [str(sum(each.level is level for each in member.found)) for level in (Level.STOP, Level.WATCH)]
    places = {post.label: (post.at.x, post.at.y) for post in member.layout.posts}
    rings = {ring.label: ring.radius for ring in member.allowance.rings}
    holes = [(*places.get(label, (None, None)), rings.get(label)) for label in labels]
    return (
        member.width,
        str(member.level),
        *counts,
        member.margin,
        say_limit(member),
        member.smallest,
        say_narrowest(member),
        *(number for hole in holes for number in hole),
    )
