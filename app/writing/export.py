"""What an export draws and writes: the part that the command line and the window share."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Literal, get_args

import msgspec

from app.document.messages import Progress, Refusal
from app.writing.pages import room_for, stamped_pages
from export.csv import write_holes
from export.page import Page
from export.paper import Printer, Stamp, paper_named
from export.sheet import Sheet
from export.sheets.back import back_sheets
from export.sheets.balance import balance_sheets
from export.sheets.caliper import caliper_sheets
from export.sheets.cautions import (
    FOR_CRADLE,
    FOR_NUT,
    FOR_PILOTS,
    FOR_SCHEDULE,
    FOR_STRENGTH,
    FOR_STRINGS,
    FOR_TEMPLATES,
)
from export.sheets.comb import comb_sheet
from export.sheets.cradle import cradle_machine_sheet, cradle_sheets
from export.sheets.face import face_sheets, plain_face_sheet
from export.sheets.holes import hole_rows
from export.sheets.jig import jig_sheet
from export.sheets.ladder import ladder_sheets
from export.sheets.nut_strip import nut_sheets
from export.sheets.report import report_sheets
from export.sheets.schedule import schedule_csv, schedule_sheets
from export.sheets.strength import strength_sheets
from export.sheets.strings import string_sheets
from geometry.bench.drilling import schedule
from geometry.checks.judge import Finding, Level, worst
from geometry.checks.words import headline
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.trade.shop import PrinterProfile, Shop

SheetName = Literal[
    "face",
    "back",
    "comb",
    "ladder",
    "schedule",
    "nut",
    "strings",
    "calipers",
    "jig",
    "cradle",
    "strength",
    "balance",
    "report",
]
SHEETS: tuple[SheetName, ...] = get_args(SheetName)
"""All sheets, in the order of the pages."""

DxfVersion = Literal["R2000", "R12"]

Suffix = Literal[".pdf", ".dxf", ".svg", ".csv"]
SUFFIXES: tuple[Suffix, ...] = (".pdf", ".dxf", ".svg", ".csv")
"""What can be written."""

MACHINE_SUFFIXES: tuple[Suffix, ...] = (".dxf", ".svg", ".csv")
"""Files that reach machines, which show no banner."""


class Job(msgspec.Struct, frozen=True):
    """Everything that the writing needs, read and understood before anything is written.

    `names` are the wanted sheets, None when every sheet is wanted that this head can have. `guide_bushing` is
    an outside diameter and `kerf` a width, in mm.
    """

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    shop: Shop
    stamp: Stamp
    day: date | None
    names: tuple[SheetName, ...] | None
    guide_bushing: float | None
    kerf: float
    dxf_version: DxfVersion

    @property
    def stopped(self) -> bool:
        """Whether something is at `stop`."""
        return worst(self.found) is Level.STOP


class LeftOut(msgspec.Struct, frozen=True):
    """A sheet that was wanted and cannot be drawn, with the reason in one sentence.

    `fault` tells that something about the build or the options stands in the way; otherwise this head simply
    needs no such sheet.
    """

    name: SheetName
    why: str
    fault: bool


class Made(msgspec.Struct, frozen=True):
    """The sheets of one printing, in the order of the pages, and what is not among them."""

    sheets: tuple[Sheet, ...]
    left_out: tuple[LeftOut, ...]


def no_progress(done: int, steps: int) -> None:
    """For callers who show no progress."""


def stamp_of(
    build: Build, shop: Shop, profile: PrinterProfile, day: date | None, found: tuple[Finding, ...]
) -> Stamp:
    """What every page says: names, date, the printer's factors, a banner when something is at `stop`."""
    stopped = worst(found) is Level.STOP
    banner = f"STOP. {headline(found)} The check report says more." if stopped else None
    return Stamp(
        build=build.name,
        paper=paper_named(shop.paper),
        printer=Printer(profile.name, profile.factor_x, profile.factor_y),
        date=day.isoformat() if day else None,
        banner=banner,
        units=shop.units,
    )


# Sheets


def made(job: Job, progress: Progress = no_progress) -> Made:
    """All sheets of a PDF; one that cannot be drawn does not keep the others away."""
    wanted = SHEETS if job.names is None else job.names
    sheets: list[Sheet] = []
    left_out: list[LeftOut] = []
    for done, name in enumerate(wanted):
        progress(done, len(wanted))
        try:
            drawn = BUILDERS[name](job)
        except Refusal as refusal:
            left_out.append(LeftOut(name, str(refusal), fault=True))
            continue
        sheets += drawn
        if not drawn:
            left_out.append(LeftOut(name, NOT_NEEDED[name], fault=False))
    progress(len(wanted), len(wanted))
    return Made(tuple(sheets), tuple(left_out))


def pages_of(sheets: tuple[Sheet, ...], stamp: Stamp) -> tuple[Page, ...]:
    """The sheets on paper, numbered through; Refusal when the paper is too small for one of them."""
    return stamped_pages((sheet, stamp) for sheet in sheets)


def _face(job: Job) -> tuple[Sheet, ...]:
    return face_sheets(job.build, job.layout, job.shop, _room(job, FOR_TEMPLATES))


def _back(job: Job) -> tuple[Sheet, ...]:
    return back_sheets(job.build, job.layout, job.shop, _room(job, FOR_PILOTS))


def _room(job: Job, cautions: tuple[str, ...] = ()) -> tuple[float, float]:
    return room_for(job.stamp, cautions)


def _comb(job: Job) -> tuple[Sheet, ...]:
    sheet = comb_sheet(job.build, job.layout, job.shop.own_woods)
    return () if sheet is None else (sheet,)


