"""What a field holds, in words, for every kind of field."""

from __future__ import annotations

from typing import Any

import pytest

from geometry.document.build import Build
from geometry.document.fields import expected_at, known_fields, steps
from tests.bad_files import FREE, GOOD


@pytest.mark.parametrize(
    ("path", "taken"),
    [
        ("", []),
        ("nut", ["nut"]),
        ("rows[0].rule.pitch", ["rows", 0, "rule", "pitch"]),
        ("rows[12].posts[3]", ["rows", 12, "posts", 3]),
    ],
)
def test_steps_of_a_path(path: str, taken: list[str | int]) -> None:
    assert steps(path) == taken


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("", "expected an object with named fields"),
        ("name", "expected text of at most 200 characters"),
        ("limits[0].rule", "expected text"),
        ("limits[0].least", "expected a number"),
        ("hardware[0].plate.posts", "expected a whole number"),
        ("hardware[0].butts", "expected true or false"),
        ("hardware[0].screws", "expected a list"),
        ("keep_clear[1].shape.points", "expected a list of 3 to 200"),
        ("head.angle_deg", "expected a number from 0 to 60"),
        ("strings[0].pitch", "expected a pitch such as E4, F#3 or Bb2"),
        ("strings[0].tension", "expected a number from 0.1 to 10000"),
        ("strings[0].unit_weight", "expected a number from 0.001 to 1000"),
        ("hand", 'expected one of "left", "right"'),
        ("head.blank.left", "expected a length from 0.1 to 2000 mm, such as "),
        ("strings[0].diameter", "expected a length from 0.1 to 10 mm, such as 0.254, "),
        ("scale_length", "expected a length from 50 to 2000 mm, such as 648, "),
        ("head.binding", "expected a length from 0 to 2000 mm, such as "),
        ("outline.waist", "expected a length from 0 to 750 mm, such as "),
        ("rows[0].posts[1].string", "expected null or text of 1 to 40 letters, digits, dots, hyphens or"),
        ("rows[0].posts[1].turns", "expected a number from 0 to 20"),
    ],
)
def test_words_for_every_kind_of_field(path: str, words: str) -> None:
    assert expected_at(GOOD, path, Build).startswith(words)


def test_the_record_of_a_union_is_told_by_its_tag() -> None:
    free: dict[str, Any] = {**GOOD, "outline": FREE}
    assert expected_at(free, "outline.nodes[0].onward.bulge", Build) == "expected a number from -20 to 20"
    assert expected_at(free, "outline.nodes", Build) == "expected a list of 0 to 500"
    assert expected_at(GOOD, "outline.lean_deg", Build) == "expected a number from 0 to 45"


def test_a_path_ends_where_the_data_does() -> None:
    assert expected_at({}, "nut.zero_fret", Build) == "expected true or false"
    assert expected_at({"outline": {}}, "outline.kind", Build) == 'expected one of "nodes", "starter"'
    assert (
        expected_at({"outline": {"kind": 3}}, "outline.kind", Build) == 'expected one of "nodes", "starter"'
    )


def test_known_fields_begin_with_the_tag_and_a_slip_is_recognised() -> None:
    assert known_fields(GOOD, "rows[0].rule", "colour", Build) == "expected only rule, start, pitch, inset"
    assert known_fields(GOOD, "rows[0].rule", "pich", Build) == 'did you mean "pitch"?'
    assert known_fields(GOOD, "", "string", Build) == 'did you mean "strings"?'
