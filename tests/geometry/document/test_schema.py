"""The JSON Schema, held against files by a validator that did not write it."""

from __future__ import annotations

import json
from typing import Any

import jsonschema
import pytest
from hypothesis import given, settings

from geometry.document.build import Build
from geometry.document.codec import read_build, write_build
from geometry.document.error import FileError
from geometry.document.schema import build_schema
from tests.amount import sampled
from tests.bad_files import BAD_FILES, FREE, GOOD, BadFile
from tests.strategies import builds

VALIDATOR = jsonschema.Draft202012Validator(build_schema())


def test_is_a_schema_that_can_be_written() -> None:
    jsonschema.Draft202012Validator.check_schema(json.loads(json.dumps(build_schema())))
    assert build_schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_the_version_comes_first_and_must_be_there() -> None:
    whole = build_schema()["$defs"]["Build"]
    assert next(iter(whole["properties"])) == "pegwright"
    assert whole["required"] == ["pegwright", "name", "outline", "nut"]


@pytest.mark.parametrize("outline", [GOOD["outline"], FREE])
def test_lengths_as_text_are_valid(outline: dict[str, Any]) -> None:
    VALIDATOR.validate({**GOOD, "outline": outline})
    rule = {"rule": "on a plate", "start": "1 1/2 in", "inset": 12, "inset_last": '1/2"'}
    VALIDATOR.validate({**GOOD, "rows": [{**GOOD["rows"][0], "rule": rule}]})


@settings(max_examples=sampled(15, of=40))
@given(builds())
def test_every_written_build_is_valid(build: Build) -> None:
    VALIDATOR.validate(json.loads(write_build(build)))


BEYOND_A_SCHEMA = (
    "does not read",
    "expected a length such as",
    "Pegwright wrote this file",
    "given twice",
    "already",
    "expected the key of",
    "supported yet",
    "half of a character",
    "finite",
    "a string once",
    "path of a measure",
    "each measure once",
    "line break",
    "did you mean",
    "a limit: ",
    "expected at most 40 of them",
    "1 to 12 posts",
    "number from -2000 to 2000",
    "a length from 0.1 to",
    "nan is not usable",
)
"""Words about what only reading finds: what a text says, what a key points at, numbers that are no JSON."""


def is_for_a_schema(bad: BadFile) -> bool:
    """Whether a bad file is JSON whose fault lies in its structure alone."""
    try:
        read_build(bad.data)
    except FileError as error:
        about_structure = error.field != "" and not [each for each in BEYOND_A_SCHEMA if each in str(error)]
        return about_structure and bad.name != "pegwright = 1.0"
    return False


STRUCTURAL = [bad for bad in BAD_FILES if is_for_a_schema(bad)]


def test_many_of_the_bad_files_are_for_a_schema_to_find() -> None:
    assert len(STRUCTURAL) >= 60


@pytest.mark.parametrize("bad", STRUCTURAL, ids=[ascii(each.name) for each in STRUCTURAL])
def test_what_is_refused_for_its_structure_is_not_valid(bad: BadFile) -> None:
    assert not VALIDATOR.is_valid(json.loads(bad.data))


@pytest.mark.parametrize("width", [0, -1, 2001, None, True, [43]])
def test_a_length_that_makes_no_sense_is_not_valid(width: object) -> None:
    assert not VALIDATOR.is_valid({**GOOD, "nut": {"width": width}})


@pytest.mark.parametrize("place", [[1], [1, 2, 3], [1, None], [0, 2001], {"x": 1, "y": 1}, "1 in"])
def test_a_place_that_makes_no_sense_is_not_valid(place: object) -> None:
    assert not VALIDATOR.is_valid({**GOOD, "old_holes": [{"key": "o1", "at": place, "diameter": 3}]})


def test_descriptions_are_not_indented() -> None:
    descriptions = [part["description"] for part in build_schema()["$defs"].values()]
    assert len(descriptions) >= 30
    assert not [each for each in descriptions if "\n " in each]