def _ladder(job: Job) -> tuple[Sheet, ...]:
    return ladder_sheets(job.build, job.layout, job.shop, _room(job, FOR_TEMPLATES))


def _schedule(job: Job) -> tuple[Sheet, ...]:
    return schedule_sheets(job.build, job.layout, job.shop, _room(job, FOR_SCHEDULE))


def _nut(job: Job) -> tuple[Sheet, ...]:
    return nut_sheets(job.build, job.layout, job.shop, _room(job, FOR_NUT))


def _strings(job: Job) -> tuple[Sheet, ...]:
    return string_sheets(job.build, job.layout, job.shop, _room(job, FOR_STRINGS))


def _calipers(job: Job) -> tuple[Sheet, ...]:
    return caliper_sheets(job.build, job.layout, job.shop, _room(job))


def _strength(job: Job) -> tuple[Sheet, ...]:
    return strength_sheets(job.build, job.layout, job.shop, _room(job, FOR_STRENGTH))


def _balance(job: Job) -> tuple[Sheet, ...]:
    return balance_sheets(job.build, job.layout, job.shop, _room(job))


def _report(job: Job) -> tuple[Sheet, ...]:
    return report_sheets(job.build, job.layout, job.found, job.shop, _room(job))


def _jig(job: Job) -> tuple[Sheet, ...]:
    try:
        return (jig_sheet(job.build, job.layout, job.shop, job.guide_bushing, job.kerf),)
    except ValueError as error:
        raise Refusal(str(error)) from None


def _cradle(job: Job) -> tuple[Sheet, ...]:
    try:
        return cradle_sheets(job.build, job.layout, job.shop, _room(job, FOR_CRADLE))
    except ValueError as error:
        raise Refusal(str(error)) from None


def _cradle_for_machines(job: Job) -> Sheet:
    try:
        return cradle_machine_sheet(job.build, job.layout, job.shop, job.kerf)
    except ValueError as error:
        raise Refusal(f"cradle: {error}") from None


BUILDERS: dict[SheetName, Callable[[Job], tuple[Sheet, ...]]] = {
    "face": _face,
    "back": _back,
    "comb": _comb,
    "ladder": _ladder,
    "schedule": _schedule,
    "nut": _nut,
    "strings": _strings,
    "calipers": _calipers,
    "jig": _jig,
    "cradle": _cradle,
    "strength": _strength,
    "balance": _balance,
    "report": _report,
}

NO_COMB = "no row has bodies to line up, so there is no comb."
NO_STRINGS = "the build has no strings yet."

NO_PULL = (
    "no string with a known pull goes to a post, so nothing pulls on the head; or its outline is not sound."
)
NO_BORES = "no bore is left to drill, or the shop has no drills."
NO_TUNERS = "no tuner has its place yet."
NO_WEIGHT = "no tuner has its place yet, or the outline is not sound."

NOT_NEEDED: dict[SheetName, str] = {
    "comb": NO_COMB,
    "ladder": NO_BORES,
    "schedule": NO_TUNERS,
    "nut": NO_STRINGS,
    "strings": NO_STRINGS,
    "strength": NO_PULL,
    "balance": NO_WEIGHT,
}
"""Why a head has none of these sheets."""


# Files


def write_pages(pages: tuple[Page, ...], job: Job) -> bytes:
    """The pages as a PDF."""
    from export.pdf import write_pdf

    return write_pdf(pages, job.build.name, job.day)


PROSE: frozenset[SheetName] = frozenset({"schedule", "strings", "calipers", "strength", "balance", "report"})
"""Sheets of words and tables; in a DXF all words lie on a layer that is off."""


def one_sheet(job: Job) -> Sheet:
    """The one sheet of a DXF or SVG; by default the plain face, with nothing but what a machine needs.

    Refusal when several are named, when the sheet cannot be drawn, or has several pages.
    """
    names = job.names or ("face",)
    if len(names) > 1:
        raise Refusal("a DXF or SVG holds one sheet; name one with --sheets, or write a PDF.")
    if names == ("face",):
        return plain_face_sheet(job.build, job.layout, job.shop)
    name = names[0]
    if name == "cradle":
        return _cradle_for_machines(job)
    try:
        sheets = BUILDERS[name](job)
    except Refusal as refusal:
        raise Refusal(f"{name}: {refusal}") from None
    if name == "back":
        return sheets[0]
    if not sheets:
        raise Refusal(f"{name}: {NOT_NEEDED[name]}")
    if len(sheets) != 1:
        raise Refusal(f"the sheet {name!r} has {len(sheets)} pages; a DXF or SVG holds one. Write a PDF.")
    return sheets[0]


def _refuse_prose(job: Job) -> None:
    for name in job.names or ():
        if name in PROSE:
            raise Refusal(f"{name}: a DXF shows no words; write this sheet as PDF or SVG.")


def _table(job: Job) -> bytes:
    """The schedule where it is the one sheet that is named, else the list of holes."""
    if job.names == ("schedule",):
        return schedule_csv(schedule(job.build, job.layout, job.shop))
    return write_holes(hole_rows(job.build, job.layout, job.shop.own_woods))


def write_machine_file(job: Job, suffix: Suffix) -> bytes:
    """The bytes of a DXF, SVG or CSV; Refusal as `one_sheet`."""
    match suffix:
        case ".dxf":
            from export.dxf import write_dxf

            _refuse_prose(job)
            return write_dxf(one_sheet(job), job.dxf_version)
        case ".svg":
            from export.svg import write_svg

            return write_svg(one_sheet(job))
        case ".csv":
            return _table(job)
        case ".pdf":
            raise AssertionError("people read a PDF, no machine does")
