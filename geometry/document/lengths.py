"""Lengths as people write them, turned into millimetres.

A plain number is in millimetres, "14,2" the same as 14.2. Inches come as decimals or fractions: "0.010 in",
"1 3/4 in", '5 3/8"' or "½ in"; "1-3/4 in" is the same as "1 3/4 in". The arithmetic is in exact fractions and rounded
once: 25/64 in is the float nearest to 9.921875.
"""

from __future__ import annotations

import re
from fractions import Fraction

from geometry.trade.escapes import in_refusal, quoted
from geometry.trade.units import EXACT_INCH, Units

_LONGEST = 10_000.0  # no length of a headstock job is longer, in mm; anything above is a slip of the hand
_LONGEST_TEXT = 40  # no length takes more characters to write

EXAMPLES = '44.5, "44.5 mm" or "1 3/4 in"'
EXPECTED = f"expected a length such as {EXAMPLES}"

_MILLIMETRE_WORDS = frozenset({"mm", "millimetre", "millimetres", "millimeter", "millimeters"})
_INCH_WORDS = frozenset({"in", "inch", "inches", '"'})
_FRACTION_SIGNS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_OTHER_SIGNS = {"⁄": "/", "″": '"', "”": '"', "−": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " "}
_SIGNS = str.maketrans({sign: f" {words} " for sign, words in _FRACTION_SIGNS.items()} | _OTHER_SIGNS)
_FRACTION = r"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)"
_DECIMAL = r"(?P<decimal>[0-9]+\.?[0-9]*|\.[0-9]+)"
_UNIT = r"(?P<unit>[^0-9\s.,/+*()-][^0-9]*)?"
_LENGTH = re.compile(rf"(?P<sign>[+-]?)\s*(?:{_FRACTION}|{_DECIMAL})\s*{_UNIT}")


_DECIMAL_COMMA = re.compile(r"(?<![0-9.,])(?P<whole>[0-9]+),(?P<part>[0-9]+)(?![0-9.,])")


class LengthError(ValueError):
    """A length that cannot be read; the message holds the value and what was expected."""

    def __init__(self, value: object, reason: str) -> None:
        shown = in_refusal(str(value))
        if len(shown) > _LONGEST_TEXT + 20:
            shown = f"{shown[: _LONGEST_TEXT + 20]}…"
        shown = quoted(shown) if isinstance(value, str) else shown
        self.value = value
        self.reason = reason
        super().__init__(f"{shown} is not a length: {reason}; {EXPECTED}")


def read_length(value: object, *, units: Units = "mm", negative: bool = False) -> float:
    """The length in mm that a number or a text stands for.

    `units` is what a plain number is in: millimetres in files, the shown unit in the fields of a window.
    Raises LengthError for anything else, for lengths over 10 m, and below zero unless `negative` allows it.
    """
    if isinstance(value, str):
        return limited(_read_text(value, units), value, negative=negative)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise LengthError(value, "it is neither a number nor a text")
    if not -_LONGEST <= value <= _LONGEST:  # NaN, too, is not between them
        raise LengthError(value, "it is not between -10 m and 10 m")
    return limited(in_millimetres(Fraction(value), units), value, negative=negative)


def limited(length: Fraction, value: object, *, negative: bool) -> float:
    """The length as a float in mm; raises LengthError about `value` when over 10 m or wrongly negative."""
    if abs(length) > _LONGEST:
        raise LengthError(value, "it is longer than 10 m")
    if length < 0 and not negative:
        raise LengthError(value, "it is negative")
    return float(length)


def in_millimetres(number: Fraction, units: Units) -> Fraction:
    """The exact number of millimetres in so many of these units."""
    return number * EXACT_INCH if units == "inch" else number


def plain_signs(text: str) -> str:
    """The text with typographic fractions, primes, minus signs and spaces as a typewriter has them."""
    return text.translate(_SIGNS)


def with_points(text: str) -> str:
    """The text with a point for each decimal comma.

    Raises LengthError for a comma that may mean thousands, as in 1,234, or that stands between no two digits.
    """
    pointed = _DECIMAL_COMMA.sub(_pointed, text)
    if "," in pointed:
        raise LengthError(text, "it is not plain what the comma means: write a decimal point")
    return pointed


def _pointed(match: re.Match[str]) -> str:
    whole, part = match["whole"], match["part"]
    return match[0] if len(part) == 3 and whole.strip("0") else f"{whole}.{part}"


def unit_named(word: str) -> Units | None:
    """The unit that a word or sign names, None when it names none that is known here."""
    if word.lower() in _MILLIMETRE_WORDS:
        return "mm"
    return "inch" if word.lower().removesuffix(".") in _INCH_WORDS else None


def _read_text(text: str, units: Units) -> Fraction:
    """The exact number of millimetres; raises LengthError."""
    if len(text) > _LONGEST_TEXT:
        raise LengthError(text, f"it has more than {_LONGEST_TEXT} characters")
    match = _LENGTH.fullmatch(plain_signs(with_points(text)).strip())
    if match is None:
        raise LengthError(text, "it does not read as one number and its unit")
    number = _number(match, text)
    if not match["unit"]:
        if match["bottom"] and units == "mm":
            raise LengthError(text, 'a fraction needs its unit, as in "3/4 in"')
        return in_millimetres(number, units)
    word = match["unit"].strip()
    unit = unit_named(word)
    if unit is None:
        raise LengthError(text, f'the unit "{in_refusal(word)}" is not known, only mm and in')
    return in_millimetres(number, unit)


def _number(match: re.Match[str], text: str) -> Fraction:
    """The number that the groups of a match hold; raises LengthError when a fraction divides by zero."""
    decimal, parts = match["decimal"], (match["whole"], match["top"], match["bottom"])
    number = Fraction(decimal) if decimal else mixed(*parts, text)
    return -number if match["sign"] == "-" else number


def mixed(whole: str | None, top: str, bottom: str, text: str) -> Fraction:
    """A fraction behind a whole number, or alone; raises LengthError about `text` when it divides by zero."""
    if int(bottom) == 0:
        raise LengthError(text, "a fraction cannot have 0 below the line")
    return int(whole or 0) + Fraction(int(top), int(bottom))
