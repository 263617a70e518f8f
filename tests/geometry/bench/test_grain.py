"""Sloping grain against the handbook's table, and the slope against directions in space."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.grain import hankinson, slope
from geometry.build.build import Head


@pytest.mark.parametrize(("rise", "left"), [(25, 0.96), (20, 0.93), (15, 0.89), (10, 0.81), (5, 0.55)])
def test_rows_of_the_slope_of_grain_table(rise: int, left: float) -> None:
    # Wood Handbook, strength of wood with the grain sloping 1 in 25 to 1 in 5, modulus of rupture (from memory);
    # the formula errs to the safe side where the slope is steepest, 0.52.
    assert hankinson(math.atan(1 / rise)) == pytest.approx(left, abs=0.035)


@pytest.mark.parametrize(
    ("degrees", "across", "left"),
    [
        (8, 0.04, 0.68),
        (8, 0.07, 0.80),
        (10, 0.10, 0.79),
        (13, 0.04, 0.45),
        (14, 0.04, 0.42),
        (14, 0.10, 0.65),
        (17, 0.07, 0.47),
    ],
)
def test_heads_of_one_piece(degrees: float, across: float, left: float) -> None:
    # P Q / (P sin^2 + Q cos^2) by hand, to two decimals.
    assert hankinson(math.radians(degrees), across) == pytest.approx(left, abs=0.006)


@given(st.floats(0.01, 0.5), st.floats(1.5, 2.0))
def test_along_the_grain_all_is_left_and_across_it_the_share(across: float, exponent: float) -> None:
    assert hankinson(0.0, across, exponent) == pytest.approx(1.0)
    assert hankinson(math.pi / 2, across, exponent) == pytest.approx(across)
    assert hankinson(-0.3, across, exponent) == hankinson(0.3, across, exponent)


def test_a_scarf_joint_lets_the_grain_follow_the_head() -> None:
    assert slope(Head(angle_deg=14.0)) == pytest.approx(math.radians(14))
    assert slope(Head(angle_deg=14.0, joint="scarf")) == pytest.approx(0.0)
    assert slope(Head(angle_deg=0.0)) == pytest.approx(0.0)


@given(st.floats(0, 60), st.floats(-180, 180))
def test_slopes_add_up_in_space(falls_back: float, turned: float) -> None:
    # The grain along the neck, (0, cos a, sin a) seen from the head, turned about the head's normal.
    a, g = math.radians(falls_back), math.radians(turned)
    grain = (-math.sin(g) * math.cos(a), math.cos(g) * math.cos(a), math.sin(a))
    found = slope(Head(angle_deg=falls_back, grain_deg=turned))
    assert math.cos(found) == pytest.approx(abs(grain[1]), abs=1e-9)
    assert math.hypot(*grain) == pytest.approx(1.0)
