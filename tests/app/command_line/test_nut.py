"""`pegwright nut`: tables, the cut along the bottom, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from geometry.document.build import Build
from geometry.document.codec import write_shop
from geometry.trade.shop import Shop
from tests.app.command_line.calls import Printed, refused, said, written
from tests.builds import change, plain_head, six_in_line, strings


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "shop.json").write_bytes(write_shop(Shop(nut_files=(0.33, 0.6, 1.2))))
    (tmp_path / "inch.json").write_bytes(write_shop(Shop(units="inch")))
    return tmp_path


def told(
    folder: Path, capsys: Printed, *options: str, build: Build | None = None, shop: str = "shop.json"
) -> str:
    file = written(build or six_in_line(), folder)
    return said(capsys, "nut", file, "--shop", folder / shop, *options)


def test_tables_of_slots_strings_and_lengths(folder: Path, capsys: Printed) -> None:
    out = told(folder, capsys)
    assert out.splitlines()[0].startswith("Slots")
    assert "Nearest file" in out
    assert "0.330" in out
    assert "all together" in out
    assert "Past the post" in out
    unplaced = told(folder, capsys, build=plain_head(slots=(10.0, -10.0)))
    assert "Past the post" not in unplaced


def test_the_cut_of_a_nut_that_is_too_high(folder: Path, capsys: Printed) -> None:
    # 0.14 mm too high under both: times 1.0595 is 0.148 mm, of which fret 12 gets half.
    out = told(folder, capsys, "--measured-bass", "0.7", "--measured-treble", "0.6")
    assert "measured 0.7 mm and 0.6 mm, wanted 0.56 mm and 0.46 mm." in out
    assert "0.15 mm at the bass end, 0.15 mm at the treble end." in out
    assert "half of that: 0.07 mm and 0.07 mm." in out
    assert len(out.splitlines()) == 3


def test_units_of_the_command_go_before_those_of_the_shop(folder: Path, capsys: Printed) -> None:
    out = told(
        folder,
        capsys,
        "--measured-bass",
        "0.7",
        "--measured-treble",
        "0.6",
        "--units",
        "mm",
        shop="inch.json",
    )
    assert "measured 0.7 mm and 0.6 mm" in out


def test_wanted_clearances_of_its_own(folder: Path, capsys: Printed) -> None:
    measured = ("--measured-bass", "0.7", "--measured-treble", "0.6")
    out = told(folder, capsys, *measured, "--wanted-bass", "0.7", "--wanted-treble", "0.6")
    assert "Take nothing off the bottom." in out


def test_a_string_that_is_too_low_wants_a_shim(folder: Path, capsys: Printed) -> None:
    out = told(folder, capsys, "--measured-bass", "0.46", "--measured-treble", "0.6")
    # 0.1 mm too low, times 1.0595.
    assert "The bass-most string is too low already: raise the nut by 0.11 mm" in out
    assert "0 mm at the bass end" in out


def test_a_nut_keeps_its_least_height(folder: Path, capsys: Printed) -> None:
    out = told(folder, capsys, "--measured-bass", "0.9", "--measured-treble", "0.6", "--height", "5.2")
    assert "0.2 mm at the bass end" in out
    assert "That is less than wanted: the nut is 5.2 mm high and keeps 5 mm at least." in out


def test_plain_numbers_are_in_the_units_of_the_shop(folder: Path, capsys: Printed) -> None:
    out = told(folder, capsys, "--measured-bass", "0.03", "--measured-treble", "0.6 mm", shop="inch.json")
    assert "measured 0.030 in and 0.024 in" in out


def test_json_holds_everything(folder: Path, capsys: Printed) -> None:
    plain = json.loads(told(folder, capsys, "--json"))
    assert [each["string"] for each in plain["slots"]] == ["1", "2", "3", "4", "5", "6"]
    assert plain["slots"][0]["nearest_file"] == 0.33
    first = plain["strings"][0]
    assert (first["pitch"], first["frequency"]) == ("E4", pytest.approx(329.63, abs=0.01))
    assert first["past_post"] > 25
    assert plain["total_pull"] == pytest.approx(sum(each["pull"] for each in plain["strings"]))
    assert plain["underside"] is None
    fitted = json.loads(told(folder, capsys, "--json", "--measured-bass", "0.7", "--measured-treble", "0.6"))
    assert fitted["underside"]["cut"]["bass_end"] == pytest.approx(0.14832, abs=1e-5)
    unplaced = json.loads(told(folder, capsys, "--json", build=plain_head(slots=(10.0, -10.0))))
    assert unplaced["slots"][0]["fall_deg"] is None
    assert unplaced["strings"][0]["pitch"] is None
    assert unplaced["strings"][0]["nut_to_post"] is None


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--measured-bass", "0.7"), "--measured-treble is missing"),
        (("--measured-treble", "0.7"), "--measured-bass is missing"),
        (("--wanted-bass", "0.7"), "--measured-bass is missing"),
        (("--height", "8"), "--measured-bass is missing"),
        (("--measured-bass", "much", "--measured-treble", "1"), '--measured-bass: "much" is not a length'),
        (
            ("--measured-bass", "70", "--measured-treble", "1"),
            "--measured-bass: 70 mm is not usable here; expected 0 mm to 10 mm",
        ),
        (("--measured-bass=-1", "--measured-treble", "1"), "it is negative"),
    ],
)
def test_what_is_refused(folder: Path, capsys: Printed, options: tuple[str, ...], words: str) -> None:
    assert words in refused(capsys, "nut", written(six_in_line(), folder), *options)


def test_a_build_without_strings_has_no_nut_to_cut(folder: Path, capsys: Printed) -> None:
    bare = change(plain_head(), strings=())
    assert "no strings yet" in refused(capsys, "nut", written(bare, folder))
    assert told(folder, capsys, build=plain_head(strings=strings(0.4)))
