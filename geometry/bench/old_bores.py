"""Holes that a head has already, where new ones come: which are plugged first, which are opened up."""

from __future__ import annotations

from collections.abc import Iterator

from geometry.bench.operations import Operation, Spot
from geometry.bench.small_holes import old_hole_names
from geometry.build.build import Build, OldHole
from geometry.build.lengths import Units, show_length
from geometry.layout.layout import Layout
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME

REACH = 1.0
"""mm; a plug ends so far outside a new bore at least: from memory."""

CENTRED = 0.25
"""mm; an old hole whose centre is no further off is opened up as it is."""


def old_hole_steps(build: Build, layout: Layout, units: Units) -> Iterator[Operation]:
    """What to do first with open old holes; nothing about those that no new hole comes near."""
    plugged: list[Spot] = []
    opened: list[Operation] = []
    for name, old in zip(old_hole_names(build), build.old_holes, strict=True):
        met = [] if old.plugged else [bore for bore in new_holes(layout) if _meets(old, bore)]
        spot = Spot(name, old.at)
        if len(met) == 1 and _can_be_opened(old, met[0]):
            opened.append(_opened(spot, met[0], units))
        elif met:
            plugged.append(spot)
    if plugged:
        note = (
            f"Plug with the grain of the head, {show_length(REACH, units)} beyond the new bore all round, "
            "let the glue cure, level, and mark again: no bit keeps its place on the rim of a hole."
        )
        yield Operation("Plug old holes", tuple(plugged), notes=(note,))
    yield from opened


def new_holes(layout: Layout) -> list[tuple[str, Point, float]]:
    """Name, centre and diameter of what is still to be drilled: bores by their largest diameter, screws, pins."""
    bores = [(post.label, post.at, post.bore) for post in layout.posts if not post.post.drilled]
    small = [(layout.names_of(hole.owners), hole.at, hole.diameter) for hole in layout.holes]
    return bores + small


def _meets(old: OldHole, new: tuple[str, Point, float]) -> bool:
    _, at, diameter = new
    return old.at.distance(at) < (old.diameter + diameter) / 2 + REACH - SAME


def _can_be_opened(old: OldHole, new: tuple[str, Point, float]) -> bool:
    _, at, diameter = new
    return old.at.distance(at) <= CENTRED + SAME and old.diameter <= diameter + SAME


def _opened(spot: Spot, new: tuple[str, Point, float], units: Units) -> Operation:
    label, _, diameter = new
    note = (
        f"The hole for {label} is there already, narrower: open it to {show_length(diameter, units)} with a reamer or "
        "a piloted bit. A brad point has no centre to stand on."
    )
    return Operation("Open an old hole", (spot,), notes=(note,))
