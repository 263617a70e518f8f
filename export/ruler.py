"""Rulers for proving with a steel rule that a print is true to size."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from export.drawing import QUARTER, Drawing, Mark, Role, Sheet, Text
from export.text import CAP, SMALLEST, width
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Line
from geometry.trade.units import INCH

LENGTHS = (200, 150, 100)
"""Lengths of rulers in mm, the longest that fits is taken: there an error of reading counts least."""

BAND = 12.5
"""Width in mm of the band that a ruler fills, figures included."""

_SPARE = 2.5  # how far in mm the last figure may reach beyond the end of its ruler

_FIGURES = SMALLEST + 0.03
_LONGEST = 3.0
_BASE = 0.6

Place = Callable[[float, float], Point]


def inches_beside(length: int) -> int:
    """Whole inches that go with a millimetre ruler: 4, 6 or 8, a little longer than 100, 150 or 200 mm."""
    return round(length / 25)


def reach(length: int) -> float:
    """Length in mm of the longer of the two scales of a ruler."""
    return max(float(length), inches_beside(length) * INCH)


def longest(room: float) -> int:
    """The longest ruler, in mm, whose scales and figures fit in `room` mm; ValueError when none does."""
    for length in LENGTHS:
        if reach(length) + _SPARE <= room:
            return length
    message = f"A ruler of {LENGTHS[-1]} mm does not fit in {room:.0f} mm."
    raise ValueError(message)


def ruler(length: int, *, upright: bool) -> Sheet:
    """A ruler at true size, zero at the origin: millimetres on its left or upper side, inches opposite."""
    angle = QUARTER if upright else 0.0

    def place(along: float, aside: float) -> Point:
        return Point(-aside, along) if upright else Point(along, aside)

    base = _stroke(place, 0.0, 0.0, reach(length), 0.0)
    shapes: list[Contour | Text] = [base, *_metric(place, length), *_inches(place, length)]
    shapes += _figures(place, length, angle)
    drawing = Drawing(tuple(Mark(Role.RULER, shape, "ruler") for shape in shapes))
    side, end = BAND / 2, reach(length) + _SPARE
    bounds = Bounds(-side, -_SPARE, side, end) if upright else Bounds(-_SPARE, -side, end, side)
    return Sheet(f"ruler {length}", f"Ruler {length} mm", bounds, drawing)


def _stroke(place: Place, along: float, aside: float, to_along: float, to_aside: float) -> Contour:
    return Contour((Line(place(along, aside), place(to_along, to_aside)),), closed=False)


def _metric(place: Place, length: int) -> Iterator[Contour]:
    for millimetre in range(length + 1):
        high = _LONGEST if millimetre % 10 == 0 else 2.2 if millimetre % 5 == 0 else 1.4
        yield _stroke(place, millimetre, 0.0, millimetre, high)


def _inches(place: Place, length: int) -> Iterator[Contour]:
    heights = {0: _LONGEST, 8: 2.5, 4: 2.0, 12: 2.0}
    for sixteenth in range(inches_beside(length) * 16 + 1):
        deep = heights.get(sixteenth % 16, 1.6 if sixteenth % 2 == 0 else 1.2)
        along = sixteenth * INCH / 16
        yield _stroke(place, along, 0.0, along, -deep)


def _figures(place: Place, length: int, angle: float) -> Iterator[Text]:
    last = inches_beside(length)
    metric = [(float(millimetre), str(millimetre)) for millimetre in range(0, length + 1, 10)]
    inches = [(inch * INCH, str(inch)) for inch in range(last + 1)]
    above, below = _LONGEST + _BASE, -_LONGEST - _BASE - CAP * _FIGURES
    for aside, figures, unit in ((above, metric, "mm"), (below, inches, "in")):
        for along, words in figures:
            yield Text(place(along, aside), _FIGURES, words, angle, "middle")
        # The unit follows the zero, which stays in the middle of its tick.
        along = width("0", _FIGURES) / 2 + width(" ", _FIGURES)
        yield Text(place(along, aside), _FIGURES, unit, angle)
