"""The shop's file read and written: JSON with `"pegwright_shop": 1` first, lengths in millimetres."""

from __future__ import annotations

from typing import Any

from geometry.document.error import FileError
from geometry.document.references import check_limits
from geometry.document.strict import FileFormat, read_strict, write_plainly
from geometry.trade.shop import Shop

LARGEST_FILE = 1_000_000
"""No shop file has more bytes."""


def _without_neck(plain: dict[str, Any]) -> dict[str, Any]:
    """The depth of the neck belongs to the build now; shops that were written before hold it still."""
    cradle = plain.get("cradle")
    if not isinstance(cradle, dict):
        return plain
    return {**plain, "cradle": {name: value for name, value in cradle.items() if name != "neck_depth"}}


SHOP_FILE = FileFormat("shop file", "pegwright_shop", 1, LARGEST_FILE, {}, _without_neck)


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
            field = f"{listed}[{place}].name"
            raise FileError(
                field, name, f"expected a name of its own; {listed}[{first}] has this one already"
            )
