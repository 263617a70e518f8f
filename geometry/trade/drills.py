"""The drill series that shops stock, and the drill nearest to a bore.

Metric: 1.0 to 2.95 by 0.05, 3.0 to 13.9 by 0.1, 14.0 to 25.0 by 0.25 mm (the steps of BS 328).
Fractions: every 64th of an inch up to 1 in. Numbers #1 to #60 and letters A to Z: inch decimals of
ASME B94.11M.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

import msgspec

from geometry.shape.tolerance import SAME
from geometry.trade.units import EXACT_INCH

Series = Literal["metric", "fraction", "number", "letter"]
"""The four series that are sold as sets."""

# ASME B94.11M, number sizes #1 to #60 in 0.0001 in, as transcribed in a table of the standard.
_NUMBER_SIZES = (
    2280, 2210, 2130, 2090, 2055, 2040, 2010, 1990, 1960, 1935,
    1910, 1890, 1850, 1820, 1800, 1770, 1730, 1695, 1660, 1610,
    1590, 1570, 1540, 1520, 1495, 1470, 1440, 1405, 1360, 1285,
    1200, 1160, 1130, 1110, 1100, 1065, 1040, 1015, 995, 980,
    960, 935, 890, 860, 820, 810, 785, 760, 730, 700,
    670, 635, 595, 550, 520, 465, 430, 420, 410, 400,
)  # fmt: skip

# ASME B94.11M, letter sizes A to Z in 0.001 in, as transcribed in a table of the standard.
_LETTER_SIZES = (
    234, 238, 242, 246, 250, 257, 261, 266, 272, 277, 281, 290, 295,
    302, 316, 323, 332, 339, 348, 358, 368, 377, 386, 397, 404, 413,
)  # fmt: skip

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


class Drill(msgspec.Struct, frozen=True, gc=False):
    """A drill as it is marked: its diameter in mm and in inches, each the float nearest to the exact value.

    `series` is "own" for a cutter that belongs to no series, such as a reamer.
    """

    name: str
    series: Series | Literal["own"]
    diameter: float
    diameter_inch: float


def own_drill(diameter: float) -> Drill:
    """A drill or reamer outside the series, named by its diameter in mm."""
    return _metric(Fraction(str(diameter)), "own")


def _metric(diameter: Fraction, series: Literal["metric", "own"]) -> Drill:
    millimetres = float(diameter)
    return Drill(f"{millimetres} mm", series, millimetres, float(diameter / EXACT_INCH))


def _inch(name: str, series: Series, diameter: Fraction) -> Drill:
    return Drill(name, series, float(diameter * EXACT_INCH), float(diameter))


_HUNDREDTHS = (*range(100, 300, 5), *range(300, 1400, 10), *range(1400, 2501, 25))  # of a mm, of what is sold
METRIC = tuple(_metric(Fraction(size, 100), "metric") for size in _HUNDREDTHS)
"""1.0 mm to 25.0 mm, rising."""

FRACTIONS = tuple(_inch(f"{size} in", "fraction", size) for size in (Fraction(n, 64) for n in range(1, 65)))
"""1/64 in to 1 in, rising."""

NUMBERS = tuple(
    _inch(f"#{place}", "number", Fraction(size, 10_000)) for place, size in enumerate(_NUMBER_SIZES, start=1)
)
"""#1 to #60, falling."""

LETTERS = tuple(
    _inch(f"letter {letter}", "letter", Fraction(size, 1000))
    for letter, size in zip(_LETTERS, _LETTER_SIZES, strict=True)
)
"""Letter A to letter Z, rising."""


def series_drills(series: Series) -> tuple[Drill, ...]:
    """All drills of a series."""
    return {"metric": METRIC, "fraction": FRACTIONS, "number": NUMBERS, "letter": LETTERS}[series]


def nearest(
    diameter: float, drills: tuple[Drill, ...], largest: float | None = None
) -> tuple[Drill, float] | None:
    """The drill nearest to a diameter, and how much larger it is than that, in mm.

    Drills over `largest` are left out, so that a press fit stays a press fit. Of two that are as near, the
    smaller: a hole can be opened up but not closed. None when no drill is left.
    """
    allowed = [drill for drill in drills if largest is None or drill.diameter <= largest + SAME]
    if not allowed:
        return None
    least = min(abs(drill.diameter - diameter) for drill in allowed)
    as_near = [drill for drill in allowed if abs(drill.diameter - diameter) <= least + SAME]
    chosen = min(as_near, key=lambda drill: drill.diameter)
    return chosen, chosen.diameter - diameter
