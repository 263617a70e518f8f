"""Which heads have sides that are alike, and how their rows are kept so."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.build import AlongEdge, Build, Moved, OldHole, OnLine, Row
from geometry.document.edits import move_post, set_drilled, set_rule, set_string_of
from geometry.layout.layout import lay_out
from geometry.search.placing.alike import TEXTS, Twins, Unlike, say_unlike, twins_of
from geometry.search.placing.handles import Handles, handles_of
from geometry.search.placing.standing import Kind, Wish
from geometry.shape.point import Point
from tests.amount import sampled
from tests.asymmetric_builds import HEADS, asymmetric
from tests.builds import (
    bass_two_and_two,
    change,
    eight_on_plates,
    four_friction,
    mirror_of,
    nodes,
    plain_head,
    row,
    six_in_line,
    three_and_three,
    three_strings,
    tuner,
    twelve_strings,
)

ALIKE = (three_and_three, eight_on_plates, four_friction, bass_two_and_two, twelve_strings)


def sides(build: Build) -> Twins | Unlike:
    return twins_of(build, lay_out(build))


def off(build: Build, one: str, two: str) -> float:
    """How far a post is from the mirror image of another, in mm: the mirror stands on x = 0."""
    at = {post.key: post.at for post in lay_out(build).posts}
    return Point(-at[one].x, at[one].y).distance(at[two])


def pairs_of(build: Build) -> list[tuple[str, str]]:
    """Posts across the head from each other, by their place in their rows."""
    treble, bass = (next(each for each in build.rows if each.side == side) for side in ("treble", "bass"))
    return [(one.key, two.key) for one, two in zip(treble.posts, bass.posts, strict=True)]


# Which heads are


@pytest.mark.parametrize("make", ALIKE)
def test_sides_that_are_alike_for_both_hands(make: Any) -> None:
    assert sides(make()) == ((0, 1),)
    assert sides(mirror_of(make())) == ((0, 1),)


@pytest.mark.parametrize("make", [six_in_line, three_strings])
def test_sides_with_other_numbers_of_tuners_are_not(make: Any) -> None:
    for build in (make(), mirror_of(make())):
        assert isinstance(sides(build), Unlike)


@pytest.mark.parametrize("number", range(len(HEADS)))
def test_heads_for_other_numbers_or_tuners_are_not(number: int) -> None:
    head = HEADS[number]
    if head.bass != head.treble or head.mixed:
        assert isinstance(sides(asymmetric(number)), Unlike)


def _strings_crossed(build: Build) -> Build:
    return set_string_of(set_string_of(build, "t1", "s3"), "t3", "s1")


def _hole_on_one_side(build: Build) -> Build:
    return change(build, old_holes=(OldHole(key="old", at=Point(14.0, 60.0), diameter=4.0),))


def _another_name(build: Build) -> Build:
    mine = change(build.hardware[0], key="mine", name="measured on the other side")
    rows = (build.rows[0], change(build.rows[1], hardware="mine"))
    return change(build, hardware=(*build.hardware, mine), rows=rows)


def _nudged(build: Build) -> Build:
    return move_post(build, "t2", 0.5, -0.5)


def _drilled_beside_its_mark(build: Build) -> Build:
    return set_drilled(move_post(build, "b3", -0.4, 0.6), "b3", drilled=True)


@pytest.mark.parametrize(
    "so", [_strings_crossed, _hole_on_one_side, _another_name, _nudged, _drilled_beside_its_mark]
)
def test_what_makes_no_difference(so: Any) -> None:
    assert sides(so(three_and_three())) == ((0, 1),)


def _other_model(build: Build) -> Build:
    other = change(build.hardware[0], key="other", post_diameter=7.0)
    rows = (build.rows[0], change(build.rows[1], hardware="other"))
    return change(build, hardware=(*build.hardware, other), rows=rows)


def _in_two_rows(build: Build) -> Build:
    bass = build.rows[1]
    second = Row(
        key="second",
        side="bass",
        hardware=bass.hardware,
        rule=AlongEdge(118.0, 40.0, 12.5),
        posts=bass.posts[2:],
    )
    return change(build, rows=(build.rows[0], change(bass, posts=bass.posts[:2]), second))


# Trade numbers run from the treble side: 1 is across the head from 6.
SAID: dict[str, Any] = {
    "the number of tuners is not the same: 6 on the bass side, 0 on the treble side.": six_in_line,
    "the tuners of both sides do not stand in the same rows.": lambda: _in_two_rows(three_and_three()),
    "tuner 1 is another model than tuner 6.": lambda: _other_model(three_and_three()),
    "the rows of tuner 1 and tuner 6 are placed by different rules.": lambda: set_rule(
        three_and_three(), "b", OnLine(start=38.0, pitch=40.0, inset=12.5)
    ),
    "tuner 1 or tuner 6 has no place.": lambda: set_rule(
        three_and_three(), "b", AlongEdge(start=38.0, pitch=300.0, inset=12.5)
    ),
    "tuner 2 stands 3.0 mm off the mirror image of tuner 5.": lambda: move_post(
        three_and_three(), "t2", 3.0, 0.0
    ),
    # A corner 5 mm lower on one side.
    "the outline is 5.0 mm off its own mirror image.": lambda: plain_head(
        row("treble", 2),
        row("bass", 2),
        outline=nodes((40.0, 0.0), (40.0, 200.0), (-40.0, 195.0), (-40.0, 0.0)),
    ),
}


@pytest.mark.parametrize("words", SAID)
def test_what_is_unlike_is_said(words: str) -> None:
    found = sides(SAID[words]())
    assert isinstance(found, Unlike)
    assert say_unlike(found) == words


def test_all_that_can_be_unlike_is_tried() -> None:
    starts = [text[: text.index("{")] if "{" in text else text for text in TEXTS.values()]
    assert all(any(words.startswith(start) for words in SAID) for start in starts)
    assert len(SAID) == len(TEXTS)


def test_lengths_follow_the_units() -> None:
    found = sides(move_post(three_and_three(), "t2", 25.4, 0.0))
    assert isinstance(found, Unlike)
    assert "stands 1.000 in off" in say_unlike(found, "inch")


def test_a_row_for_two_rows_across() -> None:
    # Rows are taken from the nut on, in whatever order the build has them.
    tuners = {"rule": AlongEdge(start=40.0, pitch=40.0, inset=20.0)}
    far = {"rule": AlongEdge(start=110.0, pitch=40.0, inset=20.0)}
    rows = (
        row("treble", 2, key="far", **far),
        row("bass", 2, key="near too", **tuners),
        row("treble", 2, key="near", **tuners),
        row("bass", 2, key="far too", **far),
    )
    assert sides(plain_head(*rows)) == ((1, 2), (0, 3))


# How they stay so


def tied(build: Build, kind: Kind, fixed: tuple[str, ...] = ()) -> Handles:
    twins = sides(build)
    assert not isinstance(twins, Unlike)
    return handles_of(build, lay_out(build), Wish(kind=kind, fixed=fixed), twins)


@settings(max_examples=sampled(12, of=25))
@given(
    make=st.sampled_from(ALIKE),
    kind=st.sampled_from(("even", "free")),
    left=st.booleans(),
    seed=st.integers(0, 10_000),
)
def test_whatever_the_handles_say_the_sides_mirror_each_other(
    make: Any, kind: Kind, left: bool, seed: int
) -> None:
    build = mirror_of(make()) if left else make()
    handles, loose = tied(build, kind), handles_of(build, lay_out(build), Wish(kind=kind))
    assert 2 * len(handles.handles) == len(loose.handles)
    draw = np.random.default_rng(seed)
    there = handles.apply(handles.values() + draw.uniform(-1.5, 1.5, len(handles.handles)))
    if len(lay_out(there).posts) == len(lay_out(build).posts):
        assert max(off(there, one, two) for one, two in pairs_of(build)) < 1e-6


@pytest.mark.parametrize("kind", ["even", "free"])
@pytest.mark.parametrize("held", ["t2", "b2"])
@pytest.mark.parametrize("beside", [0.0, 0.4])
def test_a_drilled_hole_stays_and_the_others_mirror_each_other(kind: Kind, held: str, beside: float) -> None:
    build = three_and_three()
    build = set_drilled(move_post(build, held, beside, beside) if beside else build, held, drilled=True)
    handles = tied(build, kind)
    there = handles.apply(handles.values() + 1.0)
    before, after = ({post.key: post.at for post in lay_out(each).posts} for each in (build, there))
    assert before[held].distance(after[held]) < 1e-6
    assert before["t1"].distance(after["t1"]) > 0.5
    for one, two in pairs_of(build):
        # Its partner keeps to its row, or stays where each post moves by itself.
        if held not in (one, two) or (kind == "even" and not beside):
            assert off(there, one, two) < 1e-6


def test_a_row_with_a_fixed_post_leads_the_other() -> None:
    build = three_and_three()
    handles = tied(build, "even", ("b2",))
    # Of start, pitch and inset only the pitch is free: the others follow from where it stays.
    assert [(handle.row, handle.name) for handle in handles.handles] == [(1, "pitch")]
    there = handles.apply(handles.values() - 2.0)
    assert off(there, "t2", "b2") < 1e-6
    assert off(there, "t1", "b1") < 1e-6
    assert lay_out(there).post("b2").at.distance(lay_out(build).post("b2").at) < 1e-6


def test_fixed_posts_that_hold_both_rows_leave_nothing_free() -> None:
    assert tied(three_and_three(), "even", ("b2", "t1")).handles == ()


def test_what_was_nudged_goes_back_and_rules_become_the_same() -> None:
    build = set_rule(_nudged(three_and_three()), "b", AlongEdge(start=38.4, pitch=40.0, inset=12.5))
    handles = tied(build, "even")
    there = handles.apply(handles.values())
    assert [each.moved for each in there.rows] == [(), ()]
    assert there.rows[0].rule == there.rows[1].rule == build.rows[0].rule


def test_values_of_another_build_put_posts_where_it_has_them() -> None:
    build = three_and_three()
    other = set_rule(build, "t", AlongEdge(start=36.0, pitch=41.0, inset=12.0))
    for kind in ("even", "free"):
        handles = handles_of(build, lay_out(build), Wish(kind=kind))
        there = handles.apply(handles.values_in(other))
        for post in lay_out(other).posts:
            assert lay_out(there).post(post.key).at.distance(post.at) < 1e-6


def test_tuners_measured_apart_are_other_models() -> None:
    hardware = (tuner(), tuner(key="rear", post_diameter=6.5))
    build = plain_head(row("treble", 2), row("bass", 2, hardware="rear"), hardware=hardware)
    found = sides(build)
    assert isinstance(found, Unlike)
    assert found.why == "tuners"


def test_moved_by_hand_alike_on_both_sides_is_alike() -> None:
    build = three_and_three()
    rows = tuple(
        change(each, moved=(Moved(post=each.posts[1].key, along=6.0, inward=2.0),)) for each in build.rows
    )
    assert sides(change(build, rows=rows)) == ((0, 1),)
