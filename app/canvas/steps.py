"""How far apart the lines of grid and rulers are: round millimetres or parts of an inch, whatever the zoom."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

import msgspec

from geometry.trade.units import Units

_MILLIMETRES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000, 20_000, 50_000)
_INCHES = (1, 2, 4, 8, 16, 32, 64, 128, 256, 768)
_UNIT = {"mm": Fraction(1, 100), "inch": Fraction(127, 5 * 64)}


class Steps(msgspec.Struct, frozen=True, gc=False):
    """Spacings as whole numbers of `units`' smallest part: 0.01 mm or 1/64 in.

    `named` is a multiple of `fine`; its lines carry numbers.
    """

    units: Units
    fine: int
    named: int

    @property
    def unit(self) -> float:
        """The smallest part in mm."""
        return float(_UNIT[self.units])

    @property
    def fine_mm(self) -> float:
        """The fine spacing in mm."""
        return self.fine * self.unit

    def places(self, low: float, high: float) -> Iterator[int]:
        """The fine lines between two places in mm, as numbers of the smallest part."""
        step = self.fine_mm
        return (index * self.fine for index in range(math.ceil(low / step), math.floor(high / step) + 1))

    def rank(self, place: int) -> int:
        """0 for a named line, 1 for one half-way, 2 for a quarter and so on; the finest lines share the last."""
        rank, step = 0, self.named
        while step > self.fine and place % step:
            rank, step = (rank + 1, step // 2) if step % (2 * self.fine) == 0 else (rank + 1, self.fine)
        return rank

    def name(self, place: int) -> str:
        """The number on a line, without its unit."""
        sign = "−" if place < 0 else ""
        if self.units == "mm":
            whole, rest = divmod(abs(place), 100)
            return f"{sign}{whole}" + (f".{rest:02}".rstrip("0") if rest else "")
        whole, rest = divmod(abs(place), 64)
        part = str(Fraction(rest, 64)) if rest else ""
        return sign + (" ".join(each for each in (str(whole) if whole or not rest else "", part) if each))


def steps_for(scale: float, units: Units, fine: float, named: float) -> Steps:
    """Spacings at `scale` pixels per mm: fine lines at least `fine` pixels apart, named ones `named`."""
    ladder = _MILLIMETRES if units == "mm" else _INCHES
    part = float(_UNIT[units]) * scale
    wide = next((step for step in ladder if step * part >= named), ladder[-1])
    close = next((step for step in ladder if step * part >= fine and wide % step == 0), wide)
    return Steps(units, close, wide)
