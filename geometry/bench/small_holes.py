"""The small holes of a head: what they are called, and how wide they are drilled."""

from __future__ import annotations

from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import SmallHole
from geometry.trade.bore_fit import Fit
from geometry.trade.wood import Wood, find_wood, pilot_diameter

# mm; a pilot may be drilled so much narrower or wider, never wider than the root of the screw.
_NARROWER_PILOT, _WIDER_PILOT = 0.15, 0.15
# mm; the hole of a locating pin may be so much wider: a pin of 2.0 sits in 2.0 to 2.2, from memory.
_PIN_SLACK = 0.2


def pilot(build: Build, hole: SmallHole, own: tuple[Wood, ...] = ()) -> float:
    """Diameter in mm of the hole to drill: for a screw by its root and the wood, for a pin its own.

    Pilots come in tenths as small drills do: every sheet and list says the same. `own` are the woods of the maker's
    shop.
    """
    if hole.kind == "pin":
        return hole.diameter
    return pilot_diameter(hole.root, find_wood(build.head.wood, own))


def small_hole_fit(hole: SmallHole, drill: float) -> Fit:
    """What the hole for a screw or a pin may be drilled, where its diameter is `drill`."""
    return pin_fit(drill) if hole.kind == "pin" else pilot_fit(drill, hole.root)


def pilot_fit(drill: float, root: float) -> Fit:
    """What a screw's pilot may be drilled, never wider than its root unless the pilot itself is."""
    return Fit(drill, drill - _NARROWER_PILOT, max(drill, min(drill + _WIDER_PILOT, root)), "pilot")


def pin_fit(diameter: float) -> Fit:
    """What the hole of a locating pin may be drilled."""
    return Fit(diameter, diameter, diameter + _PIN_SLACK, "pin")


def small_hole_names(layout: Layout) -> tuple[str, ...]:
    """Names of the layout's small holes in their order: screws S1, S2, ..., pins P1, P2, ..."""
    counts = {"screw": 0, "pin": 0}
    names = []
    for hole in layout.holes:
        counts[hole.kind] += 1
        names.append(f"{hole.kind[0].upper()}{counts[hole.kind]}")
    return tuple(names)


def retainer_names(build: Build) -> tuple[str, ...]:
    """Short names of string trees and guide posts, and of their screws: R1, R2, ..."""
    return tuple(f"R{number}" for number in range(1, len(build.retainers) + 1))


def tree_screw_names(build: Build, layout: Layout) -> tuple[str, ...]:
    """Names of the layout's screws of trees in their order: those of the trees."""
    names = {tree.key: name for tree, name in zip(build.retainers, retainer_names(build), strict=True)}
    return tuple(names[hole.tree] for hole in layout.tree_screws)


def old_hole_names(build: Build) -> tuple[str, ...]:
    """Short names of the holes that are there already: H1, H2, ..."""
    return tuple(f"H{number}" for number in range(1, len(build.old_holes) + 1))
