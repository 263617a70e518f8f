"""Woods of headstocks: specific gravity and hardness, and the pilot hole a screw wants in them.

Domestic woods: USDA Forest Products Laboratory, Wood Handbook FPL-GTR-190 (2010), Table 5-3a, 12 % moisture (read in a
row-by-row transcription). Imported woods: Table 5-5b and the laboratory's tropical timber fact sheets; their specific
gravity is basic (oven-dry mass over green volume).
"""

from __future__ import annotations

import msgspec


class Wood(msgspec.Struct, frozen=True):
    """One wood: specific gravity (no unit) and Janka hardness in N.

    `basic` tells that the gravity is of the green volume, as handbooks give it for imported woods.
    """

    name: str
    specific_gravity: float
    janka: float
    basic: bool = False

    @property
    def gravity_when_dry(self) -> float:
        """Specific gravity by the volume at 12 % moisture.

        Wood Handbook, chapter 4: G = Gb / (1 - 0.265 a Gb) with a = (30 - M) / 30; from memory.
        """
        if not self.basic:
            return self.specific_gravity
        return self.specific_gravity / (1 - 0.265 * (30 - 12) / 30 * self.specific_gravity)


WOODS: tuple[Wood, ...] = (
    Wood("sugar maple", 0.63, 6400),
    Wood("black maple", 0.57, 5200),
    Wood("red maple", 0.54, 4200),
    Wood("bigleaf maple", 0.48, 3800),
    Wood("silver maple", 0.47, 3100),
    Wood("black walnut", 0.55, 4500),
    Wood("black cherry", 0.50, 4200),
    Wood("white ash", 0.60, 5900),
    Wood("northern red oak", 0.63, 5700),
    Wood("yellow-poplar", 0.42, 2400),
    Wood("American basswood", 0.37, 1800),
    Wood("American beech", 0.64, 5800),
    Wood("yellow birch", 0.62, 5600),
    Wood("sweet birch", 0.65, 6500),
    Wood("paper birch", 0.55, 4000),
    Wood("western redcedar", 0.32, 1600),
    Wood("Sitka spruce", 0.40, 2300),
    Wood("true mahogany", 0.45, 3560, basic=True),
    Wood("African mahogany", 0.42, 3690, basic=True),
    Wood("Spanish-cedar", 0.41, 2670, basic=True),
    Wood("sapele", 0.55, 6670, basic=True),
    Wood("Indian rosewood", 0.70, 14100, basic=True),
)


def find_wood(name: str) -> Wood | None:
    """The wood called `name` (capitals do not matter), or None."""
    return next((wood for wood in WOODS if wood.name.casefold() == name.strip().casefold()), None)


HARD_FROM = 0.6


def pilot_share(wood: Wood | None) -> float:
    """Pilot diameter as a share of the screw's root diameter.

    National Design Specification for Wood Construction, wood screws in withdrawal: 90 % of the root for specific
    gravity 0.6 and more, 70 % between 0.5 and 0.6, none required at 0.5 and less (a headstock is drilled anyway, at
    70 %). Where the wood is not known, 90 %: too tight a pilot snaps small screws.
    """
    if wood is None or wood.gravity_when_dry >= HARD_FROM:
        return 0.9
    return 0.7
