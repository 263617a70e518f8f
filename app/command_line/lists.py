"""The commands that only print what there is: tuners, strings, woods, sheets, the schema of a build file."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence

from app.command_line.common import DONE
from app.document.messages import tell
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.quantities import (
    ESTIMATE,
    UNKNOWN,
    bare_fine,
    bare_gauge,
    length_word,
    show_density,
    show_force,
    show_mass,
)
from geometry.trade.string_sets import STRING_SETS, StringSet, is_wound
from geometry.trade.units import Units
from geometry.trade.wood import Wood, known_woods


def run(chosen: argparse.Namespace) -> int:
    """Print the list that the command is called after; 0."""
    tell(*_lines(chosen))
    return DONE


def _lines(chosen: argparse.Namespace) -> list[str]:
    match chosen.command:
        case "hardware":
            return _hardware(chosen.units)
        case "strings":
            return _strings(chosen.units)
        case "woods":
            return _woods(chosen.units)
        case "sheets":
            return _sheets()
    return _schema()


def _hardware(units: Units) -> list[str]:
    """The library of tuners, one line each, under a heading that says what the sizes are worth."""
    heads = ("key", "bore", "post", "hole height", "thickness", "mass", "most pull", "most string", "class")
    rows = [heads, *(_hardware_row(each, units) for each in LIBRARY)]
    return [
        f"Typical sizes in {length_word(units)}: measure yours.",
        *table(rows),
        "Most pull, most string: the hardest pull and thickest string it takes; workshop practice, no source.",
        "Tapered wooden pegs are not supported yet.",
    ]


def _hardware_row(each: Hardware, units: Units) -> tuple[str, ...]:
    bore = bare_fine(each.bore.through, units)
    if each.bore.counterbore:
        wide, deep = (
            bare_fine(size, units) for size in (each.bore.counterbore.diameter, each.bore.counterbore.depth)
        )
        bore += f" / {wide} x {deep}"
    least, most = (bare_fine(size, units) for size in (each.thickness_least, each.thickness_most))
    sizes = (bare_fine(size, units) for size in (each.post_diameter, each.hole_height))
    mass = show_mass(each.body_mass + each.button_mass, units)
    pull = UNKNOWN if each.most_pull is None else show_force(each.most_pull, units, ESTIMATE)
    string = UNKNOWN if each.most_string is None else bare_fine(each.most_string, units)
    return each.key, bore, *sizes, f"{least} to {most}", mass, pull, string, each.name


def _strings(units: Units) -> list[str]:
    """The sets of strings, one line each: gauges from the treble side."""
    rows = [("key", "gauges", "set"), *(_string_row(each, units) for each in STRING_SETS)]
    return [f"Gauges in {length_word(units)}, treble first; w = wound.", *table(rows)]


def _string_row(each: StringSet, units: Units) -> tuple[str, ...]:
    gauges = " ".join(
        f"{bare_gauge(gauge.diameter, units)}{'w' if is_wound(gauge.kind) else ''}" for gauge in each.gauges
    )
    return each.key, gauges, each.name


def _woods(units: Units) -> list[str]:
    """The woods, one line each: how hard and heavy they are, and where the figures are from."""
    heads = ("name", "hardness", "weight", "also called", "source")
    rows = [heads, *(_wood_row(each, units) for each in known_woods())]
    return ["Averages for clear wood at 12 % moisture; boards differ.", *table(rows)]


def _wood_row(each: Wood, units: Units) -> tuple[str, ...]:
    weight = show_density(each.density, units)
    return each.name, show_force(each.janka, units, ESTIMATE), weight, ", ".join(each.also), each.source


def _sheets() -> list[str]:
    from export.catalogue import ORDER, PACKETS

    sheets = table([(kind.name, kind.title) for kind in ORDER])
    packets = table([(packet.name, f"{packet.title}: {packet.about}") for packet in PACKETS])
    return ["Sheets, for --sheets:", *sheets, "Packets, for --packet:", *packets]


def _schema() -> list[str]:
    from geometry.document.schema import build_schema

    return json.dumps(build_schema(), indent=2).splitlines()


def table(rows: Sequence[tuple[str, ...]]) -> list[str]:
    """Rows of cells as lines with columns in line."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    ]
