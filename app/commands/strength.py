"""`pegwright strength`: where a head is weakest against its strings, in words or as JSON."""

from __future__ import annotations

import argparse
import json
import math
from typing import Any

from app.commands.codes import DONE
from app.commands.own_shop import own_shop
from app.files import load_build
from geometry.bench.strength import Station, Strength, strength
from geometry.bench.strength_words import ASSUMED, about, say_strength, sources
from geometry.build.build import Build
from geometry.build.lengths import Units
from geometry.layout.layout import Layout, lay_out


def run(chosen: argparse.Namespace) -> int:
    """Print the sentences, what goes in and what is taken for granted; 0, for a figure like this stops nothing."""
    build = load_build(chosen.file)
    layout = lay_out(build)
    found = strength(build, layout, own=own_shop(chosen.shop).own_woods)
    if chosen.json:
        print(json.dumps(as_json(found, build, layout, chosen.units), indent=2, ensure_ascii=False))
        return DONE
    lines = [f"{chosen.file}:", *(f"  {words}" for words in say_strength(found, build, layout, chosen.units))]
    if found.weakest is not None:
        lines += [
            "What goes in:",
            *(f"  {name}: {value} ({source})" for name, value, source in sources(found)),
        ]
        lines += ["What is taken for granted:", *(f"  {words}" for words in ASSUMED)]
    print("\n".join(lines))
    return DONE


def as_json(found: Strength, build: Build, layout: Layout, units: Units) -> dict[str, Any]:
    """The strength as plain data: heights in mm, stresses in MPa, pulls in N; null where there is no figure."""
    weakest = found.weakest
    return {
        "figure": about(found.ratio(weakest)) if found.told and weakest is not None else None,
        "weakest": None if weakest is None else _station(found, weakest),
        "grain": found.grain,
        "grain_slope_deg": math.degrees(found.slope),
        "duration": found.duration,
        "wood": None if found.wood is None else found.wood.name,
        "strings_without_pull": [layout.labels[key] for key in found.unknown],
        "words": list(say_strength(found, build, layout, units)),
        "sources": [
            {"name": name, "value": value, "source": source} for name, value, source in sources(found)
        ],
        "sections": [_station(found, station) for station in found.stations],
    }


def _station(found: Strength, station: Station) -> dict[str, Any]:
    return {
        "y": station.y,
        "width": station.section.width,
        "net_width": station.section.net_width,
        "thickness": station.section.thickness,
        "pull": station.pull,
        "moment": station.moment,
        "bending": _finite(station.bending),
        "pressure": station.pressure,
        "hole_factor": station.hole_factor,
        "holes": list(station.holes),
        "plain_section": _two_figures(found.nominal(station)) if found.told else None,
        "ratio": _two_figures(found.ratio(station)) if found.told else None,
    }


def _two_figures(ratio: float) -> float | None:
    """A ratio is worth no more than two figures."""
    return float(f"{ratio:.1e}") if math.isfinite(ratio) else None


def _finite(number: float) -> float | None:
    """JSON has no infinity."""
    return number if math.isfinite(number) else None
