"""What belongs to the maker and not to one build: drills, nut files, cutters, printers, paper, units.

Kept as one JSON file whose first key is the version, `"pegwright_shop": 1`. Lengths in it are numbers of mm.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Literal, get_args

import msgspec
from msgspec import Meta

from geometry.trade.cradle_sizes import SIZE_WORDS, CradleSizes
from geometry.trade.drills import Drill, Series, own_drill, series_drills
from geometry.trade.fits import FIT_WORDS, StoredFit
from geometry.trade.limits import RULE_NAMES, ChangedLimit
from geometry.trade.measures import LEAST
from geometry.trade.own_wood import OWN_WOOD_WORDS, OwnWood
from geometry.trade.units import Units
from geometry.trade.wood import Wood

VERSION = 1
"""The version that this program writes, and the newest that it reads."""

LARGEST_FILE = 1_000_000
"""No shop file has more bytes."""

PaperName = Literal["A5", "A4", "A3", "A2", "A1", "Letter", "Legal", "Tabloid"]
BitKind = Literal["twist", "brad point", "Forstner", "piloted counterbore"]
"""What a maker bores with; it decides in which order a bore is made."""

Name = Annotated[str, Meta(min_length=1, max_length=60)]
Diameter = Annotated[float, Meta(ge=LEAST, le=100)]
Press = Annotated[float, Meta(ge=LEAST, le=2000)]
Kerf = Annotated[float, Meta(ge=0, le=10)]
Clearance = Annotated[float, Meta(ge=0, le=1)]
Wall = Annotated[float, Meta(ge=0.4, le=10)]
BuildUp = Annotated[float, Meta(ge=0, le=1)]
Factor = Annotated[float, Meta(ge=0.95, le=1.05)]

_VERSION_KEY = "pegwright_shop"
_WHOLE = "the file"
_DIAMETER_WORDS = f"a number of mm from {LEAST:g} to 100"
_FACTOR_WORDS = "a number from 0.95 to 1.05"
_EXPECTED = {
    "drill_sets": f"a list with any of {', '.join(get_args(Series))}",
    "extra_drills": f"a list of diameters, each {_DIAMETER_WORDS}",
    "nut_files": f"a list of widths, each {_DIAMETER_WORDS}",
    "cutters": f"a list of diameters, each {_DIAMETER_WORDS}",
    "printers": "a list of at least one printer, each with a name, factor_x and factor_y",
    "name": "a text of 1 to 60 characters that no other of the list has",
    "factor_x": _FACTOR_WORDS,
    "factor_y": _FACTOR_WORDS,
    "paper": f"one of {', '.join(get_args(PaperName))}",
    "units": "mm or inch",
    "press_throat": "a number of mm above 0, 2000 at most, or null when it is not known",
    "press_table": "a number of mm above 0, 2000 at most, or null when it is not known",
    "kerf": "a number of mm from 0 to 10",
    "guide_bushing": f"{_DIAMETER_WORDS}, or null when there is none",
    "bed_width": "a number of mm above 0, 2000 at most",
    "bed_depth": "a number of mm above 0, 2000 at most",
    "print_clearance": "a number of mm from 0 to 1",
    "print_wall": "a number of mm from 0.4 to 10",
    "limits": "a list of limits, each with rule, level (watch or stop) and least, a number",
    "cradle": f"an object with any of {', '.join(SIZE_WORDS)}",
    "bit": f"one of {', '.join(get_args(BitKind))}",
    "finish_build_up": "a number of mm from 0 to 1",
    "woods": "a list of woods, each with a name and specific_gravity",
    "fits": f"a list of fits, each with {', '.join(FIT_WORDS)}",
    **SIZE_WORDS,
    **OWN_WOOD_WORDS,
    **FIT_WORDS,
    _VERSION_KEY: f"the version of the file, a whole number from 1 to {VERSION}",
}


class ShopError(ValueError):
    """A shop that cannot be read: the field, its value (or the word for it), and what was expected there."""

    def __init__(self, field: str, value: object, expected: str, *, word: str = "") -> None:
        self.field = field
        self.value = value
        self.expected = expected
        super().__init__(f"shop: {field} is {word or _short(value)}; expected {expected}")


class PrinterProfile(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, gc=False):
    """A printer and the factors (wanted length / measured length) that make its lengths true."""

    name: Name
    factor_x: Factor = 1.0
    factor_y: Factor = 1.0


class Shop(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A maker's tools and habits. Lengths in mm.

    `extra_drills` are diameters outside the series, such as reamers, `cutters` those of router bits,
    `nut_files` are slot widths, `guide_bushing` is the outside diameter of the router bushing,
    `kerf` the width that a saw or laser takes away, `press_throat` the distance from the axis of the drill press's
    spindle to its column, `press_table` the length of its table from left to right, None where nobody has measured
    them. `bed_width` and `bed_depth` are what a plastic printer can print on, `print_clearance` what it must leave
    between two parts that are to go together, `print_wall` the least wall that holds. `limits` are those that new
    builds begin with, `cradle` the sizes of what holds a head under the drill. `bit` is what bores are made with
    where they are not too wide for it, `woods` are those that the table lacks, `fits` the bores that felt right.
    `finish_build_up` is by how much finish makes a bore of new builds narrower.
    """

    units: Units = "mm"
    paper: PaperName = "A4"
    drill_sets: tuple[Series, ...] = ("metric", "fraction")
    extra_drills: tuple[Diameter, ...] = ()
    nut_files: tuple[Diameter, ...] = ()
    cutters: tuple[Diameter, ...] = (6.35,)  # a quarter inch: workshop practice, no source
    printers: Annotated[tuple[PrinterProfile, ...], Meta(min_length=1)] = (
        PrinterProfile(name="not corrected"),
    )
    kerf: Kerf = 0.0
    guide_bushing: Diameter | None = None
    press_throat: Press | None = None
    press_table: Press | None = None
    # Of a printer that lays plastic in layers: common practice, no source.
    bed_width: Press = 220.0
    bed_depth: Press = 220.0
    print_clearance: Clearance = 0.2
    print_wall: Wall = 2.0
    limits: Annotated[tuple[ChangedLimit, ...], Meta(max_length=200)] = ()
    cradle: CradleSizes = CradleSizes()
    bit: BitKind = "brad point"
    finish_build_up: BuildUp = 0.0
    woods: Annotated[tuple[OwnWood, ...], Meta(max_length=200)] = ()
    fits: Annotated[tuple[StoredFit, ...], Meta(max_length=1000)] = ()

    @property
    def drills(self) -> tuple[Drill, ...]:
        """All drills of the shop, rising; of equal ones those of the set named first come first."""
        in_sets = [drill for series in dict.fromkeys(self.drill_sets) for drill in series_drills(series)]
        own = [own_drill(diameter) for diameter in self.extra_drills]
        return tuple(sorted(in_sets + own, key=lambda drill: drill.diameter))

    @property
    def own_woods(self) -> tuple[Wood, ...]:
        """The woods that the maker added, every gap guessed."""
        return tuple(wood.wood for wood in self.woods)


