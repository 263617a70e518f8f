"""Lengths that options give, read or refused with the option's name."""

from __future__ import annotations

from app.document.messages import Refusal
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from geometry.document.lengths import LengthError, read_length
from geometry.trade.units import Units


def length_of(option: str, text: str, *, units: Units = "mm", negative: bool = False) -> float:
    """The length in mm that an option gives; a plain number is in `units`. Refusal when it is none."""
    try:
        return read_length(text.strip(), units=units, negative=negative)
    except LengthError as error:
        raise Refusal(f"{option}: {error}") from None


def pair_of(
    option: str, text: str, between: str, otherwise: str, *, negative: bool = False
) -> tuple[float, float]:
    """Two lengths in mm with a sign between them; Refusal, which says `otherwise` when they are not two."""
    parts = text.split(between)
    if len(parts) != 2:
        raise Refusal(f"{option}: {text!r} is {otherwise}.")
    one, two = (length_of(option, part, negative=negative) for part in parts)
    return one, two


def nut_width_of(text: str) -> float:
    """The width of a nut in mm that --nut-width gives; Refusal when it is none."""
    width = length_of("--nut-width", text)
    if not LEAST_NUT <= width <= MOST_NUT:
        raise Refusal(f"--nut-width: {text} is no width of a nut; expected {LEAST_NUT:g} to {MOST_NUT:g} mm.")
    return width
