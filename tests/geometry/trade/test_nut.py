"""Slots across the nut, against examples worked out by hand."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from geometry.trade.nut import Margins, slot_positions

INCH = 25.4

Spacing = Literal["equal centres", "equal gaps"]
SPACINGS: tuple[Spacing, ...] = ("equal centres", "equal gaps")


def singles(*diameters: float) -> tuple[tuple[float, ...], ...]:
    return tuple((diameter,) for diameter in diameters)


def steps(places: tuple[float, ...]) -> list[float]:
    return [after - before for before, after in pairwise(places)]


@pytest.mark.parametrize(
    ("width", "margin", "step"),
    [
        # 44.5 less both margins of 3 leaves 38.5 mm for five steps.
        (44.5, 3.0, 7.7),
        # 1.75 in less 0.25 in for both margins, over 5: 0.300 in
        (1.75 * INCH, 0.125 * INCH, 0.300 * INCH),
    ],
)
def test_six_strings_at_equal_centres(width: float, margin: float, step: float) -> None:
    places = slot_positions(
        width, singles(*[0.3] * 6), Margins(margin, margin, "centre"), "equal centres", 2.0
    )
    assert steps(places) == pytest.approx([step] * 5)
    assert (places[0], places[-1]) == pytest.approx((margin, width - margin))


def test_six_strings_at_equal_gaps() -> None:
    # 1.442 in over the outer strings, diameters .010 .013 .017 .026 .036 .046 = .148 in: (1.442 - .148) / 5 = .2588 in.
    sizes = [size * INCH for size in (0.010, 0.013, 0.017, 0.026, 0.036, 0.046)]
    width = 1.442 * INCH + 6.0
    places = slot_positions(width, singles(*sizes), Margins(3.0, 3.0, "edge"), "equal gaps", 2.0)
    gaps = [step - (one + two) / 2 for step, (one, two) in zip(steps(places), pairwise(sizes), strict=True)]
    assert gaps == pytest.approx([0.2588 * INCH] * 5)
    assert places[0] - sizes[0] / 2 == pytest.approx(3.0)
    assert places[-1] + sizes[-1] / 2 == pytest.approx(width - 3.0)


def test_four_courses_of_two() -> None:
    # Nut 1 1/8 in, outer string edge 1/16 in from the end, pair gap 1/16 in. With strings of 9/256 in throughout
    # 1 1/8 - 2/16 - 4/16 - 8 x 9/256 = 15/32 in are left for three gaps between courses: 5/32 in each.
    size, small = 9 / 256 * INCH, INCH / 16
    places = slot_positions(
        1.125 * INCH, ((size, size),) * 4, Margins(small, small, "edge"), "equal gaps", small
    )
    gaps = [step - size for step in steps(places)]
    between = 5 / 32 * INCH
    assert gaps == pytest.approx([small, between, small, between, small, between, small])
    assert places[0] == pytest.approx(small + size / 2)


def test_three_strings_on_a_narrow_nut() -> None:
    # 30 mm wide, 3.9 mm margins: (30 - 7.8) / 2 = 11.1 mm apart, the middle one on the centre line.
    places = slot_positions(30.0, singles(0.3, 0.4, 0.6), Margins(3.9, 3.9, "centre"), "equal centres", 2.0)
    assert places == pytest.approx((3.9, 15.0, 26.1))


def test_margins_differ() -> None:
    places = slot_positions(50.0, singles(1.0, 1.0), Margins(2.0, 5.0, "centre"), "equal centres", 2.0)
    assert places == pytest.approx((2.0, 45.0))
    places = slot_positions(50.0, singles(1.0, 3.0), Margins(2.0, 5.0, "edge"), "equal centres", 2.0)
    assert places == pytest.approx((2.5, 43.5))


def test_courses_at_equal_centres_spread_their_middles() -> None:
    # Pairs 2 mm gap of 1 mm strings are 3 mm wide between centres; outer strings at 3 and 37: middles at 4.5, 20, 35.5.
    places = slot_positions(
        40.0, ((1.0, 1.0), (1.0,), (1.0, 1.0)), Margins(2.5, 2.5, "edge"), "equal centres", 2.0
    )
    assert places == pytest.approx((3.0, 6.0, 20.0, 34.0, 37.0))


@pytest.mark.parametrize("spacing", SPACINGS)
def test_one_course_stands_between_the_margins(spacing: Spacing) -> None:
    lone = slot_positions(30.0, ((1.0,),), Margins(4.0, 6.0, "centre"), spacing, 2.0)
    pair = slot_positions(30.0, ((1.0, 1.0),), Margins(4.0, 4.0, "centre"), spacing, 2.0)
    assert lone == pytest.approx((14.0,))
    assert pair == pytest.approx((13.5, 16.5))


@pytest.mark.parametrize("spacing", SPACINGS)
def test_no_strings_no_slots(spacing: Spacing) -> None:
    assert slot_positions(40.0, (), Margins(3.0, 3.0, "centre"), spacing, 2.0) == ()


sizes = st.floats(0.2, 3.0)
courses = st.lists(st.lists(sizes, min_size=1, max_size=3).map(tuple), min_size=2, max_size=6).map(tuple)


@given(courses, st.sampled_from(SPACINGS), st.sampled_from(["centre", "edge"]), st.floats(0.2, 3.0))
def test_turned_round_the_nut_reads_the_same(
    given_courses: tuple[tuple[float, ...], ...], spacing: Spacing, to: Literal["centre", "edge"], gap: float
) -> None:
    places = slot_positions(80.0, given_courses, Margins(2.0, 3.0, to), spacing, gap)
    back = tuple(course[::-1] for course in given_courses[::-1])
    turned = slot_positions(80.0, back, Margins(3.0, 2.0, to), spacing, gap)
    assert [80.0 - place for place in turned[::-1]] == pytest.approx(places)


@given(courses, st.floats(0.2, 3.0))
def test_gaps_between_courses_are_equal_and_within_them_as_asked(
    given_courses: tuple[tuple[float, ...], ...], gap: float
) -> None:
    flat = [size for course in given_courses for size in course]
    assume(sum(flat) + gap * len(flat) < 60)
    places = slot_positions(80.0, given_courses, Margins(2.0, 2.0, "edge"), "equal gaps", gap)
    gaps = [step - (one + two) / 2 for step, (one, two) in zip(steps(places), pairwise(flat), strict=True)]
    ends, total = set(), 0
    for course in given_courses[:-1]:
        total += len(course)
        ends.add(total - 1)
    between = [each for place, each in enumerate(gaps) if place in ends]
    within = [each for place, each in enumerate(gaps) if place not in ends]
    assert between == pytest.approx([between[0]] * len(between))
    assert within == pytest.approx([gap] * len(within))
    assert (places[0] - flat[0] / 2, places[-1] + flat[-1] / 2) == pytest.approx((2.0, 78.0))
