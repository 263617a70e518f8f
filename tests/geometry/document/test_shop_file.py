"""The shop's file: what is written reads back, what is wrong is refused by name."""

from __future__ import annotations

import json
import random
from contextlib import suppress
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.codec import read_shop, write_shop
from geometry.document.error import MISSING, FileError
from geometry.trade.drills import Series
from geometry.trade.shop import (
    BitKind,
    CradleSizes,
    OwnWood,
    PaperName,
    PrinterProfile,
    Shop,
    StoredFit,
    default_shop,
)

diameters = st.lists(st.floats(0.1, 100), max_size=5).map(tuple)
names = st.text(min_size=1, max_size=60).filter(lambda name: name.isprintable())
shops = st.builds(
    Shop,
    units=st.sampled_from(("mm", "inch")),
    paper=st.sampled_from(get_args(PaperName)),
    drill_sets=st.lists(st.sampled_from(get_args(Series)), max_size=4).map(tuple),
    extra_drills=diameters,
    nut_files=diameters,
    cutters=diameters,
    printers=st.lists(
        st.builds(PrinterProfile, name=names, factor_x=st.floats(0.95, 1.05), factor_y=st.floats(0.95, 1.05)),
        min_size=1,
        max_size=3,
        unique_by=lambda printer: printer.name,
    ).map(tuple),
    kerf=st.floats(0, 10),
    guide_bushing=st.none() | st.floats(0.1, 100),
    press_throat=st.none() | st.floats(0.1, 2000),
    press_table=st.none() | st.floats(0.1, 2000),
    bed_width=st.floats(0.1, 2000),
    print_clearance=st.floats(0, 1),
    print_wall=st.floats(0.4, 2.5),
    bit=st.sampled_from(get_args(BitKind)),
    finish_build_up=st.floats(0, 1),
    woods=st.lists(
        st.builds(
            OwnWood,
            name=names,
            specific_gravity=st.floats(0.05, 1.5),
            janka=st.none() | st.floats(100, 50_000),
            modulus_of_rupture=st.none() | st.floats(0.1, 500),
        ),
        max_size=3,
        unique_by=lambda wood: wood.name.strip().casefold(),
    ).map(tuple),
    fits=st.lists(
        st.builds(
            StoredFit,
            wood=names,
            kind=st.sampled_from(("press-in", "screw-in")),
            root=st.floats(0.1, 100),
            crest=st.floats(0.1, 100),
            bore=st.floats(0.1, 100),
        ),
        max_size=3,
    ).map(tuple),
)


def file_with(**fields: object) -> bytes:
    return json.dumps({"pegwright_shop": 1, **fields}).encode()


@given(shops)
def test_written_shop_reads_back(shop: Shop) -> None:
    assert read_shop(write_shop(shop)) == shop


def test_version_comes_first_in_the_file() -> None:
    assert write_shop(default_shop()).decode().split()[1] == '"pegwright_shop":'


def test_lengths_may_be_text() -> None:
    text = {
        "extra_drills": ["25/64 in", "8.8 mm"],
        "kerf": "0.010 in",
        "guide_bushing": '5/8"',
        "press_throat": "8 1/4 in",
        "finish_build_up": "0.05 mm",
        "cradle": {"base": "3/4 in", "block_thickness": "5/8 in"},
        "fits": [{"wood": "maple", "kind": "press-in", "root": "8.5 mm", "crest": "8.8", "bore": "11/32 in"}],
    }
    # Inches times 25.4, by hand.
    assert read_shop(file_with(**text)) == Shop(
        extra_drills=(9.921875, 8.8),
        kerf=0.254,
        guide_bushing=15.875,
        press_throat=209.55,
        finish_build_up=0.05,
        cradle=CradleSizes(base=19.05, block_thickness=15.875),
        fits=(StoredFit(wood="maple", kind="press-in", root=8.5, crest=8.8, bore=8.73125),),
    )


def test_what_a_file_does_not_say_is_as_in_the_default_shop() -> None:
    assert read_shop(b'{"pegwright_shop": 1}') == default_shop()


