"""How far the holes of a build may miss, as lines of text and as plain data."""

from __future__ import annotations

from typing import Any

from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.search.rings.allowance import Ring, allowance
from geometry.search.rings.allowance_words import say_ring, say_rings
from geometry.trade.quantities import show_radius
from geometry.trade.units import Units


def ring_lines(build: Build, layout: Layout, units: Units) -> list[str]:
    """How far the holes may miss, as lines of text: all at once, then each alone."""
    found = allowance(build, layout)
    lines = [say_rings(found, units)]
    for ring in found.rings if found.told else ():
        joint = "" if ring.broken else f" Together with all others: {show_radius(ring.radius, units)}."
        lines.append(say_ring(ring, build, units) + joint)
    return lines


def rings_as_json(build: Build, layout: Layout, units: Units) -> dict[str, Any]:
    """All rings as plain data, and what is said of them together."""
    found = allowance(build, layout)
    return {
        "rings": [ring_as_json(ring, build, units) for ring in found.rings],
        "rings_in_words": say_rings(found, units),
    }


def ring_as_json(ring: Ring, build: Build, units: Units) -> dict[str, Any]:
    """The ring of one hole as plain data, lengths in mm."""
    ends = ring.ends
    return {
        "hole": ring.label,
        "at": [ring.at.x, ring.at.y],
        "ring": ring.radius,
        "alone": ring.alone,
        "looks_even_within": ring.even,
        "lean_deg": ring.lean_deg,
        "broken": ring.broken,
        "ends": None if ends is None else ends.check,
        "about": [] if ends is None else [part.name for part in ends.about],
        "toward": None if ends is None or ends.toward is None else [ends.toward.x, ends.toward.y],
        "words": say_ring(ring, build, units),
    }
