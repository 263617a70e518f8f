"""`pegwright strength`: where a head is weakest against its strings, in words or as JSON."""

from __future__ import annotations

import argparse
import math
from typing import Any

from app.command_line.common import DONE, own_shop
from app.document.files import load_build
from app.document.messages import tell, tell_json
from geometry.bench.grain import ALLOWED_SHARE, LEAST_ACROSS, MOST_ACROSS, USUAL_ACROSS
from geometry.bench.strength import Station, Strength, strength
from geometry.bench.strength_words import ASSUMED, index, say_strength, sources
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.trade.units import Units


def run(chosen: argparse.Namespace) -> int:
    """Print the sentences, what goes in and what is taken for granted; 0, for a figure like this stops nothing."""
    build = load_build(chosen.file)
    layout = lay_out(build)
    found = strength(build, layout, own=own_shop(chosen.shop).own_woods)
    if chosen.json:
        tell_json(as_json(found, build, layout, chosen.units))
        return DONE
    lines = [f"{chosen.file}:", *(f"  {words}" for words in say_strength(found, build, layout, chosen.units))]
    if found.weakest is not None:
        lines += [
            "What goes in:",
            *(f"  {name}: {value} ({source})" for name, value, source in sources(found, chosen.units)),
        ]
        lines += ["What is taken for granted:", *(f"  {words}" for words in ASSUMED)]
    tell(*lines)
    return DONE


def as_json(found: Strength, build: Build, layout: Layout, units: Units) -> dict[str, Any]:
    """The strength as plain data: heights in mm, stresses in MPa, forces in N; null where there is no figure."""
    weakest = found.weakest
    band = (LEAST_ACROSS, MOST_ACROSS)
    return {
        "used_percent": _two_figures(100 * found.most_used()) if found.told else None,
        "used_percent_band": [_two_figures(100 * use) for use in found.band] if found.told else None,
        "knock": _two_figures(found.knock().force) if found.told else None,
        "knock_band": [_two_figures(found.knock(each).force) for each in band] if found.told else None,
        "index": _two_figures(index(found)) if found.told else None,
        "weakest": None if weakest is None else _station(found, weakest),
        "across_the_grain": USUAL_ACROSS,
        "across_the_grain_band": list(band),
        "allowed_share": ALLOWED_SHARE,
        "wood": None if found.wood is None else found.wood.name,
        "strings_without_pull": [layout.labels[key] for key in found.unknown],
        "words": list(say_strength(found, build, layout, units)),
        "sources": [
            {"name": name, "value": value, "source": source} for name, value, source in sources(found, units)
        ],
        "sections": [_station(found, station) for station in found.stations],
    }


def _station(found: Strength, station: Station) -> dict[str, Any]:
    return {
        "y": station.y,
        "width": station.section.width,
        "net_width": station.section.net_width,
        "thickness": station.section.thickness,
        "modulus": station.section.modulus,
        "pull": station.pull,
        "moment": station.moment,
        "bending": _finite(station.bending),
        "pressure": station.pressure,
        "holes": list(station.holes),
        "grain_slope_deg": math.degrees(station.slope),
        "grain": station.grain(),
        "used_percent": _two_figures(100 * found.use(station)) if found.told else None,
    }


def _two_figures(number: float) -> float | None:
    """No figure of strength is worth more than two."""
    return float(f"{number:.1e}") if math.isfinite(number) else None


def _finite(number: float) -> float | None:
    """JSON has no infinity."""
    return number if math.isfinite(number) else None
