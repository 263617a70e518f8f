"""Which bore a tuner wants in a wood: the fit between the hole that a drill leaves and what sits or passes in it.

All in mm. A fit is told as diameters of the drill, which is what a build has for its bores; how much wider than its
drill a hole comes out is taken off. Workshop practice from memory, no source: what felt right on scrap of the same
wood stands above it.
"""

from __future__ import annotations

import math
from typing import Literal

import msgspec
from msgspec.structs import replace

from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Bushing, Hardware
from geometry.trade.measured import also_measured
from geometry.trade.wood import Wood, same_wood

OVERCUT, WORN = 0.05, 0.15
"""So much wider than its drill a hole is, give or take as much; by up to so much with a hand-held or worn bit."""

_SOFT_BELOW, _HARD_ABOVE = 3500.0, 5500.0  # N of Janka hardness; what lies between is medium


class Press(msgspec.Struct, frozen=True, gc=False):
    """How much wider than the crest of a pressed bushing its hole is: at least, at most, at best; 0 or less."""

    least: float
    most: float
    aim: float


PRESSES: dict[Literal["soft", "medium", "hard", "unknown wood"], Press] = {
    "soft": Press(-0.25, -0.15, -0.20),
    "medium": Press(-0.15, -0.10, -0.125),
    "hard": Press(-0.12, 0.0, -0.05),
    "unknown wood": Press(-0.25, 0.0, -0.125),
}
"""By the hardness of the wood; a wood that is not known may be any of them.

In soft wood that is about half-way up the ribs: half-way up ribs of 9.52 to 10 is 9.76, common practice, no source.
"""

_PASSES = 0.1  # a bore is wider than what passes through it by so much at least
_COVERED = 1.0  # a collar or bushing flange is wider than its bore by so much at least
_FELT_SLACK = 0.05  # a bore that felt right may be so much wider or narrower
_TAPER_START = 0.5  # a bore that is reamed to a taper may be drilled narrower by so much

REAMED = 1.5
"""A reamer opens a hole by so much on its diameter at most: beyond that it is plugged and drilled anew."""

Kind = Literal["felt", "soft", "medium", "hard", "unknown wood", "passes", "taper", "pilot", "pin"]


class Fit(msgspec.Struct, frozen=True, gc=False):
    """The drill at best, from which to which it may be, how that came about, and the finish's share in it.

    `most` is infinite where nothing but the wood ends it.
    """

    diameter: float
    least: float
    most: float
    kind: Kind
    build_up: float = 0.0

    def room(self, diameter: float) -> float:
        """How far inside the fit a drill is, negative outside."""
        return min(diameter - self.least, self.most - diameter)

    def holds(self, diameter: float) -> bool:
        """Whether a drill of this diameter is inside the fit."""
        return self.room(diameter) >= -SAME

    @property
    def pressed(self) -> bool:
        """Whether it is that of a bushing that holds by its ribs in a wood."""
        return self.kind in PRESSES

    @property
    def hole(self) -> tuple[float, float]:
        """From which to which diameter the hole itself may be, before any finish."""
        return self.least + OVERCUT, self.most + OVERCUT


def wood_fit(hardware: Hardware, name: str, wood: Wood | None, build_up: float = 0.0) -> Fit:
    """The fit of the bore that matters, in a wood by its name; `wood` is None where its hardness is not known.

    `build_up` is by how much finish that comes later makes a bore narrower: it is in all of it but a taper, out of
    which it is reamed.
    """
    if hardware.tapered:
        start = hardware.bore.through
        return Fit(start, start - _TAPER_START, start, "taper")
    bushing = hardware.bushing
    if bushing is not None and bushing.tried is not None and same_wood(bushing.tried.wood, name):
        fit = felt_fit(bushing.tried.bore)
    elif bushing is not None and bushing.kind == "press-in":
        fit = press_fit(bushing, wood)
    else:
        fit = passing_fit(drawn_bore(hardware), _passes(hardware), hardware.collar_diameter)
    return widened(fit, build_up)


def press_fit(bushing: Bushing, wood: Wood | None) -> Fit:
    """The drill for a ribbed bushing, by the hardness of the wood."""
    crest, kind = max(bushing.root, bushing.crest), hardness(wood)
    press = PRESSES[kind]
    aim, least, most = (crest + each - OVERCUT for each in (press.aim, press.least, press.most))
    return Fit(aim, least, most, kind)


def hardness(wood: Wood | None) -> Literal["soft", "medium", "hard", "unknown wood"]:
    """What a wood is called when a bushing is pressed into it."""
    if wood is None:
        return "unknown wood"
    if wood.janka < _SOFT_BELOW:
        return "soft"
    return "hard" if wood.janka > _HARD_ABOVE else "medium"


def passing_fit(bore: float, passes: float, collar: float) -> Fit:
    """A bore that something of diameter `passes` goes through and a collar covers (0: none): as it is, if it can."""
    least = passes + _PASSES
    most = max(least, collar - _COVERED) if collar > 0 else math.inf
    return Fit(min(max(bore, least), most), least, most, "passes")


def felt_fit(bore: float) -> Fit:
    """A bore that felt right on scrap."""
    return Fit(bore, bore - _FELT_SLACK, bore + _FELT_SLACK, "felt")


def widened(fit: Fit, build_up: float) -> Fit:
    """The fit of a bore in which finish will build up."""
    if fit.kind == "taper":
        return fit
    if fit.kind == "passes":
        # What is wide enough with the finish in it stays as it is.
        least = fit.least + build_up
        return replace(fit, diameter=max(fit.diameter, least), least=least, most=max(fit.most, least))
    return Fit(fit.diameter + build_up, fit.least + build_up, fit.most + build_up, fit.kind, build_up)


def _passes(hardware: Hardware) -> float:
    """The diameter of what passes through the bore that matters: the post, and a thread that runs in it."""
    bushing = hardware.bushing
    return max(hardware.post_diameter, bushing.crest if bushing is not None else 0.0)


# Which bore matters


def bushing_place(hardware: Hardware) -> Literal["through", "counterbore"] | None:
    """The part of the bore that holds the bushing: a ribbed one sits in the counterbore where there is one."""
    if hardware.bushing is None:
        return None
    if hardware.bore.counterbore is None:
        return "through"
    runs_through = hardware.bushing.kind == "screw-in" and hardware.bore.through > hardware.bushing.crest
    return "through" if runs_through else "counterbore"


def drawn_bore(hardware: Hardware) -> float:
    """Diameter in the build of the bore that matters: the bushing's, or the one right through."""
    wide = hardware.bore.counterbore
    return wide.diameter if wide and bushing_place(hardware) == "counterbore" else hardware.bore.through


def with_drawn_bore(hardware: Hardware, diameter: float) -> Hardware:
    """The tuner with another diameter for the bore that matters: one that was chosen is no typical one."""
    bore, wide = hardware.bore, hardware.bore.counterbore
    if wide is not None and bushing_place(hardware) == "counterbore":
        wider = replace(hardware, bore=replace(bore, counterbore=replace(wide, diameter=diameter)))
        return also_measured(wider, "bore.counterbore.diameter")
    return also_measured(replace(hardware, bore=replace(bore, through=diameter)), "bore.through")
