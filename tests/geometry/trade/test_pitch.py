"""Pitch names and frequencies, against tables of twelve equal steps from A4 = 440 Hz."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.trade.measures import PITCH_PATTERN
from geometry.trade.pitch import frequency, pitch_step


@pytest.mark.parametrize(
    ("name", "hertz"),
    [
        ("A4", 440.00),
        ("E4", 329.63),
        ("B3", 246.94),
        ("G3", 196.00),
        ("D3", 146.83),
        ("A2", 110.00),
        ("E2", 82.41),
        ("G4", 392.00),
        ("C4", 261.63),
        ("F#3", 185.00),
        ("Gb3", 185.00),
        ("Bb2", 116.54),
        ("B♭2", 116.54),
        ("F♯3", 185.00),
    ],
)
def test_frequencies_of_equal_temperament(name: str, hertz: float) -> None:
    found = frequency(name)
    assert found is not None
    assert round(found, 2) == hertz


@pytest.mark.parametrize("name", ["", "H4", "E", "4", "E10", "e4", "string 1", "E4 high", "E##4"])
def test_what_is_no_pitch(name: str) -> None:
    assert pitch_step(name) is None
    assert frequency(name) is None


def test_an_octave_doubles_and_the_octave_begins_at_c() -> None:
    assert frequency("A5") == pytest.approx(880.0)
    assert pitch_step("C4") == pitch_step("B3") + 1  # type: ignore[operator]
    assert pitch_step("Cb4") == pitch_step("B3")
    assert pitch_step("C0") == 0


@given(st.sampled_from(["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]), st.integers(0, 9))
def test_a_name_with_a_frequency_is_one_that_a_file_takes(letter: str, octave: int) -> None:
    name = f"{letter}{octave}"
    hertz = frequency(name)
    assert hertz is not None
    assert re.fullmatch(PITCH_PATTERN, name)
