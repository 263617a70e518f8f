"""Which bore a tuner wants in a wood, and which drill of the shop comes nearest.

Diameters in mm. Shares and allowances are workshop practice from memory, no source, unless another is given: a felt
fit, tried on scrap of the same board, stands above all of them.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from geometry.shape.tolerance import SAME
from geometry.trade.drills import Drill, nearest
from geometry.trade.fits import stored_fit
from geometry.trade.hardware import Bushing, Hardware
from geometry.trade.shop import Shop
from geometry.trade.wood import Wood, find_wood

SOFT = 3700.0
"""N of Janka hardness; woods up to here, cedars and mahoganies among them, take a ribbed bushing half-way."""

HARD = 5500.0
"""N of Janka hardness; from here a ribbed bushing goes in at its crest."""

HALF_WAY, AT_CREST, UNKNOWN = 0.5, 1.0, 0.75
"""Share of the way from root to crest: in soft wood, in hard wood, where the wood is not known."""

PRESS_SLACK = 0.05
"""A press fit may be so much wider or narrower."""

PASSES = 0.1
"""A bore is wider than what passes through it by so much at least."""

NARROWER, WIDER = 0.15, 0.3
"""What a bore that something passes through may be narrower or wider than in the build."""

TAPER_START = 0.5
"""A bore that is reamed to a taper may be drilled narrower by so much."""

COVERED = 1.0
"""A collar or bushing flange is wider than its bore by so much at least."""

Kind = Literal["felt", "soft", "between", "hard", "unknown wood", "passes", "taper", "pilot", "pin"]


class Fit(msgspec.Struct, frozen=True, gc=False):
    """The bore to drill, from what to what it may be drilled, how that came about, and the finish's share in it."""

    diameter: float
    least: float
    most: float
    kind: Kind
    build_up: float = 0.0

    def holds(self, diameter: float) -> bool:
        """Whether a bore of this diameter is inside the fit."""
        return self.least - SAME <= diameter <= self.most + SAME


class BoreFits(msgspec.Struct, frozen=True, gc=False):
    """The fits of one tuner's bore, and which of them holds the bushing."""

    through: Fit
    counterbore: Fit | None
    bushing_in: Literal["through", "counterbore"] | None

    @property
    def main(self) -> Fit:
        """The fit that matters: the bushing's, or that of the bore right through."""
        return self.counterbore if self.counterbore and self.bushing_in == "counterbore" else self.through


def hardness_share(wood: Wood | None) -> float:
    """How far from its root to its crest a ribbed bushing's bore is drilled, 0 to 1, by the hardness of the wood."""
    if wood is None:
        return UNKNOWN
    share = (wood.janka - SOFT) / (HARD - SOFT)
    return HALF_WAY + (AT_CREST - HALF_WAY) * min(1.0, max(0.0, share))


def press_fit(bushing: Bushing, wood: Wood | None) -> Fit:
    """The bore for a ribbed press-in bushing, never narrower than its root nor wider than its crest."""
    root, crest = min(bushing.root, bushing.crest), max(bushing.root, bushing.crest)
    share = hardness_share(wood)
    wanted = root + share * (crest - root)
    kind: Kind = "unknown wood"
    if wood is not None:
        kind = "soft" if share == HALF_WAY else "hard" if share == AT_CREST else "between"
    return Fit(wanted, max(root, wanted - PRESS_SLACK), min(crest, wanted + PRESS_SLACK), kind)


def passing_fit(bore: float, passes: float, collar: float) -> Fit:
    """A bore that something of diameter `passes` goes through and a collar covers (0: none does)."""
    least = min(bore, max(bore - NARROWER, passes + PASSES))
    most = bore + WIDER if collar <= 0 else max(bore, min(bore + WIDER, collar - COVERED))
    return Fit(bore, least, most, "passes")


def bore_fits(hardware: Hardware, wood: str, shop: Shop) -> BoreFits:
    """What to drill for a tuner in a wood, by name; what felt right in the shop stands above everything else.

    The finish's build-up is in all of it but a taper, out of which it is reamed.
    """
    through, counterbore = _by_size(hardware)
    place = bushing_place(hardware)
    if hardware.bushing is not None and place is not None:
        found = _bushing_fit(hardware, hardware.bushing, wood, shop)
        if found is not None and place == "through":
            through = found
        elif found is not None:
            counterbore = found
    up = shop.finish_build_up
    return BoreFits(_widened(through, up), counterbore and _widened(counterbore, up), place)


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


def _by_size(hardware: Hardware) -> tuple[Fit, Fit | None]:
    """Through bore and counterbore as the build has them, with what passes through."""
    bore, wide, post = hardware.bore, hardware.bore.counterbore, hardware.post_diameter
    threaded = hardware.bushing is not None and hardware.bushing.kind == "screw-in"
    thread = hardware.bushing.crest if hardware.bushing is not None and threaded else 0.0
    collar = hardware.collar_diameter
    if hardware.tapered:
        return Fit(bore.through, bore.through - TAPER_START, bore.through, "taper"), None
    if wide is None:
        return passing_fit(bore.through, max(post, thread), collar), None
    inner = thread if bore.through > thread else 0.0
    return passing_fit(bore.through, max(post, inner), 0.0), passing_fit(wide.diameter, thread, collar)


def _bushing_fit(hardware: Hardware, bushing: Bushing, wood: str, shop: Shop) -> Fit | None:
    felt = stored_fit(shop.fits, wood, bushing)
    if felt is not None:
        return Fit(felt.bore, felt.bore - PRESS_SLACK, felt.bore + PRESS_SLACK, "felt")
    if bushing.kind == "press-in" and not hardware.tapered:
        return press_fit(bushing, find_wood(wood, shop.own_woods))
    return None


def _widened(fit: Fit, build_up: float) -> Fit:
    if fit.kind == "taper":
        return fit
    return Fit(fit.diameter + build_up, fit.least + build_up, fit.most + build_up, fit.kind, build_up)


# The drill


class Choice(msgspec.Struct, frozen=True):
    """A drill, how much wider it is than wanted in mm, and whether its bore is inside the fit."""

    drill: Drill
    difference: float
    inside: bool


def choose(fit: Fit, drills: tuple[Drill, ...]) -> Choice | None:
    """The drill nearest to a fit: inside it if one is, else the nearest that can be reamed up, else the nearest.

    None without any drill.
    """
    inside = tuple(drill for drill in drills if fit.holds(drill.diameter))
    found = nearest(fit.diameter, inside) or nearest(fit.diameter, drills, fit.most)
    found = found or nearest(fit.diameter, drills)
    if found is None:
        return None
    drill, difference = found
    return Choice(drill, difference, fit.holds(drill.diameter))
