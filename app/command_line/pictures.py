"""What the options of a command tell of a picture."""

from __future__ import annotations

import argparse
import math

from app.command_line.lengths import length_of
from app.document.messages import Refusal
from app.intake.picture_told import PictureTold


def told_of(chosen: argparse.Namespace) -> PictureTold:
    """What --thickness, --sides, --measured-ruler, --scan and --dpi tell; Refusal for what is no length or angle."""
    thickness = None if chosen.thickness is None else length_of("--thickness", chosen.thickness)
    ruler = None if chosen.measured_ruler is None else length_of("--measured-ruler", chosen.measured_ruler)
    return PictureTold(thickness, _lean(chosen.sides), ruler, chosen.dpi, chosen.scan)


def _lean(sides: list[str] | None) -> float:
    """Degrees by which the sides lean, 0 for square ones."""
    match sides:
        case None | ["square"]:
            return 0.0
        case ["tapered", text]:
            return _degrees(text)
    raise Refusal(f"--sides: {' '.join(sides)!r} is not known; expected square, or tapered and degrees.")


def _degrees(text: str) -> float:
    try:
        degrees = float(text.rstrip("°"))
    except ValueError:
        degrees = math.nan
    if not math.isfinite(degrees):
        raise Refusal(f"--sides: {text!r} is no angle; expected degrees, such as tapered 3.")
    return degrees
