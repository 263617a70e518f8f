"""The plot of a head's strength: along its height, how much the strings use of what a timber code would allow."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import groupby

import msgspec

from export.drawing import Mark, Role, Text
from export.text import ASCENT, CAP
from geometry.bench.grain import LEAST_ACROSS, MOST_ACROSS, USUAL_ACROSS
from geometry.bench.strength import BEFORE_NUT, Station, Strength
from geometry.bench.strength_words import percent
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import show_length, typed_number
from geometry.trade.units import INCH, PSI, Units

SIZE = 2.6
"""Font size in mm of the words of the plot."""

APART = 1.0
"""mm that marked values keep between them; those that cannot are left out."""

KEY = 4.2
"""From one line of words above the plot to the next, in mm."""

BEYOND = 3.0
"""How far in mm the centre line runs past the tip."""

_STEP: dict[Units, float] = {"mm": 20.0, "inch": INCH}
_MOST_STEPS = 5  # of marked values beyond 0
_LEVEL = 0.002  # radians; less is no slope of the grain

Value = Callable[[Station], float]


class Fit(msgspec.Struct, frozen=True, gc=False):
    """How head and plot keep to a page: the head is drawn `factor` times as large as it is, the plot `plot` mm wide.

    Where there is room for the plot only, `head` is False; heights are then `factor` times as large as they are.
    """

    factor: float = 1.0
    plot: float = 62.0
    head: bool = True


class Line(msgspec.Struct, frozen=True):
    """Curves of one role and what they are called together."""

    role: Role
    name: str
    values: tuple[Value, ...]


class Shown(msgspec.Struct, frozen=True):
    """What is plotted: its title, its lines, that of the figure first, and the value whose upright line is stronger."""

    title: str
    lines: tuple[Line, ...]
    limit: float | None = None

    @property
    def figure(self) -> Value:
        """The figure that is told."""
        return self.lines[0].values[0]


class Scale(msgspec.Struct, frozen=True):
    """Values run across from 0: where they begin in mm, the value at the right side, how far marked ones are apart.

    Heights go up as those of the head beside it, to the tip's y of `tip`.
    """

    left: float
    high: float
    step: float
    fit: Fit
    tip: float

    @property
    def bottom(self) -> float:
        """Where the plot ends in the neck."""
        return -BEFORE_NUT * self.fit.factor

    @property
    def top(self) -> float:
        """Where it ends at the tip."""
        return self.tip * self.fit.factor

    @property
    def right(self) -> float:
        """Its right side."""
        return self.left + self.fit.plot

    @property
    def values(self) -> tuple[float, ...]:
        """The marked values."""
        return tuple(self.step * number for number in range(round(self.high / self.step) + 1))

    def x(self, value: float) -> float:
        """Where a value stands; what lies outside stands at the side."""
        return self.left + self.fit.plot * min(value, self.high) / self.high


# What is shown


def shown(found: Strength, units: Units) -> Shown:
    """Percent of what is allowed, with its band where the grain slopes; the stress where there is no figure."""
    if not found.told:
        unit, size = ("MPa", 1.0) if units == "mm" else ("psi", PSI)
        line = Line(Role.CURVE, "by the strings", (lambda station: station.bending / size,))
        return Shown(f"stress in {unit}", (line,))

    def used(across: float) -> Value:
        return lambda station: 100 * found.use(station, across)

    lines = [Line(Role.CURVE, "what the strings use", (used(USUAL_ACROSS),))]
    if any(station.slope > _LEVEL for station in found.stations):
        low, high = (percent(use) for use in found.band)
        band = used(MOST_ACROSS), used(LEAST_ACROSS)
        lines.append(Line(Role.SECOND_CURVE, f"its band, {low} to {high}", band))
    return Shown("% of what a code would allow", tuple(lines), 100.0)


def nice_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5, 10, ... and their tenths that divides a span into so many steps at most."""
    rough = max(span, 1e-9) / most
    power = 10.0 ** math.floor(math.log10(rough) + 1e-9)
    return next(share * power for share in (1.0, 2.0, 5.0, 10.0) if share * power >= rough * (1 - 1e-9))


def scale_for(found: Strength, what: Shown, left: float, fit: Fit) -> Scale:
    """A scale that holds every curve and the stronger line; what has no end stands at its side."""
    values = (value(station) for line in what.lines for value in line.values for station in found.stations)
    highest = max([what.limit or 0.0, *(value for value in values if math.isfinite(value))]) or 1.0
    step = nice_step(highest, _MOST_STEPS)
    return Scale(left, step * math.ceil(highest / step - SAME), step, fit, found.tip)


# How it is drawn


def grid(scale: Scale, limit: float | None, units: Units) -> Iterator[Mark]:
    """Upright lines for values, that of the limit stronger, and level ones for heights over the nut."""
    end = -math.inf
    for value in scale.values:
        x = scale.x(value)
        role = Role.TABLE_HEAD if value == limit else Role.TABLE
        yield Mark(role, through((Point(x, scale.bottom), Point(x, scale.top))))
        text = Text(Point(x, scale.bottom - 1.0 - SIZE * ASCENT), SIZE, typed_number(value), anchor="middle")
        if text.bounds.left > end + APART:
            end = text.bounds.right
            yield Mark(Role.NOTES, text)
    for number, label in enumerate(heights(scale, units)):
        y = number * _STEP[units] * scale.fit.factor
        role = Role.TABLE_HEAD if number == 0 else Role.TABLE
        yield Mark(role, through((Point(scale.left, y), Point(scale.right, y))))
        yield Mark(Role.NOTES, label)


def heights(scale: Scale, units: Units) -> tuple[Text, ...]:
    """The marked heights over the nut, left of the plot."""
    step = _STEP[units]
    return tuple(
        Text(
            Point(scale.left - 1.2, number * step * scale.fit.factor - SIZE * CAP / 2),
            SIZE,
            show_length(number * step, units) if number else "nut",
            anchor="end",
        )
        for number in range(int(scale.tip / step) + 1)
    )


def keys(scale: Scale, what: Shown) -> Iterator[Mark]:
    """Above the plot its title, and below that a piece of each line with its name."""
    left = scale.left if scale.fit.head else 0.0
    top = scale.top + BEYOND
    yield Mark(Role.NOTES, Text(Point(left, top + 2 * KEY), SIZE, what.title, bold=True))
    for number, line in enumerate(what.lines):
        y = top + KEY * (1 - number)
        middle = y + SIZE * CAP / 2
        yield Mark(line.role, through((Point(left, middle), Point(left + 8.0, middle))))
        yield Mark(Role.NOTES, Text(Point(left + 9.5, y), SIZE, line.name))


def curves(stations: tuple[Station, ...], line: Line, scale: Scale) -> Iterator[Contour]:
    """The stretches of a line's curves where something pulls."""
    for value in line.values:
        places = [(value(station), station.y * scale.fit.factor) for station in stations]
        for laden, group in groupby(places, key=lambda place: place[0] > 0):
            points = [Point(scale.x(number), y) for number, y in group]
            if laden and len(points) > 1:
                yield through(points)
