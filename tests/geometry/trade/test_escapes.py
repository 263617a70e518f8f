"""What came out of a file is shown where it goes, and does nothing there."""

from __future__ import annotations

import json
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.trade.escapes import in_json, in_menu, in_tip, on_one_line
from tests.evil_names import EVIL, FINE

UNSEEN = {"Cc", "Cs", "Zl", "Zp"}
"""General categories of the Unicode standard: controls, halves of characters, separators of lines and paragraphs."""

TURNS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
"""Bidirectional classes of UAX #9 that turn what follows."""


def steers(text: str) -> bool:
    """Whether a character of the text is a control, breaks a line or turns it."""
    return any(
        unicodedata.category(letter) in UNSEEN or unicodedata.bidirectional(letter) in TURNS
        for letter in text
    )


@pytest.mark.parametrize("name", EVIL.values(), ids=EVIL)
def test_evil_names_steer_nothing_and_stay_to_be_seen(name: str) -> None:
    for escaped in (on_one_line(name), in_tip(name), in_menu(name)):
        assert not steers(escaped)
        assert len(escaped.splitlines()) == 1
    letters = [letter for letter in name if letter.isascii() and letter.isalnum()]
    told = iter(on_one_line(name))
    assert all(letter in told for letter in letters), "every letter is still there, in its order"


@pytest.mark.parametrize("name", FINE.values(), ids=FINE)
def test_letters_of_every_script_stay(name: str) -> None:
    assert on_one_line(name) == name


@given(st.text(st.characters(), max_size=40))
def test_no_text_steers(text: str) -> None:
    assert not steers(on_one_line(text))


@given(st.text(max_size=40))
def test_json_says_the_same(text: str) -> None:
    written = in_json(json.dumps({"name": text}, indent=2, ensure_ascii=False))
    assert json.loads(written) == {"name": text}
    assert not steers(written.replace("\n", ""))


def test_marks_of_keys_and_of_mark_up_are_letters() -> None:
    assert in_menu("Save & quit") == "Save && quit"
    assert in_tip("<b>&</b>") == "<span>&lt;b&gt;&amp;&lt;/b&gt;</span>"
    assert in_tip("plain words") == "plain words"
