"""Woods of headstocks: weight, hardness and strength, and the pilot hole a screw wants in them.

Domestic woods: USDA Forest Products Laboratory, Wood Handbook FPL-GTR-190 (2010), Table 5-3a, 12 % moisture (read in a
row-by-row copy). Imported woods: Table 5-5b, Table 4-5b of FPL-GTR-113 and the laboratory's
tropical timber fact sheets; their specific gravity is basic (oven-dry mass over green volume). All are means of clear,
straight-grained pieces; the modulus of rupture of single pieces scatters by about 16 % (from memory, chapter 5).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable

import msgspec

from geometry.shape.tolerance import SAME

DOMESTIC = "Wood Handbook FPL-GTR-190, Table 5-3a"
IMPORTED = "Wood Handbook FPL-GTR-113, Table 4-5b"
IMPORTED_TOO = "Wood Handbook FPL-GTR-190, Table 5-5b"
FACT_SHEET = "tropical timber fact sheet of the Forest Products Laboratory"


class Wood(msgspec.Struct, frozen=True):
    """One wood: specific gravity (no unit), Janka hardness in N, and its strength.

    `modulus_of_rupture`, `shear` (along the grain) and `tension_across` (across the grain) in MPa,
    `modulus_of_elasticity` in GPa, `density` in kg/m3 at 12 % moisture. `basic` tells that the gravity is by the green
    volume, `doubtful` that the figures are from memory or guessed, and no strength is told from them. `also` are names
    in the trade that mean it, or others as well (common names of lumber, from memory).
    """

    name: str
    specific_gravity: float
    janka: float
    modulus_of_rupture: float
    modulus_of_elasticity: float
    shear: float | None
    density: float
    tension_across: float | None = None
    basic: bool = False
    doubtful: bool = False
    source: str = DOMESTIC
    also: tuple[str, ...] = ()

    @property
    def gravity_when_dry(self) -> float:
        """Specific gravity by the volume at 12 % moisture.

        Wood Handbook, chapter 4: G = Gb / (1 - 0.265 a Gb) with a = (30 - M) / 30; from memory.
        """
        if not self.basic:
            return self.specific_gravity
        return self.specific_gravity / (1 - 0.265 * (30 - 12) / 30 * self.specific_gravity)


WOODS: tuple[Wood, ...] = (
    # Gravity, hardness, rupture, elasticity, shear, density, tension across.
    Wood("sugar maple", 0.63, 6400, 109, 12.6, 16.1, 706, also=("hard maple", "rock maple")),
    Wood("black maple", 0.57, 5200, 92, 11.2, 12.5, 638, 4.6, also=("hard maple",)),
    Wood("red maple", 0.54, 4200, 92, 11.3, 12.8, 605, also=("soft maple",)),
    Wood("bigleaf maple", 0.48, 3800, 74, 10.0, 11.9, 538, 3.7, also=("soft maple", "western maple")),
    Wood("silver maple", 0.47, 3100, 61, 7.9, 10.2, 526, 3.4, also=("soft maple",)),
    Wood("black walnut", 0.55, 4500, 101, 11.6, 9.4, 616, 4.8, also=("American walnut",)),
    Wood("black cherry", 0.50, 4200, 85, 10.3, 11.7, 560, 3.9),
    Wood("white ash", 0.60, 5900, 103, 12.0, 13.2, 672, 6.5, also=("American ash",)),
    Wood("northern red oak", 0.63, 5700, 99, 12.5, 12.3, 706, 5.5),
    Wood("yellow-poplar", 0.42, 2400, 70, 10.9, 8.2, 470, 3.7, also=("tulip poplar", "tulipwood")),
    Wood("American basswood", 0.37, 1800, 60, 10.1, 6.8, 414, 2.4, also=("linden", "lime")),
    Wood("American beech", 0.64, 5800, 103, 11.9, 13.9, 717, 7.0),
    Wood("yellow birch", 0.62, 5600, 114, 13.9, 13.0, 694, 6.3),
    Wood("sweet birch", 0.65, 6500, 117, 15.0, 15.4, 728, 6.6, also=("black birch", "cherry birch")),
    Wood("paper birch", 0.55, 4000, 85, 11.0, 8.3, 616),
    Wood("western redcedar", 0.32, 1600, 51.7, 7.7, 6.8, 358, 1.5, also=("western red cedar",)),
    Wood("Sitka spruce", 0.40, 2300, 70, 10.8, 7.9, 448, 2.6),
    Wood(
        "true mahogany",
        0.45,
        3560,
        79.3,
        10.3,
        8.5,
        543,
        basic=True,
        source=IMPORTED,
        also=("Honduran mahogany",),
    ),
    Wood("African mahogany", 0.42, 3690, 73.8, 9.7, 10.3, 504, basic=True, source=IMPORTED, also=("khaya",)),
    Wood("Spanish-cedar", 0.41, 2670, 79.3, 9.9, 7.6, 491, basic=True, source=IMPORTED_TOO, also=("cedro",)),
    Wood("sapele", 0.55, 6670, 111, 11.7, 15.8, 673, basic=True, source=FACT_SHEET, also=("sapelli",)),
    Wood(
        "Indian rosewood",
        0.70,
        14100,
        116.7,
        11.4,
        14.4,
        849,
        basic=True,
        source=f"{FACT_SHEET}; shear from memory",
        also=("East Indian rosewood",),
    ),
    Wood("African ebony", 0.88, 13700, 158, 16.9, None, 990, doubtful=True, source="from memory, uncertain"),
)


def known_woods(own: Iterable[Wood] = ()) -> tuple[Wood, ...]:
    """The maker's own woods, then those of the table by their names."""
    return (*own, *sorted(WOODS, key=lambda wood: wood.name.casefold()))


