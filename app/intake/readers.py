"""Files that show a head, and what reads each kind: a table by suffix."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import msgspec

from app.document.files import read_bytes
from app.document.messages import Refusal
from app.intake.picture_told import PICTURES, PictureTold
from geometry.intake.drawn import Drawn, Side
from geometry.intake.found import Found
from geometry.trade.sentence import SentenceError, say_note
from geometry.trade.units import Units


class Told(msgspec.Struct, frozen=True):
    """What the maker tells about a file, for whichever reader wants it; lengths in mm.

    `length` is that of the head from the nut line to the tip, `nut_end` the side of a drawing where the nut is, `units`
    what plain numbers of a table are in, `picture` what goes for a photo or a scan.
    """

    length: float | None = None
    nut_width: float | None = None
    nut_end: Side | None = None
    from_back: bool = False
    units: Units = "mm"
    picture: PictureTold = PictureTold()


Reader = Callable[[Path, Told], Found]
"""Reads a file; a ValueError of one sentence or a Refusal says what is wrong with it or what is missing."""

_LARGEST = 60_000_000  # bytes; readers have narrower bounds of their own


def _svg(path: Path, told: Told) -> Found:
    from app.intake.svg_reader import read_svg

    return _drawn(read_svg(_bytes(path)), told)


def _dxf(path: Path, told: Told) -> Found:
    from app.intake.dxf_reader import read_dxf

    return _drawn(read_dxf(_bytes(path)), told)


def _drawn(drawn: Drawn, told: Told) -> Found:
    from geometry.intake.from_drawing import Asked, found_in

    return found_in(drawn, Asked(told.length, told.nut_width, told.nut_end, told.from_back))


def _table(path: Path, told: Told) -> Found:
    from geometry.intake.from_drawing import mirrored
    from geometry.intake.table import read_stations

    found = read_stations(_bytes(path), told.units)
    return mirrored(found) if told.from_back else found


def _picture(path: Path, told: Told) -> Found:
    from app.intake.photo import found_in_picture

    return found_in_picture(path, told.picture)


def _bytes(path: Path) -> bytes:
    data = read_bytes(path, _LARGEST)
    if len(data) > _LARGEST:
        raise Refusal(f"{path}: is larger than {_LARGEST // 1_000_000} MB.")
    return data


READERS: Mapping[str, Reader] = {
    ".svg": _svg,
    ".dxf": _dxf,
    ".csv": _table,
    **dict.fromkeys(PICTURES, _picture),
}
"""What reads a file, by the suffix of its name."""


DRAWINGS = (".svg", ".dxf", ".csv")
"""Suffixes of drawings and tables, for which nothing is asked about a camera."""


def read_head(path: Path, told: Told, units: Units = "mm") -> Found:
    """The head that a file shows; a Refusal says, in the units, what is wrong with it or what it takes to read it."""
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise Refusal(f"{path}: no reader for this suffix; expected one of {', '.join(READERS)}.")
    try:
        return reader(path, told)
    except (SentenceError, ValueError) as error:
        raise Refusal(f"{path}: {say_note(error, units)}") from None
