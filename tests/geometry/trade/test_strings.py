"""Weights, pulls, stresses and strengths of strings, against textbook examples and closed forms."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.trade.pitch import frequency
from geometry.trade.string_sets import StringKind
from geometry.trade.strings import (
    DENSITIES,
    past_the_post,
    solid_weight,
    stress,
    tension,
    usual_weight,
    weight_for,
    wire_strength,
)
from geometry.trade.units import POUND_FORCE, PSI

INCH = 25.4
STEEL = 7800.0


def hertz(name: str) -> float:
    found = frequency(name)
    assert found is not None
    return found


# Mersenne's law


@pytest.mark.parametrize(
    ("kilogram_per_metre", "length", "at", "newton"),
    [
        # An open university physics text, section 16.3: 3.09e-4 kg/m at 56.40 N, waves of 427.23 m/s; a string of
        # 5.78e-3 kg/m takes 1055 N for the same speed. Speed is 2 L f; here over half a metre.
        (3.09e-4, 0.5, 427.23, 56.40),
        (5.78e-3, 0.5, 427.23, 1055.0),
        # Worked examples of textbooks: 0.33 m and 1.25e-4 kg in all at 640 Hz; 1.25e-3 kg on 1.60 m over 1.15 m at
        # 50 Hz; 0.81 m and 0.002 kg at 394 Hz.
        (1.25e-4 / 0.33, 0.33, 640.0, 67.6),
        (1.25e-3 / 1.60, 1.15, 50.0, 10.3),
        (0.002 / 0.81, 0.81, 394.0, 1005.9),
    ],
)
def test_pull_of_worked_examples(kilogram_per_metre: float, length: float, at: float, newton: float) -> None:
    assert tension(1000 * kilogram_per_metre, 1000 * length, at) == pytest.approx(newton, rel=5e-3)


def test_weight_of_a_worked_example() -> None:
    # C4 at 261.61 Hz over 0.56 m and 193.5 N: 0.0022 kg/m, worked in a textbook to two figures.
    assert weight_for(193.5, 560.0, 261.61) == pytest.approx(2.2, rel=0.03)


@pytest.mark.parametrize(
    ("inches", "pitch", "length", "newton"),
    [
        # By hand from u = rho pi d^2 / 4 with 7850 kg/m3 and T = u (2 L f)^2; lengths 25.5 in and 13.875 in.
        (0.010, "E4", 25.5, 72.5),
        (0.013, "B3", 25.5, 68.8),
        (0.017, "G3", 25.5, 74.1),
        (0.012, "E4", 25.5, 104.4),
        (0.016, "B3", 25.5, 104.2),
        (0.011, "E5", 13.875, 103.9),
        (0.015, "A4", 13.875, 86.1),
    ],
)
def test_pull_of_plain_steel(inches: float, pitch: str, length: float, newton: float) -> None:
    weight = solid_weight(inches * INCH, 7850.0)
    assert round(tension(weight, length * INCH, hertz(pitch)), 1) == newton


def test_a_plain_ten_at_e4_is_at_54_percent() -> None:
    # 25.5 in: 1431 MPa = 207.5 thousand psi, of at least 387.
    diameter = 0.010 * INCH
    pull = tension(solid_weight(diameter, 7850.0), 25.5 * INCH, hertz("E4"))
    assert pull / POUND_FORCE == pytest.approx(16.3, abs=0.05)
    assert stress(pull, diameter) == pytest.approx(1431, abs=1)
    assert stress(pull, diameter) / PSI / 1000 == pytest.approx(207.5, abs=0.1)
    strength = wire_strength(diameter)
    assert strength is not None
    assert round(100 * stress(pull, diameter) / strength) == 54


@given(st.floats(0.1, 3.0), st.floats(300.0, 900.0), st.floats(30.0, 800.0))
def test_stress_of_a_solid_string_does_not_depend_on_its_diameter(
    diameter: float, length: float, at: float
) -> None:
    # rho (2 L f)^2 in Pa.
    pull = tension(solid_weight(diameter, STEEL), length, at)
    assert stress(pull, diameter) == pytest.approx(STEEL * (2 * length / 1000 * at) ** 2 / 1e6)
    assert weight_for(pull, length, at) == pytest.approx(solid_weight(diameter, STEEL))


# Weights


@pytest.mark.parametrize(
    ("inches", "gram_per_metre", "pound_per_inch"),
    [
        (0.008, 0.2546, 1.426e-5),
        (0.009, 0.3222, 1.804e-5),
        (0.010, 0.3978, 2.227e-5),
        (0.012, 0.5728, 3.207e-5),
        (0.016, 1.0183, 5.702e-5),
        (0.020, 1.5911, 8.910e-5),
        (0.026, 2.6889, 1.506e-4),
    ],
)
def test_weight_of_plain_steel(inches: float, gram_per_metre: float, pound_per_inch: float) -> None:
    # By hand with 7850 kg/m3.
    found = solid_weight(inches * INCH, 7850.0)
    assert found == pytest.approx(gram_per_metre, abs=6e-5)
    # A pound is 453.59237 g.
    assert found / 453.59237 / 1000 * INCH == pytest.approx(pound_per_inch, rel=5e-4)


def test_plain_steel_is_as_heavy_as_music_wire() -> None:
    # ASTM A228 material sheets: 7.8 g/cm3; the published weights of plain strings imply 7800 to 7810 kg/m3.
    found = usual_weight("plain", 0.010 * INCH)
    assert found.value == pytest.approx(0.3978 * 7800 / 7850, abs=6e-5)
    assert not found.estimate


@pytest.mark.parametrize(("kind", "least", "most"), [("nylon", 1040, 1150), ("gut", 1200, 1400)])
def test_nylon_and_gut_by_their_densities(kind: StringKind, least: float, most: float) -> None:
    found = usual_weight(kind, 1.0)
    assert least <= DENSITIES[kind].value <= most
    assert found.value == pytest.approx(DENSITIES[kind].value * math.pi / 4 * 1e-3)
    assert "from memory" in found.source
    assert not found.estimate


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        # Shares of solid steel seen in published tables of strings, from memory; where the wrap is not told the
        # pull must not be told too low.
        ("nickel wound", 0.80, 0.86),
        ("bronze wound", 0.91, 0.935),
        ("wound", 0.91, 0.935),
    ],
)
def test_a_wound_string_is_an_estimate_and_says_so(kind: StringKind, least: float, most: float) -> None:
    found = usual_weight(kind, 1.0)
    assert found.estimate
    assert found.source.startswith("estimate")
    assert least <= found.value / solid_weight(1.0, STEEL) <= most


# Strength


@pytest.mark.parametrize(
    ("inches", "ksi"),
    [
        *[(0.008, 399), (0.009, 393), (0.010, 387), (0.011, 382), (0.012, 377), (0.013, 373), (0.014, 369)],
        *[(0.016, 362), (0.018, 356), (0.020, 350), (0.022, 345), (0.024, 341)],
        # Half-way between two diameters of the table.
        *[(0.015, 365.5), (0.017, 359.0), (0.0085, 396.0)],
    ],
)
def test_strength_of_music_wire(inches: float, ksi: float) -> None:
    # ASTM A228 music wire, least tensile strength, the rows of the table from 0.008 to 0.024 in.
    assert wire_strength(inches * INCH) == pytest.approx(ksi * 6.894757, rel=1e-6)


@pytest.mark.parametrize("inches", [0.0079, 0.0241, 0.001, 0.1])
def test_no_strength_is_made_up_outside_of_the_table(inches: float) -> None:
    assert wire_strength(inches * INCH) is None


# Cutting


def test_length_past_the_post() -> None:
    # Two turns of a 1 mm string round a post of 6 mm: 2 x 7 pi, and 25 mm.
    assert past_the_post(6.0, 1.0, 2.0) == pytest.approx(14 * math.pi + 25)
    assert past_the_post(6.0, 1.0, 0.0) == 25.0
