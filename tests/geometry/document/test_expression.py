"""Sums typed into number fields."""

from __future__ import annotations

from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.expression import read_expression
from geometry.document.lengths import LengthError


@pytest.mark.parametrize(
    ("text", "millimetres"),
    [
        ("10+2*3", 16.0),
        ("(10+2)*3", 36.0),
        ("10 - 4 - 3", 3.0),
        ("24 / 4 / 2", 3.0),
        ("(44.5 - 6) / 5", 7.7),
        ("2*(3+(4-1))", 12.0),
        ("--5", 5.0),
        ("10 - -2", 12.0),
        ("+7", 7.0),
        ("1 3/4 in", 44.45),
        ("1-3/4 in", 44.45),
        ("1-3/4 in + 0", 44.45),
        ("1 3/4 in + 2 mm", 46.45),
        ("2 + 3/8″", 11.525),
        ("2*3/4 in", 38.1),
        ("1 in / 4", 6.35),
        ("½ in * 3", 38.1),
        ("50 mm - 1 in", 24.6),
        ("3/4", 0.75),
        ("1/3*3", 1.0),
        ("10 - 3/4", 9.25),
        ("2.5-3/4", 1.75),
        ("2,5 + 1", 3.5),
        ("(44,5 - 6) / 5", 7.7),
    ],
)
def test_comes_to(text: str, millimetres: float) -> None:
    assert read_expression(text) == millimetres


def test_plain_numbers_are_in_the_unit_asked_for() -> None:
    assert read_expression("1 3/4", units="inch") == 44.45
    assert read_expression("1-3/4", units="inch") == 44.45
    assert read_expression("2 + 1", units="inch") == 76.2
    assert read_expression("2 + 10 mm", units="inch") == 60.8
    assert read_expression("2 * 10 mm", units="inch") == 20.0


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "a number is missing"),
        ("   ", "a number is missing"),
        ("2 +", "a number is missing"),
        ("*2", "a number is missing"),
        ("()", "a number is missing"),
        ("2 3", "a sign is missing"),
        ("2)", "a bracket is open on one side"),
        ("(2", "a bracket is not closed"),
        ("2 mm * 3 mm", "an area"),
        ("6 / (2 mm)", "only a plain number can divide"),
        ("6 / (3 - 3)", "divides by 0"),
        ("6 / 0", "divides by 0"),
        ("1 3/0 in", "0 below the line"),
        ("1-3/4", "a fraction needs its unit"),
        ("12 cm", 'the unit "cm" is not known'),
        ("2,500 + 1", "write a decimal point"),
        ("2 ** 3", "a number is missing"),
        ("2 ^ 3", 'the unit "^" is not known'),
        ("abc", "it does not begin with a number"),
        ("3 + $", '"$" does not read as a number or a sign'),
        ("1 - 3", "it is negative"),
        ("9000 * 9000", "longer than 10 m"),
        ("1+" * 60 + "1", "more than 120 characters"),
    ],
)
def test_refuses_in_words(text: str, reason: str) -> None:
    with pytest.raises(LengthError) as refused:
        read_expression(text)
    assert reason in str(refused.value)
    assert refused.value.value is text


def test_deepest_brackets_that_fit_are_read() -> None:
    assert read_expression("(" * 59 + "3" + ")" * 59) == 3.0
    with pytest.raises(LengthError, match="a number is missing"):
        read_expression("(" * 120)


def test_negative_where_allowed() -> None:
    assert read_expression("1 - 3", negative=True) == -2.0


@given(st.text(alphabet='0123456789 .+-*/()in"m½', max_size=20))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    with suppress(LengthError):
        assert -10_000 <= read_expression(text, negative=True) <= 10_000


@given(st.lists(st.decimals(0, 99, places=2), min_size=2, max_size=8), st.data())
def test_sums_and_differences_agree_with_decimal_arithmetic(
    numbers: list[Decimal], data: st.DataObject
) -> None:
    signs = [data.draw(st.sampled_from([" + ", " - "])) for _ in numbers[1:]]
    text = str(numbers[0]) + "".join(
        f"{sign}{number}" for sign, number in zip(signs, numbers[1:], strict=True)
    )
    total = numbers[0]
    for sign, number in zip(signs, numbers[1:], strict=True):
        total = total + number if sign == " + " else total - number
    assert read_expression(text, negative=True) == float(total)
