"""Which measures of a tuner the maker has typed, and which are typical of its kind.

A measure is named by its path in the record, such as "post_diameter", "seat.along" or "screws[0].outward".
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Set
from functools import lru_cache

import msgspec
from msgspec import UNSET
from msgspec.inspect import FloatType, Metadata, StructType, Type, UnionType, VarTupleType
from msgspec.structs import replace

from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.sentence import Translate, as_it_is

_NOT_OF_THE_TUNER = "tried"  # what felt right on scrap says something of a wood
_NUMBER = re.compile(r"\[(0|[1-9][0-9]?)\]")


def measures(hardware: Hardware) -> dict[str, float]:
    """Every measure that a tuner has, by its path, in the order of the record; what nobody knows is none."""
    return dict(_measures(hardware, ""))


def _measures(part: object, path: str) -> Iterator[tuple[str, float]]:
    if isinstance(part, float):
        yield path, part
    elif isinstance(part, tuple):
        for number, each in enumerate(part):
            yield from _measures(each, f"{path}[{number}]")
    elif isinstance(part, msgspec.Struct):
        for name in part.__struct_fields__:
            if name != _NOT_OF_THE_TUNER:
                yield from _measures(getattr(part, name), f"{path}.{name}".lstrip("."))


@lru_cache(maxsize=1)
def known_paths() -> tuple[str, ...]:
    """The path of every measure that a tuner can have, with "[]" for the number of a screw or pin."""
    return tuple(dict.fromkeys(_paths(msgspec.inspect.type_info(Hardware), "")))


def _paths(kind: Type, path: str) -> Iterator[str]:
    match kind:
        case FloatType():
            yield path
        case Metadata(type=inner):
            yield from _paths(inner, path)
        case UnionType(types=types):
            for each in types:
                yield from _paths(each, path)
        case VarTupleType(item_type=item):
            yield from _paths(item, f"{path}[]")
        case StructType(fields=parts):
            for part in parts:
                if part.name != _NOT_OF_THE_TUNER:
                    yield from _paths(part.type, f"{path}.{part.name}".lstrip("."))


def is_known(path: str) -> bool:
    """Whether a tuner can have a measure at this path, even if this one has not."""
    return "[]" not in path and _NUMBER.sub("[]", path) in known_paths()


def measured(hardware: Hardware) -> set[str]:
    """The paths of what the maker has typed.

    Of a tuner without a record of it, what differs from the class of the library that it is most like.
    """
    if hardware.measured is not UNSET:
        return set(hardware.measured)
    usual = measures(max(LIBRARY, key=lambda part: _alike(part, hardware)))
    return {path for path, value in measures(hardware).items() if value != usual.get(path)}


def _alike(one: Hardware, other: Hardware) -> int:
    """How many parts and measures of two tuners are the same."""
    return sum(getattr(one, name) == getattr(other, name) for name in Hardware.__struct_fields__)


def with_measured(hardware: Hardware, paths: Set[str]) -> Hardware:
    """The tuner with a record of what was typed, in the order of its measures; none of what it does not have."""
    kept = tuple(path for path in measures(hardware) if path in paths)
    return replace(hardware, measured=kept or UNSET)


def also_measured(hardware: Hardware, path: str) -> Hardware:
    """The tuner with one more measure on its record; as it is where nobody keeps one."""
    return hardware if hardware.measured is UNSET else with_measured(hardware, {*hardware.measured, path})


def without_fixing(paths: Iterable[str], fixings: str, place: int) -> set[str]:
    """The record after one of the `fixings` (such as "plate.screws") is taken away: those behind it move up."""
    kept = set()
    for path in paths:
        name, _, rest = path.partition("[")
        number = int(rest.partition("]")[0]) if name == fixings and rest else -1
        if number != place:
            kept.add(path.replace(f"[{number}]", f"[{number - 1}]") if number > place else path)
    return kept


def unmarked(hardware: Hardware) -> Hardware:
    """The tuner without a record of what was typed: two that are alike so are the same tuner."""
    return replace(hardware, measured=UNSET)


def say_typical(tuners: Iterable[Hardware], translate: Translate = as_it_is) -> str:
    """How many measures of the tuners are typical of their kind, as a sentence; empty where all are measured."""
    kinds = {each.key: each for each in tuners}.values()
    count = sum(len(measures(each).keys() - measured(each)) for each in kinds)
    if count and not any(measured(each) for each in kinds):
        return translate("All tuner measures are typical: measure yours.")
    if count == 1:
        return translate("1 measure of the tuners is typical: measure yours.")
    return translate("{0} measures of the tuners are typical: measure yours.").format(count) if count else ""
