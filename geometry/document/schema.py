"""JSON Schema of a build file, for editors and for other programs that write one."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any

import msgspec
from msgspec.inspect import Metadata, StructType, Type, UnionType, VarTupleType

from geometry.document.build import Build
from geometry.document.codec import BUILD_FILE
from geometry.document.fields import described
from geometry.shape.point import Point, Vector
from geometry.trade.measures import LARGEST, LENGTH_MARK

_LENGTH = {"type": ["number", "string"]}


def build_schema() -> dict[str, Any]:
    """JSON Schema of a build file: every length, and both numbers of a place, may be text as well."""
    schema = msgspec.json.schema(Build)
    parts = schema["$defs"]
    for record in _records(described(Build)):
        name = record.cls.__name__
        parts[name] = _part(parts[name], record)
    whole = parts["Build"]
    version = {"const": BUILD_FILE.version, "description": "version of the file format"}
    whole["properties"] = {BUILD_FILE.key: version, **whole["properties"]}
    whole["required"] = [BUILD_FILE.key, *whole["required"]]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _records(kind: Type) -> Iterator[StructType]:
    """The records that data of this type can hold, itself included."""
    match kind:
        case Metadata(type=inner) | VarTupleType(item_type=inner):
            yield from _records(inner)
        case UnionType(types=types):
            for each in types:
                yield from _records(each)
        case StructType(fields=fields):
            yield kind
            for field in fields:
                yield from _records(field.type)


def _part(schema: dict[str, Any], record: StructType) -> dict[str, Any]:
    schema = {**schema, "description": inspect.cleandoc(schema["description"])}
    if record.cls in (Point, Vector):
        coordinate = {**_LENGTH, "minimum": -LARGEST, "maximum": LARGEST}
        return {**schema, "prefixItems": [coordinate, coordinate], "maxItems": 2}
    properties = dict(schema["properties"])
    for field in record.fields:
        if _is_length(field.type):
            properties[field.encode_name] = _or_text(properties[field.encode_name])
    return {**schema, "properties": properties}


def _is_length(kind: Type) -> bool:
    if isinstance(kind, UnionType):
        return any(_is_length(each) for each in kind.types)
    return isinstance(kind, Metadata) and bool(kind.extra and kind.extra.get(LENGTH_MARK))


def _or_text(schema: dict[str, Any]) -> dict[str, Any]:
    """The schema of a number, or of a number or nothing, with text allowed besides."""
    if "anyOf" in schema:
        return {**schema, "anyOf": [_or_text(each) for each in schema["anyOf"]]}
    return {**schema, **_LENGTH} if schema["type"] == "number" else schema
