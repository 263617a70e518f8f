"""What is to be printed or written: the maker's choices, and the job that they come to."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import msgspec
from msgspec.structs import replace

from app.document.messages import Progress
from app.document.scene import Scene
from app.writing.export import DxfVersion, Job, LeftOut, Made, begun, made, pages_of
from app.writing.pages import stamp_of
from export.catalogue import BENCH, usual_packet
from export.machine import Edge
from export.page import Page
from export.sheets.face import FACE
from geometry.trade.shop import PaperName, PrinterProfile, Shop


class Choices(msgspec.Struct, frozen=True, kw_only=True):
    """Which sheets, on which paper, for which printer (by its name in the shop); lengths in mm.

    `drawing` is the one sheet that goes into a DXF or SVG, `edge` how its outline ends, `aids` whether it has them.
    Without a `day` no date is printed.
    """

    names: tuple[str, ...] = BENCH.names
    paper: PaperName = "A4"
    printer: str = ""
    guide_bushing: float | None = None
    kerf: float = 0.0
    day: date | None = None
    drawing: str = FACE.name
    dxf_version: DxfVersion = "R2000"
    edge: Edge = "neck"
    aids: bool = False


class First(msgspec.Struct, frozen=True):
    """What has begun, with the pages that can be looked at already, whose numbers may still change."""

    job: Job
    made: Made
    pages: tuple[Page, ...]


class Prepared(msgspec.Struct, frozen=True):
    """Pages ready to be looked at, printed and written."""

    job: Job
    pages: tuple[Page, ...]
    left_out: tuple[LeftOut, ...]


def usual_choices(shop: Shop, day: date | None, *, stopped: bool = False) -> Choices:
    """The sheets for the bench, or of a head with something at stop those that show why; as the shop works."""
    return Choices(
        names=usual_packet(stopped=stopped).names,
        paper=shop.paper,
        printer=shop.printers[0].name,
        guide_bushing=shop.guide_bushing,
        kerf=shop.kerf,
        day=day,
    )


def first_choices(shop: Shop, last: Choices | None, today: date, *, stopped: bool = False) -> Choices:
    """The choices of last time with today's date; without any, the usual sheets as the shop works.

    The sheets that show why a head fails give way to the usual ones once nothing is at stop.
    """
    if last is None:
        return usual_choices(shop, today, stopped=stopped)
    if not stopped and last.names == usual_packet(stopped=True).names:
        last = replace(last, names=usual_packet(stopped=False).names)
    return replace(last, day=today if last.day else None, printer=profile_of(shop, last.printer).name)


def for_pages(choices: Choices) -> Choices:
    """The choices with what only concerns files for machines as usual."""
    return replace(choices, drawing=FACE.name, dxf_version="R2000", edge="neck", aids=False)


def profile_of(shop: Shop, name: str) -> PrinterProfile:
    """The printer of the shop that has this name, else the shop's first."""
    return next((profile for profile in shop.printers if profile.name == name), shop.printers[0])


def job_for(scene: Scene, shop: Shop, choices: Choices, file: Path | None = None) -> Job:
    """The job that the choices come to on paper; `file` is where the build is kept."""
    shop = replace(shop, paper=choices.paper, guide_bushing=choices.guide_bushing, kerf=choices.kerf)
    profile = profile_of(shop, choices.printer)
    return Job(
        build=scene.build,
        layout=scene.layout,
        found=scene.findings,
        shop=shop,
        stamp=stamp_of(scene.build, shop, profile, choices.day, scene.findings, file),
        day=choices.day,
        names=choices.names,
        dxf_version="R2000",
    )


def machine_job(job: Job, choices: Choices) -> Job:
    """The same job with the one sheet for a machine."""
    return replace(
        job, names=(choices.drawing,), dxf_version=choices.dxf_version, edge=choices.edge, aids=choices.aids
    )


def first_pages(job: Job) -> First:
    """The pages of the first sheet, to be looked at while the others are drawn; Refusal as `prepared`."""
    done = begun(job)
    return First(job, done, pages_of(done.sheets, job.stamp) if done.waiting else ())


def prepared(job: Job, progress: Progress, first: First | None = None) -> Prepared:
    """The pages of a job, none when no sheet is wanted; Refusal when the paper is too small for one."""
    assert job.names is not None, "the window names its sheets"
    done = made(job, progress, None if first is None else first.made)
    return Prepared(job, pages_of(done.sheets, job.stamp), done.left_out)
