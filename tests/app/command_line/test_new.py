"""`pegwright new`: a build file from any starter."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

import pytest

from geometry.document.codec import read_build, write_shop
from geometry.document.fresh import SUGGESTIONS
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.shop import Shop
from geometry.trade.string_sets import STRING_SETS
from tests.amount import THOROUGH
from tests.app.command_line.calls import Printed, refused, run


def test_every_starter_with_what_suits_it_can_be_drilled(capsys: Printed, tmp_path: Path) -> None:
    for shape in SUGGESTIONS:
        out = tmp_path / f"{shape}.pegwright"
        assert run("new", shape, "-o", out) == 0
        first, second = capsys.readouterr().out.splitlines()
        assert first.startswith(f"Wrote {out}. It can be drilled")
        assert second == f"Next: pegwright check {out}"
        build = read_build(out.read_bytes())
        assert (build.name, build.hand) == (shape, "right")
        assert run("check", out) == 0
        assert capsys.readouterr().err == ""


def test_what_is_asked_for_is_in_the_file(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "mine.pegwright"
    options = ["--nut-width", "1 3/4 in", "--strings", "guitar-twelve", "--hardware", "enclosed-small"]
    assert run("new", "waisted", "-o", out, *options, "--name", "Täkle 5", "--left-handed") == 0
    build = read_build(out.read_bytes())
    assert (build.name, build.hand, build.nut.width) == ("Täkle 5", "left", 44.45)
    assert len(build.strings) == 12
    assert [each.key for each in build.hardware] == ["enclosed-small"]


def test_every_choice_makes_a_file_that_can_be_read(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "any.pegwright"
    shapes = list(SUGGESTIONS)
    for (i, strings), (j, hardware) in product(enumerate(STRING_SETS), enumerate(LIBRARY)):
        # Every shape, set and class meets every other, though not all three each other.
        here = shapes if THOROUGH else [shapes[(i + j) % len(shapes)]]
        for shape in here:
            options = ["--strings", strings.key, "--hardware", hardware.key, "--force"]
            assert run("new", shape, "-o", out, *options) == 0
            build = read_build(out.read_bytes())
            assert len(build.strings) == len(strings.gauges)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("wood", "bore"),
    [
        # Crest 8.8; drills: hard wood 8.63 to 8.75, medium 8.60 to 8.65; without a wood what the class has.
        ("sugar maple", 8.7),
        ("black walnut", 8.6),
        ("", 8.7),
        ("driftwood", 8.7),
    ],
)
def test_bores_begin_right_for_wood_and_hardware(
    wood: str, bore: float, capsys: Printed, tmp_path: Path
) -> None:
    out = tmp_path / "mine.pegwright"
    assert run("new", "one-sided", "-o", out, "--hardware", "split-post", "--wood", wood) == 0
    build = read_build(out.read_bytes())
    assert (build.head.wood, build.hardware[0].bore.through) == (wood, bore)
    capsys.readouterr()
    run("check", out, "--all")
    assert "outside the fit" not in capsys.readouterr().out


@pytest.mark.parametrize(
    ("wood", "perhaps"),
    [
        ("hard maple", " (perhaps sugar maple or black maple)"),
        ("plum", ""),
        ("sugar maple", None),
        ("", None),
    ],
)
def test_a_wood_that_is_not_known_is_told(
    wood: str, perhaps: str | None, capsys: Printed, tmp_path: Path
) -> None:
    assert run("new", "waisted", "-o", tmp_path / "mine.pegwright", "--wood", wood) == 0
    told = f'The head is of "{wood}", a wood that is not known here{perhaps}: how hard it is the bores cannot know.'
    assert (told in capsys.readouterr().out) == (perhaps is not None)


def test_the_drills_and_the_finish_of_the_shop_count(capsys: Printed, tmp_path: Path) -> None:
    out, shop = tmp_path / "mine.pegwright", tmp_path / "shop.json"
    shop.write_bytes(write_shop(Shop(drill_sets=("fraction",), finish_build_up=0.4)))
    options = ("--hardware", "split-post", "--wood", "sugar maple", "--shop", shop)
    assert run("new", "one-sided", "-o", out, *options) == 0
    build = read_build(out.read_bytes())
    # 9.03 to 9.15 with the finish: 23/64 in is 9.128.
    assert build.hardware[0].bore.through == pytest.approx(23 / 64 * 25.4)
    assert build.head.finish_build_up == 0.4
    assert capsys.readouterr().err == ""


def test_plain_numbers_are_in_the_units_of_the_shop(capsys: Printed, tmp_path: Path) -> None:
    shop, out = tmp_path / "shop.json", tmp_path / "mine.pegwright"
    shop.write_bytes(write_shop(Shop(units="inch")))
    assert run("new", "narrow", "-o", out, "--nut-width", "1.75", "--shop", shop) == 0
    assert read_build(out.read_bytes()).nut.width == pytest.approx(44.45)
    capsys.readouterr()
    given = ("new", "narrow", "-o", tmp_path / "b.pegwright", "--nut-width", "44.5", "--shop", shop)
    words = "--nut-width: 44 1/2 in is not usable here; expected 0.591 in to 4.724 in."
    assert refused(capsys, *given) == words


def test_a_file_that_is_there_is_kept(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "mine.pegwright"
    out.write_bytes(b"years of work")
    assert "is there already; give --force" in refused(capsys, "new", "narrow", "-o", out)
    assert out.read_bytes() == b"years of work"
    assert run("new", "narrow", "-o", out, "--force") == 0
    assert read_build(out.read_bytes()).name == "mine"


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("round",), 'There is no starter "round". Starters: straight-taper, waisted'),
        (("narrow", "--nut-width", "wide"), '--nut-width: "wide" is not a length'),
        (("narrow", "--nut-width", "5"), "--nut-width: 5 mm is not usable here; expected 15 mm to 120 mm."),
        (("narrow", "--nut-width", "nan"), '--nut-width: "nan" is not a length'),
        (("narrow", "--nut-width=-24"), '--nut-width: "-24" is not a length: it is negative'),
        (("narrow", "--strings", "catgut"), 'There is no set of strings "catgut". Sets: '),
        (("narrow", "--hardware", "gold"), 'There is no hardware "gold". Classes: '),
        (("narrow", "--hardware", "tapered-peg"), "Tapered wooden pegs are not supported yet"),
        (("narrow", "--wood", "w" * 201), "--wood: 201 characters are too many; expected 200 at most"),
        (("narrow", "--name", "n" * 201), "--name: 201 characters are too many; expected 200 at most"),
    ],
)
def test_what_cannot_be_made_is_refused(
    capsys: Printed, tmp_path: Path, given: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, "new", *given, "-o", tmp_path / "out.pegwright")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_is_not_there_is_refused(capsys: Printed, tmp_path: Path) -> None:
    assert "its folder is not there" in refused(
        capsys, "new", "narrow", "-o", tmp_path / "none" / "a.pegwright"
    )
    folder = tmp_path / "a.pegwright"
    folder.mkdir()
    assert "is a folder" in refused(capsys, "new", "narrow", "-o", folder)


def test_another_suffix_is_refused(capsys: Printed, tmp_path: Path) -> None:
    assert "ends in .pegwright" in refused(capsys, "new", "narrow", "-o", tmp_path / "mine.txt")


def test_a_shop_has_limits_for_new_builds(capsys: Printed, tmp_path: Path) -> None:
    shop, out = tmp_path / "shop.json", tmp_path / "mine.pegwright"
    change = {"rule": "wall", "level": "stop", "least": 40.0}
    shop.write_text(json.dumps({"pegwright_shop": 1, "limits": [change]}))
    assert run("new", "narrow", "-o", out, "--shop", shop) == 0
    # No wall of a head 40 mm wide has 40 mm of wood.
    assert "Do not drill" in capsys.readouterr().out
    assert [(each.rule, each.least) for each in read_build(out.read_bytes()).limits] == [("wall", 40.0)]
    shop.write_text(json.dumps({"pegwright_shop": 1, "limits": [{**change, "rule": "walls"}]}))
    assert "limits" in refused(capsys, "new", "narrow", "-o", tmp_path / "b.pegwright", "--shop", shop)
