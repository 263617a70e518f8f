"""The table of widths is the font's, and lines of words fit where they are put."""

from __future__ import annotations

import runpy
import shutil
import sys
from pathlib import Path

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from export import text
from export.text import BOLD, FOLDER, REGULAR, advances, shortened, visible, width, wrapped

LETTERS = st.text(st.sampled_from("abcdefgh MWil.,ØÄж½″"), max_size=60)
WORKSHOP = "⌀Ø″′°±×−–—½¼¾⅛⅜⅝⅞⁄←↑→↓▲△▼▽✓✔✗✘⚠…·≤≥≈µ√²³∅äöüßéèñçåøłřşπΩαжяЩ№€"


@pytest.mark.parametrize(("path", "bold"), [(REGULAR, False), (BOLD, True)])
def test_widths_are_those_of_the_font_file(path: Path, bold: bool) -> None:
    with TTFont(str(path)) as font:
        units = font["head"].unitsPerEm
        for code, name in font.getBestCmap().items():
            assert width(chr(code), units, bold=bold) == pytest.approx(font["hmtx"][name][0])


def test_heights_are_those_of_the_font_file() -> None:
    with TTFont(str(REGULAR)) as font:
        units = font["head"].unitsPerEm
        assert text.CAP * units == font["glyf"]["H"].yMax
        assert text.ASCENT * units == font["hhea"].ascent
        assert text.DESCENT * units == -font["hhea"].descent


@pytest.mark.parametrize("path", [REGULAR, BOLD])
def test_fonts_have_no_kerning_and_their_own_name(path: Path) -> None:
    with TTFont(str(path)) as font:
        tables, names, embedding = set(font.keys()), font["name"], font["OS/2"].fsType
    assert not {"GPOS", "GSUB", "kern"} & tables
    own = {names.getDebugName(number) for number in (1, 4, 6)}
    # The licence forbids these words in the name of a changed font.
    assert not any(word in name for name in own for word in ("Bitstream", "Vera", "Arev", "Tavmjong"))
    assert names.getDebugName(1) == text.FAMILY
    assert embedding == 0  # OpenType: may be embedded without restriction


def test_licence_lies_beside_the_fonts() -> None:
    terms = (FOLDER / "LICENCE.txt").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in terms
    assert "Bitstream Vera" in terms
    assert "Tavmjong Bah" in terms


def test_both_weights_have_every_character_of_a_workshop() -> None:
    for path in (REGULAR, BOLD):
        with TTFont(str(path)) as font:
            assert set(WORKSHOP) <= {chr(code) for code in font.getBestCmap()}
    assert visible(WORKSHOP) == WORKSHOP


def test_made_again_the_fonts_and_the_table_are_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source, target = tmp_path / "source", tmp_path / "target"
    source.mkdir()
    target.mkdir()
    shutil.copy(REGULAR, source / "DejaVuSansCondensed.ttf")
    shutil.copy(BOLD, source / "DejaVuSansCondensed-Bold.ttf")
    monkeypatch.setattr(sys, "argv", ["make_fonts.py", str(source), "--target", str(target)])
    runpy.run_path(str(Path(__file__).parents[1] / "make_fonts.py"), run_name="__main__")
    for name in ("advances.json", REGULAR.name, BOLD.name, "LICENCE.txt"):
        assert (target / name).read_bytes() == (FOLDER / name).read_bytes(), name


def test_unknown_characters_become_lozenges() -> None:
    assert visible("a\x00b漢\n") == "a\ufffdb\ufffd\ufffd"
    assert width("漢", 3.0) == width("\ufffd", 3.0)


@given(LETTERS, LETTERS)
def test_width_of_two_parts_is_the_sum(one: str, two: str) -> None:
    assert width(one + two, 3.0) == pytest.approx(width(one, 3.0) + width(two, 3.0))
    assert len(advances(one, 3.0)) == len(one)


@given(LETTERS, st.floats(5.0, 60.0))
def test_wrapped_lines_fit_and_lose_nothing(words: str, room: float) -> None:
    lines = wrapped(words, room, 3.0)
    assert all(width(line, 3.0) <= room + 1e-9 for line in lines)
    assert "".join("".join(lines).split()) == "".join(words.split())


def test_wrapping_keeps_line_ends_and_breaks_long_words() -> None:
    assert wrapped("one\ntwo", 100.0, 3.0) == ("one", "two")
    assert wrapped("", 100.0, 3.0) == ()
    assert wrapped("MMMM", width("MM", 3.0) * 1.01, 3.0) == ("MM", "MM")
    assert wrapped("MM", 0.1, 3.0) == ("M", "M")


@given(LETTERS, st.floats(5.0, 60.0))
def test_shortened_words_fit(words: str, room: float) -> None:
    short = shortened(words, room, 3.0)
    assert width(short, 3.0) <= room
    assert short == " ".join(words.split()) or short.endswith("…")
