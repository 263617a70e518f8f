"""Writes a list of holes as a table that spreadsheets and drilling machines read."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Literal

import msgspec

MARKED = "fingerprint"
"""Head of the last column, which says of every row what it was made from: rows get sorted, copied and parted."""

HEADER = ("name", "x_face_mm", "y_face_mm", "diameter_mm", "depth_mm", "drilled_from", "purpose", MARKED)
"""The first line of the file: every place as the face shows it, holes of the back too."""


class Hole(msgspec.Struct, frozen=True):
    """One hole: place, diameter and depth in mm (None: through), and the side it is drilled from."""

    name: str
    x: float
    y: float
    diameter: float
    depth: float | None
    side: Literal["face", "back"]
    purpose: str


def write_holes(holes: Iterable[Hole], fingerprint: str) -> bytes:
    """The holes as comma separated values (RFC 4180) in UTF-8, lengths in mm with three places.

    A name that a spreadsheet would take for a formula gets an apostrophe in front of it.
    """
    return _written((HEADER, *((*_row(hole), fingerprint) for hole in holes)))


def write_table(heads: tuple[str, ...], rows: Iterable[tuple[str | float | None, ...]]) -> bytes:
    """Rows under heads as comma separated values, numbers with three places, None as an empty cell."""
    return _written((heads, *(tuple(_cell(cell) for cell in row) for row in rows)))


def _written(rows: Iterable[tuple[str, ...]]) -> bytes:
    target = io.StringIO(newline="")
    csv.writer(target, lineterminator="\r\n").writerows(rows)
    return target.getvalue().encode()


def _cell(value: str | float | None) -> str:
    if value is None:
        return ""
    return _harmless(value) if isinstance(value, str) else _length(value)


def _row(hole: Hole) -> tuple[str, ...]:
    depth = "through" if hole.depth is None else _length(hole.depth)
    numbers = (_length(hole.x), _length(hole.y), _length(hole.diameter), depth)
    return (_harmless(hole.name), *numbers, hole.side, _harmless(hole.purpose))


def _length(value: float) -> str:
    words = f"{value:.3f}"
    return "0.000" if words == "-0.000" else words


def _harmless(words: str) -> str:
    # OWASP, "CSV Injection": a cell that starts with one of these is run as a formula when the file is
    # opened.
    return f"'{words}" if words.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else words
