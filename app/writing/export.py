"""What an export draws and writes: the part that the command line and the window share."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Literal

import msgspec

from app.document.messages import Progress, Refusal
from app.writing.pages import stamped_pages
from export.catalogue import KINDS, SHEETS, usual_packet
from export.drawing import Sheet
from export.machine import Edge, for_machine
from export.page import Page
from export.paper import Stamp
from export.sheet_kind import SheetError, SheetKind
from export.sheets.guide import GUIDE
from export.sheets.holes import hole_rows, write_holes
from geometry.checks.judge import Finding, Level, worst
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.trade.shop import Shop

if TYPE_CHECKING:
    from export.solid.body import Piece

DxfVersion = Literal["R2000", "R12", "plain"]

Suffix = Literal[".pdf", ".dxf", ".svg", ".csv", ".3mf", ".stl"]
SUFFIXES: tuple[Suffix, ...] = (".pdf", ".dxf", ".svg", ".csv", ".3mf", ".stl")
"""What can be written."""

MACHINE_SUFFIXES: tuple[Suffix, ...] = (".dxf", ".svg", ".csv", ".3mf", ".stl")
"""Files that reach machines, which show no banner."""


class Job(msgspec.Struct, frozen=True):
    """Everything that the writing needs, read and understood before anything is written.

    `shop` has the paper, kerf and guide bushing of this job. `names` are the wanted sheets in their order; without
    them a PDF holds the sheets of `packet`, or those that are usual. `edge` and `aids` are those of files for machines.
    """

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    shop: Shop
    stamp: Stamp
    day: date | None
    names: tuple[str, ...] | None
    dxf_version: DxfVersion
    packet: tuple[str, ...] | None = None
    edge: Edge = "neck"
    aids: bool = False

    @property
    def stopped(self) -> bool:
        """Whether something is at `stop`."""
        return worst(self.found) is Level.STOP


class LeftOut(msgspec.Struct, frozen=True):
    """A sheet that was wanted and cannot be drawn, with the reason in one sentence.

    `fault` tells that something about the build or the options stands in the way; otherwise this head simply
    needs no such sheet.
    """

    name: str
    why: str
    fault: bool


class Made(msgspec.Struct, frozen=True):
    """The sheets of one printing, in the order of the pages, what is not among them, and what is still to be drawn."""

    sheets: tuple[Sheet, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    waiting: tuple[str, ...] = ()


def no_progress(done: int, steps: int) -> None:
    """For callers who show no progress."""


# Sheets


def begun(job: Job) -> Made:
    """The first sheet of a PDF that can be drawn, so that it can be looked at while `made` draws the others."""
    done = Made(waiting=_wanted(job))
    while done.waiting and not done.sheets:
        done = _one_more(job, done)
    return done


def made(job: Job, progress: Progress = no_progress, done: Made | None = None) -> Made:
    """All sheets of a PDF; one that cannot be drawn does not keep the others away. `done` is what has begun."""
    count = len(_wanted(job))
    done = done or Made(waiting=_wanted(job))
    while done.waiting:
        progress(count - len(done.waiting), count)
        done = _one_more(job, done)
    progress(count, count)
    return done


def _wanted(job: Job) -> tuple[str, ...]:
    if job.names is not None:
        return job.names
    return job.packet or usual_packet(stopped=job.stopped).names


def _one_more(job: Job, done: Made) -> Made:
    """What is drawn already, and the next of the sheets that wait."""
    name, *waiting = done.waiting
    kind, drawn, left_out = KINDS[name], tuple[Sheet, ...](), tuple[LeftOut, ...]()
    try:
        drawn = kind.on_paper(job.build, job.layout, job.shop, job.stamp)
    except SheetError as error:
        left_out = (LeftOut(name, str(error), fault=True),)
    else:
        left_out = () if drawn else (LeftOut(name, kind.absent, fault=False),)
    return Made(done.sheets + drawn, done.left_out + left_out, tuple(waiting))


def sheets_of(job: Job, name: str) -> tuple[Sheet, ...]:
    """The sheets of one kind, none where it cannot be drawn."""
    return _one_more(job, Made(waiting=(name,))).sheets


def pages_of(sheets: tuple[Sheet, ...], stamp: Stamp) -> tuple[Page, ...]:
    """The sheets on paper, numbered through; Refusal when the paper is too small for one of them."""
    return stamped_pages((sheet, stamp) for sheet in sheets)


# Files


def write_pages(pages: tuple[Page, ...], job: Job) -> bytes:
    """The pages as a PDF."""
    from export.pdf import write_pdf

    return write_pdf(pages, job.build.name, job.day)


def one_sheet(job: Job) -> Sheet:
    """The one sheet of a DXF or SVG; by default the face, with nothing but what a machine needs.

    Refusal when several are named, when the sheet cannot be drawn, has several pages, or nothing for a machine.
    """
    kind = _only_kind(job)
    try:
        sheet = kind.drawing(job.build, job.layout, job.shop, job.stamp)
        if kind.machine is None:
            return msgspec.structs.replace(sheet, notes=_told(job))
        told = (_marked(job),)
        return for_machine(sheet, edge=job.edge, aids=job.aids, banner=job.stamp.banner, told=told)
    except SheetError as error:
        raise Refusal(f"{kind.name}: {error}") from None


def _only_kind(job: Job) -> SheetKind:
    names = job.names or (SHEETS[0].name,)
    if len(names) > 1:
        raise Refusal("a DXF or SVG holds one sheet; name one with --sheets, or write a PDF.")
    return KINDS[names[0]]


def _table(job: Job) -> bytes:
    """The table of the one sheet that is named and has one, else the list of holes."""
    table = KINDS[job.names[0]].table if job.names and len(job.names) == 1 else None
    mark = f"FAILS {job.stamp.fingerprint}" if job.stopped else job.stamp.fingerprint
    if table is not None:
        return table(job.build, job.layout, job.shop, mark)
    return write_holes(hole_rows(job.build, job.layout, job.shop.own_woods), mark)


def _marked(job: Job) -> str:
    return f"{job.build.name}. Fingerprint {job.stamp.fingerprint}."


def _told(job: Job) -> tuple[str, ...]:
    """What a file for machines says of itself: first that the head fails, if it does."""
    return (*(() if job.stamp.banner is None else (job.stamp.banner,)), _marked(job))


def guide_pieces(job: Job) -> tuple[Piece, ...]:
    """The bodies of the printed drill guide; Refusal where there is none for this head."""
    from export.solid.body import pieces
    from export.solid.plan import plan

    try:
        return pieces(plan(job.layout, job.shop, job.stamp.fingerprint), job.shop)
    except SheetError as error:
        raise Refusal(f"{GUIDE.name}: {error}") from None


def _solid_guide(job: Job, suffix: Literal[".3mf", ".stl"]) -> bytes:
    from export.solid.files import written

    bodies = guide_pieces(job)
    name = f"FAILS: {job.build.name}" if job.stopped else job.build.name
    return written(bodies, name, " ".join(_told(job)), "3mf" if suffix == ".3mf" else "stl")


def write_machine_file(job: Job, suffix: Suffix) -> bytes:
    """The bytes of a DXF, SVG or CSV; Refusal as `one_sheet`."""
    match suffix:
        case ".dxf":
            from export.dxf import write_dxf

            kind = _only_kind(job)
            if kind.machine is None:
                raise Refusal(f"{kind.name}: a DXF shows no words; write this sheet as PDF or SVG.")
            return write_dxf(one_sheet(job), job.dxf_version)
        case ".svg":
            from export.svg import write_svg

            return write_svg(one_sheet(job), by_operation=_only_kind(job).machine is not None)
        case ".csv":
            return _table(job)
        case ".3mf" | ".stl":
            return _solid_guide(job, suffix)
        case ".pdf":
            raise AssertionError("people read a PDF, no machine does")
