"""Which numbers a field of the build takes, read from the types of the build file."""

from __future__ import annotations

from functools import lru_cache

import msgspec
from msgspec import inspect

from app.widgets.number_field import ANY, Range


@lru_cache(maxsize=256)
def range_of(record: type[msgspec.Struct], field: str) -> Range:
    """The range of a number in a record, so that whatever is typed can be saved and read again."""
    described = inspect.type_info(record)
    assert isinstance(described, inspect.StructType), "a record"
    return _range(next(each.type for each in described.fields if each.name == field))


def _range(described: inspect.Type) -> Range:
    match described:
        case inspect.Metadata(type=inner):
            return _range(inner)
        case inspect.UnionType(types=kinds):
            return next(found for found in map(_range, kinds) if found != ANY)
        case inspect.FloatType(gt=over, ge=least, le=most):
            low = over if over is not None else least
            return Range(
                least=ANY.least if low is None else float(low),
                most=ANY.most if most is None else float(most),
                above=over is not None,
            )
    return ANY


@lru_cache(maxsize=64)
def most_of(record: type[msgspec.Struct], field: str) -> int:
    """How many parts a list of a record takes."""
    described = inspect.type_info(record)
    assert isinstance(described, inspect.StructType), "a record"
    kind = next(each.type for each in described.fields if each.name == field)
    assert isinstance(kind, inspect.VarTupleType), "a list of parts"
    assert kind.max_length is not None, "lists of a build file are bounded"
    return kind.max_length
