"""Tables of readings as spreadsheets write them: cells of every line, remarks left out, units from the heads."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from geometry.document.lengths import unit_named
from geometry.intake.drawn import DrawingError, refuse_drawing
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
