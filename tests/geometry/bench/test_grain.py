"""Sloping grain against the handbook's table, and the slope against directions in space."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.grain import (
    LEAST_ACROSS,
    MOST_ACROSS,
    USUAL_ACROSS,
    hankinson,
    head_slope,
    neck_slope,
)
from geometry.document.build import Head


@pytest.mark.parametrize(("rise", "left"), [(25, 0.96), (20, 0.93), (15, 0.89), (10, 0.81), (5, 0.55)])
def test_rows_of_the_slope_of_grain_table_lie_in_the_band(rise: int, left: float) -> None:
    # Wood Handbook, modulus of rupture with the grain sloping 1 in 25 to 1 in 5 (from memory): tests on pieces of
    # structural size, which follow the lower end of the band.
    low, high = (hankinson(math.atan(1 / rise), across) for across in (LEAST_ACROSS, MOST_ACROSS))
    assert low - 0.015 < left < high
    assert left < hankinson(math.atan(1 / rise), USUAL_ACROSS)


@pytest.mark.parametrize(
    ("degrees", "least", "usual", "most"),
    [
        (8, 0.68, 0.80, 0.85),
        (10, 0.58, 0.71, 0.79),
        (13, 0.45, 0.60, 0.69),
        (14, 0.42, 0.56, 0.65),
        (15, 0.38, 0.53, 0.62),
        (17, 0.33, 0.47, 0.57),
    ],
)
def test_heads_of_one_piece(degrees: float, least: float, usual: float, most: float) -> None:
    # P Q / (P sin^2 + Q cos^2) by hand for Q / P of 0.04, 0.07 and 0.10, to two decimals.
    found = [hankinson(math.radians(degrees), across) for across in (LEAST_ACROSS, USUAL_ACROSS, MOST_ACROSS)]
    assert found == pytest.approx([least, usual, most], abs=0.006)


@given(st.floats(0.01, 0.5))
def test_half_way_between_along_and_across_it_is_their_harmonic_mean(across: float) -> None:
    # At 45 degrees N = 2 P Q / (P + Q); at 60 degrees, with sin^2 = 3/4, N = 4 P Q / (3 P + Q).
    assert hankinson(math.pi / 4, across) == pytest.approx(2 * across / (1 + across))
    assert hankinson(math.pi / 3, across) == pytest.approx(4 * across / (3 + across))


@given(st.floats(0.01, 0.5), st.floats(1.5, 2.0))
def test_along_the_grain_all_is_left_and_across_it_the_share(across: float, exponent: float) -> None:
    assert hankinson(0.0, across, exponent) == pytest.approx(1.0)
    assert hankinson(math.pi / 2, across, exponent) == pytest.approx(across)
    assert hankinson(-0.3, across, exponent) == hankinson(0.3, across, exponent)


def test_a_scarf_joint_lets_the_grain_follow_the_head() -> None:
    assert head_slope(Head(angle_deg=14.0)) == pytest.approx(math.radians(14))
    assert head_slope(Head(angle_deg=14.0, joint="scarf")) == pytest.approx(0.0)
    assert head_slope(Head(angle_deg=0.0)) == pytest.approx(0.0)


def test_the_grain_runs_along_the_neck() -> None:
    assert neck_slope(Head(angle_deg=14.0)) == pytest.approx(0.0)
    # A board turned for both turns it in the neck too; one scarfed on has a neck of its own.
    assert neck_slope(Head(angle_deg=14.0, grain_deg=-5.0)) == pytest.approx(math.radians(5))
    assert neck_slope(Head(angle_deg=14.0, grain_deg=5.0, joint="scarf")) == pytest.approx(0.0)


@given(st.floats(0, 60), st.floats(-180, 180))
def test_slopes_add_up_in_space(falls_back: float, turned: float) -> None:
    # The grain along the neck, (0, cos a, sin a) seen from the head, turned about the head's normal.
    a, g = math.radians(falls_back), math.radians(turned)
    grain = (-math.sin(g) * math.cos(a), math.cos(g) * math.cos(a), math.sin(a))
    found = head_slope(Head(angle_deg=falls_back, grain_deg=turned))
    assert math.cos(found) == pytest.approx(abs(grain[1]), abs=1e-9)
    assert math.hypot(*grain) == pytest.approx(1.0)
