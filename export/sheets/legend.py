"""Short names for what the drawings show beside the tuners, and the sentences that say what the names stand for."""

from __future__ import annotations

from collections.abc import Iterator

from export.sheets.head import LEAST_RING, diameter_words, region_names
from geometry.bench.small_holes import old_hole_names, pilot, retainer_names, small_hole_fit
from geometry.document.build import Build, OldHole, Region
from geometry.layout.layout import Layout
from geometry.layout.names import run_words
from geometry.search.rings.allowance import JointRing
from geometry.trade.quantities import bare_radius, show_fine, show_length
from geometry.trade.shop import Shop
from geometry.trade.units import Units

_KINDS = {"tree": "string tree", "guide post": "guide post"}


def keep_clear_words(build: Build, units: Units) -> tuple[str, ...]:
    """One sentence for each region to keep clear and each old hole: what it is, on which side, how deep."""
    return (
        *(
            f"{name}: {region.name or 'keep clear'}, {_where(region, units)}."
            for name, region in zip(region_names(build), build.keep_clear, strict=True)
        ),
        *(
            f"{name}: {_old_hole(hole, units)}."
            for name, hole in zip(old_hole_names(build), build.old_holes, strict=True)
        ),
    )


def _old_hole(hole: OldHole, units: Units) -> str:
    kind = "plugged hole" if hole.plugged else "old hole"
    deep = (
        "right through"
        if hole.depth is None
        else f"{show_length(hole.depth, units)} deep from the {hole.side}"
    )
    return f"{kind}, {show_fine(hole.diameter, units)}, {deep}"


def _where(region: Region, units: Units) -> str:
    if region.side == "through":
        return "right through"
    deep = f", {show_length(region.depth, units)} deep" if region.depth > 0 else ""
    return f"on the {region.side}{deep}"


def ring_cell(ring: JointRing, units: Units) -> str:
    """The radius of a ring in a table, or that there is none."""
    if ring.drilled:
        return "drilled"
    return bare_radius(ring.radius, units) if ring.radius > 0 else "none"


def ring_words(rings: tuple[JointRing, ...]) -> Iterator[str]:
    """What the rings round the marks promise, and where there is none or none that can be drawn."""
    if any(ring.radius >= LEAST_RING for ring in rings):
        yield "Dotted ring: while every punch mark lies inside its own ring, the head is safe."
    small = [ring.label for ring in rings if 0 < ring.radius < LEAST_RING]
    if small:
        yield (
            f"The ring round {run_words(small)} is too small to draw: its radius stands in the table. Punch the dot "
            "itself, with care."
        )
    drilled = [ring.label for ring in rings if ring.drilled]
    if drilled:
        yield f"Drilled already, so without a ring: {run_words(drilled)}."
    none = [ring.label for ring in rings if ring.radius <= 0 and not ring.drilled]
    if none:
        yield f"No ring round {run_words(none)}: there is no room to miss, or a limit is broken already."


def retainer_words(build: Build, layout: Layout, shop: Shop) -> Iterator[str]:
    """One sentence for each string tree and guide post: which strings it holds, and the hole for its screw."""
    drills = {
        hole.tree: small_hole_fit(hole, pilot(build, hole, shop.own_woods)) for hole in layout.tree_screws
    }
    for name, each in zip(retainer_names(build), build.retainers, strict=True):
        held = [layout.labels[path.string.key] for path in layout.paths if each in path.held]
        said = f"{name}: {_KINDS[each.kind]}"
        if held:
            said += f" over {'string' if len(held) == 1 else 'strings'} {run_words(held)}"
        if each.held_by is not None:
            deep = show_length(each.held_by.depth, shop.units)
            said += f"; pilot {diameter_words(drills[each.key], shop)}, {deep} deep from the face"
        yield f"{said}."


def head_measures(build: Build, layout: Layout, units: Units) -> str:
    """How long the head is, how wide its nut and how thick its wood, as a sentence."""
    nut, head = show_length(round(build.nut.width, 2), units), build.head
    at_nut, at_tip = (show_length(round(each, 2), units) for each in (head.thickness_nut, head.thickness_tip))
    wood = f"{at_nut} thick" if at_nut == at_tip else f"{at_nut} thick at the nut, {at_tip} at the tip"
    if layout.edge is None:
        return f"Nut {nut} wide; wood {wood}."
    return f"Head {show_length(round(layout.top, 2), units)} long, nut {nut} wide; wood {wood}."
