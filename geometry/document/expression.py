"""Small sums in a number field: "10+2*3", "1 3/4 in + 2 mm", "(44.5 - 6) / 5".

Read by hand, one token after another: nothing is ever evaluated as code.
"""

from __future__ import annotations

import re
from fractions import Fraction

import msgspec

from geometry.document.lengths import (
    LengthError,
    in_millimetres,
    limited,
    mixed,
    plain_signs,
    unit_named,
    with_points,
)
from geometry.trade.units import Units

_LONGEST_SUM = 120  # no sum takes more characters; it also bounds how deep brackets can nest

_UNIT = r"[^0-9\s.,/+*()-]+\.?"
_TOKEN = re.compile(
    rf"""\s*(?:
        (?P<whole>[0-9]+)(?:\s+|-(?=[0-9]+/))(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)\s*(?P<unit>{_UNIT})?
        | (?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)\s*(?P<part_unit>{_UNIT})
        | (?P<decimal>[0-9]+\.?[0-9]*|\.[0-9]+)\s*(?P<decimal_unit>{_UNIT})?
        | (?P<sign>[-+*/()])
    )\s*""",
    re.VERBOSE,
)


class _Amount(msgspec.Struct, frozen=True, gc=False):
    """A plain number, or a length in mm when `is_length`."""

    number: Fraction
    is_length: bool


def read_expression(text: str, *, units: Units = "mm", negative: bool = False) -> float:
    """The length in mm that a sum of numbers and lengths comes to.

    Plain numbers are factors beside * and /, lengths in `units` beside + and -; so is a plain result.
    "1-3/4" without spaces is the mixed fraction that a tape measure shows, not a difference.
    Raises LengthError for what does not read, for a length times a length, division by zero or by a length,
    and for results over 10 m or, unless `negative`, below zero.
    """
    amount = _total(text, units)
    length = amount.number if amount.is_length else in_millimetres(amount.number, units)
    return limited(length, text, negative=negative)


def read_sum(text: str) -> float:
    """The plain number that a sum comes to; raises LengthError as above, and for a length."""
    amount = _total(text, "mm")
    if amount.is_length:
        raise LengthError(text, "a plain number is wanted, and it has a unit of length")
    return float(amount.number)


def _total(text: str, units: Units) -> _Amount:
    if len(text) > _LONGEST_SUM:
        raise LengthError(text, f"it has more than {_LONGEST_SUM} characters")
    reader = _Reader(text, units)
    amount = reader.sum()
    if reader.left:
        raise LengthError(text, "a sign is missing between two numbers, or a bracket is open on one side")
    return amount


def _tokens(text: str, units: Units) -> list[str | _Amount]:
    """The signs and amounts of the text, in order; raises LengthError where a character fits none."""
    plain = plain_signs(with_points(text))
    found: list[str | _Amount] = []
    place = 0
    while place < len(plain.rstrip()):
        match = _TOKEN.match(plain, place)
        if match is None:
            rest = f'"{plain[place:].strip()[:12]}" does not read as a number or a sign'
            # What is refused is quoted already: all of it again would say nothing.
            raise LengthError(text, rest if plain[:place].strip() else "it does not begin with a number")
        found.append(match["sign"] or _amount(match, text, units))
        place = match.end()
    return found


def _amount(match: re.Match[str], text: str, units: Units) -> _Amount:
    """The number or length of a token; raises LengthError for an unknown unit or a zero below the line."""
    word = match["unit"] or match["part_unit"] or match["decimal_unit"]
    unit = unit_named(word) if word else None
    if word and unit is None:
        raise LengthError(text, f'the unit "{word}" is not known, only mm and in')
    if match["decimal"]:
        number = Fraction(match["decimal"])
    else:
        number = mixed(match["whole"], match["top"] or match["over"], match["bottom"] or match["under"], text)
    if match["whole"] and unit is None and units == "mm":
        raise LengthError(
            text, 'a fraction needs its unit, as in "1 3/4 in", or a difference spaces, as in "10 - 3/4"'
        )
    return _Amount(in_millimetres(number, unit), is_length=True) if unit else _Amount(number, is_length=False)


class _Reader:
    """Goes through the tokens of one sum from left to right."""

    def __init__(self, text: str, units: Units) -> None:
        self._text = text
        self._units = units
        self.left = _tokens(text, units)[::-1]

    def length(self, amount: _Amount) -> Fraction:
        """The amount in mm."""
        return amount.number if amount.is_length else in_millimetres(amount.number, self._units)

    def sum(self) -> _Amount:
        """Terms with + and - between them."""
        total = self._product()
        while sign := self._next_of("+-"):
            term = self._product()
            total = self._added(total, term if sign == "+" else _Amount(-term.number, term.is_length))
        return total

    def _added(self, first: _Amount, second: _Amount) -> _Amount:
        if first.is_length == second.is_length:
            return _Amount(first.number + second.number, first.is_length)
        return _Amount(self.length(first) + self.length(second), is_length=True)

    def _product(self) -> _Amount:
        """Factors with * and / between them."""
        total = self._factor()
        while sign := self._next_of("*/"):
            total = self._multiplied(total, self._factor(), sign)
        return total

    def _multiplied(self, first: _Amount, second: _Amount, sign: str) -> _Amount:
        if sign == "/":
            if second.is_length:
                raise LengthError(self._text, "only a plain number can divide")
            if second.number == 0:
                raise LengthError(self._text, "it divides by 0")
            return _Amount(first.number / second.number, first.is_length)
        if first.is_length and second.is_length:
            raise LengthError(self._text, "a length times a length is an area")
        return _Amount(first.number * second.number, first.is_length or second.is_length)

    def _factor(self) -> _Amount:
        """A number, a length, a bracket, or one of them with a sign before it."""
        if sign := self._next_of("+-"):
            factor = self._factor()
            return factor if sign == "+" else _Amount(-factor.number, factor.is_length)
        if self._next_of("("):
            amount = self.sum()
            if not self._next_of(")"):
                raise LengthError(self._text, "a bracket is not closed")
            return amount
        token = self.left.pop() if self.left else None
        if isinstance(token, _Amount):
            return token
        raise LengthError(self._text, "a number is missing")

    def _next_of(self, signs: str) -> str | None:
        """Takes the next token when it is one of these signs."""
        token = self.left[-1] if self.left else None
        if not isinstance(token, str) or token not in signs:
            return None
        self.left.pop()
        return token
