"""`pegwright nut`: slots and strings as tables, and the cut along the bottom of a nut that is being fitted."""

from __future__ import annotations

import argparse
import math
from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec.structs import replace

from app.command_line.common import DONE, own_shop
from app.command_line.given import length_if_given
from app.command_line.lists import table
from app.document.files import load_build
from app.document.messages import Refusal, tell, tell_json
from app.document.naming import named
from export.flow import Table
from export.sheets.nut_strip import slot_table
from export.sheets.strings import cut_table, figures_of, load_table
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.nut_fitting import Fitting, fit_nut, say_fitting
from geometry.layout.nut_slots import Slot, from_bass_end, nut_slots
from geometry.layout.string_loads import StringCut, StringLoad, string_cuts, string_loads, total_pull
from geometry.trade.nut_work import nearest_file
from geometry.trade.quantities import show_force, show_length
from geometry.trade.shop import Shop
from geometry.trade.units import Units

LARGEST = 10.0
"""mm; no clearance over fret 1 is more."""


def run(chosen: argparse.Namespace) -> int:
    """Print what was asked for and return the exit code."""
    build = named(load_build(chosen.file), chosen.file)
    shop = replace(own_shop(chosen.shop), units=chosen.units)
    layout = lay_out(build)
    if not build.strings:
        raise Refusal(f"{chosen.file}: the build has no strings yet.")
    fitting = _fitting(chosen, build, layout, shop.units)
    if chosen.json:
        tell_json(_as_json(build, layout, shop, fitting))
        return DONE
    lines = say_fitting(build, fitting, shop.units) if fitting else _tables(build, layout, shop)
    tell(*lines)
    return DONE


# What was typed


def _fitting(chosen: argparse.Namespace, build: Build, layout: Layout, units: Units) -> Fitting | None:
    """The fitting that the options ask for, None without measures; Refusal for half of one."""
    bass = length_if_given("--measured-bass", chosen.measured_bass, units, 0.0, LARGEST)
    treble = length_if_given("--measured-treble", chosen.measured_treble, units, 0.0, LARGEST)
    wanted_bass = length_if_given("--wanted-bass", chosen.wanted_bass, units, 0.0, LARGEST)
    wanted_treble = length_if_given("--wanted-treble", chosen.wanted_treble, units, 0.0, LARGEST)
    height = length_if_given("--height", chosen.height, units, 0.0, 100.0)
    if bass is None and treble is None and wanted_bass is wanted_treble is height is None:
        return None
    if bass is None or treble is None:
        missing = "--measured-bass" if bass is None else "--measured-treble"
        raise Refusal(f"{missing} is missing: the cut is straight from bass to treble and needs both.")
    return fit_nut(build, layout, (bass, treble), (wanted_bass, wanted_treble), height)


# Tables


def _tables(build: Build, layout: Layout, shop: Shop) -> Iterator[str]:
    loads, cuts = string_loads(build), string_cuts(layout)
    yield "Slots, under the finished top; places from the finished bass end:"
    yield from _lines(slot_table(build, nut_slots(build, layout), shop))
    scale = show_length(build.scale_length, shop.units)
    pull = show_force(total_pull(loads), shop.units, figures_of(*loads))
    yield f"Strings over {scale}, {pull} all together (≈ is an estimate):"
    yield from _lines(load_table(loads, layout, shop.units))
    if cuts:
        yield "Where to cut:"
        yield from _lines(cut_table(cuts, layout, shop.units))


def _lines(of: Table) -> Iterator[str]:
    rows = [tuple(column.head for column in of.columns), *(row.cells for row in of.rows)]
    yield from (f"  {line}" for line in table(rows))


# JSON


def _as_json(build: Build, layout: Layout, shop: Shop, fitting: Fitting | None) -> dict[str, Any]:
    cuts = {cut.path.string.key: cut for cut in string_cuts(layout)}
    slots, loads = nut_slots(build, layout), string_loads(build)
    return {
        "slots": [_slot(build, slot, shop) for slot in slots],
        "strings": [
            _string(layout.labels[load.string.key], load, cuts.get(load.string.key)) for load in loads
        ],
        "total_pull": total_pull(loads),
        "underside": msgspec.to_builtins(fitting) if fitting else None,
    }


def _slot(build: Build, slot: Slot, shop: Shop) -> dict[str, Any]:
    return {
        "string": slot.label,
        "from_bass_end": from_bass_end(build, slot.x),
        "width": slot.width,
        "nearest_file": nearest_file(slot.width, slot.string.diameter, shop.nut_files),
        "depth": slot.depth,
        "top": slot.top,
        "floor_over_frets": slot.over_frets,
        "fall_deg": None if slot.fall is None else math.degrees(slot.fall),
        "turn_deg": None if slot.turn is None else math.degrees(slot.turn),
    }


def _string(label: str, load: StringLoad, cut: StringCut | None) -> dict[str, Any]:
    return {
        "string": label,
        "pitch": load.pitch or None,
        "frequency": load.hertz,
        "unit_weight": load.weight.value,
        "weight_from": load.weight.source,
        "estimate": load.estimate,
        "pull": load.pull,
        "stress": load.stress,
        "percent_of_strength": load.percent,
        "nut_to_post": None if cut is None else cut.to_post,
        "past_post": None if cut is None else cut.past_post,
    }
