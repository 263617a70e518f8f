"""The kerf, the width that a laser or saw takes away: half of it is given back to the cut lines of guide and cradle."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Mark, Role
from export.sheet_kind import refuse_sheet
from geometry.bench.cradle import FOLLOWS
from geometry.bench.side_face import dense
from geometry.shape.contour import Contour, through
from geometry.shape.offset import parallel
from geometry.shape.pieces import pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

_MOST_KERF = 10.0  # mm; nothing that cuts a plate takes more away

_BELOW, _LENGTH = 8.0, 20.0  # mm below what is cut, and length, of the two lines that show the kerf


def refuse_kerf(kerf: float, units: Units) -> None:
    """Raise SheetError for a kerf (mm) that is none."""
    if not 0 <= kerf <= _MOST_KERF:
        most, given = show_length(_MOST_KERF, units), show_length(kerf, units)
        refuse_sheet(f"A kerf is a width from 0 to {most}, not {given}.")


def kerf_note(kerf: float, units: Units, *sides: str) -> str:
    """What is compensated, such as half the kerf "outside", in a sentence for who feeds the machine."""
    if kerf <= SAME:
        return "Kerf 0: cut lines are true to size, nothing is compensated."
    told = ", ".join(side.format(half=show_length(kerf / 2, units)) for side in sides)
    return f"Kerf {show_length(kerf, units)} is compensated on cut lines: {told}. The machine must not do it again."


def kerf_gauge(bounds: Bounds, kerf: float) -> Iterator[Mark]:
    """Two lines below these bounds that stand the kerf apart, so that a file without its words still tells it."""
    if kerf <= 0:
        return
    left, low = bounds.left, bounds.bottom - _BELOW
    for y in (low, low - kerf):
        yield Mark(Role.REFERENCE, through((Point(left, y), Point(left + _LENGTH, y))), "kerf")


def cut_line(outline: Contour, kerf: float, name: str, units: Units) -> Contour:
    """The line half the `kerf` (mm) outside of the outline of a piece called `name`.

    Raises SheetError for a kerf that does not fit into a hollow of the piece.
    """
    (line, *_) = sorted(parallel(outline, -kerf / 2), key=Contour.area, reverse=True)
    places = [(point.x, point.y) for point in dense(outline)]
    # Where a hollow has closed, the line stays farther from it than half the kerf.
    if pieces_of(line).distance(places)[0].max() > kerf / 2 + FOLLOWS:
        refuse_sheet(f"A kerf of {show_length(kerf, units)} does not fit into a hollow of the {name}.")
    return line
