"""What options give, read or refused with the option's name: lengths, posts by their labels, tuners by their keys.

A plain number is in the units of the command: those of --units, else those of the shop.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from app.document.messages import Refusal
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from geometry.document.lengths import LengthError, read_length
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.trade.escapes import quoted
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.quantities import show_gauge, show_length
from geometry.trade.units import Units

Kind = TypeVar("Kind")

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


def length_if_given(option: str, text: str | None, units: Units, least: float, most: float) -> float | None:
    """The same for an option that may be left out."""
    return None if text is None else length_within(option, text, units, least, most)


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


def posts_named(option: str, text: str | None, layout: Layout) -> tuple[PlacedPost, ...]:
    """The placed posts with these labels, with commas between them; Refusal for one that is not there."""
    if text is None:
        return ()
    return tuple(post_named(option, label.strip(), layout) for label in text.split(","))


def post_named(option: str, label: str, layout: Layout) -> PlacedPost:
    """The placed post with this label; Refusal where there is none."""
    known = {post.label: post for post in layout.posts}
    if label not in known:
        expected = f"expected some of {', '.join(known)}" if known else "no post has its place on this head"
        raise Refusal(f"{option}: there is no post {quoted(label)}; {expected}.")
    return known[label]


def hardware_named(key: str) -> Hardware:
    """The class of tuners with this key; Refusal where the library has none."""
    if key.startswith("taper"):
        raise Refusal("Tapered wooden pegs are not supported yet: they want a tapered reamer, not a bore.")
    return known_as(key, {each.key: each for each in LIBRARY}, "There is no hardware {}. Classes: {}.")


def known_as(key: str, kinds: Mapping[str, Kind], refusal: str) -> Kind:
    """What goes by a key; else Refusal, with the key and all that there are put into its sentence."""
    if key not in kinds:
        raise Refusal(refusal.format(quoted(key), ", ".join(kinds)))
    return kinds[key]
