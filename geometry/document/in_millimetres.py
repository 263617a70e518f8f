"""Lengths of a file that are written as text ("1 3/4 in") made millimetres, before the data is given its types.

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

from geometry.document.error import FileError
from geometry.document.lengths import EXPECTED, LengthError, read_length
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST, LENGTH_MARK, ONE_LINE

STEERING = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
"""Control characters, separators of lines and paragraphs, and marks that turn the direction of writing."""

_EXPECTED_PLACE = f"expected a place [x, y], both of them lengths from -{LARGEST:g} to {LARGEST:g} mm"


def in_millimetres(plain: Any, kind: type[msgspec.Struct]) -> Any:
    """A copy of the plain data of a file with every length as a number; FileError where text is no length."""
    return _convert(plain, described(kind), "")


@lru_cache(maxsize=2)
def described(kind: type[msgspec.Struct]) -> msgspec.inspect.Type:
    """The fields of a file and of all its parts, as msgspec reads them off the annotations of their types."""
    return msgspec.inspect.type_info(kind)


def _convert(plain: Any, kind: msgspec.inspect.Type, field: str) -> Any:
    if isinstance(plain, float) and not math.isfinite(plain):
        raise FileError(field, plain, "expected a finite number")
    match kind:
        case msgspec.inspect.Metadata(type=inner, extra=extra):
            if extra and extra.get(LENGTH_MARK) and isinstance(plain, str):
                return _length(plain, field)
            if extra and extra.get(ONE_LINE) and isinstance(plain, str):
                return STEERING.sub(" ", plain)
            return _convert(plain, inner, field)
        case msgspec.inspect.UnionType(types=types):
            return _convert_union(plain, types, field)
        case msgspec.inspect.StructType(cls=cls) if cls in (Point, Vector):
            return _place(plain, field)
        case msgspec.inspect.StructType(fields=fields) if isinstance(plain, dict):
            kinds = {each.encode_name: each.type for each in fields}
            return {
                name: _convert(value, kinds[name], f"{field}.{name}".lstrip(".")) if name in kinds else value
                for name, value in plain.items()
            }
        case msgspec.inspect.VarTupleType(item_type=item) if isinstance(plain, list):
            return [_convert(value, item, f"{field}[{place}]") for place, value in enumerate(plain)]
    return plain


def _convert_union(plain: Any, kinds: tuple[msgspec.inspect.Type, ...], field: str) -> Any:
    """The conversion that fits: by tag for records, else that of the one kind that text can be."""
    for kind in kinds:
        if isinstance(kind, msgspec.inspect.StructType) and isinstance(plain, dict):
            if kind.tag_field is None or plain.get(kind.tag_field) == kind.tag:
                return _convert(plain, kind, field)
        elif isinstance(kind, msgspec.inspect.Metadata) and isinstance(plain, str):
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
