"""Photos and scans of a head, from a file to what was found in it."""

from __future__ import annotations

import math
from pathlib import Path

import msgspec

from app.document.messages import Refusal
from app.intake.pictures import Opened, open_picture
from export.ruler import LENGTHS
from geometry.intake.found import Found, FoundHole
from geometry.intake.head_in_picture import HeadSeen, head_in_photo, head_in_scan
from geometry.shape.point import Point
from geometry.trade.quantities import show_share
from geometry.trade.sentence import Note, SentenceError, say_note
from geometry.trade.units import Units

THICKEST = 60.0
"""mm of the thickest head: from memory."""

STEEPEST = 30.0
"""Degrees that sides lean at most."""

TRUE_PRINT = 0.002
"""The share by which a printed ruler may be off without a word: a reading is good for 0.2 mm in 100, no source."""

WORST_PRINT = 0.2
"""The share beyond which a reading is of no printed ruler."""


class PictureTold(msgspec.Struct, frozen=True):
    """What the maker tells of a picture, lengths in mm.

    `thickness` of the head for a photo; without it the picture is a flatbed scan where `scan` or `dpi` says so.
    `measured_ruler` is what a printed ruler of the sheet measures. `lean_deg` is how far the sides lean.
    """

    thickness: float | None = None
    lean_deg: float = 0.0
    measured_ruler: float | None = None
    dpi: float | None = None
    scan: bool = False


def printed_scale(measured: float | None) -> float:
    """What the printer made of a millimetre, from the reading of a printed ruler; Refusal where it is of none."""
    if measured is None:
        return 1.0
    scale = measured / min(LENGTHS, key=lambda length: abs(math.log(max(measured, 1.0) / length)))
    if abs(scale - 1.0) > WORST_PRINT:
        known = ", ".join(str(length) for length in sorted(LENGTHS))
        raise Refusal(
            f"--measured-ruler: {measured:g} mm is no printed ruler; expected about one of {known} mm."
        )
    return scale


def see_head(path: Path, told: PictureTold, units: Units = "mm") -> HeadSeen:
    """The head that a picture shows; Refusal with the name of the file where it cannot be read."""
    scale = printed_scale(told.measured_ruler)
    _refuse_told(path, told)
    opened = open_picture(path)
    try:
        seen = _seen(opened, told, scale)
    except SentenceError as error:
        raise Refusal(f"{path}: {say_note(error, units)}") from None
    return msgspec.structs.replace(seen, remarks=(*_say_scale(told, scale), *seen.remarks))


def found_in_picture(path: Path, told: PictureTold, units: Units = "mm") -> Found:
    """The same as every reader gives it."""
    seen = see_head(path, told, units)
    holes = tuple(FoundHole(Point(rim.x, rim.y), rim.diameter) for rim in seen.rims)
    return Found(seen.edge, holes, unsure=seen.remarks, accuracy=seen.edge_give)


def _refuse_told(path: Path, told: PictureTold) -> None:
    flat = told.scan or told.dpi is not None
    if told.thickness is None and not flat:
        raise Refusal(
            f"{path}: a photo needs the thickness of the head, such as --thickness 15; a scan with the face on the "
            "glass needs --scan."
        )
    if told.thickness is not None and flat:
        raise Refusal("--thickness is for a photo; a scan has its face on the glass. Give one of them.")
    if told.thickness is not None and not 1.0 <= told.thickness <= THICKEST:
        raise Refusal(f"--thickness: {told.thickness:g} mm is no head; expected 1 to {THICKEST:g} mm.")
    if abs(told.lean_deg) > STEEPEST:
        raise Refusal(f"--sides: {told.lean_deg:g}° is too steep; expected {STEEPEST:g}° at most.")
    if told.dpi is not None and not 50 <= told.dpi <= 4800:
        raise Refusal(f"--dpi: {told.dpi:g} is no scan; expected 50 to 4800.")


def _seen(opened: Opened, told: PictureTold, scale: float) -> HeadSeen:
    if told.thickness is None:
        dpi = None if told.dpi is None else told.dpi / opened.reduced
        return head_in_scan(opened.pixels, dpi, 1.0 if dpi else scale)
    lean = math.radians(told.lean_deg)
    return head_in_photo(opened.pixels, told.thickness, lean, scale, opened.focal)


def _say_scale(told: PictureTold, scale: float) -> tuple[Note, ...]:
    if told.dpi is not None:
        return ()
    if told.measured_ruler is None:
        return ("The sheet is taken as printed at 100 %; --measured-ruler proves it.",)
    if abs(scale - 1.0) <= TRUE_PRINT:
        return ()
    return (f"The sheet was printed at {show_share(scale, 1)}; all lengths are corrected for it.",)
