"""A build file read and written: JSON with `"pegwright": 1` first, lengths in millimetres."""

from __future__ import annotations

import json
import math
import re
from typing import Any, NoReturn

import msgspec

from geometry.build.build import Build
from geometry.build.error import MISSING, BuildError
from geometry.build.in_millimetres import in_millimetres
from geometry.build.migrate import VERSION, VERSION_KEY, current
from geometry.build.references import check_references

LARGEST_FILE = 5_000_000
"""Bytes; a build file of a full twelve-string head is under 20 000."""


def read_build(data: bytes) -> Build:
    """The build in the bytes of a file; BuildError says what is wrong, where and what was expected."""
    plain = _plain(data)
    content = in_millimetres(current(plain))
    try:
        build = msgspec.convert(content, Build)
    except msgspec.ValidationError as error:
        raise _build_error(content, str(error)) from None
    check_references(build)
    return build


def write_build(build: Build) -> bytes:
    """The bytes of a build file, in millimetres, points and other short lists on one line each."""
    plain = msgspec.to_builtins(build)
    _assert_finite(plain)
    return (_laid_out({VERSION_KEY: VERSION, **plain}, "") + "\n").encode()


def build_schema() -> dict[str, Any]:
    """JSON Schema of a build file."""
    schema = msgspec.json.schema(Build)
    whole = schema["$defs"]["Build"]
    version = {"const": VERSION, "description": "version of the file format"}
    whole["properties"] = {VERSION_KEY: version, **whole["properties"]}
    whole["required"] = [VERSION_KEY, *whole["required"]]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


# Reading


def _plain(data: bytes) -> dict[str, Any]:
    if len(data) > LARGEST_FILE:
        msg = ""
        raise BuildError(
            msg, MISSING, f"this file has {len(data)} bytes; a build file has at most {LARGEST_FILE}"
        )
    try:
        plain = json.loads(
            data.decode("utf-8-sig"), parse_constant=_refuse_constant, object_pairs_hook=_no_name_twice
        )
    except UnicodeDecodeError as error:
        expected = f"byte {error.start} is not UTF-8 text; expected a JSON build file"
        msg = ""
        raise BuildError(msg, MISSING, expected) from None
    except json.JSONDecodeError as error:
        expected = (
            f"line {error.lineno}, column {error.colno}: {error.msg.lower()}; expected a JSON build file"
        )
        msg = ""
        raise BuildError(msg, MISSING, expected) from None
    except RecursionError:
        msg = ""
        raise BuildError(msg, MISSING, "the data is nested too deeply for a build file") from None
    except ValueError as error:
        # A number of thousands of digits: the JSON reader refuses to convert it.
        if isinstance(error, BuildError):
            raise
        msg = ""
        raise BuildError(msg, MISSING, "it holds a number too long to be read") from None
    if not isinstance(plain, dict):
        msg = ""
        raise BuildError(msg, plain, "expected a JSON object, the content of a build file")
    return plain


def _refuse_constant(word: str) -> NoReturn:
    msg = ""
    raise BuildError(msg, word, "expected finite numbers only")


def _no_name_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    unique = dict(pairs)
    if len(unique) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise BuildError(twice, MISSING, "this field is given twice in the same place; expected it once")
    return unique


_PATH = re.compile(r"^(?P<expected>.*?) - at `(?P<where>(?:key in )?\$[^`]*)`$", re.DOTALL)
_FIELD = re.compile(r"`([^`]*)`")
_WORDS = {
    "Expected `float`": "expected a number",
    "Expected `int`": "expected a whole number",
    "Expected `str`": "expected text",
    "Expected `bool`": "expected true or false",
    "Expected `array`": "expected a list",
    "Expected `object`": "expected an object",
    "matching regex": "of letters, digits, . _ and - only, matching",
}


def _build_error(content: dict[str, Any], message: str) -> BuildError:
    """The error of the decoder with the value looked up and its words made plain."""
    match = _PATH.match(message)
    said, path = (match["expected"], match["where"]) if match else (message, "$")
    field = path.removeprefix("$").lstrip(".")
    missing = re.match(r"Object missing required field `([^`]*)`", said)
    if missing:
        whole = f"{field}.{missing[1]}".lstrip(".")
        return BuildError(whole, MISSING, "this field is missing; expected a value")
    unknown = re.match(r"Object contains unknown field `([^`]*)`", said)
    if unknown:
        whole = f"{field}.{unknown[1]}".lstrip(".")
        return BuildError(whole, MISSING, "a build file has no such field; expected only known fields")
    for theirs, ours in _WORDS.items():
        said = said.replace(theirs, ours)
    said = re.sub(r", got `[^`]*`", "", said)
    said = _FIELD.sub(r"\1", said)
    return BuildError(field, _value_at(content, field), said[:1].lower() + said[1:])


def _value_at(content: Any, field: str) -> Any:
    for name, number in re.findall(r"([^.\[\]]+)|\[(\d+)\]", field):
        try:
            content = content[int(number)] if number else content[name]
        except (KeyError, IndexError, TypeError):
            return MISSING
    return content


# Writing


def _assert_finite(plain: Any) -> None:
    if isinstance(plain, float):
        assert math.isfinite(plain), "a build holds finite numbers only"
    elif isinstance(plain, dict):
        for value in plain.values():
            _assert_finite(value)
    elif isinstance(plain, list | tuple):
        for value in plain:
            _assert_finite(value)


def _laid_out(plain: Any, indent: str) -> str:
    """JSON text with one field a line, and lists and objects of bare numbers kept on one line."""
    deeper = indent + "  "
    if isinstance(plain, dict) and plain:
        rows = [f"{deeper}{json.dumps(name)}: {_laid_out(value, deeper)}" for name, value in plain.items()]
        return "{\n" + ",\n".join(rows) + "\n" + indent + "}"
    if isinstance(plain, list | tuple) and plain and not all(isinstance(item, int | float) for item in plain):
        rows = [f"{deeper}{_laid_out(item, deeper)}" for item in plain]
        return "[\n" + ",\n".join(rows) + "\n" + indent + "]"
    return json.dumps(plain, ensure_ascii=False)
