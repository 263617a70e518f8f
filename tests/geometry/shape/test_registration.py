"""A straight row laid on places so that its largest distance from them is the least possible."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.shape.point import Point, Vector
from geometry.shape.registration import LaidRow, laid_row, smallest_circle
from tests.amount import sampled

UP = Vector(0.0, 1.0)
TOLERANCE = 1e-7


def laid(places: list[complex], pitch: float) -> LaidRow:
    return laid_row(tuple(Point(each.real, each.imag) for each in places), pitch, UP)


def turned(places: list[complex], angle: float, shift: complex) -> list[complex]:
    return [each * complex(math.cos(angle), math.sin(angle)) + shift for each in places]


@pytest.mark.parametrize("apart", [18.0, 22.99, 23.0, 25.5])
def test_two_places_share_the_difference_of_the_pitch(apart: float) -> None:
    found = laid(turned([0, apart], 1.1, 30 - 20j), 23.0)
    assert found.worst == pytest.approx(abs(apart - 23.0) / 2, abs=TOLERANCE)


@pytest.mark.parametrize("count", range(2, 9))
def test_errors_of_the_pitch_add_up(count: int) -> None:
    # Middle on middle, the ends are off by half of what the whole row is too long.
    found = laid(turned([23.1 * n for n in range(count)], -0.3, 5j), 23.0)
    assert found.worst == pytest.approx(0.1 * (count - 1) / 2, abs=TOLERANCE)


@pytest.mark.parametrize(
    ("aside", "worst"), [((0, 0.3, 0), 0.15), ((0, 0, 0.3), 0.075), ((0.2, -0.2, 0.2), 0.2)]
)
def test_a_place_beside_the_line(aside: tuple[float, float, float], worst: float) -> None:
    # The best line of least largest distance, as Chebyshev's alternation has it: the middle one of three even places is
    # off by as much as both ends on the other side, half of what it is off the line through these.
    found = laid([complex(each, 23.0 * n) for n, each in enumerate(aside)], 23.0)
    assert found.worst == pytest.approx(worst, abs=1e-5)


def test_three_places_off_a_triangle_apart() -> None:
    # Shifts of equal length in three directions at 120 degrees: no shift of the row helps. Turning might; that it does
    # not by more than the second order shows where the middle one is the one that is off along the row.
    off = [
        0.05 * complex(math.cos(a), math.sin(a))
        for a in (math.radians(30), math.radians(-90), math.radians(150))
    ]
    found = laid([complex(0.0, 23.0 * n) + each for n, each in zip((0, 1, 2), off, strict=True)], 23.0)
    assert found.worst <= 0.05
    assert found.worst >= max(abs(abs(a - b)) / 2 for a, b in combinations((off[0].imag, off[1].imag), 2))


def test_one_place_is_met() -> None:
    found = laid([3 + 4j], 23.0)
    assert (found.first, found.along, found.worst) == (Point(3.0, 4.0), UP, 0.0)


def test_places_all_alike_still_have_a_row() -> None:
    assert laid([1 + 1j] * 3, 20.0).worst == pytest.approx(20.0, abs=1e-6)


def test_what_fits_keeps_the_direction_that_it_was_given() -> None:
    assert laid([0, 23j, 46j], 23.0).along is UP


offs = st.lists(st.builds(complex, st.floats(-0.4, 0.4), st.floats(-0.4, 0.4)), min_size=2, max_size=6)


@settings(max_examples=sampled(20, of=50), deadline=None)
@given(offs, st.floats(-3, 3), st.builds(complex, st.floats(-50, 50), st.floats(-50, 50)))
def test_rigid_motion_changes_nothing(off: list[complex], angle: float, shift: complex) -> None:
    places = [23j * n + each for n, each in enumerate(off)]
    assert laid(turned(places, angle, shift), 23.0).worst == pytest.approx(
        laid(places, 23.0).worst, abs=TOLERANCE
    )
    mirrored = [complex(-each.real, each.imag) for each in places]
    assert laid(mirrored, 23.0).worst == pytest.approx(laid(places, 23.0).worst, abs=TOLERANCE)


@settings(max_examples=sampled(20, of=50), deadline=None)
@given(offs)
def test_the_row_lies_where_it_says(off: list[complex]) -> None:
    places = [23j * n + each for n, each in enumerate(off)]
    found = laid(places, 23.0)
    shafts = [found.place(23.0, n) for n in range(len(places))]
    apart = [math.hypot(p.x - each.real, p.y - each.imag) for p, each in zip(shafts, places, strict=True)]
    assert max(apart) == pytest.approx(found.worst, abs=1e-9)


@settings(max_examples=sampled(20, of=50), deadline=None)
@given(offs, st.integers(0, 2**32 - 1))
def test_no_row_lies_better(off: list[complex], seed: int) -> None:
    # Rows shifted and turned from there at random, by a micrometre to a millimetre at their ends.
    places = np.array([23j * n + each for n, each in enumerate(off)])
    found = laid(list(places), 23.0)
    draw = np.random.default_rng(seed)
    scale = 10.0 ** draw.uniform(-6, 0, (400, 1))
    shift = scale[:, 0] * (draw.normal(size=400) + 1j * draw.normal(size=400))
    turn = scale[:, 0] * draw.normal(size=400) / 23.0
    steps = 23.0 * np.arange(len(places)) * complex(found.along.x, found.along.y)
    first = complex(found.first.x, found.first.y)
    rows = first + shift[:, None] + steps * np.exp(1j * turn)[:, None]
    assert np.abs(rows - places).max(axis=1).min() >= found.worst - 1e-8


@settings(max_examples=sampled(20, of=50), deadline=None)
@given(st.lists(st.builds(complex, st.floats(-9, 9), st.floats(-9, 9)), min_size=1, max_size=7))
def test_the_smallest_circle_holds_all_and_is_held(numbers: list[complex]) -> None:
    found = smallest_circle(numbers)
    assert all(abs(each - found.centre) <= found.radius + 1e-7 for each in numbers)
    # It is the smallest if its centre lies between places on it: moving it brings it further from one of them.
    assert sum(share for _, share in found.held) == pytest.approx(1.0)
    assert all(share > 0 for _, share in found.held)
    middle = sum(share * numbers[n] for n, share in found.held)
    assert abs(middle - found.centre) < 1e-6
    assert all(abs(numbers[n] - found.centre) == pytest.approx(found.radius, abs=1e-6) for n, _ in found.held)