@pytest.mark.parametrize(
    ("fields", "field", "value", "expected"),
    [
        ({"nut_files": [6, "x"]}, "nut_files[1]", "x", "one number and its unit; expected a length"),
        ({"nut_files": [0]}, "nut_files[0]", 0, "a length from 0.1 to 100 mm"),
        ({"nut_files": [True]}, "nut_files[0]", True, "a length from 0.1 to 100 mm"),
        ({"nut_files": 6}, "nut_files", 6, "a list"),
        ({"nut_files": [101]}, "nut_files[0]", 101, "from 0.1 to 100"),
        ({"extra_drills": [None]}, "extra_drills[0]", None, "a length from 0.1 to 100 mm"),
        ({"drill_sets": ["brad"]}, "drill_sets[0]", "brad", '"fraction", "letter", "metric", "number"'),
        ({"paper": "a4"}, "paper", "a4", 'one of "A1", "A2"'),
        ({"units": "cm"}, "units", "cm", 'one of "inch", "mm"'),
        ({"kerf": -0.1}, "kerf", -0.1, "from 0 to 10"),
        ({"guide_bushing": "wide"}, "guide_bushing", "wide", "one number and its unit"),
        ({"press_throat": 0}, "press_throat", 0, "null or a length from 0.1 to 2000 mm"),
        ({"bed_depth": 0}, "bed_depth", 0, "a length from 0.1 to 2000 mm"),
        ({"print_wall": 0.1}, "print_wall", 0.1, "a length from 0.4 to 2.5 mm"),
        ({"press_table": "6 yd"}, "press_table", "6 yd", "only mm and in"),
        ({"printers": []}, "printers", [], "a list of at least 1"),
        ({"bit": "spade"}, "bit", "spade", '"brad point"'),
        ({"finish_build_up": 2}, "finish_build_up", 2, "from 0 to 1 mm"),
        ({"woods": [{"name": "plum"}]}, "woods[0].specific_gravity", MISSING, "dry mass over the volume"),
        ({"woods": [{"name": "plum", "specific_gravity": 700}]}, "woods[0].specific_gravity", 700, "1.5"),
        ({"woods": [{"name": "plum", "specific_gravity": 0.7, "janka": "?"}]}, "woods[0].janka", "?", "in N"),
        (
            {"woods": [{"name": each, "specific_gravity": 0.7} for each in ("Plum", "plum")]},
            "woods[1].name",
            "plum",
            "woods[0] has this one already",
        ),
        ({"fits": [{"wood": "plum"}]}, "fits[0].kind", MISSING, '"press-in", "screw-in"'),
        ({"cradle": {"gap": -1}}, "cradle.gap", -1, "from 0 to 5"),
        ({"cradle": {"wedge_taper": 6}}, "cradle.wedge_taper", 6, "a taper of 1 in so many"),
        ({"cradle": {"far_fret": 12.5}}, "cradle.far_fret", 12.5, "a whole number from 1 to 24"),
        ({"cradle": {"block_thickness": []}}, "cradle.block_thickness", [], "null or a length from 3 to 100"),
        ({"cradle": 7}, "cradle", 7, "an object with named fields"),
        ({"printers": [7]}, "printers[0]", 7, "an object with named fields"),
        ({"printers": [{"name": ""}]}, "printers[0].name", "", "1 to 60 characters"),
        ({"printers": [{"name": "a", "factor_x": 2}]}, "printers[0].factor_x", 2, "from 0.95 to 1.05"),
        ({"printers": [{"name": "a"}] * 2}, "printers[1].name", "a", "printers[0] has this one already"),
        ({"limits": [{"rule": "wal", "level": "stop", "least": 1}]}, "limits[0].rule", "wal", 'mean "wall"?'),
    ],
)
def test_refuses_naming_field_value_and_expected(
    fields: dict[str, object], field: str, value: object, expected: str
) -> None:
    with pytest.raises(FileError) as refused:
        read_shop(file_with(**fields))
    assert refused.value.field == field
    assert refused.value.value == value
    assert expected in refused.value.expected
    assert str(refused.value).startswith(f"{field}: ")


