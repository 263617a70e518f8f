"""Writes tables that spreadsheets and drilling machines read."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

MARKED = "fingerprint"
"""Head of the last column, which says of every row what it was made from: rows get sorted, copied and parted."""


def write_table(heads: tuple[str, ...], rows: Iterable[tuple[str | float | None, ...]]) -> bytes:
    """Rows under heads as comma separated values (RFC 4180) in UTF-8, numbers with three places, None as an empty cell.

    A name that a spreadsheet would take for a formula gets an apostrophe in front of it.
    """
    target = io.StringIO(newline="")
    lines = (heads, *([_cell(cell) for cell in row] for row in rows))
    csv.writer(target, lineterminator="\r\n").writerows(lines)
    return target.getvalue().encode()


def _cell(value: str | float | None) -> str:
    if value is None:
        return ""
    return _harmless(value) if isinstance(value, str) else _length(value)


def _length(value: float) -> str:
    words = f"{value:.3f}"
    return "0.000" if words == "-0.000" else words


def _harmless(words: str) -> str:
    # OWASP, "CSV Injection": a cell that starts with one of these is run as a formula when the file is
    # opened.
    return f"'{words}" if words.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) else words
