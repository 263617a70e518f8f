"""Lengths of lines of text, without a font library.

The drawings use one font, shipped in `fonts/`, in two weights. It has no kerning, so a line is as long as
the sum of the advances of its characters; `fonts/advances.json` holds them and `tests/make_fonts.py` makes
them from the font.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import accumulate
from pathlib import Path

import msgspec

from geometry.trade.units import INCH

FOLDER = Path(__file__).parent / "fonts"
"""Where the font files are."""

REGULAR, BOLD = FOLDER / "PegwrightSans-Regular.ttf", FOLDER / "PegwrightSans-Bold.ttf"
"""The font files of the two weights."""

FAMILY = "Pegwright Sans"
"""The family name inside both files."""

CAP = 1493 / 2048
"""Height of capitals and figures over the baseline, in ems."""

ASCENT = 1901 / 2048
"""Height of the highest accent over the baseline, in ems."""

DESCENT = 483 / 2048
"""Depth of the lowest letter under the baseline, in ems."""

SMALLEST = 7 * INCH / 72
"""The least height of text anywhere, in mm: 7 point, which most people can read at arm's length."""

LEADING = 1.3
"""From one baseline to the next, in ems."""

_UNKNOWN = "\ufffd"  # shown in place of a character that the font does not have


class _Advances(msgspec.Struct, frozen=True):
    units: int
    ascent: int
    descent: int
    capital: int
    regular: dict[str, int]
    bold: dict[str, int]


@lru_cache(maxsize=1)
def _advances() -> _Advances:
    return msgspec.json.decode((FOLDER / "advances.json").read_bytes(), type=_Advances)


def visible(words: str) -> str:
    """The words with every character that the font lacks (control characters too) replaced by a lozenge."""
    known = _advances().regular
    return "".join(letter if letter in known else _UNKNOWN for letter in words)


def advances(words: str, height: float, *, bold: bool = False) -> tuple[float, ...]:
    """How far each character moves the pen, in mm, at a font size of `height` mm."""
    table = _advances()
    widths = table.bold if bold else table.regular
    unit = height / table.units
    return tuple(widths.get(letter, widths[_UNKNOWN]) * unit for letter in words)


@lru_cache(maxsize=4096)
def width(words: str, height: float, *, bold: bool = False) -> float:
    """Length of a line in mm at a font size of `height` mm; kept, for a label is measured at each place it tries."""
    return sum(advances(words, height, bold=bold))


def wrapped(words: str, room: float, height: float, *, bold: bool = False) -> tuple[str, ...]:
    """Lines no longer than `room` mm, broken at spaces; a single longer word is broken where it must be.

    Line ends in `words` are kept. Empty words give no line.
    """
    return tuple(line for part in words.splitlines() for line in _filled(part, room, height, bold=bold))


def _filled(words: str, room: float, height: float, *, bold: bool) -> Iterator[str]:
    line = ""
    for word in (piece for whole in words.split() for piece in _pieces(whole, room, height, bold=bold)):
        longer = f"{line} {word}" if line else word
        if line and width(longer, height, bold=bold) > room:
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line


def _pieces(word: str, room: float, height: float, *, bold: bool) -> Iterator[str]:
    while len(word) > 1 and width(word, height, bold=bold) > room:
        count = max(1, _fitting(word, room, height, bold=bold))
        yield word[:count]
        word = word[count:]
    if word:
        yield word


def _fitting(words: str, room: float, height: float, *, bold: bool) -> int:
    reaches = accumulate(advances(words, height, bold=bold))
    return next((count for count, reach in enumerate(reaches) if reach > room), len(words))


def shortened(words: str, room: float, height: float, *, bold: bool = False) -> str:
    """The words on one line, cut and ended with an ellipsis where they would be longer than `room` mm."""
    line = " ".join(words.split())
    if width(line, height, bold=bold) <= room:
        return line
    count = _fitting(line, room - width("…", height, bold=bold), height, bold=bold)
    return line[:count].rstrip() + "…"
