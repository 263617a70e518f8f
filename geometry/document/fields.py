"""What the fields of a file hold: lengths as text ("1 3/4 in") made millimetres, and what was expected, in words.

Which fields are lengths, and which names, is read off the annotations of the types; text in any other field is left
alone. Numbers that are not finite are refused here, because the types alone would let NaN through. In a name a
character that moves the cursor, begins a line or steers a terminal is read as a space: nothing that is said of a part
can look like something else.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Any

import msgspec
from msgspec.inspect import LiteralType, Metadata, StructType, Type, UnionType, VarTupleType

from geometry.document.error import FileError, meant
from geometry.document.lengths import EXAMPLES, EXPECTED, LengthError, read_length
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST, LENGTH_MARK, ONE_LINE, PITCH_PATTERN

STEERING = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
"""Control characters, separators of lines and paragraphs, and marks that turn the direction of writing."""

_EXPECTED_PLACE = f"expected a place [x, y], both of them lengths from -{LARGEST:g} to {LARGEST:g} mm"


def in_millimetres(plain: Any, kind: type[msgspec.Struct]) -> Any:
    """A copy of the plain data of a file with every length as a number; FileError where text is no length."""
    return _convert(plain, described(kind), "")


@lru_cache(maxsize=2)
def described(kind: type[msgspec.Struct]) -> Type:
    """The fields of a file and of all its parts, as msgspec reads them off the annotations of their types."""
    return msgspec.inspect.type_info(kind)


def _convert(plain: Any, kind: Type, field: str) -> Any:
    if isinstance(plain, float) and not math.isfinite(plain):
        raise FileError(field, plain, "expected a finite number")
    match kind:
        case Metadata(type=inner, extra=extra):
            if extra and extra.get(LENGTH_MARK) and isinstance(plain, str):
                return _length(plain, field)
            if extra and extra.get(ONE_LINE) and isinstance(plain, str):
                return STEERING.sub(" ", plain)
            return _convert(plain, inner, field)
        case UnionType(types=types):
            return _convert_union(plain, types, field)
        case StructType(cls=cls) if cls in (Point, Vector):
            return _place(plain, field)
        case StructType(fields=fields) if isinstance(plain, dict):
            kinds = {each.encode_name: each.type for each in fields}
            return {
                name: _convert(value, kinds[name], f"{field}.{name}".lstrip(".")) if name in kinds else value
                for name, value in plain.items()
            }
        case VarTupleType(item_type=item) if isinstance(plain, list):
            return [_convert(value, item, f"{field}[{place}]") for place, value in enumerate(plain)]
    return plain


def _convert_union(plain: Any, kinds: tuple[Type, ...], field: str) -> Any:
    """The conversion that fits: by tag for records, else that of the one kind that text can be."""
    for kind in kinds:
        if isinstance(kind, StructType) and isinstance(plain, dict):
            if kind.tag_field is None or plain.get(kind.tag_field) == kind.tag:
                return _convert(plain, kind, field)
        elif isinstance(kind, Metadata) and isinstance(plain, str):
            return _convert(plain, kind, field)
    return plain


def _length(text: str, field: str) -> float:
    try:
        return read_length(text, negative=True)
    except LengthError as error:
        raise FileError(field, text, f"{error.reason}; {EXPECTED}") from None


def _place(plain: Any, field: str) -> Any:
    if not isinstance(plain, list) or len(plain) != 2:
        raise FileError(field, plain, _EXPECTED_PLACE)
    numbers = [_length(part, field) if isinstance(part, str) else part for part in plain]
    for number in numbers:
        if isinstance(number, bool) or not isinstance(number, int | float) or not abs(number) <= LARGEST:
            raise FileError(field, number, _EXPECTED_PLACE)
    return numbers


# What was expected, in words


_LENGTHS = (
    (44.5, EXAMPLES),
    (0.25, '0.254, "0.254 mm" or "0.010 in"'),
    (648.0, '648, "648 mm" or "25 1/2 in"'),
    (6.35, '6.35, "6.35 mm" or "1/4 in"'),
    (1.6, '1.6, "1.6 mm" or "1/16 in"'),
)
"""Examples of lengths in words, each with a number of mm like it: the first that a field takes is shown."""

_SIMPLE: dict[type[Type], str] = {
    msgspec.inspect.FloatType: "a number",
    msgspec.inspect.IntType: "a whole number",
    msgspec.inspect.StrType: "text",
    msgspec.inspect.BoolType: "true or false",
    msgspec.inspect.NoneType: "null",
    StructType: "an object with named fields",
}


def expected_at(content: Any, field: str, whole: type[msgspec.Struct]) -> str:
    """What was expected at a path such as `rows[0].rule.pitch` of the plain data of a file, "expected ..."."""
    kind, rest = _followed(content, field, whole)
    if rest and isinstance(kind, UnionType):
        # Only the name that tells the records of a union apart is not among the fields of a record.
        return f"expected {_one_of([str(each.tag) for each in _records(kind)])}"
    return f"expected {_words(kind)}"


def known_fields(content: Any, field: str, unknown: str, whole: type[msgspec.Struct]) -> str:
    """What to say of an unknown field of the record at a path: the one it may stand for, or all there are."""
    kind, _ = _followed(content, field, whole)
    assert isinstance(kind, StructType), "only records have fields"
    names = [each.encode_name for each in kind.fields]
    if kind.tag_field:
        names.insert(0, kind.tag_field)
    return meant(unknown, names, f"expected only {', '.join(names)}")


def steps(field: str) -> list[str | int]:
    """The names and places in lists that a path goes through."""
    found = re.findall(r"([^.\[\]]+)|\[(\d+)\]", field)
    return [int(number) if number else name for name, number in found]


def _followed(content: Any, field: str, whole: type[msgspec.Struct]) -> tuple[Type, bool]:
    """The type at the end of a path, and whether the last step could not be taken."""
    kind = _chosen(described(whole), content)
    for step in steps(field):
        following = _after(kind, step)
        if following is None:
            return kind, True
        content = _entered(content, step)
        kind = _chosen(following, content)
    return kind, False


def _after(kind: Type, step: str | int) -> Type | None:
    if isinstance(kind, StructType):
        return next((each.type for each in kind.fields if each.encode_name == step), None)
    return kind.item_type if isinstance(kind, VarTupleType) else None


def _entered(content: Any, step: str | int) -> Any:
    if isinstance(content, dict):
        return content.get(step)
    return content[step] if isinstance(content, list) and isinstance(step, int) else None


def _chosen(kind: Type, content: Any) -> Type:
    """The record of a union that the content is meant to be; any other type as it is."""
    if isinstance(kind, UnionType) and isinstance(content, dict):
        fitting = (
            each for each in _records(kind) if not each.tag_field or content.get(each.tag_field) == each.tag
        )
        return next(fitting, kind)
    return kind


def _records(kind: UnionType) -> list[StructType]:
    return [each for each in kind.types if isinstance(each, StructType)]


def _words(kind: Type) -> str:
    match kind:
        case Metadata(type=inner, extra=extra, extra_json_schema=more):
            length = bool(extra and extra.get(LENGTH_MARK))
            words = _length_words(inner) if length else _words(inner)
            return f"{words} ({more['description']})" if more and "description" in more else words
        case UnionType(types=types):
            # "null" comes first, before what needs many words.
            return " or ".join(
                sorted({_words(each) for each in types}, key=lambda words: (len(words), words))
            )
        case VarTupleType(min_length=least, max_length=most):
            if most is None:
                return f"a list of at least {least}" if least else "a list"
            return f"a list of {least or 0} to {most}"
        case LiteralType(values=values):
            return _one_of([str(value) for value in values])
        case msgspec.inspect.IntType(ge=least, le=most) if most is not None:
            return f"a whole number from {least} to {most}"
        case msgspec.inspect.FloatType(ge=least, le=most) if most is not None:
            return f"a number from {least:g} to {most:g}"
        case msgspec.inspect.StrType(pattern=pattern) if pattern == PITCH_PATTERN:
            return "a pitch such as E4, F#3 or Bb2"
        case msgspec.inspect.StrType(pattern=pattern, min_length=least, max_length=most) if most is not None:
            how_many = f"1 to {most}" if least else f"at most {most}"
            what = "letters, digits, dots, hyphens or underscores" if pattern else "characters"
            return f"text of {how_many} {what}"
    return _SIMPLE[type(kind)]


def _length_words(kind: Type) -> str:
    assert isinstance(kind, msgspec.inspect.FloatType), "a length is a number inside"
    assert kind.ge is not None, "a length has a least value"
    assert kind.le is not None, "and a largest one"
    examples = next(words for value, words in _LENGTHS if kind.ge <= value <= kind.le)
    return f"a length from {kind.ge:g} to {kind.le:g} mm, such as {examples}"


def _one_of(values: list[str]) -> str:
    return ("one of " if len(values) > 1 else "") + ", ".join(f'"{value}"' for value in sorted(values))
