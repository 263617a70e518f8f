"""Lengths that options give, read or refused with the option's name.

A plain number is in the units of the command: those of --units, else those of the shop.
"""

from __future__ import annotations

from app.document.messages import Refusal
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from geometry.document.lengths import LengthError, read_length
from geometry.trade.escapes import quoted
from geometry.trade.quantities import show_gauge, show_length
from geometry.trade.units import Units

THIN = 0.1
"""mm; bounds below are told as gauges, for the figures of a length in inches would make them 0."""


def length_of(option: str, text: str, units: Units, *, negative: bool = False) -> float:
    """The length in mm that an option gives; Refusal when it is none."""
    try:
        return read_length(text.strip(), units=units, negative=negative)
    except LengthError as error:
        raise Refusal(f"{option}: {error}.") from None


def length_within(option: str, text: str, units: Units, least: float, most: float) -> float:
    """The same; Refusal, in the units, for one out of bounds in mm."""
    length = length_of(option, text, units)
    if not least <= length <= most:
        show = show_gauge if 0 < least < THIN else show_length
        given, low, high = (show(each, units) for each in (length, least, most))
        raise Refusal(f"{option}: {given} is not usable here; expected {low} to {high}.")
    return length


def pair_of(
    option: str, text: str, units: Units, between: str, otherwise: str, *, negative: bool = False
) -> tuple[float, float]:
    """Two lengths in mm with a sign between them; Refusal, which says `otherwise` when they are not two."""
    parts = text.split(between)
    if len(parts) != 2:
        raise Refusal(f"{option}: {quoted(text)} is {otherwise}.")
    one, two = (length_of(option, part, units, negative=negative) for part in parts)
    return one, two


def nut_width_of(text: str, units: Units) -> float:
    """The width of a nut in mm that --nut-width gives; Refusal when it is none."""
    return length_within("--nut-width", text, units, LEAST_NUT, MOST_NUT)
