"""The factor of a hole in a plate that bends: rows and limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.hole_factor import factor_across, hole_factor


@pytest.mark.parametrize(("diameter", "factor"), [(6, 2.56), (8.8, 2.43), (10, 2.39), (14, 2.27)])
def test_bores_in_15_mm(diameter: float, factor: float) -> None:
    # 1.79 + 0.25 / (0.39 + 2r/t) + 0.81 / (1 + (2r/t)^2) - 0.26 / (1 + (2r/t)^3), by hand to two decimals.
    assert hole_factor(diameter, 15.0) == pytest.approx(factor, abs=0.006)


def test_limits() -> None:
    # A tiny hole: 1.79 + 0.25 / 0.39 + 0.81 - 0.26; a huge one: 1.79.
    assert hole_factor(1e-9, 15.0) == pytest.approx(2.981, abs=5e-4)
    assert hole_factor(1e9, 15.0) == pytest.approx(1.79, abs=1e-6)


@given(st.floats(0.5, 40), st.floats(5, 30), st.floats(0, 1))
def test_across_a_hole_it_falls_from_the_whole_factor_to_one(
    diameter: float, thickness: float, share: float
) -> None:
    whole = hole_factor(diameter, thickness)
    there = factor_across(share * diameter, diameter, thickness)
    assert 1 <= there <= whole + 1e-12
    assert factor_across(diameter, diameter, thickness) == pytest.approx(whole)
