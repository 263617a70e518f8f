"""`pegwright compare`: two heads held against each other."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from app.command_line.check import as_json
from app.command_line.common import DONE, STOPPED, refuse_output
from app.command_line.given import hardware_named
from app.command_line.lists import table
from app.command_line.on_paper import chosen_date, chosen_printer, chosen_shop
from app.document.files import load_build, write_whole
from app.document.messages import Refusal, tell, tell_json
from app.document.naming import named
from app.writing.pages import comparison_pdf
from export.csv import write_table
from geometry.checks.judge import Level
from geometry.checks.words import headline
from geometry.layout.tuner_load import say_most, too_much
from geometry.search.answers.compare import (
    Comparison,
    HoleLine,
    Number,
    Side,
    compared,
    side_of,
    with_hardware,
)
from geometry.search.answers.compare_words import (
    CHECK_HEADS,
    HOLE_HEADS,
    NAMES,
    NUMBER_HEADS,
    check_cells,
    differing,
    hole_cells,
    number_cells,
    say_verdicts,
)
from geometry.trade.shop import Shop
from geometry.trade.units import Units

SUFFIXES = (".pdf", ".csv")


def run(chosen: argparse.Namespace) -> int:
    """Write or print the comparison and return the exit code."""
    if chosen.output is not None:
        refuse_output(chosen.output, SUFFIXES, force=chosen.force)
    shop = chosen_shop(chosen)
    units: Units = chosen.units
    found = _compared(chosen, units)
    if chosen.output is not None:
        write_whole(chosen.output, _written(chosen, found, shop, units))
    if chosen.json:
        tell_json(comparison_as_json(found, units))
    elif chosen.output is not None:
        tell(" ".join((f"Wrote {chosen.output}.", *say_verdicts(found))))
    else:
        tell(*lines_of(found, units))
    return STOPPED if Level.STOP in (found.one.level, found.two.level) else DONE


def _compared(chosen: argparse.Namespace, units: Units) -> Comparison:
    if (chosen.other is None) == (chosen.hardware is None):
        raise Refusal("compare: give another build file or --hardware KEY, not both.")
    build = named(load_build(chosen.file), chosen.file)
    if chosen.other is not None:
        names = _names(chosen.file, chosen.other)
        return compared(
            side_of(build, names[0]), side_of(named(load_build(chosen.other), chosen.other), names[1])
        )
    model = hardware_named(chosen.hardware)
    refused = too_much(build, model)
    if refused:
        strings = ", ".join(dict.fromkeys(load.string.name or load.string.key for load in refused))
        raise Refusal(f"--hardware: {model.name} takes {say_most(model, units)}; not these: {strings}.")
    today = ", ".join(dict.fromkeys(each.name or each.key for each in build.hardware))
    one, two = (f"{build.name}, {tuner}" for tuner in (today or "no tuners", model.name))
    return compared(side_of(build, one), side_of(with_hardware(build, model), two))


def _names(one: Path, two: Path) -> tuple[str, str]:
    """The names of the files, with their folders where they are the same."""
    return (one.stem, two.stem) if one.stem != two.stem else (str(one), str(two))


# What is written


def _written(chosen: argparse.Namespace, found: Comparison, shop: Shop, units: Units) -> bytes:
    if chosen.output.suffix.lower() == ".csv":
        return write_table(_CSV_HEADS, _csv_lines(found))
    printer, day = chosen_printer(shop, chosen.printer), chosen_date(chosen.date)
    return comparison_pdf(found, shop, printer, day, units)


_CSV_HEADS = ("kind", "name", "unit", "A", "B", "B minus A", "level A", "level B", "better")


def _csv_lines(found: Comparison) -> Iterator[tuple[str | float | None, ...]]:
    """All lines: quantities, then those of holes, then checks; lengths in mm, angles in degrees."""
    for number in found.numbers:
        yield _csv_number("head", number.name, number)
    for line in found.holes:
        yield "hole", f"{line.label} apart", "mm", None, None, line.apart, "", "", ""
        for number in _numbers_of(line):
            yield _csv_number("hole", f"{line.label} {number.name}", number)
    for check in found.checks:
        sides = (check.one, check.two)
        measured = [None if each is None else each.measured for each in sides]
        levels = ["" if each is None else str(each.level) for each in sides]
        yield "check", check.check, check.unit, *measured, check.change, *levels, _told(check.better)


def _csv_number(kind: str, name: str, number: Number) -> tuple[str | float | None, ...]:
    return kind, name, number.unit, number.one, number.two, number.change, "", "", _told(number.better)


def _numbers_of(line: HoleLine) -> tuple[Number, ...]:
    return line.ring, line.splay, line.break_angle


def _told(better: str) -> str:
    return {"one": NAMES[0], "two": NAMES[1], "same": "same"}[better]


# What is printed


def lines_of(found: Comparison, units: Units) -> Iterator[str]:
    """The comparison as lines of text; of the checks only those that differ or are not fine."""
    for name, side in zip(NAMES, (found.one, found.two), strict=True):
        yield f"{name}: {side.name}. {headline(side.found)}"
    yield from say_verdicts(found)
    for heads, rows in (
        (NUMBER_HEADS, [number_cells(each, units) for each in found.numbers]),
        (HOLE_HEADS, [hole_cells(each, units) for each in found.holes]),
        (CHECK_HEADS, [check_cells(each, units) for each in differing(found.checks)]),
    ):
        if rows:
            yield ""
            yield from table([heads, *rows])


def comparison_as_json(found: Comparison, units: Units) -> dict[str, Any]:
    """The comparison as plain data: lengths in mm, angles in degrees, masses in g."""
    return {
        "A": _side_as_json(found.one),
        "B": _side_as_json(found.two),
        "numbers": [_number_as_json(number) for number in found.numbers],
        "holes": [
            {
                "hole": line.label,
                "apart": line.apart,
                "numbers": [_number_as_json(number) for number in _numbers_of(line)],
            }
            for line in found.holes
        ],
        "checks": [
            {
                "check": line.check,
                "A": line.one and as_json(line.one, units),
                "B": line.two and as_json(line.two, units),
                "change": line.change,
                "better": _told(line.better),
            }
            for line in found.checks
        ],
        "words": list(say_verdicts(found)),
    }


def _side_as_json(side: Side) -> dict[str, Any]:
    return {"name": side.name, "level": str(side.level), "headline": headline(side.found)}


def _number_as_json(number: Number) -> dict[str, Any]:
    return {
        "name": number.name,
        "unit": number.unit,
        "A": number.one,
        "B": number.two,
        "change": number.change,
        "better": _told(number.better),
    }
