"""`pegwright export`: sheets, jig and lists written to files; the suffix picks the writer."""

from __future__ import annotations

import argparse
import os
import re
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path

from msgspec.structs import replace

from app.export_job import (
    MACHINE_SUFFIXES,
    SHEETS,
    SUFFIXES,
    Job,
    SheetName,
    Suffix,
    made,
    pages_of,
    stamp_of,
    write_machine_file,
    write_pages,
)
from app.files import load_build, refuse_target, write_whole
from app.messages import Refusal, complain
from app.own_shop import own_shop
from export.paper import paper_named
from geometry.build.lengths import LengthError, read_length
from geometry.checks.judge import findings
from geometry.layout.layout import lay_out
from geometry.trade.shop import PrinterProfile, Shop


def run(chosen: argparse.Namespace) -> int:
    """Write all files or, when one of them is refused, none, and return the exit code."""
    from app.cli import DONE, STOPPED

    _refuse_outputs(chosen.file, chosen.outputs, force=chosen.force)
    only_csv = all(path.suffix.lower() == ".csv" for path in chosen.outputs)
    if chosen.sheets and only_csv and chosen.sheets.strip() != "schedule":
        raise Refusal("--sheets: a CSV holds every hole of the head, or with --sheets schedule every step.")
    job = _job(chosen)
    machine = [path for path in chosen.outputs if path.suffix.lower() in MACHINE_SUFFIXES]
    if job.stopped and machine and not chosen.despite_stop:
        complain(
            f"{chosen.file}: something is at stop, so {machine[0]} is not written, nor anything else: machines show "
            "no banner. See pegwright check; --despite-stop writes all the same, and a PDF alone is always written."
        )
        return STOPPED
    written = [(path, _written(job, path)) for path in chosen.outputs]
    for path, data in written:
        write_whole(path, data)
        print(f"Wrote {path}")
    if job.stopped:
        complain(f"{chosen.file}: something is at stop; every page of the PDF says so. See pegwright check.")
    return DONE


def _refuse_outputs(build: Path, outputs: list[Path], *, force: bool) -> None:
    files = [os.path.realpath(build)]
    for path in outputs:
        if path.suffix.lower() not in SUFFIXES:
            raise Refusal(f"{path}: no writer for this suffix; expected one of {', '.join(SUFFIXES)}.")
        refuse_target(path, force=force)
        files.append(os.path.realpath(path))
        if files.count(files[-1]) > 1:
            raise Refusal(f"{path}: this file is given twice.")


# What the options ask for


def _job(chosen: argparse.Namespace) -> Job:
    build = load_build(chosen.file)
    layout = lay_out(build)
    if layout.edge is None:
        raise Refusal(f"{chosen.file}: the outline has no line yet, so there is nothing to draw.")
    found = findings(build, layout)
    shop = chosen_shop(chosen)
    day = chosen_date(chosen.date)
    return Job(
        build=build,
        layout=layout,
        found=found,
        shop=shop,
        stamp=stamp_of(build, shop, chosen_printer(shop, chosen.printer), day, found),
        day=day,
        names=_names(chosen.sheets),
        guide_bushing=_length("--guide-bushing", chosen.guide_bushing, shop.guide_bushing),
        kerf=_length("--kerf", chosen.kerf, shop.kerf) or 0.0,
        dxf_version=chosen.dxf_version,
    )


def chosen_shop(chosen: argparse.Namespace) -> Shop:
    """The maker's shop, with the paper of --paper."""
    shop = own_shop(chosen.shop)
    try:
        return replace(shop, paper=paper_named(chosen.paper).name) if chosen.paper else shop
    except ValueError as error:
        raise Refusal(f"--paper: {error}") from None


def chosen_printer(shop: Shop, name: str | None) -> PrinterProfile:
    """The printer of the shop that --printer names, else its first; Refusal when it has no such one."""
    known = {profile.name: profile for profile in shop.printers}
    if name is not None and name not in known:
        raise Refusal(f"--printer: the shop has no printer {name!r}; it has {', '.join(known)}.")
    return shop.printers[0] if name is None else known[name]


def chosen_date(text: str | None) -> date | None:
    """The day that --date gives, None without; Refusal when it is no date."""
    if text is None:
        return None
    if text == "today":
        return datetime.now(tz=UTC).astimezone().date()
    with suppress(ValueError):
        # Other ways of ISO 8601, weeks and days without hyphens, are read by fromisoformat too.
        if re.fullmatch(r"[12][0-9]{3}-[0-9]{2}-[0-9]{2}", text):
            return date.fromisoformat(text)
    raise Refusal(f"--date: {text!r} is no date; expected YYYY-MM-DD or today.")


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


# Writing


def _written(job: Job, path: Path) -> bytes:
    suffix = _suffix(path)
    return _pdf(job) if suffix == ".pdf" else write_machine_file(job, suffix)


def _suffix(path: Path) -> Suffix:
    """Which writer a file asks for; capitals or not."""
    return next(suffix for suffix in SUFFIXES if suffix == path.suffix.lower())


def _pdf(job: Job) -> bytes:
    done = made(job)
    for missing in done.left_out:
        if missing.fault and job.names is not None:
            raise Refusal(f"{missing.name}: {missing.why}")
        if missing.fault:
            complain(f"the {missing.name} is left out: {missing.why}")
    if not done.sheets:
        raise Refusal(f"no page to write: {done.left_out[0].why}")
    return write_pages(pages_of(done.sheets, job.stamp), job)
