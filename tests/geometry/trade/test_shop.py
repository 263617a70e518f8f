"""The maker's shop: its file, its refusals, its drills."""

from __future__ import annotations

import json
import random
from contextlib import suppress
from pathlib import Path
from typing import get_args

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.paper import PAPERS
from geometry.trade.cradle_sizes import SIZE_WORDS, CradleSizes
from geometry.trade.drills import LETTERS, METRIC, Series
from geometry.trade.fits import StoredFit
from geometry.trade.own_wood import OwnWood
from geometry.trade.shop import (
    BitKind,
    PaperName,
    PrinterProfile,
    Shop,
    ShopError,
    default_shop,
    read_shop,
    write_shop,
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
    print_wall=st.floats(0.4, 10),
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


def test_reads_from_a_path(tmp_path: Path) -> None:
    path = tmp_path / "shop.json"
    path.write_bytes(file_with(units="inch", kerf=0.2))
    assert read_shop(path) == Shop(units="inch", kerf=0.2)


def test_what_a_file_does_not_say_is_as_in_the_default_shop() -> None:
    assert read_shop(b'{"pegwright_shop": 1}') == default_shop()


def test_every_paper_has_a_size() -> None:
    assert set(get_args(PaperName)) == set(PAPERS)


def test_drills_of_the_sets_and_own_ones_rise() -> None:
    shop = Shop(drill_sets=("letter", "metric", "letter"), extra_drills=(10.05,))
    assert len(shop.drills) == len(LETTERS) + len(METRIC) + 1
    sizes = [drill.diameter for drill in shop.drills]
    assert sizes == sorted(sizes)
    place = sizes.index(10.05)
    assert [drill.name for drill in shop.drills[place - 1 : place + 2]] == ["10.0 mm", "10.05 mm", "letter X"]


def test_of_equal_drills_the_set_named_first_comes_first() -> None:
    quarters = [
        drill.name for drill in Shop(drill_sets=("letter", "fraction")).drills if drill.diameter == 6.35
    ]
    assert quarters == ["letter E", "1/4 in"]


def test_no_drills_at_all() -> None:
    assert Shop(drill_sets=()).drills == ()


@pytest.mark.parametrize(
    ("fields", "field", "value", "expected"),
    [
        ({"cutters": [6, "x"]}, "cutters[1]", "x", "a number of mm from 0.1 to 100"),
        ({"cutters": [0]}, "cutters[0]", 0, "a number of mm from 0.1 to 100"),
        ({"cutters": [True]}, "cutters[0]", True, "a number of mm from 0.1 to 100"),
        ({"cutters": 6}, "cutters", 6, "a list of diameters"),
        ({"nut_files": [101]}, "nut_files[0]", 101, "from 0.1 to 100"),
        ({"extra_drills": [None]}, "extra_drills[0]", None, "a list of diameters"),
        ({"drill_sets": ["brad"]}, "drill_sets[0]", "brad", "metric, fraction, number, letter"),
        ({"paper": "a4"}, "paper", "a4", "one of A5, A4"),
        ({"units": "cm"}, "units", "cm", "mm or inch"),
        ({"kerf": -0.1}, "kerf", -0.1, "from 0 to 10"),
        ({"guide_bushing": "16"}, "guide_bushing", "16", "or null when there is none"),
        ({"press_throat": 0}, "press_throat", 0, "a number of mm above 0, 2000 at most"),
        ({"bed_depth": 0}, "bed_depth", 0, "a number of mm above 0, 2000 at most"),
        ({"print_wall": 0.1}, "print_wall", 0.1, "a number of mm from 0.4 to 10"),
        ({"press_table": "6 in"}, "press_table", "6 in", "or null when it is not known"),
        ({"printers": []}, "printers", [], "at least one printer"),
        ({"bit": "spade"}, "bit", "spade", "one of twist, brad point"),
        ({"finish_build_up": 2}, "finish_build_up", 2, "from 0 to 1"),
        ({"woods": [{"name": "plum"}]}, "woods[0].specific_gravity", None, "from 0.05 to 1.5"),
        ({"woods": [{"name": "plum", "specific_gravity": 700}]}, "woods[0].specific_gravity", 700, "1.5"),
        ({"woods": [{"name": "plum", "specific_gravity": 0.7, "janka": "?"}]}, "woods[0].janka", "?", "in N"),
        (
            {"woods": [{"name": each, "specific_gravity": 0.7} for each in ("Plum", "plum")]},
            "woods[1].name",
            "plum",
            "no other of the list has",
        ),
        ({"fits": [{"wood": "plum"}]}, "fits[0].kind", None, "press-in or screw-in"),
        ({"cradle": {"gap": -1}}, "cradle.gap", -1, "from 0 to 5"),
        ({"cradle": {"wedge_taper": 6}}, "cradle.wedge_taper", 6, "a taper of 1 in so many"),
        ({"cradle": {"far_fret": 12.5}}, "cradle.far_fret", 12.5, "a whole number from 1 to 24"),
        ({"cradle": {"block_thickness": "thin"}}, "cradle.block_thickness", "thin", "or null"),
        ({"cradle": 7}, "cradle", 7, "an object with any of gap, block_width"),
        ({"printers": [7]}, "printers[0]", 7, "at least one printer"),
        ({"printers": [{"name": ""}]}, "printers[0].name", "", "1 to 60 characters"),
        ({"printers": [{"name": "a", "factor_x": 2}]}, "printers[0].factor_x", 2, "from 0.95 to 1.05"),
        ({"printers": [{"name": "a"}, {"name": "a"}]}, "printers[1].name", "a", "no other of the list has"),
    ],
)
def test_refuses_naming_field_value_and_expected(
    fields: dict[str, object], field: str, value: object, expected: str
) -> None:
    with pytest.raises(ShopError) as refused:
        read_shop(file_with(**fields))
    assert refused.value.field == field
    assert refused.value.value == value
    assert expected in refused.value.expected
    assert str(refused.value).startswith(f"shop: {field} is ")


@pytest.mark.parametrize(
    ("contents", "message"),
    [
        (file_with(cuters=[6]), "'cuters' is not a field; expected one of units, paper"),
        (file_with(printers=[{"nam": "a"}]), "'printers[0].nam' is not a field; expected one of name"),
        (file_with(printers=[{}]), "printers[0].name is missing"),
        (file_with(cradle={"gab": 1}), "'cradle.gab' is not a field; expected one of gap, block_width"),
        (file_with(limits=[{"gab": 1}]), "'limits[0].gab' is not a field; expected one of rule"),
        (file_with(limits=[{}]), "limits[0].rule is missing; expected a list of limits"),
        (file_with(units=["mm"]), "units is a list of 1; expected mm or inch"),
        (file_with(units={}), "units is an object; expected mm or inch"),
        (file_with(units=None), "units is null; expected mm or inch"),
        (file_with(paper="x" * 500), "x...; expected one of"),
        (file_with(paper="a\nb"), r"paper is 'a\nb'; expected one of"),
        (b"{}", "pegwright_shop is missing"),
        (b'{"pegwright_shop": 2}', "pegwright_shop is 2; expected 1 or less: a newer Pegwright"),
        (b'{"pegwright_shop": 0}', "pegwright_shop is 0; expected the version"),
        (b'{"pegwright_shop": true}', "pegwright_shop is True; expected the version"),
        (b'{"pegwright_shop": "1"}', "pegwright_shop is '1'; expected the version"),
        (b"[1]", "the file is a list of 1; expected a JSON object"),
        (b"", "the file is not JSON"),
        (b"\xff\xfe", "the file is not JSON"),
        (b'{"a": "\xff"}', "the file is not JSON"),
        (b"[" * 20_000, "the file is not JSON"),
        (b'{"pegwright_shop": 1, "kerf": NaN}', "the file is not JSON"),
        (b'{"pegwright_shop": 1, "kerf": 1e999}', "the file is not JSON"),
        (b" " * 1_000_001, "the file is too long; expected 1000000 bytes at most"),
    ],
)
def test_refuses_on_one_short_line(contents: bytes, message: str) -> None:
    with pytest.raises(ShopError) as refused:
        read_shop(contents)
    assert message in str(refused.value)
    assert "\n" not in str(refused.value)
    assert len(str(refused.value)) < 300


def test_file_that_cannot_be_opened(tmp_path: Path) -> None:
    with pytest.raises(ShopError, match="a file that can be read"):
        read_shop(tmp_path / "none.json")
    with pytest.raises(ShopError, match="a file that can be read"):
        read_shop(tmp_path)


def test_a_shop_that_no_file_can_say_is_not_written() -> None:
    with pytest.raises(ShopError, match="kerf is null"):
        write_shop(Shop(kerf=float("nan")))


def test_damaged_files_are_read_or_refused() -> None:
    whole = bytearray(write_shop(default_shop()))
    dice = random.Random(1)
    for _ in range(3000):
        damaged = bytearray(whole)
        for _ in range(dice.randint(1, 4)):
            damaged[dice.randrange(len(damaged))] = dice.choice(b'0123456789.,:[]{}"\\nulltruefse-E\xff')
        with suppress(ShopError):
            assert isinstance(read_shop(bytes(damaged)), Shop)
    for end in range(len(whole) - 2):
        with pytest.raises(ShopError):
            read_shop(bytes(whole[:end]))


def test_shop_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        default_shop().kerf = 1.0  # type: ignore[misc]
    assert msgspec.structs.replace(default_shop(), kerf=1.0).kerf == 1.0


def test_every_size_of_a_cradle_has_its_words() -> None:
    assert set(SIZE_WORDS) == set(CradleSizes.__struct_fields__)
    given = Shop(cradle=CradleSizes(gap=0.8, block_thickness=20.0, wedge_taper=10.0))
    assert read_shop(write_shop(given)) == given


def test_a_depth_of_the_neck_from_before_it_went_into_the_build_is_passed_over() -> None:
    assert read_shop(file_with(cradle={"gap": 0.8, "neck_depth": 20.0})) == Shop(cradle=CradleSizes(gap=0.8))
