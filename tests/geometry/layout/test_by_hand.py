"""Posts and rows dragged to a place lie there."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document import edits
from geometry.document.build import AlongEdge, Build, OnLine, StraightPull
from geometry.document.codec import read_build, write_build
from geometry.layout.by_hand import drag_row, move_posts
from geometry.layout.layout import lay_out
from geometry.shape.point import Point, Vector
from tests.amount import sampled
from tests.builds import (
    INSET,
    PITCH,
    READY_MADE,
    START,
    eight_on_plates,
    laden_head,
    plain_head,
    row,
    six_in_line,
    three_and_three,
)

STEPS = st.floats(-4.0, 4.0)
HEADS = (*(make() for make in READY_MADE), laden_head())


@settings(max_examples=sampled(20, of=60), deadline=None)
@given(st.sampled_from(HEADS), st.data(), STEPS, STEPS)
def test_a_post_lies_where_it_was_dragged(build: Build, data: st.DataObject, x: float, y: float) -> None:
    layout = lay_out(build)
    post = data.draw(st.sampled_from(layout.posts))
    to = post.at + Vector(x, y)
    after = move_posts(build, layout, {post.key: to})
    moved = lay_out(after)
    assert moved.post(post.key).at.distance(to) < 1e-6
    for other in layout.posts:
        if other.key != post.key:
            assert moved.post(other.key).at == other.at
    assert replace(after, rows=build.rows) == build
    assert edits.give_back(after, post.key) == edits.give_back(build, post.key)
    again = move_posts(after, moved, {post.key: post.at})
    assert lay_out(again).post(post.key).at.distance(post.at) < 1e-6


def test_several_posts_go_together_and_unplaced_ones_stay() -> None:
    build = three_and_three()
    layout = lay_out(build)
    keys = [post.key for post in layout.posts[:3]]
    places = {key: layout.post(key).at + Vector(1.0, 2.0) for key in keys}
    after = move_posts(build, layout, {**places, "gone": Point(0.0, 0.0)})
    for key in keys:
        assert lay_out(after).post(key).at.distance(places[key]) < 1e-9


def test_a_place_beyond_what_a_file_holds_is_held_back() -> None:
    build = three_and_three()
    layout = lay_out(build)
    after = move_posts(build, layout, {layout.posts[0].key: Point(9e6, -9e6)})
    assert read_build(write_build(after)) == after


@pytest.mark.parametrize(
    "rule",
    [
        AlongEdge(start=START, pitch=PITCH, inset=INSET),
        OnLine(start=START, pitch=PITCH, inset=INSET),
        OnLine(start=START, pitch=PITCH, inset=INSET, inset_last=INSET + 3.0),
    ],
)
@pytest.mark.parametrize("side", ["treble", "bass"])
def test_a_row_on_a_straight_edge_moves_as_one(rule: AlongEdge | OnLine, side: str) -> None:
    build = plain_head(row(side, count=3, rule=rule))  # type: ignore[arg-type]
    layout = lay_out(build)
    after = lay_out(drag_row(build, layout, f"{side}2", Vector(2.0, 5.0)))
    for post in layout.posts:
        assert after.post(post.key).at.distance(post.at + Vector(2.0, 5.0)) < 1e-6


@settings(max_examples=sampled(10, of=20), deadline=None)
@given(STEPS, STEPS)
def test_a_row_on_a_leaning_edge_moves_as_one(x: float, y: float) -> None:
    build = six_in_line()
    layout = lay_out(build)
    after = lay_out(drag_row(build, layout, "b2", Vector(x, y)))
    for post in layout.posts:
        assert after.post(post.key).at.distance(post.at + Vector(x, y)) < 1e-6


def test_a_plate_moves_with_its_row() -> None:
    build = eight_on_plates()
    layout = lay_out(build)
    after = drag_row(build, layout, "t1", Vector(-1.0, 2.0))
    assert after.rows[1] == build.rows[1]
    assert after.rows[0].rule != build.rows[0].rule
    assert lay_out(after).post("t1").at.distance(layout.post("t1").at + Vector(-1.0, 2.0)) < 0.1


def test_straight_pull_slides_along_its_strings() -> None:
    rows = tuple(replace(each, rule=StraightPull(start=38.0, pitch=40.0)) for each in three_and_three().rows)
    build = three_and_three(rows=rows)
    after = drag_row(build, lay_out(build), "t1", Vector(4.0, 3.0))
    assert after.rows[0].rule == StraightPull(start=41.0, pitch=40.0)


def test_a_row_never_gets_sizes_that_a_file_refuses() -> None:
    build = plain_head(row(count=2))
    after = drag_row(build, lay_out(build), "treble1", Vector(500.0, -500.0))
    assert read_build(write_build(after)) == after
    assert after.rows[0].rule == AlongEdge(start=0.1, pitch=PITCH, inset=0.1)
