"""Slots, heights over the frets and the underside of a nut, against closed forms and common practice."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.trade.nut_work import (
    FRET_1,
    LOWERED,
    SLOT_ALLOWANCE,
    WIDEST_ALLOWANCE,
    fall_across,
    file_suits,
    floor_over_frets,
    lowered_at_fret,
    nearest_file,
    slot_depth,
    underside_cut,
)

INCH = 25.4
NO_LIMIT = 100.0


def test_the_first_fret() -> None:
    # 1 / 17.817154, the fret constant; a scale of 650 mm has it at 36.482 mm, one of 647.7 mm at 36.353 mm.
    assert pytest.approx(17.817154, abs=1e-6) == 1 / FRET_1
    assert pytest.approx(36.482, abs=5e-4) == 650 * FRET_1
    assert pytest.approx(36.353, abs=5e-4) == 647.7 * FRET_1


def test_floor_over_the_frets() -> None:
    # Clearance 0.45 over fret 1, action 2.0 over fret 12: 0.254 mm, by hand.
    assert floor_over_frets(0.45, 2.0) == pytest.approx(0.254, abs=5e-4)


@given(st.floats(0.0, 2.0), st.floats(0.0, 5.0), st.floats(300.0, 900.0))
def test_the_string_passes_both_frets_as_wanted(clearance: float, action: float, length: float) -> None:
    # A straight line from the floor at 0 to the action at half the length.
    floor = floor_over_frets(clearance, action)
    at_fret_1 = length * (1 - 2 ** (-1 / 12))
    assert floor + (action - floor) * at_fret_1 / (length / 2) == pytest.approx(clearance, abs=1e-12)


def test_slot_depths() -> None:
    # Level with the top, and half of it over the top.
    assert slot_depth(0.3, 0.0) == 0.3
    assert slot_depth(1.0, 0.5) == 0.5


def test_allowances_of_common_practice() -> None:
    # Common practice, no source: gauge + 0.002 to 0.004 in, at most 0.005 in.
    assert 0.002 * INCH <= SLOT_ALLOWANCE <= 0.004 * INCH
    assert pytest.approx(0.005 * INCH, abs=0.005) == WIDEST_ALLOWANCE


def test_nearest_file() -> None:
    files = (1.0, 0.33, 0.4, 0.66)
    assert nearest_file(0.35, 0.3, files) == 0.33
    # None suits: the nearest of all, the narrower of two.
    assert nearest_file(0.53, 0.52, files) == 0.4
    assert nearest_file(9.0, 8.9, files) == 1.0
    assert nearest_file(0.5, 0.4, ()) is None


def test_a_file_that_suits_comes_before_a_nearer_one_that_does_not() -> None:
    # A string of 0.66 in a slot of 0.74: 0.81 is 0.07 off, but 0.15 wider than the string; 0.66 is 0.08 off.
    assert not file_suits(0.81, 0.66)
    assert file_suits(0.66, 0.66)
    assert nearest_file(0.74, 0.66, (0.81, 0.66)) == 0.66


@pytest.mark.parametrize(
    ("file", "suits"), [(0.79, False), (0.8, True), (1.0, True), (1.13, True), (1.14, False)]
)
def test_files_that_suit_a_string_of_one_millimetre(file: float, suits: bool) -> None:
    # Rocked wider from 80 % of the string on (workshop practice), at most 0.13 mm wider than it (common practice).
    assert file_suits(file, 1.0) == suits


def test_the_floor_falls_across_the_nut() -> None:
    assert fall_across(5.0, math.radians(45.0)) == pytest.approx(5.0)
    assert fall_across(5.0, 0.0) == 0.0


# The underside


def test_lowering_by_a_straight_cut() -> None:
    # 0.1 mm too high at fret 1 under both strings: 0.1059 mm comes off everywhere, and fret 12 gets half of that.
    cut = underside_cut((0.1, 0.1), (3.0, 41.5), 44.5, NO_LIMIT)
    assert (cut.bass_end, cut.treble_end) == pytest.approx((0.10595, 0.10595), abs=1e-5)
    assert not cut.limited
    assert (cut.raise_bass, cut.raise_treble) == (0.0, 0.0)
    assert lowered_at_fret(cut.bass_end, 1) == pytest.approx(0.1)
    assert lowered_at_fret(cut.bass_end, 12) == pytest.approx(cut.bass_end / 2)


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0), st.floats(1.0, 4.0), st.floats(20.0, 45.0))
def test_both_strings_come_down_as_wanted(bass: float, treble: float, first: float, last: float) -> None:
    width = 50.0
    cut = underside_cut((bass, treble), (first, last), width, NO_LIMIT)

    def removed(at: float) -> float:
        return cut.bass_end + (cut.treble_end - cut.bass_end) * at / width

    reach = LOWERED * min(bass, treble) > 0 and min(cut.bass_end, cut.treble_end) > 0
    if reach:
        assert lowered_at_fret(removed(first), 1) == pytest.approx(bass)
        assert lowered_at_fret(removed(last), 1) == pytest.approx(treble)
    assert min(cut.bass_end, cut.treble_end) >= 0


def test_a_nut_is_never_cut_below_its_least_height() -> None:
    cut = underside_cut((0.5, 0.1), (3.0, 41.5), 44.5, 0.3)
    assert cut.bass_end == 0.3
    assert cut.limited
    worn = underside_cut((0.5, 0.1), (3.0, 41.5), 44.5, -1.0)
    assert (worn.bass_end, worn.treble_end) == (0.0, 0.0)
    assert worn.limited


def test_a_string_that_is_too_low_is_told_and_nothing_is_cut_there() -> None:
    cut = underside_cut((-0.2, 0.2), (3.0, 41.5), 44.5, NO_LIMIT)
    assert cut.bass_end == 0.0
    assert cut.treble_end > 0.2
    assert cut.raise_bass == pytest.approx(0.2 * 2 ** (1 / 12))
    assert cut.raise_treble == 0.0


def test_a_lone_string_asks_for_a_level_cut() -> None:
    cut = underside_cut((0.2, 0.4), (12.0, 12.0), 24.0, NO_LIMIT)
    assert cut.bass_end == cut.treble_end == pytest.approx(0.3 * 2 ** (1 / 12))
