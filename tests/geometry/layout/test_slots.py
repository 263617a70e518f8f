"""Strings across the nut of a head, their numbers, and which of them goes to which post."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.checks.judge import Level
from geometry.document.build import Nut, Post, String
from geometry.layout.assign import strings_of_posts
from geometry.layout.slots import margins_to, slots_x, trade_numbers
from tests.builds import (
    change,
    eight_on_plates,
    found,
    plain_head,
    row,
    strings,
    three_and_three,
    twelve_strings,
)

INCH = 25.4


def paired(*sizes: float) -> tuple[String, ...]:
    """Courses of two strings of each of these diameters."""
    return tuple(
        String(key=f"c{n}{half}", name="", diameter=size, course=f"c{n}")
        for n, size in enumerate(sizes)
        for half in "ab"
    )


@pytest.mark.parametrize(("hand", "sign"), [("right", 1), ("left", -1)])
def test_treble_is_on_the_right_of_a_right_handed_head(hand: Any, sign: int) -> None:
    # 44.5 - 3 - 3 over five: 7.7 mm apart, 19.25 mm either side of the centre line.
    build = plain_head(strings=strings(*[0.5] * 6), nut=Nut(width=44.5), hand=hand)
    assert list(slots_x(build).values()) == pytest.approx([sign * (19.25 - 7.7 * n) for n in range(6)])


def test_one_of_three_strings_runs_on_the_centre_line() -> None:
    build = plain_head(
        strings=strings(0.25, 0.35, 0.6), nut=Nut(width=30.0, margin_bass=3.9, margin_treble=3.9)
    )
    first, middle, last = slots_x(build).values()
    assert middle == pytest.approx(0.0)
    assert first - middle == pytest.approx(middle - last)
    assert first - middle == pytest.approx(11.1)


def test_margins_run_to_centres_of_single_strings_and_to_edges_otherwise() -> None:
    def outer(**fields: Any) -> float:
        nut = Nut(width=40.0, margin_bass=3.0, margin_treble=3.0, **fields)
        return max(slots_x(plain_head(strings=strings(1.0, 1.0, 2.0), nut=nut)).values())

    # The treble string is 1 mm thick.
    assert outer() == pytest.approx(17.0)
    assert outer(spacing="equal gaps") == pytest.approx(16.5)
    assert outer(margin_to="edge") == pytest.approx(16.5)
    assert outer(spacing="equal gaps", margin_to="centre") == pytest.approx(17.0)
    courses = plain_head(strings=paired(1.0, 1.0), nut=Nut(width=40.0, margin_bass=3.0, margin_treble=3.0))
    assert max(slots_x(courses).values()) == pytest.approx(16.5)


def test_four_courses_over_an_inch_and_an_eighth() -> None:
    # Strings of 9/256 in leave 5/32 in between courses (see the spacing of the nut itself).
    size = 9 / 256 * INCH
    nut = Nut(
        width=1.125 * INCH,
        spacing="equal gaps",
        margin_bass=INCH / 16,
        margin_treble=INCH / 16,
        course_gap=INCH / 16,
    )
    places = list(slots_x(plain_head(strings=paired(*[size] * 4), nut=nut)).values())
    gaps = [one - two - size for one, two in pairwise(places)]
    assert [gap / INCH * 32 for gap in gaps] == pytest.approx([2, 5, 2, 5, 2, 5, 2])


def test_numbers_count_from_the_treble_and_courses_have_letters() -> None:
    mixed = (*strings(0.3, 0.4), *paired(0.5), String(key="last", name="", diameter=1.0))
    assert list(trade_numbers(mixed).values()) == ["1", "2", "3a", "3b", "4"]


def test_a_course_of_very_many_strings_still_has_names() -> None:
    many = tuple(String(key=f"s{n}", name="", diameter=0.3, course="c") for n in range(28))
    numbers = list(trade_numbers(many).values())
    assert numbers[25:] == ["1z", "1.27", "1.28"]


# Strings of posts


def by_number(build: Any) -> dict[str, list[str]]:
    """Trade numbers of the strings on each side, from the nut to the tip."""
    numbers, of_posts = trade_numbers(build.strings), strings_of_posts(build)
    return {each.side: [numbers[of_posts[post.key]] for post in each.posts] for each in build.rows}


def test_outer_strings_go_to_the_posts_nearest_the_nut() -> None:
    assert by_number(three_and_three()) == {"treble": ["1", "2", "3"], "bass": ["6", "5", "4"]}


def test_outer_string_of_a_course_goes_to_the_nearer_post() -> None:
    assert by_number(eight_on_plates()) == {
        "treble": ["1a", "1b", "2a", "2b"],
        "bass": ["4b", "4a", "3b", "3a"],
    }
    assert by_number(twelve_strings())["bass"] == ["6b", "6a", "5b", "5a", "4b", "4a"]


def test_decided_strings_stay_and_the_others_fill_up() -> None:
    posts = (Post(key="p1", string="s3"), Post(key="p2"), Post(key="p3", string=None), Post(key="p4"))
    build = plain_head(row(posts=posts), strings=strings(1, 1, 1, 1), slots=(9.0, -9.0))
    assert strings_of_posts(build) == {"p1": "s3", "p2": "s1", "p4": "s2"}


def test_strings_without_a_post_are_said() -> None:
    missing = found(plain_head(row(), slots=(5.0, -5.0)), "placement")
    assert [each.note for each in missing] == ["String 2 has no post."]
    assert missing[0].level is Level.STOP


@given(st.integers(0, 6), st.integers(0, 6), st.integers(1, 12))
def test_every_string_has_one_post_as_long_as_there_are_posts(treble: int, bass: int, count: int) -> None:
    build = plain_head(
        row("treble", treble), row("bass", bass), strings=strings(*[0.5] * count), slots=(9.0, -9.0)
    )
    given_out = list(strings_of_posts(build).values())
    assert len(given_out) == len(set(given_out)) == min(count, treble + bass)


def test_empty_build_has_no_slots() -> None:
    assert slots_x(plain_head()) == {}
    assert change(plain_head(), hand="left").bass_sign == 1


def test_margins_are_measured_to_what_the_nut_says_or_to_what_suits_its_spacing() -> None:
    centres = plain_head(strings=strings(0.3, 0.4), nut=Nut(width=40.0))
    assert margins_to(centres) == "centre"
    assert margins_to(change(centres, nut=Nut(width=40.0, spacing="equal gaps"))) == "edge"
    assert margins_to(change(centres, nut=Nut(width=40.0, margin_to="edge"))) == "edge"
    paired = tuple(change(string, course="pair") for string in centres.strings)
    assert margins_to(change(centres, strings=paired)) == "edge"
