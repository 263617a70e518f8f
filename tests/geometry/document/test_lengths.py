"""Lengths from text and back: exact inches, refusals in words, round trips."""

from __future__ import annotations

import math
from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.lengths import LengthError, read_length
from geometry.trade.quantities import show_length

lengths = st.floats(-9_999, 9_999)


def exact(sixty_fourths: int) -> float:
    """So many 64ths of an inch in mm, worked in decimals: n / 64 and n / 64 * 25.4 both end."""
    return float(Decimal(sixty_fourths) / 64 * Decimal("25.4"))


@pytest.mark.parametrize(
    ("value", "millimetres"),
    [
        (44.5, 44.5),
        (12, 12.0),
        ("12", 12.0),
        ("44.5 mm", 44.5),
        ("44.5mm", 44.5),
        ("44.5 MM", 44.5),
        ("44.5 millimetres", 44.5),
        (" 8.8 ", 8.8),
        (".5", 0.5),
        ("12.", 12.0),
        ("+3", 3.0),
        ("1/2 mm", 0.5),
        ("1 3/4 in", 44.45),
        ("1-3/4 in", 44.45),
        ("1 3/4 in.", 44.45),
        ("1 3/4 inch", 44.45),
        ("1 3 / 4 Inches", 44.45),
        ("0.010 in", 0.254),
        ('5 3/8"', 136.525),
        ('3/8"', 9.525),
        ("5 3/8″", 136.525),
        ("3/8”", 9.525),
        ("25/64 in", 9.921875),
        ("½ in", 12.7),
        ("1½ in", 38.1),
        ("1 ¼ in", 31.75),
        ("¾\u00a0in", 19.05),
        ("5⅛″", 130.175),
        ("⅜ in", 9.525),
        ("⅝ in", 15.875),
        ("⅞ in", 22.225),
        ("3⁄8 in", 9.525),
        ("14,2", 14.2),
        ("0,254 mm", 0.254),
        ("44,50", 44.5),
        ("1,75 in", 44.45),
        ("10000", 10000.0),
        ("0", 0.0),
    ],
)
def test_reads_to_the_nearest_float(value: object, millimetres: float) -> None:
    assert read_length(value) == millimetres


def test_every_64th_up_to_two_feet_is_exact() -> None:
    for sixty_fourths in range(24 * 64 + 1):
        whole, rest = divmod(sixty_fourths, 64)
        expected = exact(sixty_fourths)
        assert read_length(f"{whole} {rest}/64 in") == expected
        assert read_length(f'{sixty_fourths}/64"') == expected
        assert read_length(show_length(expected, "inch")) == expected


def test_plain_numbers_are_in_the_unit_asked_for() -> None:
    assert read_length("1 3/4", units="inch") == 44.45
    assert read_length("0.010", units="inch") == 0.254
    assert read_length(2, units="inch") == 50.8
    assert read_length("10 mm", units="inch") == 10.0


def test_negative_only_where_allowed() -> None:
    assert read_length("-1 3/4 in", negative=True) == -44.45
    assert read_length("− 2 mm", negative=True) == -2.0
    assert read_length(-0.5, negative=True) == -0.5
    for value in ("-2", -2, "-1/64 in"):
        with pytest.raises(LengthError, match="it is negative"):
            read_length(value)


@pytest.mark.parametrize(
    ("value", "reason"),
    [
        ("1,234", "it is not plain what the comma means: write a decimal point"),
        ("44,5,2 mm", "it is not plain what the comma means"),
        ("1.234,5", "it is not plain what the comma means"),
        (",5", "it is not plain what the comma means"),
        ("12 cm", 'the unit "cm" is not known, only mm and in'),
        ("12 furlongs", 'the unit "furlongs" is not known'),
        ("2 in in", 'the unit "in in" is not known'),
        ("5 ft", 'the unit "ft" is not known'),
        ("3/4", "a fraction needs its unit"),
        ("1 3/0 in", "a fraction cannot have 0 below the line"),
        ("", "does not read as one number"),
        ("mm", "does not read as one number"),
        ("5' 3\"", "does not read as one number"),
        ("1e3", "does not read as one number"),
        ("1_000", "does not read as one number"),
        ("0x10", "does not read as one number"),
        ("1 2", "does not read as one number"),
        ("1.2.3", "does not read as one number"),
        ("1 - 3/4 in", "does not read as one number"),
        ("1.5 3/4 in", "does not read as one number"),
        ("--5", "does not read as one number"),
        ("nan", "does not read as one number"),
        ("inf", "does not read as one number"),
        ("٣ mm", "does not read as one number"),
        ("__import__('os')", "does not read as one number"),
        ("1" * 41, "more than 40 characters"),
        ("1" * 30, "longer than 10 m"),
        ("400 in", "longer than 10 m"),
        (math.nan, "not between -10 m and 10 m"),
        (math.inf, "not between -10 m and 10 m"),
        (-math.inf, "not between -10 m and 10 m"),
        (10**400, "not between -10 m and 10 m"),
        (True, "neither a number nor a text"),
        (None, "neither a number nor a text"),
        ([1], "neither a number nor a text"),
        (b"12", "neither a number nor a text"),
    ],
)
def test_refuses_in_words(value: object, reason: str) -> None:
    with pytest.raises(LengthError) as refused:
        read_length(value)
    message = str(refused.value)
    assert reason in message
    assert message.endswith('expected a length such as 44.5, "44.5 mm" or "1 3/4 in"')
    shown = f'"{value}"' if isinstance(value, str) else str(value)
    assert message.startswith(shown[:60])
    assert len(message) < 300
    assert "\n" not in message


@given(st.text() | st.from_regex(r"[0-9 ./\-+,]{1,12} ?(in|mm|\"|cm)?", fullmatch=True))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    with suppress(LengthError):
        assert -10_000 <= read_length(text, negative=True) <= 10_000


@given(lengths)
def test_numbers_pass_through_unchanged(length: float) -> None:
    assert read_length(length, negative=True) == length


@pytest.mark.parametrize("breaks", ["\n", "\r", "\x0b", "\x1c", "\x85", "\u2028"])
def test_a_refusal_is_one_line_whatever_is_in_its_unit(breaks: str) -> None:
    with pytest.raises(LengthError) as refusal:
        read_length(f"1 m{breaks}m")
    assert len(str(refusal.value).splitlines()) == 1
