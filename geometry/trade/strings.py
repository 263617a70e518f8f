"""What strings weigh, how hard they pull, how near plain steel is to breaking, and how long to cut them.

Tension by Mersenne's law: T = u (2 L f)^2 with the unit weight u, the sounding length L and the frequency f.
"""

from __future__ import annotations

import math
from itertools import pairwise

import msgspec

from geometry.trade.quantities import show_density
from geometry.trade.string_sets import StringKind
from geometry.trade.units import INCH, PSI

MEMORY = "from memory"


class Known(msgspec.Struct, frozen=True):
    """A number, and where it is from or what was seen."""

    value: float
    told: str


DENSITIES: dict[StringKind, Known] = {
    "plain": Known(7800.0, "steel, ASTM A228 material sheets"),
    "nylon": Known(1100.0, f"{MEMORY}: nylon 1040 to 1150, fluorocarbon 1750 to 1800"),
    "gut": Known(1300.0, MEMORY),
}
"""Mass per volume in kg/m3 of strings that are one material right through; a wound string is not."""

WOUND_SHARES: dict[StringKind, Known] = {
    "nickel wound": Known(0.83, "0.80 to 0.86"),
    "bronze wound": Known(0.92, "0.91 to 0.935"),
    "wound": Known(0.92, "0.80 to 0.935 by the wrap, the heavy side taken"),
}
"""Weight of wound steel strings as a share of solid steel of the same diameter; from memory of published tables."""


class UnitWeight(msgspec.Struct, frozen=True):
    """Mass per length in g/m, where it is from, and whether it is no more than an estimate."""

    value: float
    source: str
    estimate: bool = False


def solid_weight(diameter: float, density: float) -> float:
    """Unit weight in g/m of a round string of one material: u = rho pi d^2 / 4, diameter in mm, density in kg/m3."""
    return density * math.pi * (diameter / 1000) ** 2 / 4 * 1000


def usual_weight(kind: StringKind, diameter: float) -> UnitWeight:
    """What a string of this kind weighs by its diameter in mm; for a wound one only an estimate."""
    density = DENSITIES.get(kind)
    if density is not None:
        told = f"{show_density(density.value, 'mm')} ({show_density(density.value, 'inch')})"
        return UnitWeight(solid_weight(diameter, density.value), f"{told}, {density.told}")
    steel, share = solid_weight(diameter, DENSITIES["plain"].value), WOUND_SHARES[kind]
    source = f"estimate, {share.value:g} of solid steel ({share.told}), {MEMORY}"
    return UnitWeight(share.value * steel, source, estimate=True)


def tension(unit_weight: float, length: float, hertz: float) -> float:
    """Pull in N of a string of `unit_weight` g/m that sounds at `hertz` over `length` mm (Mersenne's law)."""
    return unit_weight / 1000 * (2 * length / 1000 * hertz) ** 2


def weight_for(pull: float, length: float, hertz: float) -> float:
    """Unit weight in g/m of the string that pulls `pull` N at this pitch: Mersenne's law turned round."""
    return pull / (2 * length / 1000 * hertz) ** 2 * 1000


def stress(pull: float, diameter: float) -> float:
    """Stress in MPa of a round string of `diameter` mm that pulls `pull` N."""
    return pull / (math.pi * diameter**2 / 4)


# Strength of music wire

WIRE_SOURCE = "ASTM A228 music wire, least tensile strength by diameter"

_LEAST_KSI: tuple[tuple[float, float], ...] = (
    (0.008, 399), (0.009, 393), (0.010, 387), (0.011, 382), (0.012, 377), (0.013, 373), (0.014, 369),
    (0.016, 362), (0.018, 356), (0.020, 350), (0.022, 345), (0.024, 341),
)  # fmt: skip
"""Diameter in inches and least strength in thousands of psi: ASTM A228, read in tables of wire makers."""


def wire_strength(diameter: float) -> float | None:
    """Least tensile strength in MPa of steel music wire of `diameter` mm, straight between the diameters of the table.

    None outside of the table, from 0.008 to 0.024 in.
    """
    inches = diameter / INCH
    for (thin, strong), (thick, weak) in pairwise(_LEAST_KSI):
        # A wire of 0.008 in is 0.2032 mm, which may fall a little short of it as a float.
        if thin - 1e-9 <= inches <= thick + 1e-9:
            share = (inches - thin) / (thick - thin)
            return (strong + share * (weak - strong)) * 1000 * PSI
    return None


# Cutting

PAST_POST_SPARE = 25.0
"""mm beyond the turns, to hold and to bend; workshop practice, no source."""


def past_the_post(post_diameter: float, diameter: float, turns: float) -> float:
    """Length in mm to leave beyond the post: the turns, each as long as the string's middle line, and a spare."""
    return math.pi * (post_diameter + diameter) * turns + PAST_POST_SPARE
