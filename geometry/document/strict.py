"""Files of ours read strictly and written plainly: JSON whose first key is the version, lengths in millimetres.

Nothing is guessed and nothing passed over: a field that is not known, a name given twice, NaN, half a character or a
newer version is refused with the field, the value and what was expected.
"""

from __future__ import annotations

import json
import math
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeVar

import msgspec
from msgspec import Struct

from geometry.document.error import MISSING, WHOLE, FileError, refuse_field
from geometry.document.fields import expected_at, in_millimetres, known_fields, steps

Content = TypeVar("Content", bound=Struct)
Step = Callable[[dict[str, Any]], dict[str, Any]]


class FileFormat(Struct, frozen=True):
    """A kind of file: what it is called, the key and number of its version, and how many bytes it may have.

    `steps` holds the step from the plain data of version n to that of n + 1, by n; `tidied` takes out of the newest
    what older files of the same version hold besides.
    """

    what: str
    key: str
    version: int
    largest: int
    steps: Mapping[int, Step]
    tidied: Step = dict


def read_strict(kind: type[Content], data: bytes, form: FileFormat) -> Content:
    """What the bytes of a file hold; FileError says what is wrong, where and what was expected."""
    content = current(_plain(data, form), form)
    try:
        return msgspec.convert(in_millimetres(content, kind), kind)
    except msgspec.ValidationError as error:
        raise _in_words(content, str(error), form, kind) from None


def current(plain: dict[str, Any], form: FileFormat) -> dict[str, Any]:
    """The plain data of a file as this program's version has it, without the version key.

    Raises FileError when the version is missing, not a whole number, unknown or newer than this program.
    """
    version = plain.get(form.key, MISSING)
    if version is MISSING:
        expected = f'this is not a {form.what}; its first line should say "{form.key}": {form.version}'
        raise FileError(form.key, MISSING, expected)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise FileError(form.key, version, f"expected the version of the file, such as {form.version}")
    if version > form.version:
        expected = f"this program reads versions up to {form.version}; a newer Pegwright wrote this file"
        raise FileError(form.key, version, expected)
    content = {name: value for name, value in plain.items() if name != form.key}
    for step in range(version, form.version):
        content = form.steps[step](content)
    return form.tidied(content)


def write_plainly(content: Struct, form: FileFormat) -> bytes:
    """The bytes of a file, in millimetres, points and other short lists on one line each."""
    plain = {form.key: form.version, **msgspec.to_builtins(content)}
    return (_laid_out(plain, "") + "\n").encode()


# Reading


def _plain(data: bytes, form: FileFormat) -> dict[str, Any]:
    doubled: list[tuple[dict[str, Any], str]] = []

    def record(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        fields = dict(pairs)
        if len(fields) < len(pairs):
            times = Counter(name for name, _ in pairs)
            doubled.append((fields, next(name for name in fields if times[name] > 1)))
        return fields

    plain = _parsed(data, form, record)
    for fields, name in doubled[:1]:
        place = next((field for field, value in _within(plain) if value is fields), WHOLE)
        expected = "this field is given twice in the same place; expected it once"
        refuse_field(f"{place}.{name}".lstrip("."), MISSING, expected)
    if not isinstance(plain, dict):
        refuse_field(WHOLE, plain, f"expected a JSON object, the content of a {form.what}")
    if _HALF_ESCAPED.search(data):
        _refuse_half_characters(plain, form)
    return plain


def _parsed(data: bytes, form: FileFormat, record: Callable[[list[tuple[str, Any]]], dict[str, Any]]) -> Any:
    """The JSON of a file; NaN and infinities are let through, to be refused where their field is known."""
    try:
        return json.loads(_text(data, form), object_pairs_hook=record)
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        said = error.msg.lower().removesuffix(" at").removesuffix(" starting").replace("expecting", "no")
        problem = f"{place}: {said}; expected a JSON {form.what}"
    except RecursionError:
        problem = f"the data is nested too deeply for a {form.what}"
    except ValueError as error:
        if isinstance(error, FileError):
            raise
        # A number of thousands of digits: the JSON reader refuses to convert it.
        problem = "it holds a number too long to be read"
    raise FileError(WHOLE, MISSING, problem)


def _text(data: bytes, form: FileFormat) -> str:
    if len(data) > form.largest:
        problem = f"this file has {len(data)} bytes; a {form.what} has at most {form.largest}"
    elif not data.strip():
        problem = f"the file is empty; expected a JSON {form.what}"
    else:
        try:
            return data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            problem = f"byte {error.start} is not UTF-8 text; expected a JSON {form.what}"
    raise FileError(WHOLE, MISSING, problem)


def _refuse_half_characters(plain: dict[str, Any], form: FileFormat) -> None:
    """JSON escapes can spell half of a character, which no UTF-8 file can hold."""
    for field, value in _within(plain):
        if _HALF.search(field):
            raise FileError(field, MISSING, f"a {form.what} has no such field")
        if isinstance(value, str) and _HALF.search(value):
            raise FileError(field, value, "it holds half of a character; expected whole ones")


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


def _in_words(content: dict[str, Any], message: str, form: FileFormat, kind: type[Struct]) -> FileError:
    """The error of the decoder with the value looked up, and what the types say was expected."""
    at = _AT.search(message)
    said, field = (message[: at.start()], at["field"].lstrip(".")) if at else (message, "")
    if missing := _MISSING.match(said):
        whole = f"{field}.{missing[1]}".lstrip(".")
        return FileError(whole, MISSING, f"this field is missing; {expected_at(content, whole, kind)}")
    if unknown := _UNKNOWN.match(said):
        whole = f"{field}.{unknown[1]}".lstrip(".")
        meant = known_fields(content, field, unknown[1], kind)
        return FileError(whole, MISSING, f"a {form.what} has no such field here; {meant}")
    return FileError(field, _value_at(content, field), expected_at(content, field, kind))


def _value_at(content: Any, field: str) -> Any:
    for step in steps(field):
        content = content[step]
    return content


# Writing


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
    assert not isinstance(plain, float) or math.isfinite(plain), "a file holds finite numbers only"
    # A minus zero, as a mirrored place on the centre line has it, is written as 0.
    return json.dumps(plain or 0.0 if isinstance(plain, float) else plain, ensure_ascii=False)
