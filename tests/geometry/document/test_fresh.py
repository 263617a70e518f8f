"""A new build from a starter: whole, saved and read again, and free of faults as it is suggested."""

from __future__ import annotations

import math
from typing import Any

import pytest
from msgspec.structs import replace

from geometry.checks.judge import findings
from geometry.document.build import AlongEdge, Build, OnLine, OnPlate
from geometry.document.codec import read_build, write_build
from geometry.document.fresh import SUGGESTIONS, new_build, strings_of
from geometry.document.outline import Starter
from geometry.document.starters import STARTERS
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import BASS_LARGE, FOUR_ON_PLATE, LIBRARY, SPLIT_POST
from geometry.trade.string_sets import STRING_SETS, StringSet

SHAPES = sorted(STARTERS)
SETS = {each.key: each for each in STRING_SETS}
TUNERS = {each.key: each for each in LIBRARY}


def suggested(shape: Any, **changes: Any) -> Build:
    """The build that is suggested for a starter, some choices taken otherwise."""
    suggestion = SUGGESTIONS[shape]
    chosen: dict[str, Any] = {
        "name": "new",
        "nut_width": suggestion.nut_width,
        "string_set": SETS[suggestion.string_set],
        "hardware": TUNERS[suggestion.hardware],
        "left_handed": False,
    }
    return new_build(shape, **{**chosen, **changes})


def test_there_is_a_suggestion_for_every_starter() -> None:
    assert sorted(SUGGESTIONS) == SHAPES


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("left_handed", [False, True])
def test_what_is_suggested_has_no_fault(shape: Any, left_handed: bool) -> None:
    build = suggested(shape, left_handed=left_handed)
    assert build.hand == ("left" if left_handed else "right")
    assert [each.check for each in findings(build) if each.level == "stop"] == []


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("string_set", STRING_SETS, ids=lambda each: each.key)
def test_every_choice_has_a_post_for_each_string_and_can_be_saved(shape: Any, string_set: StringSet) -> None:
    for hardware in LIBRARY:
        for width in (20.0, 44.5, 90.0):
            build = suggested(shape, string_set=string_set, hardware=hardware, nut_width=width)
            assert read_build(write_build(build)) == build
            posts = [post.key for row in build.rows for post in row.posts]
            assert len(posts) == len(build.strings) == len(string_set.gauges)
            assert build.nut.width == width
            assert build.hardware == (hardware,)


@pytest.mark.parametrize("shape", SHAPES)
def test_a_wider_nut_widens_the_head_by_as_much(shape: Any) -> None:
    usual, wide = suggested(shape), suggested(shape, nut_width=SUGGESTIONS[shape].nut_width + 6.0)
    assert isinstance(usual.outline, Starter)
    assert isinstance(wide.outline, Starter)
    assert usual.outline == STARTERS[shape]
    assert math.isclose(wide.outline.width_low - usual.outline.width_low, 6.0)
    assert math.isclose(wide.outline.width_high - usual.outline.width_high, 6.0)
    assert suggested(shape, nut_width=SUGGESTIONS[shape].nut_width - 6.0).outline == usual.outline


def test_sides_share_the_posts_and_one_side_takes_them_all() -> None:
    six = SETS["guitar-electric-light"]
    assert [(row.side, len(row.posts)) for row in suggested("straight-taper", string_set=six).rows] == [
        ("treble", 3),
        ("bass", 3),
    ]
    assert [(row.side, len(row.posts)) for row in suggested("one-sided", string_set=six).rows] == [
        ("bass", 6)
    ]
    odd = replace(six, gauges=six.gauges[:5])
    assert [len(row.posts) for row in suggested("waisted", string_set=odd).rows] == [2, 3]
    alone = replace(six, gauges=six.gauges[:1])
    assert [(row.side, len(row.posts)) for row in suggested("waisted", string_set=alone).rows] == [
        ("bass", 1)
    ]


@pytest.mark.parametrize(
    ("shape", "hardware", "rule"),
    [
        ("straight-taper", "enclosed", AlongEdge),
        ("one-sided", "split-post", OnLine),
        ("broad-for-plates", "four-on-plate", OnPlate),
    ],
)
def test_the_rule_suits_the_part_and_the_head(shape: Any, hardware: str, rule: type) -> None:
    build = suggested(shape, hardware=TUNERS[hardware])
    assert all(isinstance(row.rule, rule) for row in build.rows)


def test_bodies_that_butt_stand_a_hair_apart() -> None:
    rule = suggested("one-sided", hardware=SPLIT_POST).rows[0].rule
    assert isinstance(rule, OnLine)
    assert SPLIT_POST.body is not None
    assert math.isclose(rule.pitch, SPLIT_POST.body.along + 0.2)


def test_a_plate_with_another_number_of_posts_is_placed_one_by_one() -> None:
    build = suggested("straight-taper", hardware=FOUR_ON_PLATE)
    assert all(isinstance(row.rule, AlongEdge) for row in build.rows)


def test_facing_rows_of_a_narrow_head_are_staggered_by_half_a_pitch() -> None:
    rules = {row.side: row.rule for row in suggested("narrow").rows}
    treble, bass = rules["treble"], rules["bass"]
    assert isinstance(treble, AlongEdge)
    assert isinstance(bass, AlongEdge)
    assert math.isclose(treble.start - bass.start, treble.pitch / 2)
    plates = suggested("narrow", hardware=FOUR_ON_PLATE, string_set=SETS["mandolin"]).rows
    assert plates[0].rule == plates[1].rule


def first_start(hardware: Hardware) -> float:
    """Where the first post of a paddle stands with these tuners."""
    return suggested("rounded-paddle", hardware=hardware).rows[0].rule.start


def test_the_first_seat_lies_on_the_flat_of_the_back() -> None:
    for hardware in LIBRARY:
        build = suggested("rounded-paddle", hardware=hardware)
        seat = hardware.seat
        reach = seat.along / 2 - seat.shift_along if seat and not hardware.plate else 0.0
        assert first_start(hardware) - reach >= build.head.back_flat_from
    assert first_start(BASS_LARGE) > first_start(TUNERS["friction"])
    bare = replace(TUNERS["friction"], seat=None, body=None)
    assert first_start(bare) >= first_start(TUNERS["friction"])


def test_strings_come_from_the_set_with_keys_of_their_own() -> None:
    chosen = SETS["mandolin"]
    strings = strings_of(chosen)
    assert [string.key for string in strings] == [f"s{n}" for n in range(1, len(strings) + 1)]
    assert [(s.name, s.diameter, s.kind, s.course) for s in strings] == [
        (gauge.pitch, gauge.diameter, gauge.kind, gauge.course) for gauge in chosen.gauges
    ]


def test_courses_get_equal_gaps_and_single_strings_equal_centres() -> None:
    assert suggested("broad-for-plates").nut.spacing == "equal gaps"
    assert suggested("straight-taper").nut.spacing == "equal centres"
    assert suggested("straight-taper").scale_length == SETS["guitar-acoustic-light"].scale_length
