"""`pegwright export`: sheets, jig and lists written to files; the suffix picks the writer."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Literal

import msgspec
from msgspec.structs import replace

from app.files import load_build, read_bytes, refuse_existing, write_whole
from app.messages import Refusal, complain
from export.csv import write_holes
from export.drawing import Drawing
from export.page import paginate_all, room
from export.paper import Printer, Stamp, paper_named
from export.sheet import Sheet
from export.sheets.back import back_sheets
from export.sheets.caliper import caliper_sheet
from export.sheets.cautions import FOR_PILOTS, FOR_TEMPLATES
from export.sheets.comb import comb_sheet
from export.sheets.face import face_sheets, plain_face_sheet
from export.sheets.holes import hole_rows
from export.sheets.jig import jig_sheet
from export.sheets.report import report_sheets
from geometry.build.build import Build
from geometry.build.lengths import LengthError, read_length
from geometry.checks.judge import Finding, Level, findings, worst
from geometry.layout.layout import Layout, lay_out
from geometry.shape.segment import Bounds
from geometry.trade.shop import LARGEST_FILE, Shop, ShopError, default_shop, read_shop

SheetName = Literal["face", "back", "comb", "calipers", "jig", "report"]
SHEETS: tuple[SheetName, ...] = ("face", "back", "comb", "calipers", "jig", "report")
"""All sheets, in the order of the pages."""

SUFFIXES = (".pdf", ".dxf", ".svg", ".csv")
MACHINE_SUFFIXES = (".dxf", ".svg", ".csv")
"""Files that reach machines, which show no banner."""


class Job(msgspec.Struct, frozen=True):
    """Everything that the writing needs, read and understood before anything is written."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    shop: Shop
    stamp: Stamp
    day: date | None
    names: tuple[SheetName, ...] | None
    guide_bushing: float | None
    kerf: float
    dxf_version: Literal["R2000", "R12"]

    @property
    def stopped(self) -> bool:
        """Whether something is at `stop`."""
        return worst(self.found) is Level.STOP


def run(chosen: argparse.Namespace) -> int:
    """Write all files or, when one of them is refused, none, and return the exit code."""
    from app.cli import DONE, STOPPED

    _refuse_outputs(chosen.outputs, force=chosen.force)
    job = _job(chosen)
    machine = [path for path in chosen.outputs if path.suffix.lower() in MACHINE_SUFFIXES]
    if job.stopped and machine and not chosen.despite_stop:
        complain(
            f"{chosen.file}: something is at stop, so {machine[0]} is not written: machines show no banner. "
            "See pegwright check; --despite-stop writes it all the same."
        )
        return STOPPED
    written = [(path, WRITERS[path.suffix.lower()](job)) for path in chosen.outputs]
    for path, data in written:
        write_whole(path, data)
        print(f"Wrote {path}")
    if job.stopped:
        complain(f"{chosen.file}: something is at stop; every page of the PDF says so. See pegwright check.")
    return DONE


def _refuse_outputs(outputs: list[Path], *, force: bool) -> None:
    for path in outputs:
        if path.suffix.lower() not in SUFFIXES:
            raise Refusal(f"{path}: no writer for this suffix; expected one of {', '.join(SUFFIXES)}.")
        if outputs.count(path) > 1:
            raise Refusal(f"{path} is given twice.")
        if not force:
            refuse_existing(path)


# What the options ask for


def _job(chosen: argparse.Namespace) -> Job:
    build = load_build(chosen.file)
    layout = lay_out(build)
    if layout.edge is None:
        raise Refusal(f"{chosen.file}: the outline has no line yet, so there is nothing to draw.")
    found = findings(build, layout)
    shop = _shop(chosen)
    day = _date(chosen.date)
    return Job(
        build=build,
        layout=layout,
        found=found,
        shop=shop,
        stamp=_stamp(build, shop, chosen.printer, day, found),
        day=day,
        names=_names(chosen.sheets),
        guide_bushing=_length("--guide-bushing", chosen.guide_bushing, shop.guide_bushing),
        kerf=_length("--kerf", chosen.kerf, shop.kerf) or 0.0,
        dxf_version=chosen.dxf_version,
    )


def _shop(chosen: argparse.Namespace) -> Shop:
    """The shop of --shop, else the one in the user's settings, else a plain one; --paper changes its paper."""
    path = chosen.shop or _own_shop()
    try:
        shop = read_shop(read_bytes(path, LARGEST_FILE)) if path else default_shop()
        paper = paper_named(chosen.paper).name if chosen.paper else shop.paper
    except ShopError as error:
        raise Refusal(f"{path}: {error}") from None
    except ValueError as error:
        raise Refusal(f"--paper: {error}") from None
    return replace(shop, paper=paper)


def _own_shop() -> Path | None:
    from platformdirs import user_config_path

    path = user_config_path("pegwright", appauthor=False) / "shop.json"
    return path if path.exists() else None