def find_wood(name: str, own: tuple[Wood, ...] = ()) -> Wood | None:
    """The wood called `name` (capitals do not matter), or None; the maker's `own` woods come before the table's."""
    if not name.strip():
        return None
    return next((wood for wood in (*own, *WOODS) if same_wood(wood.name, name)), None)


# So many woods at most are offered for a name that is not known, and how like it one must be spelt.
_MEANT, _LIKENESS = 5, 0.75


def woods_meant(name: str, own: tuple[Wood, ...] = ()) -> tuple[Wood, ...]:
    """The woods that a name which is none of theirs may mean: those that share most of its words, or are spelt like it.

    "hard maple" is sugar maple or black maple; nothing for a name that says nothing here.
    """
    asked = _words(name)
    shared = [(_shared(wood, asked), wood) for wood in (*own, *WOODS)]
    most = max((count for count, _ in shared), default=0)
    if most:
        return tuple(wood for count, wood in shared if count == most)[:_MEANT]
    # Only now: few names are unknown, and every check reads this module.
    from difflib import get_close_matches

    spelt = {wood.name.casefold(): wood for _, wood in shared}
    alike = get_close_matches(name.strip().casefold(), spelt, n=_MEANT, cutoff=_LIKENESS)
    return tuple(spelt[each] for each in alike)


def _shared(wood: Wood, asked: frozenset[str]) -> int:
    """How many of the words asked for one of the names of a wood has."""
    return max(len(asked & _words(each)) for each in (wood.name, *wood.also))


def _words(name: str) -> frozenset[str]:
    return frozenset(re.findall(r"\w+", name.casefold()))


def same_wood(name: str, other: str) -> bool:
    """Whether two names are those of one wood."""
    return name.strip().casefold() == other.strip().casefold()


# Pilots of screws

# Specific gravities: from here woods are hard, and up to here soft, for the pilot of a screw.
_HARD_FROM, _SOFT_TO = 0.6, 0.5

WIDEST_SHARE = 0.9
"""Share of the root that the widest pilot has."""

# mm; least pilots of small tuner screws. Common practice, no source: 1 to 1.5 mm, 1.0 in soft woods only.
_LEAST_IN_SOFT, _LEAST_ELSE = 1.0, 1.1


def pilot_share(wood: Wood | None) -> float:
    """Pilot diameter as a share of the screw's root diameter.

    National Design Specification for Wood Construction, wood screws in withdrawal: 90 % of the root for specific
    gravity 0.6 and more, 70 % between 0.5 and 0.6, none required at 0.5 and less (a headstock is drilled anyway, at
    70 %). Where the wood is not known, 90 %: too tight a pilot snaps small screws.
    """
    if wood is None or wood.gravity_when_dry >= _HARD_FROM:
        return WIDEST_SHARE
    return 0.7


def pilot_diameter(root: float, wood: Wood | None) -> float:
    """Diameter in mm of the pilot for a screw with a root of so many mm, in tenths, halves rounded up.

    The share of the root that the wood wants, but not less than small tuner screws get, unless that would be a
    larger share than any wood wants.
    """
    tenths = math.floor(10 * root * pilot_share(wood) + 0.5 + SAME) / 10
    least = _LEAST_IN_SOFT if wood is not None and wood.gravity_when_dry <= _SOFT_TO else _LEAST_ELSE
    return max(tenths, least) if least <= WIDEST_SHARE * root + SAME else tenths
