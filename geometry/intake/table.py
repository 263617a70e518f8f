"""Tables of readings as spreadsheets write them: cells of every line, remarks left out, units from the heads."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

import msgspec
import numpy as np

from geometry.document.lengths import LengthError, read_length, unit_named
from geometry.intake.dense import GAP, distinct, lengths_along
from geometry.intake.drawn import DrawingError, refuse_drawing
from geometry.intake.found import Found
from geometry.shape.close import Floats
from geometry.trade.escapes import in_refusal
from geometry.trade.units import Units

LARGEST_TABLE = 1_000_000
"""Bytes."""

MOST_ROWS = 5000

_HEADS = re.compile(r"[A-Za-z]")
_UNIT_IN_HEAD = re.compile(r"\(([^)]*)\)|\b(mm|in|inch|inches)\b", re.IGNORECASE)


def table_text(data: bytes) -> str:
    """The text of a file, however a spreadsheet coded it; DrawingError for one that is too large."""
    if len(data) > LARGEST_TABLE:
        refuse_drawing(
            f"The table is larger than {LARGEST_TABLE // 1_000_000} MB; expected some readings of one head."
        )
    for encoding in ("utf-8-sig", "utf-16") if data[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig",):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    return data.decode("cp1252", errors="replace")


def table_rows(text: str) -> Iterator[tuple[int, list[str]]]:
    """The cells of every line that is neither empty nor a remark, with its number."""
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip() and not line.lstrip().startswith("#")
    ]
    if len(lines) > MOST_ROWS:
        refuse_drawing(f"The table has more than {MOST_ROWS} lines; expected some readings of one head.")
    mark = next((mark for mark in (";", "\t") if any(mark in line for _, line in lines)), ",")
    for number, line in lines:
        try:
            cells = next(csv.reader([line], delimiter=mark, skipinitialspace=True), [])
        except csv.Error:
            message = f"Line {number} of the table is not sound: a quotation mark is missing."
            raise DrawingError(message) from None
        cells = [cell.strip() for cell in cells]
        while cells and not cells[-1]:
            cells.pop()
        if cells:
            yield number, cells


def is_heads(cells: list[str]) -> bool:
    """Whether cells are names of columns."""
    return bool(_HEADS.match(cells[0]))


def units_of_heads(cells: list[str]) -> Units | None:
    """The unit that a name of a column tells, as "y (in)" does; None where none does."""
    words = [word for cell in cells for found in _UNIT_IN_HEAD.findall(cell) for word in found if word]
    return next((unit for word in words if (unit := unit_named(word))), None)


def bare_cell(cell: str) -> str:
    """A cell as a spreadsheet may give it, with a unit right behind the number."""
    return cell.strip().strip("'")


# Offset tables, as read by calipers: how far up from the nut, how far to the left and right, or how wide in all


class Station(msgspec.Struct, frozen=True):
    """One reading in mm: how far from the nut line, and how far the edge is to the left and right of the middle."""

    y: float
    left: float
    right: float


def read_stations(data: bytes, units: Units = "mm") -> Found:
    """The head of an offset table; DrawingError names the line and what was expected there.

    Rows are y, left, right, or y, width; the first is the nut line, y = 0. Lines that start with # and a row of names
    above the numbers are passed over; a name with a unit, as in "y (in)", tells that of all plain numbers, which else
    are in `units`. With semicolons or tabs between them numbers may have decimal commas. Between the readings the edge
    is a curve through them that does not swing out; across a tip that is wider than nothing it is straight.
    """
    rows = list(table_rows(table_text(data)))
    head_units = units_of_heads(rows[0][1]) if rows and is_heads(rows[0][1]) else None
    rows = rows[1:] if rows and is_heads(rows[0][1]) else rows
    stations = [_station(number, cells, head_units or units) for number, cells in rows]
    _refuse_order(stations, [number for number, _ in rows])
    return Found(edge_through(stations))


def _station(number: int, cells: list[str], units: Units) -> Station:
    if len(cells) not in (2, 3):
        refuse_drawing(
            f"Line {number} of the table has {len(cells)} cell{'s' * (len(cells) != 1)}; expected y, left, right or "
            "y, width."
        )
    try:
        lengths = [read_length(bare_cell(cell), units=units) for cell in cells]
    except LengthError as error:
        message = f"Line {number} of the table: {in_refusal(str(error))}."
        raise DrawingError(message) from None
    if len(lengths) == 2:
        return Station(lengths[0], lengths[1] / 2, lengths[1] / 2)
    return Station(*lengths)


def _refuse_order(stations: list[Station], numbers: list[int]) -> None:
    """A DrawingError for readings that are too few, or not in order up from the nut line."""
    if len(stations) < 3:
        refuse_drawing(
            f"The table has {len(stations)} reading{'s' * (len(stations) != 1)}; expected at least 3."
        )
    if stations[0].y != 0:
        refuse_drawing(
            f"Line {numbers[0]} of the table: the first reading must be that at the nut line, where y is 0."
        )
    for before, after, number in zip(stations[:-1], stations[1:], numbers[1:], strict=True):
        if after.y < before.y:
            refuse_drawing(
                f"Line {number} of the table: y is less than in the line above; readings go up from the nut."
            )
    for station, number in zip(stations[:-1], numbers[:-1], strict=True):
        if station.left + station.right <= 0:
            refuse_drawing(f"Line {number} of the table: the head has no width there.")


def edge_through(stations: list[Station]) -> Floats:
    """The contour (n, 2) through all readings, from the right end of the nut line round the tip to the left end."""
    right = np.array([(each.right, each.y) for each in stations])
    left = np.array([(-each.left, each.y) for each in reversed(stations)])
    if right[-1, 0] - left[0, 0] <= 1e-9:
        return through(np.vstack([right, left[1:]]))
    return np.vstack([through(right), through(left)])


def through(places: Floats) -> Floats:
    """Points (n, 2) every GAP mm of a smooth curve through places (k, 2).

    By piecewise cubics in the way along the chords that keep to what lies between two places (F. N. Fritsch and
    J. Butland, A method for constructing local monotone piecewise cubic interpolants, 1984), so that it never waves.
    """
    from scipy.interpolate import PchipInterpolator

    places = distinct(places)
    if len(places) < 2:
        return places
    along = lengths_along(places)
    wanted = np.union1d(along, np.linspace(0.0, along[-1], max(2, round(along[-1] / GAP) + 1)))
    curve: Floats = PchipInterpolator(along, places)(wanted)
    return curve
