"""The small holes of a head: what they are called, and how wide they are drilled."""

from __future__ import annotations

from geometry.build.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import SmallHole
from geometry.trade.wood import Wood, find_wood, pilot_diameter


def pilot(build: Build, hole: SmallHole, own: tuple[Wood, ...] = ()) -> float:
    """Diameter in mm of the hole to drill: for a screw by its root and the wood, for a pin its own.

    Pilots come in tenths as small drills do: every sheet and list says the same. `own` are the woods of the maker's
    shop.
    """
    if hole.kind == "pin":
        return hole.diameter
    return pilot_diameter(hole.root, find_wood(build.head.wood, own))


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
