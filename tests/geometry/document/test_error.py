"""The sentence of a FileError: one line, the value recognisable but never long."""

from __future__ import annotations

import pytest

from geometry.document.error import MISSING, WHOLE, FileError


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("wide", '"wide"'),
        ("a\nb", r'"a\nb"'),
        ("\ud800", r'"\ud800"'),
        (3, "3"),
        (2.5, "2.5"),
        (float("nan"), "nan"),
        (None, "null"),
        (True, "true"),
        (False, "false"),
        ({"x": 1}, "an object"),
        ([1, 2, 3], "a list of 3"),
        ("x" * 58, '"' + "x" * 58 + '"'),
        ("x" * 59, '"' + "x" * 58 + "…"),
    ],
)
def test_shows_the_value_as_a_file_has_it(value: object, shown: str) -> None:
    sentence = FileError("nut.width", value, "expected a length").sentence()
    assert sentence == f"nut.width: {shown} is not usable here; expected a length"


def test_keeps_its_parts() -> None:
    error = FileError("nut.width", -3, "expected a length")
    assert (error.field, error.value, error.expected) == ("nut.width", -3, "expected a length")
    assert isinstance(error, ValueError)
    assert str(error) == error.sentence()


def test_says_nothing_about_a_value_that_is_not_there() -> None:
    assert FileError("nut.width", MISSING, "this field is missing").sentence() == (
        "nut.width: this field is missing"
    )


def test_names_no_field_when_all_of_the_file_is_to_blame() -> None:
    assert FileError(WHOLE, MISSING, "the file is empty").sentence() == "the file is empty"


@pytest.mark.parametrize(
    ("field", "shown"),
    [
        ("a\nb\x1b[0m", r"a\nb\x1b[0m"),
        ("\udc80", r"\udc80"),
        ("y" * 80, "y" * 80),
        ("y" * 81, "y" * 79 + "…"),
    ],
)
def test_a_field_name_of_a_bad_file_stays_on_one_line(field: str, shown: str) -> None:
    assert FileError(field, MISSING, "no such field").sentence() == f"{shown}: no such field"