_KINDS: dict[str, type[msgspec.Struct]] = {
    "": Shop,
    "printers": PrinterProfile,
    "limits": ChangedLimit,
    "cradle": CradleSizes,
    "woods": OwnWood,
    "fits": StoredFit,
}


def default_shop() -> Shop:
    """The shop of someone who has not said anything yet."""
    return Shop()


def read_shop(source: bytes | Path) -> Shop:
    """The shop in the bytes of a file, or in the file at a path.

    Raises ShopError, also for a file that cannot be opened.
    """
    raw = _decoded(_contents(source) if isinstance(source, Path) else source)
    _refuse_version(raw)
    fields = {name: value for name, value in raw.items() if name != _VERSION_KEY}
    if isinstance(cradle := fields.get("cradle"), dict):
        # It belongs to the build now; shops that were written before hold it still.
        cradle.pop("neck_depth", None)
    try:
        shop = msgspec.convert(fields, Shop)
    except msgspec.ValidationError as error:
        raise _in_words(str(error), fields) from None
    _refuse_same_names(shop)
    _refuse_unknown_limits(shop)
    return shop


def write_shop(shop: Shop) -> bytes:
    """The bytes of a file that reads back as this shop."""
    fields = {_VERSION_KEY: VERSION, **msgspec.to_builtins(shop)}
    written = msgspec.json.format(msgspec.json.encode(fields), indent=2) + b"\n"
    assert read_shop(written) == shop, "a shop holds only what a file can say"
    return written


