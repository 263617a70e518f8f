"""`pegwright export`: sheets, guide and lists written to files; the suffix picks the writer."""

from __future__ import annotations

import argparse
import os
from pathlib import Path

import msgspec
from msgspec.structs import replace

from app.command_line.common import DONE, STOPPED, refuse_output
from app.command_line.given import known_as, length_of
from app.command_line.on_paper import chosen_date, chosen_printer, chosen_shop
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, complain, tell
from app.document.naming import named
from app.writing.export import (
    MACHINE_SUFFIXES,
    SUFFIXES,
    Job,
    Suffix,
    made,
    pages_of,
    write_machine_file,
    write_pages,
)
from app.writing.pages import stamp_of
from export.catalogue import KINDS, PACKETS
from geometry.checks.judge import findings
from geometry.document.fields import expected_at
from geometry.layout.layout import lay_out
from geometry.trade.escapes import quoted
from geometry.trade.shop import Shop
from geometry.trade.units import Units


def run(chosen: argparse.Namespace) -> int:
    """Write all files or, when one of them is refused, none, and return the exit code."""
    _refuse_outputs(chosen.file, chosen.outputs, force=chosen.force)
    only_csv = all(path.suffix.lower() == ".csv" for path in chosen.outputs)
    if chosen.sheets and only_csv and chosen.sheets.strip() != "schedule":
        raise Refusal("--sheets: a CSV holds every hole of the head, or with --sheets schedule every step.")
    _refuse_what_no_file_has(chosen)
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
        tell(f"Wrote {path}")
    if job.stopped:
        complain(f"{chosen.file}: something is at stop; every page of the PDF says so. See pegwright check.")
    return DONE


def _refuse_outputs(build: Path, outputs: list[Path], *, force: bool) -> None:
    files = [os.path.realpath(build)]
    for path in outputs:
        refuse_output(path, SUFFIXES, force=force)
        files.append(os.path.realpath(path))
        if files.count(files[-1]) > 1:
            raise Refusal(f"{path}: this file is given twice.")


_FOR: tuple[tuple[str, str, object, tuple[Suffix, ...]], ...] = (
    ("--paper", "paper", None, (".pdf",)),
    ("--printer", "printer", None, (".pdf",)),
    ("--date", "date", None, (".pdf",)),
    ("--packet", "packet", None, (".pdf",)),
    ("--dxf-version", "dxf_version", "R2000", (".dxf",)),
    ("--edge", "edge", "neck", (".dxf", ".svg")),
    ("--aids", "aids", False, (".dxf", ".svg")),
    ("--kerf", "kerf", None, (".pdf", ".dxf", ".svg")),
    ("--guide-bushing", "guide_bushing", None, (".pdf", ".dxf", ".svg", ".3mf", ".stl")),
)
"""Options that only some files have something of: the option, its name, its default, the suffixes of those files."""


def _refuse_what_no_file_has(chosen: argparse.Namespace) -> None:
    """Refuse an option that none of the files would show: whoever gives it expects other files than these."""
    suffixes = {_suffix(path) for path in chosen.outputs}
    for option, name, usual, having in _FOR:
        if getattr(chosen, name) != usual and suffixes.isdisjoint(having):
            *most, last = (suffix[1:].upper() for suffix in having)
            files = f"{', '.join(most)} and {last}" if most else last
            raise Refusal(f"{option}: only {files} files have it, and none is to be written.")


# What the options ask for


def _job(chosen: argparse.Namespace) -> Job:
    build = named(load_build(chosen.file), chosen.file)
    layout = lay_out(build)
    if layout.edge is None:
        raise Refusal(f"{chosen.file}: the outline has no line yet, so there is nothing to draw.")
    found = findings(build, layout)
    shop = _tools(chosen, chosen_shop(chosen))
    day = chosen_date(chosen.date)
    return Job(
        build=build,
        layout=layout,
        found=found,
        shop=shop,
        stamp=stamp_of(build, shop, chosen_printer(shop, chosen.printer), day, found, chosen.file),
        day=day,
        names=_names(chosen.sheets),
        packet=None if chosen.packet is None else _packet(chosen.packet),
        dxf_version=chosen.dxf_version,
        edge=chosen.edge,
        aids=chosen.aids,
    )


def _tools(chosen: argparse.Namespace, shop: Shop) -> Shop:
    """The shop with the guide bushing and the kerf of this job."""
    for option, field in (("--guide-bushing", "guide_bushing"), ("--kerf", "kerf")):
        text = getattr(chosen, field)
        if text is not None:
            shop = replace(shop, **{field: _length_for_shop(option, field, text, shop.units)})
    return shop


def _length_for_shop(option: str, field: str, text: str, units: Units) -> float:
    """The length of an option that stands for a field of the shop; Refusal where no shop could have it."""
    length = length_of(option, text, units)
    try:
        msgspec.convert({field: length}, Shop)
    except msgspec.ValidationError:
        expected = expected_at({}, field, Shop).replace("null or ", "")
        raise Refusal(f"{option}: {text} is not usable here; {expected}.") from None
    return length


def _names(text: str | None) -> tuple[str, ...] | None:
    if text is None:
        return None
    wanted = [name.strip() for name in text.split(",")]
    unknown = [name for name in wanted if name not in KINDS]
    if unknown:
        raise Refusal(
            f"--sheets: there is no sheet {quoted(unknown[0])}; expected some of {', '.join(KINDS)}."
        )
    return tuple(name for name in KINDS if name in wanted)


def _packet(name: str) -> tuple[str, ...]:
    packets = {packet.name: packet.names for packet in PACKETS}
    return known_as(name.strip(), packets, "--packet: there is no packet {}; expected one of {}.")


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