def _stamp(
    build: Build, shop: Shop, printer_name: str | None, day: date | None, found: tuple[Finding, ...]
) -> Stamp:
    stops = sum(finding.level is Level.STOP for finding in found)
    banner = (
        f"STOP: do not drill from this sheet. {stops} to cure first; see the check report." if stops else None
    )
    return Stamp(
        build=build.name,
        paper=paper_named(shop.paper),
        printer=_printer(shop, printer_name),
        date=day.isoformat() if day else None,
        banner=banner,
    )


def _printer(shop: Shop, name: str | None) -> Printer:
    known = {profile.name: profile for profile in shop.printers}
    if name is not None and name not in known:
        raise Refusal(f"--printer: the shop has no printer {name!r}; it has {', '.join(known)}.")
    profile = shop.printers[0] if name is None else known[name]
    return Printer(profile.name, profile.factor_x, profile.factor_y)


def _date(text: str | None) -> date | None:
    if text is None:
        return None
    if text == "today":
        return datetime.now(tz=UTC).astimezone().date()
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise Refusal(f"--date: {text!r} is no date; expected YYYY-MM-DD or today.") from None


def _names(text: str | None) -> tuple[SheetName, ...] | None:
    if text is None:
        return None
    wanted = [name.strip() for name in text.split(",")]
    unknown = [name for name in wanted if name not in SHEETS]
    if unknown:
        raise Refusal(f"--sheets: there is no sheet {unknown[0]!r}; expected some of {', '.join(SHEETS)}.")
    return tuple(name for name in SHEETS if name in wanted)


def _length(option: str, text: str | None, otherwise: float | None) -> float | None:
    if text is None:
        return otherwise
    try:
        return read_length(text)
    except LengthError as error:
        raise Refusal(f"{option}: {error}") from None


# Sheets and writers


def _face(job: Job) -> tuple[Sheet, ...]:
    return face_sheets(job.build, job.layout, job.shop, _room(job, FOR_TEMPLATES))


def _back(job: Job) -> tuple[Sheet, ...]:
    return back_sheets(job.build, job.layout, job.shop, _room(job, FOR_PILOTS))


def _room(job: Job, cautions: tuple[str, ...]) -> tuple[float, float]:
    """Width and height in mm that the job's paper has for a sheet with these cautions."""
    blank = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=cautions)
    return room(blank, job.stamp)


def _comb(job: Job) -> tuple[Sheet, ...]:
    sheet = comb_sheet(job.build, job.layout, job.shop)
    return () if sheet is None else (sheet,)


def _calipers(job: Job) -> tuple[Sheet, ...]:
    return (caliper_sheet(job.build, job.layout, job.shop),)


def _report(job: Job) -> tuple[Sheet, ...]:
    return report_sheets(job.build, job.layout, job.found, job.shop)


def _jig(job: Job) -> tuple[Sheet, ...]:
    try:
        return (jig_sheet(job.build, job.layout, job.shop, job.guide_bushing, job.kerf),)
    except ValueError as error:
        if job.names is not None:
            raise Refusal(f"jig: {error}") from None
        complain(f"the jig is left out: {error}")
        return ()


BUILDERS: dict[SheetName, Callable[[Job], tuple[Sheet, ...]]] = {
    "face": _face,
    "back": _back,
    "comb": _comb,
    "calipers": _calipers,
    "jig": _jig,
    "report": _report,
}


def _pdf(job: Job) -> bytes:
    from export.pdf import write_pdf

    sheets = [sheet for name in job.names or SHEETS for sheet in BUILDERS[name](job)]
    if not sheets:
        raise Refusal("no page to write: no row has bodies to line up, so there is no comb.")
    try:
        pages = paginate_all(sheets, job.stamp)
    except ValueError as error:
        raise Refusal(str(error)) from None
    return write_pdf(pages, job.build.name, job.day)


def _one_sheet(job: Job) -> Sheet:
    """The one sheet of a DXF or SVG; by default the plain face, with nothing but what a machine needs."""
    names = job.names or ("face",)
    if len(names) > 1:
        raise Refusal("a DXF or SVG holds one sheet; name one with --sheets, or write a PDF.")
    if names == ("face",):
        return plain_face_sheet(job.build, job.layout)
    sheets = BUILDERS[names[0]](job)
    if names[0] == "back":
        return sheets[0]
    if len(sheets) != 1:
        raise Refusal(f"the sheet {names[0]!r} has {len(sheets)} pages; a DXF or SVG holds one. Write a PDF.")
    return sheets[0]


def _dxf(job: Job) -> bytes:
    from export.dxf import write_dxf

    return write_dxf(_one_sheet(job), job.dxf_version)


def _svg(job: Job) -> bytes:
    from export.svg import write_svg

    return write_svg(_one_sheet(job))


def _csv(job: Job) -> bytes:
    return write_holes(hole_rows(job.build, job.layout))


WRITERS: dict[str, Callable[[Job], bytes]] = {".pdf": _pdf, ".dxf": _dxf, ".svg": _svg, ".csv": _csv}
