"""Spacings of grid and rulers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.canvas.steps import Steps, steps_for
from geometry.document.lengths import read_length
from geometry.trade.units import Units


@pytest.mark.parametrize("units", ["mm", "inch"])
@given(scale=st.floats(0.2, 400), fine=st.floats(4, 20), named=st.floats(40, 80))
def test_lines_keep_their_distance(units: Units, scale: float, fine: float, named: float) -> None:
    steps = steps_for(scale, units, fine, named)
    assert steps.named % steps.fine == 0
    largest = 500.0 if units == "mm" else 12 * 25.4
    assert steps.named * steps.unit * scale >= named - 1e-6 or steps.named * steps.unit == pytest.approx(
        largest
    )
    assert steps.fine_mm * scale >= fine - 1e-6 or steps.fine == steps.named


@pytest.mark.parametrize(
    ("scale", "units", "fine", "named"),
    [(4.0, "mm", 2.0, 20.0), (40.0, "mm", 0.2, 2.0), (400.0, "mm", 0.02, 0.2), (1.0, "mm", 10.0, 100.0)],
)
def test_millimetres_go_by_one_two_five(scale: float, units: Units, fine: float, named: float) -> None:
    steps = steps_for(scale, units, 6.0, 58.0)
    assert (steps.fine_mm, steps.named * steps.unit) == pytest.approx((fine, named))


def test_inches_go_by_halves_down_to_a_64th() -> None:
    assert [steps_for(scale, "inch", 6.0, 58.0).fine for scale in (1.0, 4.0, 8.0, 20.0, 100.0)] == [
        16,
        4,
        2,
        1,
        1,
    ]


def test_ranks_of_an_inch() -> None:
    steps = Steps("inch", 4, 64)
    assert [steps.rank(place) for place in (0, 64, 32, 16, 48, 8, 4, -32)] == [0, 0, 1, 2, 2, 3, 4, 1]


def test_ranks_of_a_centimetre() -> None:
    steps = Steps("mm", 100, 1000)
    assert [steps.rank(place) for place in (0, 500, 100, 400, -500)] == [0, 1, 2, 2, 1]


def test_places_lie_between_the_ends() -> None:
    assert list(Steps("mm", 200, 1000).places(-3.0, 4.0)) == [-200, 0, 200, 400]


@pytest.mark.parametrize(
    ("place", "name"), [(0, "0"), (-2000, "−20"), (150, "1.5"), (5, "0.05"), (-10, "−0.1"), (100000, "1000")]
)
def test_names_in_millimetres(place: int, name: str) -> None:
    assert Steps("mm", 1, 10).name(place) == name


@pytest.mark.parametrize(("place", "name"), [(0, "0"), (-64, "−1"), (88, "1 3/8"), (-1, "−1/64"), (128, "2")])
def test_names_in_inches(place: int, name: str) -> None:
    assert Steps("inch", 1, 8).name(place) == name


@pytest.mark.parametrize("units", ["mm", "inch"])
@given(place=st.integers(-20_000, 20_000))
def test_names_read_back(units: Units, place: int) -> None:
    steps = Steps(units, 1, 1)
    word = "mm" if units == "mm" else "in"
    assert read_length(f"{steps.name(place)} {word}", negative=True) == pytest.approx(
        place * steps.unit, abs=1e-9
    )
