"""Quantities as text: published conversions, round trips, figures that fit."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.lengths import read_length
from geometry.trade.quantities import (
    CLEARANCE,
    CLOSE,
    CUT,
    DEPTH,
    FILED,
    SAWN,
    SECTION,
    Step,
    bare_length,
    figures,
    show_angle,
    show_density,
    show_force,
    show_gauge,
    show_length,
    show_mass,
    show_measured,
    show_moment,
    show_need,
    show_radius,
    show_share,
    show_stress,
    show_unit_weight,
    typed_number,
    with_sign,
)
from geometry.trade.units import Units

# Published, NIST SP 811 (2008), Appendix B.8; the inch is exact.
NEWTONS, PASCALS, NEWTON_METRES, GRAMS = 4.448222, 6894.757, 0.1129848, 28.34952
STEPS = (CLEARANCE, CLOSE, FILED, DEPTH, SECTION, SAWN, CUT)

lengths = st.floats(-9_999, 9_999)
both = st.sampled_from(("mm", "inch"))


def number_in(text: str) -> float:
    """The number before the unit."""
    return float(text.split()[0].replace("−", "-").replace(",", ""))


@pytest.mark.parametrize(
    ("show", "factor", "unit"),
    [
        (show_force, NEWTONS, "lbf"),
        (show_stress, PASCALS / 1e6, "psi"),
        (show_moment, NEWTON_METRES, "lbf·in"),
    ],
)
@given(pounds=st.floats(0.01, 1e6), count=st.integers(2, 4))
def test_pounds_come_back_to_their_figures(
    show: Callable[[float, Units, int], str], factor: float, unit: str, pounds: float, count: int
) -> None:
    text = show(pounds * factor, "inch", count)
    assert text.split()[1] == unit
    # Half of the last figure, and what the published factor is rounded by.
    assert number_in(text) == pytest.approx(pounds, rel=0.5 * 10 ** (1 - count) + 1e-6)


@given(ounces=st.floats(0, 500))
def test_ounces_come_back_to_a_tenth(ounces: float) -> None:
    text = show_mass(ounces * GRAMS, "inch")
    assert text.endswith(" oz")
    assert abs(number_in(text) - ounces) <= 0.05 + 1e-4


@given(length=lengths, units=both, step=st.sampled_from(STEPS))
def test_a_length_is_within_half_a_step(length: float, units: Units, step: Step) -> None:
    text = show_length(length, units, step)
    words = step.millimetres if units == "mm" else step.inches
    top, _, bottom = words.partition("/")
    size = float(top) / float(bottom or 1) * (1 if units == "mm" else 25.4)
    assert abs(read_length(text, negative=True) - length) <= size / 2 + 1e-6


@given(length=lengths, units=both)
def test_what_was_typed_comes_back(length: float, units: Units) -> None:
    text = show_length(length, units)
    assert (
        abs(read_length(text, negative=True) - length) <= (0.005 if units == "mm" else 0.0005 * 25.4) + 1e-6
    )
    assert show_length(read_length(text, negative=True), units) == text


@given(st.integers(-99_999, 99_999))
def test_thousandths_are_told_as_typed(thousandths: int) -> None:
    assert read_length(show_length(thousandths / 1000, "mm"), negative=True) == thousandths / 1000
    assert read_length(show_length(thousandths / 1000 * 25.4, "inch"), negative=True) == pytest.approx(
        thousandths / 1000 * 25.4, abs=1e-9
    )


@pytest.mark.parametrize(
    ("length", "units", "text"),
    [
        (44.5, "mm", "44.5 mm"),
        (44.0, "mm", "44 mm"),
        (9.921875, "mm", "9.92 mm"),
        (0.635, "mm", "0.635 mm"),
        (-3.25, "mm", "−3.25 mm"),
        (-0.0, "mm", "0 mm"),
        (44.45, "inch", "1 3/4 in"),
        (-44.45, "inch", "−1 3/4 in"),
        (0.0, "inch", "0 in"),
        (0.2667, "inch", "0.0105 in"),
        (29.987, "inch", "1.181 in"),
        (12.0, "inch", "0.472 in"),
    ],
)
def test_as_typed(length: float, units: Units, text: str) -> None:
    assert show_length(length, units) == text


@pytest.mark.parametrize(
    ("length", "step", "millimetres", "inches"),
    [
        (29.987, SECTION, "30.0 mm", "1.18 in"),  # sections lie half a millimetre apart
        (6.4, CLEARANCE, "6.4 mm", "0.252 in"),
        (0.25, CLEARANCE, "0.3 mm", "0.010 in"),
        (8.73, CLOSE, "8.73 mm", "0.344 in"),
        (1.27, FILED, "1.27 mm", "0.0500 in"),
        (12.0, DEPTH, "12.0 mm", "0.47 in"),
        (66.04, SAWN, "66.0 mm", "2 19/32 in"),  # 2.6 in lies next to 38/64
        (129.4, CUT, "129 mm", "5 1/8 in"),  # 5.094 in, next to 82/16
        (0.2, CUT, "0 mm", "0 in"),
    ],
)
def test_steps(length: float, step: Step, millimetres: str, inches: str) -> None:
    assert show_length(length, "mm", step) == millimetres
    assert show_length(length, "inch", step) == inches
    assert f"{bare_length(length, 'mm', step)} mm" == millimetres


def test_worked_out_lengths_keep_what_matters() -> None:
    assert show_measured(6.04, "mm") == "6.0 mm"
    assert show_measured(0.456, "mm") == "0.46 mm"
    assert show_measured(2.9996, "mm", 2) == "3.000 mm"
    assert show_measured(2.9996, "mm", 3) == "2.9996 mm"
    assert show_measured(25.4, "inch") == "1.000 in"
    assert SAWN.finer(1) == Step("0.01", "0.0001")


def test_gauges_are_decimals() -> None:
    assert show_gauge(0.254, "mm") == "0.254 mm"
    assert show_gauge(0.3, "mm") == "0.3 mm"
    assert show_gauge(0.254, "inch") == "0.010 in"
    assert show_gauge(0.396875, "inch") == "0.0156 in"  # 1/64 in, which no set of strings says


@given(radius=st.floats(0, 20), units=both)
def test_rings_are_never_rounded_up(radius: float, units: Units) -> None:
    assert read_length(show_radius(radius, units)) <= radius + 1e-8


@given(length=st.floats(0, 500), units=both)
def test_needs_are_never_rounded_down(length: float, units: Units) -> None:
    assert length - 1e-8 <= read_length(show_need(length, units)) <= length + 0.26


def test_halves_go_up_whatever_the_dust() -> None:
    for tenths in range(1, 200):
        assert show_length((tenths + 0.5) * 0.1, "mm", CLEARANCE) == f"{(tenths + 1) / 10:.1f} mm"


@pytest.mark.parametrize(
    ("value", "count", "text"),
    [
        (0.0, 2, "0"),
        (9.96, 2, "10"),
        (0.0996, 2, "0.10"),
        (1234.0, 2, "1200"),
        (1.0, 2, "1.0"),
        (-72.449, 3, "−72.4"),
        (0.000_022_15, 3, "0.0000222"),
        (float("inf"), 2, "–"),
    ],
)
def test_figures(value: float, count: int, text: str) -> None:
    assert figures(value, count) == text


@given(value=st.floats(1e-6, 1e9), count=st.integers(1, 6))
def test_figures_are_as_good_as_their_number(value: float, count: int) -> None:
    assert float(figures(value, count)) == pytest.approx(value, rel=0.5 * 10 ** (1 - count) + 1e-12)


def test_published_values_read_as_published() -> None:
    # ASTM A228, 0.010 in wire: 387 ksi. Wood Handbook FPL-GTR-190 Table 5-3b: sugar maple bends at 15,800 psi.
    assert show_stress(387_000 * PASCALS / 1e6, "inch") == "387,000 psi"
    assert show_stress(109.0, "inch") == "15,800 psi"
    # Hard maple of 706 kg/m3 is 44 lb/ft3; a string of 0.00002215 lb/in weighs 0.3956 g/m.
    assert show_density(706.0, "inch") == "44 lb/ft³"
    assert show_unit_weight(0.3956, "inch") == "0.0000222 lb/in"


def test_angles_shares_and_numbers() -> None:
    assert show_angle(-12.25) == "−12.3°"
    assert show_angle(3.14159, 2) == "3.142°"
    assert show_share(0.455) == "46 %"
    assert show_share(0.4555, 1) == "45.6 %"
    assert typed_number(1 / 3) == "0.33"
    assert typed_number(2.125) == "2.125"
    assert show_mass(182.6, "mm") == "183 g"
    assert show_mass(-0.2, "mm") == "0 g"
    assert show_mass(-12.4, "mm") == "−12 g"
    assert show_density(705.6, "mm") == "706 kg/m³"


def test_differences_have_a_sign() -> None:
    assert with_sign("0.3 mm") == "+0.3 mm"
    assert with_sign("−0.3 mm") == "−0.3 mm"
    assert with_sign("0.00") == "0.00"
