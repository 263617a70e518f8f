"""Build files and shop files read and written: JSON whose first key is the version, lengths in millimetres."""

from __future__ import annotations

from typing import Any

from geometry.document.build import Build
from geometry.document.error import refuse_field
from geometry.document.references import check_limits, check_references
from geometry.document.strict import FileFormat, Step, read_strict, write_plainly
from geometry.trade.shop import Shop

LARGEST_FILE = 5_000_000
"""Bytes; a build file of a full twelve-string head is under 20 000."""

STEPS: dict[int, Step] = {}
"""The step from version n to n + 1, by n."""

BUILD_FILE = FileFormat("build file", "pegwright", 1, LARGEST_FILE, STEPS)


def read_build(data: bytes) -> Build:
    """The build in the bytes of a file; FileError says what is wrong, where and what was expected."""
    build = read_strict(Build, data, BUILD_FILE)
    check_references(build)
    return build


def write_build(build: Build) -> bytes:
    """The bytes of a build file."""
    return write_plainly(build, BUILD_FILE)


LARGEST_SHOP = 1_000_000
"""No shop file has more bytes."""


def _without_neck(plain: dict[str, Any]) -> dict[str, Any]:
    """The depth of the neck belongs to the build now; shops that were written before hold it still."""
    cradle = plain.get("cradle")
    if not isinstance(cradle, dict):
        return plain
    return {**plain, "cradle": {name: value for name, value in cradle.items() if name != "neck_depth"}}


SHOP_FILE = FileFormat("shop file", "pegwright_shop", 1, LARGEST_SHOP, {}, _without_neck)


def read_shop(data: bytes) -> Shop:
    """The shop in the bytes of a file; FileError says what is wrong, where and what was expected."""
    shop = read_strict(Shop, data, SHOP_FILE)
    _check_names("printers", [printer.name for printer in shop.printers])
    _check_names("woods", [wood.name.strip().casefold() for wood in shop.woods])
    check_limits(shop.limits)
    return shop


def write_shop(shop: Shop) -> bytes:
    """The bytes of a file that reads back as this shop."""
    written = write_plainly(shop, SHOP_FILE)
    assert read_shop(written) == shop, "a shop holds only what a file can say"
    return written


def _check_names(listed: str, names: list[str]) -> None:
    for place, name in enumerate(names):
        first = names.index(name)
        if first < place:
            expected = f"expected a name of its own; {listed}[{first}] has this one already"
            refuse_field(f"{listed}[{place}].name", name, expected)
