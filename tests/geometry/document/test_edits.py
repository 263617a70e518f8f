"""Every act of the maker changes what it names and nothing else, and can be undone by value."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from msgspec import UNSET
from msgspec.structs import replace

from geometry.document import edits
from geometry.document.build import Blank, Build, Nut, OldHole, Post, Region, Retainer, RoundRegion, Row
from geometry.document.codec import read_build, write_build
from geometry.document.node_edits import move_nodes
from geometry.document.outline import Nodes, Straight
from geometry.document.starters import STARTERS
from geometry.layout.edge import edge_of
from geometry.shape.point import Point
from geometry.trade.hardware_library import FRICTION, PLANETARY
from geometry.trade.limits import ChangedLimit
from geometry.trade.measured import with_measured
from tests.amount import sampled
from tests.bad_files import FREE, GOOD, encoded
from tests.strategies import (
    DEGREES,
    HEADS,
    NAMES,
    NUTS,
    OFFSETS,
    POINTS,
    RULES,
    RUNS,
    builds,
    free_outlines,
    odd_starters,
    sensible_starters,
)

BUILDS = builds(1)
GOOD_BUILD = read_build(encoded(GOOD))
FREE_BUILD = read_build(encoded({**GOOD, "outline": FREE}))
ABSENT = object()
"""What a field that is not there is compared as: null is something else."""
quick = settings(max_examples=sampled(12, of=30), suppress_health_check=[HealthCheck.too_slow])


def differences(one: Any, two: Any, path: str = "") -> Iterator[str]:
    """The paths at which two trees of plain data differ; lists of different length differ as a whole."""
    if isinstance(one, dict) and isinstance(two, dict):
        for name in one.keys() | two.keys():
            yield from differences(one.get(name, ABSENT), two.get(name, ABSENT), f"{path}.{name}".lstrip("."))
    elif isinstance(one, list | tuple) and isinstance(two, list | tuple) and len(one) == len(two):
        for place, (mine, yours) in enumerate(zip(one, two, strict=True)):
            yield from differences(mine, yours, f"{path}[{place}]")
    elif one != two:
        yield path


def assert_only(before: Build, after: Build, *named: str) -> None:
    """Nothing outside the named paths differs, and the new build can be written and read again."""
    found = set(differences(msgspec.to_builtins(before), msgspec.to_builtins(after)))
    assert not [path for path in found if not path.startswith(named)]
    assert read_build(write_build(after)) == after


def place_of_post(build: Build, post: str) -> str:
    """The path of a post in a build."""
    return next(
        f"rows[{row_place}].posts[{place}]"
        for row_place, row in enumerate(build.rows)
        for place, each in enumerate(row.posts)
        if each.key == post
    )


def post_of(build: Build, post: str) -> Post:
    """The post with a key."""
    return next(each for row in build.rows for each in row.posts if each.key == post)


@st.composite
def builds_with_post(draw: st.DrawFn) -> tuple[Build, str]:
    """A build and the key of one of its posts."""
    build = draw(BUILDS)
    return build, draw(st.sampled_from([post.key for row in build.rows for post in row.posts]))


@st.composite
def builds_with_row(draw: st.DrawFn) -> tuple[Build, int]:
    """A build and the place of one of its rows."""
    build = draw(BUILDS)
    return build, draw(st.integers(0, len(build.rows) - 1))


def test_differences_are_found_where_they_are() -> None:
    one = {"a": [1, {"b": 2}], "c": 3}
    assert list(differences(one, one)) == []
    assert list(differences(one, {"a": [1, {"b": 3}], "c": 3})) == ["a[1].b"]
    assert list(differences(one, {"a": [1], "c": 3})) == ["a"]
    assert list(differences(one, {"a": [1, {"b": 2}]})) == ["c"]
    assert list(differences({"a": None}, {})) == ["a"]


# The whole build


@quick
@given(BUILDS, NAMES, NAMES, HEADS, NUTS)
def test_fields_of_the_build_change_alone(build: Build, name: str, notes: str, head: Any, nut: Any) -> None:
    assert_only(build, edits.rename(build, name), "name")
    assert_only(build, edits.set_notes(build, notes), "notes")
    assert_only(build, edits.set_head(build, head), "head.")
    assert_only(build, edits.set_nut(build, nut), "nut.")
    assert edits.rename(edits.rename(build, name), build.name) == build
    assert edits.set_notes(edits.set_notes(build, notes), build.notes) == build
    assert edits.set_head(edits.set_head(build, head), build.head) == build
    assert edits.set_nut(edits.set_nut(build, nut), build.nut) == build
    assert edits.set_nut(build, nut).nut == nut
    assert edits.set_head(build, head).head == head


@quick
@given(BUILDS, st.floats(-10.0, 10.0))
def test_a_limit_is_changed_and_given_back(build: Build, least: float) -> None:
    bare = edits.reset_limit(build, "wall", "stop")
    assert_only(build, bare, "limits")
    assert all((each.rule, each.level) != ("wall", "stop") for each in bare.limits)
    change = ChangedLimit(rule="wall", level="stop", least=least)
    changed = edits.set_limit(bare, change)
    assert changed.limits == (*bare.limits, change)
    assert_only(bare, changed, "limits")
    assert edits.reset_limit(changed, "wall", "stop") == bare
    assert edits.reset_limit(changed, "wall", "watch") == edits.set_limit(
        edits.reset_limit(bare, "wall", "watch"), change
    )


def test_a_limit_that_is_changed_again_keeps_its_place() -> None:
    wall, splay = ChangedLimit("wall", "stop", 2.0), ChangedLimit("splay", "watch", 15.0)
    build = edits.set_limit(edits.set_limit(replace(GOOD_BUILD, limits=()), wall), splay)
    again = edits.set_limit(build, ChangedLimit("wall", "stop", 2.5))
    assert again.limits == (ChangedLimit("wall", "stop", 2.5), splay)
    assert edits.set_limit(again, wall) == build


# Outline


@quick
@given(BUILDS, odd_starters() | free_outlines())
def test_an_outline_is_taken_and_given_back(build: Build, outline: Any) -> None:
    changed = edits.set_outline(build, outline)
    assert_only(build, changed, "outline")
    assert changed.outline == outline
    assert edits.set_outline(changed, build.outline) == build


@quick
@given(BUILDS)
def test_freeing_an_outline_changes_nothing_else_and_frees_once(build: Build) -> None:
    freed = edits.free_outline(build)
    assert_only(build, freed, "outline")
    assert isinstance(freed.outline, Nodes)
    assert edits.free_outline(freed) is freed


@quick
@given(st.integers(0, 2), POINTS, RUNS)
def test_one_node_moves_or_changes_its_run(place: int, at: Point, run: Any) -> None:
    assert isinstance(FREE_BUILD.outline, Nodes)
    node = FREE_BUILD.outline.nodes[place]
    moved = move_nodes(FREE_BUILD, {node.key: at})
    assert_only(FREE_BUILD, moved, f"outline.nodes[{place}].at")
    assert move_nodes(moved, {node.key: node.at}) == FREE_BUILD
    bent = edits.set_run(FREE_BUILD, node.key, run)
    assert_only(FREE_BUILD, bent, f"outline.nodes[{place}].onward")
    assert isinstance(bent.outline, Nodes)
    assert bent.outline.nodes[place].onward == run
    assert edits.set_run(bent, node.key, node.onward) == FREE_BUILD


def test_moving_a_node_of_a_starter_frees_it_first() -> None:
    moved = move_nodes(GOOD_BUILD, {"n2": Point(21.0, 17.0)})
    freed = edits.free_outline(GOOD_BUILD)
    assert moved == move_nodes(freed, {"n2": Point(21.0, 17.0)})
    assert isinstance(freed.outline, Nodes)
    assert move_nodes(moved, {"n2": freed.outline.nodes[1].at}) == freed


def test_a_key_that_is_not_there_is_a_programming_error() -> None:
    with pytest.raises(AssertionError, match="no 'n9'"):
        edits.set_run(FREE_BUILD, "n9", Straight())
    with pytest.raises(AssertionError, match="no 'r9'"):
        edits.remove_row(GOOD_BUILD, "r9")
    with pytest.raises(AssertionError, match="no 'k9'"):
        edits.remove_region(GOOD_BUILD, "k9")


# Strings and hardware


@quick
@given(BUILDS, st.data(), st.floats(0.1, 3.0))
def test_one_string_changes(build: Build, data: st.DataObject, diameter: float) -> None:
    place = data.draw(st.integers(0, len(build.strings) - 1))
    string = build.strings[place]
    changed = edits.set_string(build, replace(string, diameter=diameter, name="changed"))
    assert_only(build, changed, f"strings[{place}].")
    assert changed.strings[place].diameter == diameter
    assert edits.set_string(changed, string) == build


@quick
@given(BUILDS, st.data())
def test_a_set_of_strings_takes_dangling_references_with_it(build: Build, data: st.DataObject) -> None:
    kept = tuple(string for string in build.strings if data.draw(st.booleans()))
    left = {string.key for string in kept}
    changed = edits.set_strings(build, kept)
    assert changed.strings == kept
    lost = {
        f"{place_of_post(build, post.key)}.string"
        for row in build.rows
        for post in row.posts
        if isinstance(post.string, str) and post.string not in left
    }
    assert_only(build, changed, "strings", *lost, *(f"retainers[{n}].strings" for n in range(2)))
    for before, after in zip(build.retainers, changed.retainers, strict=True):
        assert after.strings == tuple(key for key in before.strings if key in left)
    posts = [post for row in changed.rows for post in row.posts]
    assert all(
        place_of_post(changed, post.key) + ".string" not in lost or post.string is UNSET for post in posts
    )


@quick
@given(builds_with_row())
def test_other_tuners_come_and_those_that_nobody_uses_go(drawn: tuple[Build, int]) -> None:
    build, place = drawn
    row = build.rows[place]
    changed = edits.set_hardware(build, row.key, FRICTION)
    assert_only(build, changed, f"rows[{place}].hardware", "hardware")
    assert changed.rows[place].hardware == FRICTION.key
    others = {each.hardware for each in build.rows if each.key != row.key}
    stay = [each for each in build.hardware if each.key != row.hardware or each.key in others]
    assert list(changed.hardware) == [*stay, FRICTION]


@quick
@given(builds_with_row())
def test_the_same_tuners_again_change_nothing(drawn: tuple[Build, int]) -> None:
    build, place = drawn
    row = build.rows[place]
    own = next(each for each in build.hardware if each.key == row.hardware)
    assert edits.set_hardware(build, row.key, own) == build


def two_rows() -> Build:
    """A build with two rows of the same tuners, and tuners that no row uses."""
    row = GOOD_BUILD.rows[0]
    bass = Row(key="b", side="bass", hardware="small", rule=row.rule, posts=(Post(key="b1"), Post(key="b2")))
    return replace(GOOD_BUILD, rows=(row, bass), hardware=(*GOOD_BUILD.hardware, PLANETARY))


def test_tuners_that_no_row_used_before_stay() -> None:
    changed = edits.set_hardware(two_rows(), "b", FRICTION)
    assert [each.key for each in changed.hardware] == ["small", "planetary", "friction"]
    assert [each.hardware for each in changed.rows] == ["small", "friction"]
    last = edits.set_hardware(changed, "t", FRICTION)
    assert [each.key for each in last.hardware] == ["planetary", "friction"]


def test_changed_tuners_leave_the_other_row_alone() -> None:
    build = two_rows()
    measured = replace(build.hardware[0], post_diameter=6.2)
    changed = edits.set_hardware(build, "b", measured)
    assert changed.hardware == (*build.hardware, replace(measured, key="h1"))
    assert [each.hardware for each in changed.rows] == ["small", "h1"]


def test_tuners_that_differ_in_what_was_typed_alone_are_the_same() -> None:
    build = two_rows()
    typed = with_measured(build.hardware[0], {"post_diameter"})
    build = replace(build, hardware=(typed, PLANETARY))
    changed = edits.set_hardware(build, "b", two_rows().hardware[0])
    assert changed.hardware == build.hardware
    assert [each.hardware for each in changed.rows] == ["small", "small"]


def test_changed_tuners_of_the_only_row_keep_their_place_and_key() -> None:
    build = replace(two_rows(), rows=two_rows().rows[:1])
    measured = replace(build.hardware[0], post_diameter=6.2)
    assert edits.set_hardware(build, "t", measured).hardware == (measured, PLANETARY)


# Rows and posts


@quick
@given(builds_with_row(), RULES)
def test_one_row_takes_another_rule(drawn: tuple[Build, int], rule: Any) -> None:
    build, place = drawn
    row = build.rows[place]
    changed = edits.set_rule(build, row.key, rule)
    assert_only(build, changed, f"rows[{place}].rule")
    assert changed.rows[place].rule == rule
    assert edits.set_rule(changed, row.key, row.rule) == build


@quick
@given(builds_with_row(), RULES)
def test_a_row_comes_and_goes(drawn: tuple[Build, int], rule: Any) -> None:
    build, place = drawn
    key = edits.fresh_key("r", {row.key for row in build.rows})
    new = Row(key=key, side="bass", hardware=build.hardware[0].key, rule=rule, posts=(Post(key="new"),))
    grown = edits.add_row(build, new)
    assert grown.rows == (*build.rows, new)
    assert_only(build, grown, "rows")
    assert edits.remove_row(grown, key) == build
    less = edits.remove_row(build, build.rows[place].key)
    assert less.rows == build.rows[:place] + build.rows[place + 1 :]
    assert_only(build, less, "rows")


@quick
@given(builds_with_post(), OFFSETS, OFFSETS)
def test_a_post_is_moved_by_hand_and_given_back(
    drawn: tuple[Build, str], along: float, inward: float
) -> None:
    build, post = drawn
    moved = edits.move_post(build, post, along, inward)
    row_path = place_of_post(build, post).split(".")[0]
    assert_only(build, moved, f"{row_path}.moved")
    by_hand = [each for row in moved.rows for each in row.moved if each.post == post]
    assert [(each.along, each.inward) for each in by_hand] == [(along, inward)]
    bare = edits.give_back(build, post)
    assert_only(build, bare, f"{row_path}.moved")
    assert edits.give_back(moved, post) == bare
    before = [each for row in build.rows for each in row.moved if each.post == post]
    undone = edits.move_post(moved, post, before[0].along, before[0].inward) if before else bare
    assert undone == build


@quick
@given(builds_with_post(), st.data())
def test_a_string_goes_to_a_post_and_leaves_the_one_it_was_on(
    drawn: tuple[Build, str], data: st.DataObject
) -> None:
    build, post = drawn
    string = data.draw(st.sampled_from([UNSET, None, *(each.key for each in build.strings)]))
    changed = edits.set_string_of(build, post, string)
    assert post_of(changed, post).string == string
    had_it = [
        each.key
        for row in build.rows
        for each in row.posts
        if each.string == string and isinstance(string, str) and each.key != post
    ]
    assert_only(build, changed, *(f"{place_of_post(build, key)}.string" for key in [post, *had_it]))
    assert all(post_of(changed, key).string is UNSET for key in had_it)


@quick
@given(builds_with_post(), st.data())
def test_two_posts_change_their_strings_over(drawn: tuple[Build, str], data: st.DataObject) -> None:
    build, one = drawn
    posts = [each for row in build.rows for each in row.posts]
    two = data.draw(st.sampled_from([each.key for each in posts if each.key != one] or [one]))
    given_to = {each.key: each.string for each in posts if isinstance(each.string, str)}
    left = [string.key for string in build.strings if string.key not in given_to.values()]
    now = {
        **dict(zip([each.key for each in posts if each.key not in given_to], left, strict=False)),
        **given_to,
    }
    swapped = edits.swap_strings(build, one, two, now)
    assert post_of(swapped, one).string == now.get(two)
    assert post_of(swapped, two).string == now.get(one)
    found = set(differences(msgspec.to_builtins(build), msgspec.to_builtins(swapped)))
    assert found <= {f"{place_of_post(build, key)}.string" for key in (one, two)}
    then = {**now, one: now.get(two, ""), two: now.get(one, "")}
    back = edits.swap_strings(swapped, one, two, {key: string for key, string in then.items() if string})
    assert post_of(back, one).string == now.get(one)
    assert post_of(back, two).string == now.get(two)


@quick
@given(builds_with_post(), DEGREES, st.floats(0.0, 20.0))
def test_fields_of_a_post_change_alone(drawn: tuple[Build, str], degrees: float, turns: float) -> None:
    build, post = drawn
    path, before = place_of_post(build, post), post_of(build, post)
    flipped = edits.flip_wound_side(build, post)
    assert_only(build, flipped, f"{path}.flip_wound_side")
    assert post_of(flipped, post).flip_wound_side != before.flip_wound_side
    assert edits.flip_wound_side(flipped, post) == build
    turned = edits.turn_tuner(build, post, degrees)
    assert_only(build, turned, f"{path}.turned_deg")
    assert post_of(turned, post).turned_deg == degrees
    assert edits.turn_tuner(turned, post, before.turned_deg) == build
    for value in (turns, UNSET):
        wound = edits.set_turns(build, post, value)
        assert_only(build, wound, f"{path}.turns")
        assert post_of(wound, post).turns == value
        assert edits.set_turns(wound, post, before.turns) == build
    for piece in ("left", "right", UNSET):
        fitted = edits.set_piece(build, post, piece)
        assert_only(build, fitted, f"{path}.piece")
        assert post_of(fitted, post).piece == piece
        assert edits.set_piece(fitted, post, before.piece) == build


# What is already there


@quick
@given(BUILDS, POINTS, st.floats(0.1, 100.0))
def test_surroundings_come_and_go(build: Build, at: Point, size: float) -> None:
    region = Region(key="new", name="pocket", shape=RoundRegion(centre=at, radius=size))
    marked = edits.add_region(build, region)
    assert marked.keep_clear == (*build.keep_clear, region)
    assert_only(build, marked, "keep_clear")
    assert edits.remove_region(marked, "new") == build
    hole = OldHole(key="new", at=at, diameter=size)
    drilled = edits.add_old_hole(build, hole)
    assert drilled.old_holes == (*build.old_holes, hole)
    assert_only(build, drilled, "old_holes")
    tree = Retainer(key="new", at=at, height=4.0, strings=(build.strings[0].key,))
    held = edits.add_retainer(build, tree)
    assert held.retainers == (*build.retainers, tree)
    assert_only(build, held, "retainers")


@pytest.mark.parametrize(
    ("used", "fresh"),
    [
        (set(), "s1"),
        ({"s1", "s2"}, "s3"),
        ({"s2", "s7", "s3"}, "s8"),
        ({"x9", "9", "s"}, "s1"),
        ({"s01", "sx", "s2b"}, "s2"),
    ],
)
def test_a_fresh_key_is_numbered_on_from_the_highest(used: set[str], fresh: str) -> None:
    assert edits.fresh_key("s", used) == fresh


# The other hand


@quick
@given(builds())
def test_mirrored_twice_is_the_same_build(build: Build) -> None:
    once = edits.mirrored(build)
    assert once.hand != build.hand
    assert edits.mirrored(once) == build
    assert read_build(write_build(once)) == once


@quick
@given(builds())
def test_mirroring_leaves_what_has_no_side(build: Build) -> None:
    found = set(differences(msgspec.to_builtins(build), msgspec.to_builtins(edits.mirrored(build))))
    sided = ("outline", "head.grain_deg", "head.blank", "rows", "retainers", "keep_clear", "old_holes")
    assert "hand" in found
    assert not [path for path in found - {"hand"} if not path.startswith(sided)]
    posts = [path for path in found if path.startswith("rows")]
    assert not [path for path in posts if not path.endswith((".turned_deg", ".piece"))]


def test_every_place_is_mirrored_in_the_centre_line() -> None:
    head = replace(GOOD_BUILD.head, grain_deg=3.0, blank=Blank(left=30.0, right=35.0, length=130.0))
    build = replace(GOOD_BUILD, head=head)
    build = edits.set_piece(edits.turn_tuner(build, "t1", 10.0), "t1", "left")
    other = edits.mirrored(build)
    assert other.hand == "left"
    assert other.head.grain_deg == -3.0
    assert other.head.blank == Blank(left=35.0, right=30.0, length=130.0)
    assert other.retainers[0].at == Point(-3.0, 20.0)
    assert other.old_holes[0].at == Point(-10.0, 90.0)
    assert other.rows[0].posts[0] == replace(build.rows[0].posts[0], turned_deg=-10.0, piece="right")
    assert other.rows[0].posts[1].piece is UNSET
    plain = msgspec.to_builtins(other.keep_clear)
    assert plain[0]["shape"]["centre"] == [0.0, 10.0]
    assert sorted(plain[1]["shape"]["points"]) == [[-12.7, 80.0], [0.0, 70.0], [5.0, 80.0]]


def test_a_mirrored_file_holds_no_minus_zero() -> None:
    written = write_build(edits.mirrored(FREE_BUILD)).decode()
    assert "-0.0" not in written


@settings(max_examples=sampled(12, of=30), deadline=None)
@given(sensible_starters(), st.sampled_from(["right", "left"]))
def test_the_mirrored_outline_is_the_mirror_image_of_the_contour(drawn: Any, hand: Any) -> None:
    starter, width = drawn
    build = Build(name="", outline=starter, nut=Nut(width=width), hand=hand)
    for each in (build, edits.free_outline(build)):
        edge, other = edge_of(each), edge_of(edits.mirrored(each))
        assert edge is not None
        assert other is not None
        image = edge.drawn.mirrored().reversed()
        assert len(image.segments) == len(other.drawn.segments)
        for mine, theirs in zip(image.segments, other.drawn.segments, strict=True):
            for share in (0.0, 0.3, 0.5, 1.0):
                assert mine.point_at(share).distance(theirs.point_at(share)) < 1e-9


def test_a_mirrored_free_outline_keeps_its_runs_with_their_nodes() -> None:
    other = edits.mirrored(FREE_BUILD)
    edge, image = edge_of(FREE_BUILD), edge_of(other)
    assert edge is not None
    assert image is not None
    assert image.drawn == edge.drawn.mirrored().reversed()
    assert edits.mirrored(replace(FREE_BUILD, outline=Nodes(nodes=()))).outline == Nodes(nodes=())


@pytest.mark.parametrize("shape", sorted(STARTERS))
@pytest.mark.parametrize("hand", ["right", "left"])
def test_a_freed_starter_has_the_same_edge(shape: Any, hand: Any) -> None:
    build = Build(name="", outline=STARTERS[shape], nut=Nut(width=31.0), hand=hand)
    edge, freed = edge_of(build), edge_of(edits.free_outline(build))
    assert edge is not None
    assert freed is not None
    assert len(edge.drawn.segments) == len(freed.drawn.segments)
    for mine, theirs in zip(edge.drawn.segments, freed.drawn.segments, strict=True):
        assert type(mine) is type(theirs)
        for share in (0.0, 0.25, 0.5, 0.9, 1.0):
            assert mine.point_at(share).distance(theirs.point_at(share)) < 1e-9
