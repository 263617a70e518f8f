"""Caliper readings of drilled holes as a table: what the caliper card asks for, typed or out of a file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

import msgspec

from geometry.document.lengths import LengthError, read_length
from geometry.intake.drawn import DrawingError
from geometry.intake.table import bare_cell, is_heads, table_rows, table_text, units_of_heads
from geometry.layout.layout import Layout
from geometry.search.answers.all_read import ReadHole
from geometry.search.answers.readings import LONGEST, Kind, Reading
from geometry.trade.escapes import in_refusal, quoted
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

Column = Kind | None
"""What a column holds; None for the diameter of the hole."""

COLUMNS: dict[str, Column] = {
    "nut": "nut",
    "side": "side",
    "left": "left",
    "right": "right",
    "centre": "centre",
    "center": "centre",
    "diameter": None,
    "⌀": None,
    "between": "between",
    "across": "across",
    "far": "across",
}
"""What names a column: the first of these words that its head holds."""

KNOWN = "hole, nut, side, left, right, centre, diameter, between, across"

_PAIRS = ("between", "across")
_FIRST = re.compile(r"\b(holes?|bores?)\b", re.IGNORECASE)
_PAIR = re.compile(r"\s*(?:[-–—/]|\bto\b)\s*")


class Line(msgspec.Struct, frozen=True):
    """A line of a table: how a refusal names it, and its cells."""

    place: str
    cells: Sequence[str]


def read_hole_table(data: bytes, layout: Layout, units: Units = "mm") -> tuple[ReadHole, ...]:
    """The readings in the bytes of a table; DrawingError names the line and what was expected there.

    A line whose first cell is "hole" names the columns of the lines below it, so that one file holds the two tables of
    the caliper card: holes to the nut line and the side, and pairs of holes, such as "1 to 2". An empty cell was not
    read. Plain numbers are in `units` where no head tells another.
    """
    rows = [
        Line(f"Line {number} of the table", tuple(cells)) for number, cells in table_rows(table_text(data))
    ]
    return readings_in(rows, layout, units)


def readings_in(lines: Iterable[Line], layout: Layout, units: Units = "mm") -> tuple[ReadHole, ...]:
    """The readings of lines, those with the names of columns among them; DrawingError as in `read_hole_table`."""
    table = _Table(layout, units)
    for line in lines:
        if is_heads(list(line.cells)) and _FIRST.search(line.cells[0]):
            table.begin(line)
        else:
            table.read(line)
    return table.holes()


class _Table:
    """What was read so far."""

    def __init__(self, layout: Layout, units: Units) -> None:
        self._layout, self._usual = layout, units
        self._units: Units = units
        self._columns: list[Column] | None = None
        self._keys = {post.label: post.key for post in layout.posts}
        self._readings: dict[str, list[Reading]] = {}
        self._widths: dict[str, float] = {}

    def begin(self, line: Line) -> None:
        """Lines below have these columns."""
        self._columns = [_column(line.place, cell) for cell in line.cells[1:]]
        self._units = units_of_heads(list(line.cells)) or self._usual

    def read(self, line: Line) -> None:
        """Take the readings of a line."""
        if self._columns is None:
            raise DrawingError(
                f"{line.place}: expected the names of the columns first: {KNOWN}; the first of them is hole."
            )
        if len(line.cells) - 1 > len(self._columns):
            raise DrawingError(f"{line.place} has {len(line.cells)} cells, more than its columns have names.")
        one, other = self._named(line)
        for column, cell in zip(self._columns, line.cells[1:], strict=False):
            if cell.strip():
                self._take(line.place, one, other, column, cell)

    def _named(self, line: Line) -> tuple[str, str | None]:
        """The keys of the hole, or of both holes, that a line is about."""
        names = [line.cells[0]] if line.cells[0] in self._keys else _PAIR.split(line.cells[0])
        for name in names:
            if name not in self._keys:
                known = ", ".join(self._keys)
                raise DrawingError(
                    f"{line.place}: there is no hole {quoted(name)}; expected some of {known}."
                )
        if len(names) > 2 or len(set(names)) < len(names):
            raise DrawingError(f"{line.place}: {quoted(line.cells[0])} is no pair of holes; expected 1 to 2.")
        return self._keys[names[0]], self._keys[names[1]] if len(names) == 2 else None

    def _take(self, place: str, one: str, other: str | None, column: Column, cell: str) -> None:
        length = self._length(place, cell)
        if (column in _PAIRS) != (other is not None):
            wanted = "a pair of holes, such as 1 to 2" if column in _PAIRS else "one hole"
            raise DrawingError(f"{place}: {column or 'diameter'} is read of {wanted}.")
        if column is None:
            self._widths[one] = length
            return
        post = self._layout.post(one)
        if column == "centre" and abs(post.at.x) <= post.bore / 2:
            raise DrawingError(f"{place}: hole {post.label} lies on the centre line; read it to a side.")
        self._readings.setdefault(one, []).append(Reading(column, length, other))

    def _length(self, place: str, cell: str) -> float:
        try:
            length = read_length(bare_cell(cell), units=self._units)
        except LengthError as error:
            raise DrawingError(f"{place}: {in_refusal(str(error))}.") from None
        if not 0 < length <= LONGEST:
            raise DrawingError(
                f"{place}: {in_refusal(cell)} is no reading of calipers; expected more than 0, up to "
                f"{show_length(LONGEST, self._units)}."
            )
        return length

    def holes(self) -> tuple[ReadHole, ...]:
        """All holes with readings; DrawingError where there are none."""
        if not self._readings:
            raise DrawingError("The table has no readings; expected some of the drilled holes.")
        keys = dict.fromkeys([*self._readings, *self._widths])
        return tuple(ReadHole(key, tuple(self._readings.get(key, ())), self._widths.get(key)) for key in keys)


def _column(place: str, head: str) -> Column:
    words = head.lower()
    for word, column in COLUMNS.items():
        if word in words:
            return column
    raise DrawingError(f"{place}: the column {quoted(head)} is not known; expected some of {KNOWN}.")
