"""What the options of a command tell of a picture."""

from __future__ import annotations

import argparse
import math

from app.command_line.given import length_of
from app.document.messages import Refusal
from app.intake.picture_told import PictureTold
from geometry.intake.lines import KnownPoints
from geometry.trade.escapes import quoted
from geometry.trade.units import Units


def told_of(chosen: argparse.Namespace) -> PictureTold:
    """What the options of a picture tell; Refusal for what is no length or angle."""
    thickness, ruler, tip, height = (
        None if text is None else length_of(option, text, chosen.units)
        for option, text in (
            ("--thickness", chosen.thickness),
            ("--measured-ruler", chosen.measured_ruler),
            ("--thickness-at-tip", chosen.thickness_at_tip),
            ("--camera-height", chosen.camera_height),
        )
    )
    return PictureTold(
        thickness,
        _lean(chosen.sides),
        ruler,
        chosen.dpi,
        chosen.scan,
        tip,
        _known(chosen.known, chosen.units),
        camera_height=height,
    )


def _known(text: str | None, units: Units) -> KnownPoints | None:
    """Two places in pixels, and how far they are apart."""
    if text is None:
        return None
    *places, apart = text.split(",") if text.count(",") == 4 else [""]
    try:
        x1, y1, x2, y2 = map(float, places)
    except ValueError:
        x1 = y1 = x2 = y2 = math.nan
    if not all(map(math.isfinite, (x1, y1, x2, y2))):
        raise Refusal(
            f"--known: {quoted(text)} is not understood; expected four pixels and a length, "
            "such as 210,300,1850,302,150."
        )
    return KnownPoints((x1, y1), (x2, y2), length_of("--known", apart, units))


def _lean(sides: list[str] | None) -> float:
    """Degrees by which the sides lean, 0 for square ones."""
    match sides:
        case None | ["square"]:
            return 0.0
        case ["tapered", text]:
            return _degrees(text)
    raise Refusal(
        f"--sides: {quoted(' '.join(sides))} is not known; expected square, or tapered and degrees."
    )


def _degrees(text: str) -> float:
    try:
        degrees = float(text.rstrip("°"))
    except ValueError:
        degrees = math.nan
    if not math.isfinite(degrees):
        raise Refusal(f"--sides: {quoted(text)} is no angle; expected degrees, such as tapered 3.")
    return degrees