@pytest.mark.parametrize(
    ("contents", "message"),
    [
        (file_with(nutfiles=[6]), 'nutfiles: a shop file has no such field here; did you mean "nut_files"?'),
        (
            file_with(printers=[{"nam": "a"}]),
            'printers[0].nam: a shop file has no such field here; did you mean "name"',
        ),
        (file_with(printers=[{}]), "printers[0].name: this field is missing"),
        (file_with(cradle={"gab": 1}), "cradle.gab: a shop file has no such field here"),
        (
            file_with(limits=[{"gab": 1}]),
            "limits[0].gab: a shop file has no such field here; expected only rule",
        ),
        (file_with(limits=[{}]), "limits[0].rule: this field is missing; expected text"),
        (file_with(units=["mm"]), "units: a list of 1 is not usable here; expected one of"),
        (file_with(units={}), "units: an object is not usable here; expected one of"),
        (file_with(units=None), "units: null is not usable here; expected one of"),
        (file_with(paper="x" * 500), "x… is not usable here; expected one of"),
        (file_with(paper="a\nb"), r'paper: "a\nb" is not usable here; expected one of'),
        (b'{"pegwright_shop": 1, "kerf": 0.1, "kerf": 0.2}', "kerf: this field is given twice"),
        (b'{"pegwright_shop": 1, "cradle": {"gap": 1, "gap": 2}}', "cradle.gap: this field is given twice"),
        (b"{}", "pegwright_shop: this is not a shop file"),
        (b'{"pegwright_shop": 2}', "a newer Pegwright wrote this file"),
        (b'{"pegwright_shop": 0}', "pegwright_shop: 0 is not usable here; expected the version"),
        (b'{"pegwright_shop": true}', "pegwright_shop: true is not usable here; expected the version"),
        (b'{"pegwright_shop": "1"}', 'pegwright_shop: "1" is not usable here; expected the version'),
        (b"[1]", "a list of 1 is not usable here; expected a JSON object, the content of a shop file"),
        (b"", "the file is empty; expected a JSON shop file"),
        (b"\xff\xfe", "byte 0 is not UTF-8 text"),
        (b'{"a": "\xff"}', "byte 7 is not UTF-8 text"),
        (b"[" * 20_000, "nested too deeply for a shop file"),
        (b'{"pegwright_shop": 1, "kerf": NaN}', "kerf: nan is not usable here; expected a finite number"),
        (b'{"pegwright_shop": 1, "kerf": 1e999}', "kerf: inf is not usable here; expected a finite number"),
        (b" " * 1_000_001, "this file has 1000001 bytes; a shop file has at most 1000000"),
    ],
)
def test_refuses_on_one_short_line(contents: bytes, message: str) -> None:
    with pytest.raises(FileError) as refused:
        read_shop(contents)
    assert message in str(refused.value)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 300


def test_a_shop_that_no_file_can_say_is_not_written() -> None:
    with pytest.raises(AssertionError, match="finite"):
        write_shop(Shop(kerf=float("nan")))
    with pytest.raises(FileError, match=r"kerf: 11\.0 is not usable here"):
        write_shop(Shop(kerf=11.0))


def test_damaged_files_are_read_or_refused() -> None:
    whole = bytearray(write_shop(default_shop()))
    dice = random.Random(1)
    for _ in range(3000):
        damaged = bytearray(whole)
        for _ in range(dice.randint(1, 4)):
            damaged[dice.randrange(len(damaged))] = dice.choice(b'0123456789.,:[]{}"\\nulltruefse-E\xff')
        with suppress(FileError):
            assert isinstance(read_shop(bytes(damaged)), Shop)
    for end in range(len(whole) - 2):
        with pytest.raises(FileError):
            read_shop(bytes(whole[:end]))


def test_sizes_of_a_cradle_are_kept() -> None:
    given = Shop(cradle=CradleSizes(gap=0.8, block_thickness=20.0, wedge_taper=10.0))
    assert read_shop(write_shop(given)) == given


def test_a_depth_of_the_neck_from_before_it_went_into_the_build_is_passed_over() -> None:
    assert read_shop(file_with(cradle={"gap": 0.8, "neck_depth": 20.0})) == Shop(cradle=CradleSizes(gap=0.8))