def _contents(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            return file.read(LARGEST_FILE + 1)
    except OSError as error:
        raise ShopError(_WHOLE, str(path), f"a file that can be read ({error.strerror})") from None


def _decoded(contents: bytes) -> dict[str, object]:
    """The fields by name, still unchecked; raises ShopError."""
    if len(contents) > LARGEST_FILE:
        raise ShopError(_WHOLE, None, f"{LARGEST_FILE} bytes at most", word="too long")
    try:
        raw = msgspec.json.decode(contents)
    except (msgspec.DecodeError, UnicodeDecodeError, RecursionError) as error:
        raise ShopError(_WHOLE, None, f"a shop file ({error})", word="not JSON") from None
    if not isinstance(raw, dict):
        raise ShopError(_WHOLE, raw, f'a JSON object that begins with "{_VERSION_KEY}"')
    return raw


def _refuse_version(raw: dict[str, object]) -> None:
    if _VERSION_KEY not in raw:
        raise ShopError(_VERSION_KEY, None, _EXPECTED[_VERSION_KEY], word="missing")
    version = raw[_VERSION_KEY]
    if isinstance(version, int) and version > VERSION:
        raise ShopError(_VERSION_KEY, version, f"{VERSION} or less: a newer Pegwright wrote this file")
    if version != VERSION or not isinstance(version, int) or isinstance(version, bool):
        raise ShopError(_VERSION_KEY, version, _EXPECTED[_VERSION_KEY])


def _refuse_same_names(shop: Shop) -> None:
    named = {
        "printers": [printer.name for printer in shop.printers],
        "woods": [wood.name.strip().casefold() for wood in shop.woods],
    }
    for listed, names in named.items():
        for place, name in enumerate(names):
            if name in names[:place]:
                field = f"{listed}[{place}].name"
                raise ShopError(field, name, _EXPECTED["name"])


def _refuse_unknown_limits(shop: Shop) -> None:
    for change in shop.limits:
        if change.rule not in RULE_NAMES:
            known, field = ", ".join(sorted(RULE_NAMES)), "limits"
            raise ShopError(field, change.rule, f"names of limits, each one of {known}")


def _in_words(message: str, fields: dict[str, object]) -> ShopError:
    """What msgspec says about a field, as an error in the words of the trade."""
    problem, _, path = message.rpartition(" - at `$.") if " - at `$." in message else (message, "", "")
    path = path.removesuffix("`")
    if name := re.search(r"unknown field `(.*)`", problem, re.DOTALL):
        known = _KINDS[re.split(r"[.\[]", path)[0]].__struct_fields__
        place = f"{path}.{name[1]}" if path else name[1]
        return ShopError(_short(place), None, f"one of {', '.join(known)}", word="not a field")
    if missing := re.search(r"missing required field `(.*)`", problem):
        expected = _EXPECTED.get(missing[1], _EXPECTED[re.split(r"[.\[]", path)[0]])
        return ShopError(f"{path}.{missing[1]}", None, expected, word="missing")
    steps = re.findall(r"[a-z_]+|[0-9]+", path)
    word = next(step for step in reversed(steps) if step in _EXPECTED)
    return ShopError(path, _value_at(steps, fields), _EXPECTED[word])


def _value_at(steps: list[str], fields: dict[str, object]) -> object:
    """What stands in the file at the end of these names and places."""
    value: object = fields
    for step in steps:
        if isinstance(value, list):
            value = value[int(step)]
        elif isinstance(value, dict):
            value = value[step]
    return value


def _short(value: object) -> str:
    """The value in a few characters and on one line."""
    match value:
        case list():
            return f"a list of {len(value)}"
        case dict():
            return "an object"
        case None:
            return "null"
    text = repr(value)
    return text if len(text) <= 60 else f"{text[:60]}..."
