"""A build file read and written: JSON with `"pegwright": 1` first, lengths in millimetres."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterator
from typing import Any

import msgspec

from geometry.document.build import Build
from geometry.document.error import MISSING, WHOLE, BuildError
from geometry.document.expected import expected_at, known_fields, steps
from geometry.document.in_millimetres import in_millimetres
from geometry.document.migrate import VERSION, VERSION_KEY, current
from geometry.document.references import check_references

LARGEST_FILE = 5_000_000
"""Bytes; a build file of a full twelve-string head is under 20 000."""


def read_build(data: bytes) -> Build:
    """The build in the bytes of a file; BuildError says what is wrong, where and what was expected."""
    content = current(_plain(data))
    try:
        build = msgspec.convert(in_millimetres(content), Build)
    except msgspec.ValidationError as error:
        raise _build_error(content, str(error)) from None
    check_references(build)
    return build


def write_build(build: Build) -> bytes:
    """The bytes of a build file, in millimetres, points and other short lists on one line each."""
    plain = msgspec.to_builtins(build)
    _assert_finite(plain)
    return (_laid_out({VERSION_KEY: VERSION, **plain}, "") + "\n").encode()


# Reading


def _plain(data: bytes) -> dict[str, Any]:
    doubled: list[tuple[dict[str, Any], str]] = []

    def record(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        fields = dict(pairs)
        if len(fields) < len(pairs):
            names = [name for name, _ in pairs]
            doubled.append((fields, next(name for name in fields if names.count(name) > 1)))
        return fields

    plain = _parsed(data, record)
    for fields, name in doubled[:1]:
        field = f"{_place_of(fields, plain)}.{name}".lstrip(".")
        raise BuildError(field, MISSING, "this field is given twice in the same place; expected it once")
    if not isinstance(plain, dict):
        raise BuildError(WHOLE, plain, "expected a JSON object, the content of a build file")
    if _HALF_ESCAPED.search(data):
        _refuse_half_characters(plain)
    return plain


def _parsed(data: bytes, record: Callable[[list[tuple[str, Any]]], dict[str, Any]]) -> Any:
    """The JSON of a file; NaN and infinities are let through, to be refused where their field is known."""
    try:
        return json.loads(_text(data), object_pairs_hook=record)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        said = error.msg.lower().removesuffix(" at").removesuffix(" starting")
        problem = f"{place}: {said}; expected a JSON build file"
    except RecursionError:
        problem = "the data is nested too deeply for a build file"
    except ValueError as error:
        if isinstance(error, BuildError):
            raise
        # A number of thousands of digits: the JSON reader refuses to convert it.
        problem = "it holds a number too long to be read"
    raise BuildError(WHOLE, MISSING, problem)


def _text(data: bytes) -> str:
    if len(data) > LARGEST_FILE:
        problem = f"this file has {len(data)} bytes; a build file has at most {LARGEST_FILE}"
    elif not data.strip():
        problem = "the file is empty; expected a JSON build file"
    else:
        try:
            return data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            problem = f"byte {error.start} is not UTF-8 text; expected a JSON build file"
    raise BuildError(WHOLE, MISSING, problem)


def _place_of(wanted: dict[str, Any], plain: Any) -> str:
    """The path of a record in plain data, empty for the whole."""
    return next((field for field, value in _within(plain) if value is wanted), WHOLE)


def _refuse_half_characters(plain: dict[str, Any]) -> None:
    """JSON escapes can spell half of a character, which no UTF-8 file can hold."""
    for field, value in _within(plain):
        if _HALF.search(field):
            raise BuildError(field, MISSING, "a build file has no such field")
        if isinstance(value, str) and _HALF.search(value):
            raise BuildError(field, value, "it holds half of a character; expected whole ones")


def _within(plain: Any) -> Iterator[tuple[str, Any]]:
    """Everything in plain data with its path; not recursive, because data may be nested as deep as it likes."""
    left = [(WHOLE, plain)]
    while left:
        field, value = left.pop()
        yield field, value
        if isinstance(value, dict):
            left += [(f"{field}.{name}".lstrip("."), each) for name, each in value.items()]
        elif isinstance(value, list):
            left += [(f"{field}[{place}]", each) for place, each in enumerate(value)]


_HALF = re.compile("[\ud800-\udfff]")
_HALF_ESCAPED = re.compile(rb"\\u[dD][89a-fA-F]")
_AT = re.compile(r" - at `\$(?P<field>[^`]*)`$")
_MISSING = re.compile(r"Object missing required field `([^`]*)`")
_UNKNOWN = re.compile(r"Object contains unknown field `(.*)`", re.DOTALL)


def _build_error(content: dict[str, Any], message: str) -> BuildError:
    """The error of the decoder with the value looked up, and what the types say was expected."""
    at = _AT.search(message)
    said, field = (message[: at.start()], at["field"].lstrip(".")) if at else (message, "")
    if missing := _MISSING.match(said):
        whole = f"{field}.{missing[1]}".lstrip(".")
        return BuildError(whole, MISSING, f"this field is missing; {expected_at(content, whole)}")
    if unknown := _UNKNOWN.match(said):
        whole = f"{field}.{unknown[1]}".lstrip(".")
        meant = known_fields(content, field, unknown[1])
        return BuildError(whole, MISSING, f"a build file has no such field here; {meant}")
    return BuildError(field, _value_at(content, field), expected_at(content, field))


def _value_at(content: Any, field: str) -> Any:
    for step in steps(field):
        content = content[step]
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
    if isinstance(plain, list | tuple) and plain:
        if all(isinstance(item, int | float) for item in plain):
            return f"[{', '.join(_laid_out(item, deeper) for item in plain)}]"
        rows = [f"{deeper}{_laid_out(item, deeper)}" for item in plain]
        return "[\n" + ",\n".join(rows) + "\n" + indent + "]"
    # A minus zero, as a mirrored place on the centre line has it, is written as 0.
    return json.dumps(plain or 0.0 if isinstance(plain, float) else plain, ensure_ascii=False)
