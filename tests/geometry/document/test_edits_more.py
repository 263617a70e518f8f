"""Acts on rows, posts and marks: each changes what it names and nothing else."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
import pytest
from msgspec import UNSET

from geometry.document import edits, mark_edits, row_edits
from geometry.document.build import (
    AlongEdge,
    Build,
    OldHole,
    OnLine,
    OnPlate,
    Region,
    Retainer,
    RoundRegion,
    Row,
    StraightPull,
)
from geometry.document.codec import read_build, write_build
from geometry.layout.held import held
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.trade.hardware_library import FOUR_ON_PLATE, SPLIT_POST
from geometry.trade.limits import ChangedLimit
from tests.builds import READY_MADE, plain_head, row, three_and_three, three_strings

change = msgspec.structs.replace


def row_on(build: Build, side: str) -> Row:
    return next(each for each in build.rows if each.side == side)


def other_than_rows(build: Build) -> Build:
    return change(build, rows=())


def test_a_row_goes_to_the_other_side_and_back() -> None:
    build = three_and_three()
    first = build.rows[0]
    other = row_edits.OTHER_SIDE[first.side]
    there = row_edits.set_side(build, first.key, other)
    assert there.rows[0] == change(first, side=other)
    assert there.rows[1:] == build.rows[1:]
    assert row_edits.set_side(there, first.key, first.side) == build


def test_a_tuner_is_added_at_the_tip_with_a_key_of_its_own() -> None:
    build = three_and_three()
    first = build.rows[0]
    more = row_edits.add_post(row_edits.add_post(build, first.key), first.key)
    assert more.rows[0].posts[:-2] == first.posts
    assert [post.key for post in more.rows[0].posts[-2:]] == ["p1", "p2"]
    assert more.rows[1:] == build.rows[1:]
    assert other_than_rows(more) == other_than_rows(build)
    assert row_edits.remove_post(row_edits.remove_post(more, "p2"), "p1") == build


def test_a_tuner_goes_with_what_was_moved_by_hand() -> None:
    build = three_and_three()
    post = build.rows[0].posts[1].key
    moved = edits.move_post(build, post, 2.0, -1.0)
    less = row_edits.remove_post(moved, post)
    assert less.rows[0].moved == ()
    assert [each.key for each in less.rows[0].posts] == [
        each.key for each in build.rows[0].posts if each.key != post
    ]
    assert less.rows[1:] == build.rows[1:]


def test_the_other_side_takes_over_what_one_side_does() -> None:
    build = three_and_three()
    treble = row_on(build, "treble")
    first, second, third = (post.key for post in treble.posts)
    build = edits.set_hardware(build, treble.key, SPLIT_POST)
    build = edits.move_post(build, second, 2.0, -1.5)
    build = edits.turn_tuner(build, first, 12.0)
    build = edits.flip_wound_side(build, third)
    build = edits.set_piece(build, third, "left")
    both = row_edits.copy_across(build, treble.key)
    bass, before = row_on(both, "bass"), row_on(build, "bass")
    assert [post.key for post in bass.posts] == [post.key for post in before.posts]
    assert bass.hardware == SPLIT_POST.key
    assert bass.posts[0].turned_deg == -12.0
    assert bass.posts[2].flip_wound_side
    assert bass.posts[2].piece == "right"
    assert row_on(both, "treble") == row_on(build, "treble")
    placed = lay_out(both)
    for mine, other in zip(row_on(both, "treble").posts, bass.posts, strict=True):
        # The outline is symmetric, so the two rows lie as in a mirror.
        assert placed.post(other.key).at.distance(placed.post(mine.key).at.mirrored) < 1e-6
    assert read_build(write_build(both)) == both


def test_a_side_without_a_row_gets_one() -> None:
    build = plain_head(row("treble", 3))
    both = row_edits.copy_across(build, "treble")
    assert len(both.rows) == 2
    added = both.rows[1]
    assert (added.key, added.side, added.hardware, added.rule) == (
        "r1",
        "bass",
        "plain",
        build.rows[0].rule,
    )
    assert [post.key for post in added.posts] == ["p1", "p2", "p3"]
    assert all(post.string is UNSET for post in added.posts)
    assert read_build(write_build(both)) == both


def test_posts_beyond_the_model_go_by_the_rule() -> None:
    build = three_strings()
    treble, bass = row_on(build, "treble"), row_on(build, "bass")
    assert len(treble.posts) < len(bass.posts)
    both = row_edits.copy_across(edits.move_post(build, bass.posts[-1].key, 1.0, 0.0), treble.key)
    assert row_on(both, "bass").moved == ()
    assert row_on(both, "bass").posts == bass.posts


def test_a_row_drilled_for_other_tuners_keeps_them_and_its_rule() -> None:
    build = three_and_three()
    treble, bass = row_on(build, "treble"), row_on(build, "bass")
    build = edits.set_drilled(build, bass.posts[1].key, drilled=True)
    build = edits.set_hardware(build, treble.key, SPLIT_POST)
    build = edits.set_rule(build, treble.key, change(treble.rule, start=50.0))
    build = edits.turn_tuner(build, treble.posts[0].key, 12.0)
    after = row_on(row_edits.copy_across(build, treble.key), "bass")
    assert (after.hardware, after.rule, after.moved) == (bass.hardware, bass.rule, bass.moved)
    assert after.posts[1].drilled
    assert after.posts[0].turned_deg == -12.0


def test_a_drilled_post_keeps_its_place_where_the_other_side_is_copied() -> None:
    build = three_and_three()
    treble, bass = row_on(build, "treble"), row_on(build, "bass")
    build = edits.set_drilled(build, bass.posts[1].key, drilled=True)
    build = edits.move_post(build, bass.posts[1].key, 0.4, 0.3)
    for post in treble.posts[1:]:
        build = edits.move_post(build, post.key, 2.0, -1.5)
    build = edits.set_rule(build, treble.key, change(treble.rule, start=treble.rule.start + 1.0))
    after = held(build, row_edits.copy_across(build, treble.key))
    key = bass.posts[1].key
    assert lay_out(after).post(key).at.distance(lay_out(build).post(key).at) < 1e-6
    assert row_on(after, "bass").rule == row_on(after, "treble").rule
    (third,) = (each for each in row_on(after, "bass").moved if each.post == bass.posts[2].key)
    assert (third.along, third.inward) == (2.0, -1.5)


@pytest.mark.parametrize("make", READY_MADE)
def test_copying_across_twice_changes_nothing_more(make: Callable[[], Build]) -> None:
    build = make()
    for each in build.rows:
        once = row_edits.copy_across(build, each.key)
        assert row_edits.copy_across(once, each.key) == once
        assert other_than_rows(once) == other_than_rows(build)


def test_marks_are_changed_and_forgotten_one_by_one() -> None:
    build = plain_head()
    region = Region(key="g1", name="rod", shape=RoundRegion(centre=Point(0, 10), radius=5.0))
    hole = OldHole(key="o1", at=Point(1.0, 50.0), diameter=6.0)
    tree = Retainer(key="t1", at=Point(0.0, 50.0), height=2.0, strings=())
    full = edits.add_retainer(edits.add_old_hole(edits.add_region(build, region), hole), tree)
    deeper = mark_edits.set_region(full, change(region, depth=4.0, side="back"))
    assert deeper.keep_clear == (change(region, depth=4.0, side="back"),)
    assert change(deeper, keep_clear=full.keep_clear) == full
    plugged = mark_edits.set_old_hole(full, change(hole, plugged=True))
    assert plugged.old_holes == (change(hole, plugged=True),)
    assert change(plugged, old_holes=full.old_holes) == full
    lower = mark_edits.set_retainer(full, change(tree, height=1.0))
    assert lower.retainers == (change(tree, height=1.0),)
    assert change(lower, retainers=full.retainers) == full
    bare = mark_edits.remove_retainer(mark_edits.remove_old_hole(full, "o1"), "t1")
    assert edits.remove_region(bare, "g1") == build


def test_all_limits_go_back_at_once() -> None:
    build = three_and_three()
    changed = edits.set_limit(build, ChangedLimit(rule="wall", level="watch", least=9.0))
    changed = edits.set_limit(changed, ChangedLimit(rule="splay", level="watch", least=20.0))
    assert mark_edits.reset_limits(changed) == build


def test_another_rule_keeps_the_numbers_that_both_have() -> None:
    line = OnLine(start=30.0, pitch=25.4, inset=11.0, inset_last=12.0)
    assert row_edits.rule_as(line, "along the edge", SPLIT_POST) == AlongEdge(
        start=30.0, pitch=25.4, inset=11.0
    )
    assert row_edits.rule_as(line, "on a plate", SPLIT_POST) == OnPlate(
        start=30.0, inset=11.0, inset_last=12.0
    )
    assert row_edits.rule_as(line, "straight pull", SPLIT_POST) == StraightPull(start=30.0, pitch=25.4)
    plate = OnPlate(start=30.0, inset=11.0, inset_last=12.0)
    pitch = FOUR_ON_PLATE.plate.pitch if FOUR_ON_PLATE.plate else 0.0
    assert row_edits.rule_as(plate, "on a line", FOUR_ON_PLATE) == OnLine(
        start=30.0, pitch=pitch, inset=11.0, inset_last=12.0
    )
    pull = StraightPull(start=30.0, pitch=25.4)
    # A wall of 0.6 x 8.7 is less than 6.
    assert row_edits.rule_as(pull, "along the edge", SPLIT_POST) == AlongEdge(
        start=30.0, pitch=25.4, inset=round(8.7 / 2 + 6.0, 1)
    )


@pytest.mark.parametrize(
    "rule",
    [
        AlongEdge(start=30.0, pitch=25.4, inset=11.0),
        OnLine(start=30.0, pitch=25.4, inset=11.0, inset_last=12.0),
        OnPlate(start=30.0, inset=11.0),
        StraightPull(start=30.0, pitch=25.4, exact=True),
    ],
)
def test_a_rule_taken_again_is_the_same(rule: edits.Rule) -> None:
    assert row_edits.rule_as(rule, row_edits.rule_name(rule), SPLIT_POST) == rule


def test_the_first_row_brings_its_tuners_along() -> None:
    empty = change(three_and_three(), rows=(), hardware=())
    build = row_edits.first_row(empty, "bass", SPLIT_POST, 3)
    assert build.hardware == (SPLIT_POST,)
    (added,) = build.rows
    assert (added.side, added.hardware, len(added.posts)) == ("bass", SPLIT_POST.key, 3)
    # Buttons of the split post sweep so wide; 4 mm are left between them.
    assert isinstance(added.rule, AlongEdge)
    assert added.rule.pitch == SPLIT_POST.button.swept_diameter + 4.0
    assert len(lay_out(build).posts) == 3
    again = row_edits.first_row(build, "treble", change(SPLIT_POST, name="another"), 1)
    assert again.hardware == (SPLIT_POST,)
    assert read_build(write_build(again)) == again
