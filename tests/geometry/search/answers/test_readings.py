"""A hole is found again from what calipers read between rims, nut and side."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.readings import AGREE, Kind, Reading, located
from geometry.shape.point import Point, Vector
from tests.builds import HALF, plain_head, post_at

BORE = 10.0
MARK = Point(20.0, 100.0)
OTHERS = {"a1": Point(20.0, 60.0), "b1": Point(-20.0, 100.0), "c1": Point(-20.0, 140.0)}
ROWS = (
    post_at(MARK.x, MARK.y, key="m"),
    post_at(20.0, 60.0, key="a"),
    post_at(-20.0, 100.0, "bass", key="b"),
    post_at(-20.0, 140.0, "bass", key="c"),
)
OFFSETS = st.floats(-4.0, 4.0)


def head() -> Layout:
    return lay_out(plain_head(*ROWS))


def read(at: Point, kind: Kind, post: str | None = None, diameter: float = BORE) -> Reading:
    """What calipers read, from the definitions."""
    if kind == "nut":
        return Reading("nut", at.y - diameter / 2)
    if kind == "side":
        return Reading("side", HALF - at.x - diameter / 2)
    apart = at.distance(OTHERS[post or ""])
    radii = (diameter + BORE) / 2
    return Reading(kind, apart - radii if kind == "between" else apart + radii, post)


def every(at: Point, diameter: float = BORE) -> tuple[Reading, ...]:
    return (
        read(at, "nut", diameter=diameter),
        read(at, "side", diameter=diameter),
        read(at, "between", "a1", diameter),
        read(at, "across", "b1", diameter),
        read(at, "between", "c1", diameter),
    )


@given(OFFSETS, OFFSETS, st.sets(st.integers(0, 4), min_size=2))
def test_a_hole_moved_by_a_known_offset_is_found_from_exact_readings(
    x: float, y: float, chosen: set[int]
) -> None:
    at = MARK + Vector(x, y)
    found = located(head(), MARK, BORE, [every(at)[n] for n in sorted(chosen)])
    if found.untold is None:
        assert found.at.distance(at) < 1e-6
        assert found.largest < 1e-6
        assert found.agree
        assert found.suspect is None


def test_another_diameter_than_planned_is_taken_into_account() -> None:
    at = MARK + Vector(0.7, -0.3)
    assert located(head(), MARK, 11.0, every(at, 11.0)).at.distance(at) < 1e-6


def test_two_readings_of_one_length_meet_in_their_middle() -> None:
    readings = (Reading("nut", 95.2), Reading("nut", 95.0), read(MARK, "side"))
    found = located(head(), MARK, BORE, readings)
    assert found.at.distance(MARK + Vector(0.0, 0.1)) < 1e-6
    assert found.residuals == pytest.approx((0.1, -0.1, 0.0), abs=1e-9)


def test_an_unknown_diameter_shows_but_does_not_move_the_hole_between_both_jaws() -> None:
    at = MARK + Vector(0.5, 0.4)
    readings = (read(at, "between", "b1", 10.6), read(at, "across", "b1", 10.6), read(at, "nut"))
    found = located(head(), MARK, BORE, readings)
    assert found.at.distance(at) < 1e-6
    assert found.residuals == pytest.approx((-0.3, 0.3, 0.0), abs=1e-9)


def test_noise_leaves_what_the_readings_have_in_excess() -> None:
    """The squares of residuals are those of the noise times (readings - 2), as in any fit of two unknowns."""
    draw, noise, layout, sums = np.random.default_rng(1), 0.01, head(), []
    for _ in range(400):
        readings = [Reading(r.kind, r.length + draw.normal(0, noise), r.post) for r in every(MARK)]
        sums.append(sum(each**2 for each in located(layout, MARK, BORE, readings).residuals))
    degrees = 3
    error = noise**2 * math.sqrt(2 * degrees / len(sums))
    assert abs(np.mean(sums) - degrees * noise**2) < 4 * error


def test_the_nut_alone_does_not_tell_the_place_across() -> None:
    found = located(head(), MARK, BORE, (read(MARK, "nut"), read(MARK, "between", "a1")))
    assert found.untold is not None
    assert abs(found.untold.x) == pytest.approx(1.0)


def test_one_reading_or_none_tells_no_place() -> None:
    assert located(head(), MARK, BORE, (read(MARK, "side"),)).untold is not None
    found = located(head(), MARK, BORE, ())
    assert found.untold is not None
    assert found.at == MARK
    assert found.largest == 0.0


@pytest.mark.parametrize("number", range(5))
def test_the_reading_that_contradicts_all_others_is_suspected(number: int) -> None:
    readings = list(every(MARK))
    wrong = readings[number]
    readings[number] = Reading(wrong.kind, wrong.length + 2.0, wrong.post)
    found = located(head(), MARK, BORE, readings)
    assert not found.agree
    assert found.largest > AGREE
    assert found.suspect == number


def test_of_three_readings_nobody_can_tell_which_is_wrong() -> None:
    readings = (read(MARK, "nut"), read(MARK, "side"), Reading("between", 45.0, "c1"))
    found = located(head(), MARK, BORE, readings)
    assert not found.agree
    assert found.suspect is None


def test_a_hole_that_stands_on_the_edge_or_outside_is_found() -> None:
    at = Point(HALF + 3.0, 100.0)
    found = located(head(), at, BORE, (Reading("side", -8.0), read(at, "nut")))
    assert found.at.distance(at) < 1e-6
    on_edge = located(head(), Point(HALF, 100.0), BORE, (Reading("side", -5.0), read(at, "nut")))
    assert on_edge.residuals == pytest.approx((0.0, 0.0))


def test_readings_from_a_hole_to_one_at_the_same_place_do_not_divide_by_nothing() -> None:
    found = located(head(), OTHERS["a1"], BORE, (Reading("across", 10.0, "a1"),))
    assert found.at == OTHERS["a1"]
