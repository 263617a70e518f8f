"""Radii shared out: closed forms, and the law that no radius can grow without a smaller one shrinking."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from geometry.search.rings.rings import fill

MOST = 10.0


def shared(weights: list[list[float]], margins: list[float], most: float = MOST) -> list[float]:
    table = np.array(weights, dtype=float)
    found: list[float] = fill(table, np.array(margins), np.full(table.shape[1], most)).tolist()
    return found


def test_a_gap_of_two_is_shared_equally() -> None:
    assert shared([[1, 1]], [3.0]) == pytest.approx([1.5, 1.5])


def test_what_one_cannot_use_the_other_gets() -> None:
    assert shared([[1, 1], [1, 0]], [3.0, 1.0]) == pytest.approx([1.0, 2.0])


def test_a_chain_fills_from_its_narrowest_place() -> None:
    # 1-2 leaves 1 each; 2-3 has 4 left, 1 of it taken by 2; 3-4 then leaves 4 - 3 = 1 or what is left of the most.
    assert shared([[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1]], [2.0, 4.0, 12.0]) == pytest.approx([1, 1, 3, 9])


def test_nothing_in_the_way_leaves_the_most() -> None:
    assert shared([[0.0, 0.0]], [1.0], most=4.0) == [4.0, 4.0]


def test_without_slack_nobody_gets_anything() -> None:
    assert shared([[1, 1, 0]], [-2.0]) == [0.0, 0.0, MOST]


@st.composite
def problems(draw: st.DrawFn) -> tuple[list[list[float]], list[float]]:
    posts = draw(st.integers(1, 5))
    weight = st.sampled_from([0.0, 0.0, 0.25, 0.5, 1.0])
    rows = draw(
        st.lists(
            st.lists(weight, min_size=posts, max_size=posts),
            min_size=1,
            max_size=8,
        )
    )
    margins = draw(st.lists(st.floats(0.0, 12.0), min_size=len(rows), max_size=len(rows)))
    return rows, margins


@given(problems())
def test_no_radius_grows_without_a_smaller_one_shrinking(
    problem: tuple[list[list[float]], list[float]],
) -> None:
    weights, margins = problem
    radii = np.array(shared(weights, margins))
    table = np.array(weights)
    assert (table @ radii <= np.array(margins) + 1e-7).all()
    for number, radius in enumerate(radii):
        # Whoever is no larger keeps at least what it has; how large can this one become?
        floor = np.where((radii <= radius + 1e-9) & (np.arange(len(radii)) != number), radii, 0.0)
        aim = np.zeros(len(radii))
        aim[number] = -1.0
        bounds = [(max(0.0, low - 1e-9), MOST) for low in floor]
        best = linprog(aim, A_ub=table, b_ub=np.array(margins) + 1e-9, bounds=bounds)
        assert best.status == 0
        assert best.fun is not None
        assert -best.fun <= radius + 1e-6
