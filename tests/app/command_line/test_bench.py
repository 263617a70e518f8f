"""`strength` and `balance` on the command line: words, tables, JSON, and places that are none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from geometry.document.build import Head
from geometry.document.codec import write_shop
from geometry.trade.shop import OwnWood, default_shop
from tests.app.command_line.calls import SAMPLES, SOUND, UKULELE, Printed, refused, said, written
from tests.builds import change, plain_head, post_at, three_and_three, tuner


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.pegwright")), ids=lambda path: path.stem)
def test_every_sample_has_a_figure(path: Path, capsys: Printed) -> None:
    words = said(capsys, "strength", path)
    assert "of what a timber code would allow, weakest " in words
    assert "Thin walls and splitting" in words
    assert "fail" not in words.split(":\n", 1)[1]
    assert "from memory" in words
    assert "Wood Handbook" in words


def test_strength_as_json(capsys: Printed) -> None:
    found = json.loads(said(capsys, "strength", UKULELE, "--json"))
    uses = [section["used_percent"] for section in found["sections"]]
    assert found["weakest"]["used_percent"] == found["used_percent"] == max(uses)
    # The share of the strength across the grain runs from weak to strong, what is used from little to much.
    (least, most), (weak, strong) = found["used_percent_band"], found["knock_band"]
    assert least < found["used_percent"] < most
    assert weak < found["knock"] < strong
    # Never to three figures.
    assert all(use == float(f"{use:.1e}") for use in (*uses, least, most, weak, strong, found["index"]))
    assert uses[-1] == 0
    assert found["wood"] == "true mahogany"
    assert found["allowed_share"] == pytest.approx((1 - 1.645 * 0.16) * 0.6 / 1.3)
    assert [section["grain_slope_deg"] for section in found["sections"][:: len(uses) - 1]] == pytest.approx(
        [0.0, 14.0]
    )
    assert found["strings_without_pull"] == []


def test_strength_without_a_wood(tmp_path: Path, capsys: Printed) -> None:
    build = three_and_three()
    build = change(build, head=change(build.head, wood=""))
    file = written(build, tmp_path)
    assert "not named" in said(capsys, "strength", file)
    found = json.loads(said(capsys, "strength", file, "--json"))
    for key in ("used_percent", "used_percent_band", "knock", "knock_band", "index", "wood"):
        assert found[key] is None
    assert found["weakest"]["used_percent"] is None
    assert found["weakest"]["bending"] > 0


def test_woods_of_the_shop_count(tmp_path: Path, capsys: Printed) -> None:
    plum = OwnWood(
        name="Plum", specific_gravity=0.7, janka=7000.0, modulus_of_rupture=100.0, modulus_of_elasticity=12.0
    )
    shop = tmp_path / "shop.json"
    shop.write_bytes(write_shop(change(default_shop(), woods=(plum,))))
    build = three_and_three()
    file = written(change(build, head=change(build.head, wood="plum")), tmp_path)
    found = json.loads(said(capsys, "strength", file, "--json", "--shop", shop))
    assert found["wood"] == "Plum"
    assert found["weakest"]["used_percent"] > 0
    assert 'The head is of "plum", a wood that is not known here' in said(capsys, "strength", file)
    # 0.7 x 1120 kg/m3 against the 600 that stand in for an unknown wood.
    own = json.loads(said(capsys, "balance", file, "--json", "--shop", shop))["own"]["wood"]
    usual = json.loads(said(capsys, "balance", file, "--json"))["own"]["wood"]
    assert own / usual == pytest.approx(0.7 * 1120 / 600)


def test_strength_where_nothing_pulls(tmp_path: Path, capsys: Printed) -> None:
    file = written(plain_head(), tmp_path)
    assert said(capsys, "strength", file).endswith("so there is nothing to work out.\n")
    assert json.loads(said(capsys, "strength", file, "--json"))["weakest"] is None


def test_balance_compares(capsys: Printed) -> None:
    words = said(capsys, "balance", SOUND, "--about", "0,-650")
    assert "650 mm from the nut" in words
    lines = words.splitlines()
    own = next(line for line in lines if line.startswith("enclosed gear, screw-in bushing, one screw "))
    assert own.endswith("–")
    assert any("buttons of plastic or wood" in line and line.endswith(" 29 g") for line in lines)


def test_balance_as_json(capsys: Printed) -> None:
    found = json.loads(said(capsys, "balance", UKULELE, "--json"))
    own = found["own"]
    assert own["head"] == pytest.approx(own["wood"] + own["bodies"] + own["buttons"])
    assert found["sets"][0]["head"] == own["head"]


def test_a_board_about_a_place(tmp_path: Path, capsys: Printed) -> None:
    # 80 x 200 x 15 mm of sugar maple at 0.63 x 1.12 g/cm3 (Wood Handbook FPL-GTR-190, Table 5-3a): 169.3 g, 100 mm from
    # the nut, so 608 mm from a place 20 in behind it. Free fall is 9.80665 m/s2 (NIST SP 811): 1.010 N m.
    board = plain_head(head=Head(thickness_nut=15.0, thickness_tip=15.0, wood="sugar maple"))
    file = written(board, tmp_path)
    found = json.loads(said(capsys, "balance", file, "--json", "--about", "-30 mm, -20 in"))
    own = found["own"]
    assert found["about"] == [-30.0, -508.0]
    assert own["head"] == pytest.approx(169.34, rel=1e-3)
    assert (own["lever"], own["aside"]) == pytest.approx((608.0, 30.0))
    assert own["moment_about_place"] == pytest.approx(1.0097, rel=1e-3)
    assert own["moment_about_nut"] == pytest.approx(0.16607, rel=1e-3)


def test_balance_names_what_nobody_weighed(tmp_path: Path, capsys: Printed) -> None:
    build = plain_head(post_at(20.0, 60.0), hardware=(tuner(name="old pegs", body_mass=0.0),))
    assert "The mass of old pegs is not known" in said(capsys, "balance", written(build, tmp_path))


def test_balance_of_a_bare_head(tmp_path: Path, capsys: Printed) -> None:
    words = said(capsys, "balance", written(plain_head(), tmp_path))
    assert "tuners 0 g" in words
    assert "saves" not in words


@pytest.mark.parametrize("place", ["0", "a,b", "1,2,3", "", "0,99999999"])
def test_a_place_that_is_none(place: str, capsys: Printed) -> None:
    assert refused(capsys, "balance", UKULELE, "--about", place).startswith("--about: ")
