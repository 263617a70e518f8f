"""The slots of a build's nut, string by string, and the blank that they are cut in.

Places are in head millimetres. A slot keeps its place at the edge on the fingerboard's side, where the string bears.
"""

from __future__ import annotations

import math

import msgspec
from msgspec import UNSET

from geometry.document.build import Build, Nut, String
from geometry.layout.layout import Layout
from geometry.layout.paths import StringPath, run_direction
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME
from geometry.trade.nut_work import (
    BLANK_HEIGHT,
    BLANK_SPARE,
    TURN_SHARE,
    Underside,
    floor_over_frets,
    slot_depth,
    underside_cut,
)
from geometry.trade.string_sets import is_wound


class Slot(msgspec.Struct, frozen=True):
    """One slot: x of its middle, width, depth under the finished top, height of its floor over the bottom, all in mm.

    `over_frets` is how high the floor shall lie over the plane of the fret tops. `fall` is the angle by which the floor
    falls towards the head, `turn` how far the slot is turned from the string's own run, counter-clockwise, in radians,
    `way` its direction in plan; `fall` and `turn` are None for a string without a post.
    """

    string: String
    label: str
    x: float
    width: float
    depth: float
    floor: float
    over_frets: float
    fall: float | None
    turn: float | None
    way: Vector

    @property
    def top(self) -> float:
        """Height in mm of the finished nut over its bottom beside this slot."""
        return self.floor + self.depth


def nut_slots(build: Build, layout: Layout) -> tuple[Slot, ...]:
    """All slots, treble-most string first."""
    paths = {path.string.key: path for path in layout.paths}
    return tuple(_slot(build, layout, string, paths.get(string.key)) for string in build.strings)


def _slot(build: Build, layout: Layout, string: String, path: StringPath | None) -> Slot:
    nut, x = build.nut, layout.slots[string.key]
    xs = layout.slots.values()
    run = run_direction(build, x, max(xs) - min(xs))
    turn = None if path is None else path.splay * TURN_SHARE
    return Slot(
        string=string,
        label=layout.labels[string.key],
        x=x,
        width=string.diameter + nut.slot_allowance,
        depth=slot_depth(string.diameter, nut.proud_wound if is_wound(string.kind) else nut.proud_plain),
        floor=nut.slot_floor,
        over_frets=_over_frets(build, layout, x),
        fall=None if path is None else max(0.0, path.break_angle) * nut.fall_share,
        turn=turn,
        way=run.turned(turn or 0.0),
    )


def _over_frets(build: Build, layout: Layout, x: float) -> float:
    """The floor over the plane of the frets; clearance and action are graded evenly between the outer strings."""
    nut = build.nut
    bass, treble = outer_places(build, layout)
    share = (from_bass_end(build, x) - bass) / (treble - bass) if treble - bass > SAME else 0.5
    clearance = nut.clearance_bass + share * (nut.clearance_treble - nut.clearance_bass)
    action = nut.action_bass + share * (nut.action_treble - nut.action_bass)
    return floor_over_frets(clearance, action)


def from_bass_end(build: Build, x: float) -> float:
    """Distance in mm of a place on the nut from its finished bass end."""
    return build.nut.width / 2 - build.bass_sign * x


def outer_places(build: Build, layout: Layout) -> tuple[float, float]:
    """Distances in mm of the bass-most and the treble-most string from the bass end; strings there must be."""
    places = [from_bass_end(build, x) for x in layout.slots.values()]
    return min(places), max(places)


# The blank


def finished_height(slots: tuple[Slot, ...]) -> float:
    """Height in mm of the finished nut at its highest slot; 0 without strings."""
    return max((slot.top for slot in slots), default=0.0)


def blank_height(nut: Nut, slots: tuple[Slot, ...]) -> float:
    """Height in mm of the blank: as the maker has it, else a usual one that leaves something to file off."""
    if nut.blank_height is not UNSET:
        return nut.blank_height
    # To the next half millimetre, as blanks are cut.
    return max(BLANK_HEIGHT, math.ceil(2 * (finished_height(slots) + BLANK_SPARE) - SAME) / 2)


def fitted_underside(
    build: Build, layout: Layout, measured: tuple[float, float], wanted: tuple[float, float], height: float
) -> Underside:
    """The cut along the bottom of a nut that is `height` mm high now.

    `measured` and `wanted` are clearances over fret 1 in mm, under the bass-most and the treble-most string.
    """
    too_high = measured[0] - wanted[0], measured[1] - wanted[1]
    spare = height - build.nut.least_height
    return underside_cut(too_high, outer_places(build, layout), build.nut.width, spare)
