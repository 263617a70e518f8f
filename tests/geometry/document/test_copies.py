"""Copies of parts, put into a build again."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from msgspec import UNSET

from geometry.document import edits
from geometry.document.build import Build, Nut, Polygon
from geometry.document.codec import read_build, write_build
from geometry.document.copies import ASIDE, ENOUGH, Copies, copied, paste
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import node_of, nodes_of
from geometry.layout.edge import edge_of
from tests.amount import sampled
from tests.builds import laden_head, three_and_three
from tests.strategies import builds

EVERYTHING = (
    ("node", "c"), ("post", "t2"), ("region", "rod"), ("region", "inlay"), ("retainer", "tree"), ("old hole", "old2"),
)  # fmt: skip


def test_nothing_copied_changes_nothing() -> None:
    build = laden_head()
    empty = copied(build, [("string", "s1")])
    assert empty.is_empty
    assert paste(build, empty).build == build


def test_copies_lie_aside_of_what_is_there() -> None:
    build = laden_head()
    copies = copied(build, EVERYTHING)
    assert not copies.is_empty
    pasted = paste(build, copies)
    after = pasted.build
    assert after.keep_clear[:2] == build.keep_clear
    assert pasted.regions == tuple(region.key for region in after.keep_clear[2:])
    rod, copy = build.keep_clear[0].shape, after.keep_clear[2].shape
    assert isinstance(rod, Polygon)
    assert isinstance(copy, Polygon)
    assert copy.points == tuple(point + ASIDE for point in rod.points)
    assert after.retainers[2].at == build.retainers[0].at + ASIDE
    assert after.retainers[2].strings == build.retainers[0].strings
    assert after.old_holes[2].at == build.old_holes[1].at + ASIDE
    assert node_of(after, pasted.nodes[0]).at == node_of(build, "c").at + ASIDE
    assert len(nodes_of(after)) == len(nodes_of(build)) + 1
    assert read_build(write_build(after)) == after
    again = paste(after, copies).build
    assert again.retainers[3].at == build.retainers[0].at + ASIDE * 2


def test_what_was_cut_comes_back_to_its_place() -> None:
    build = laden_head()
    copies = copied(build, EVERYTHING[2:])
    cut = edits.remove_region(edits.remove_region(build, "rod"), "inlay")
    cut = msgspec.structs.replace(cut, retainers=cut.retainers[1:], old_holes=cut.old_holes[:1])
    after = paste(cut, copies).build
    assert [each.shape for each in after.keep_clear] == [each.shape for each in build.keep_clear]
    assert after.retainers[1].at == build.retainers[0].at
    assert after.old_holes[1].at == build.old_holes[1].at


def test_a_copied_post_is_the_last_of_its_row_and_takes_its_string_by_rule() -> None:
    build = edits.set_string_of(edits.turn_tuner(three_and_three(), "b2", 8.0), "b2", "s6")
    pasted = paste(build, copied(build, [("post", "b2")]))
    row = next(each for each in pasted.build.rows if each.side == "bass")
    assert [post.key for post in row.posts] == ["b1", "b2", "b3", *pasted.posts]
    assert row.posts[-1].turned_deg == 8.0
    assert row.posts[-1].string is UNSET
    other = edits.remove_row(build, row.key)
    moved = paste(other, copied(build, [("post", "b2")]))
    assert moved.build.rows[0].posts[-1].key == moved.posts[0]
    bare = edits.remove_row(other, other.rows[0].key)
    assert paste(bare, copied(build, [("post", "b2")])).build == bare


def test_a_retainer_in_another_build_holds_only_strings_that_are_there() -> None:
    copies = copied(laden_head(), [("retainer", "tree")])
    bare = Build(name="", outline=Nodes(nodes=()), nut=Nut(width=40.0))
    assert paste(bare, copies).build.retainers[0].strings == ()


def test_a_node_finds_no_run_where_there_is_none() -> None:
    copies = copied(laden_head(), [("node", "c")])
    bare = Build(name="", outline=Nodes(nodes=()), nut=Nut(width=40.0))
    assert paste(bare, copies).build == bare


def test_many_copies_on_one_place_end_somewhere() -> None:
    build = laden_head()
    copies = copied(build, [("old hole", "old2")])
    for _ in range(3):
        build = paste(build, copies).build
    steps = [each.at - laden_head().old_holes[1].at for each in build.old_holes[2:]]
    assert steps == [ASIDE, ASIDE * 2, ASIDE * 3]
    crowd = tuple(
        msgspec.structs.replace(build.old_holes[1], key=f"x{n}", at=build.old_holes[1].at + ASIDE * n)
        for n in range(ENOUGH)
    )
    full = msgspec.structs.replace(build, old_holes=crowd[:-1])
    assert paste(full, copies).build.old_holes[-1].at == crowd[-1].at
    with pytest.raises(ValueError, match="200 old holes"):
        paste(msgspec.structs.replace(build, old_holes=crowd), copies)


@settings(max_examples=sampled(15, of=40), deadline=None)
@given(builds(least=1))
def test_copies_of_everything_survive_json_and_make_a_build(build: Build) -> None:
    keys = [
        *(("node", each.key) for each in nodes_of(build)),
        *(("post", post.key) for row in build.rows for post in row.posts),
        *(("region", each.key) for each in build.keep_clear),
        *(("retainer", each.key) for each in build.retainers),
        *(("old hole", each.key) for each in build.old_holes),
    ]
    copies = copied(build, keys)
    assert msgspec.json.decode(msgspec.json.encode(copies), type=Copies) == copies
    pasted = paste(build, copies)
    assert read_build(write_build(pasted.build)) == pasted.build
    edge_of(pasted.build)
    assert len(pasted.regions) == len(build.keep_clear)


@pytest.mark.parametrize(
    ("key", "most", "words"),
    [
        (("region", "rod"), 100, "100 regions"),
        (("retainer", "tree"), 40, "40 trees"),
        (("post", "t1"), 40, "40 tuners"),
    ],
)
def test_no_more_is_pasted_than_a_file_holds(key: tuple[str, str], most: int, words: str) -> None:
    build = laden_head()
    copies = copied(build, [key])
    there: tuple[object, ...] = {
        "region": build.keep_clear,
        "retainer": build.retainers,
        "post": build.rows[0].posts,
    }[key[0]]
    for _ in range(most - len(there)):
        build = paste(build, copies).build
    assert read_build(write_build(build)) == build
    with pytest.raises(ValueError, match=words):
        paste(build, copies)


def test_an_outline_has_a_largest_number_of_nodes() -> None:
    build = laden_head()
    many = tuple(msgspec.structs.replace(nodes_of(build)[2], key=f"x{n}") for n in range(496))
    full = edits.set_outline(build, Nodes(nodes=(*nodes_of(build)[:2], *many, *nodes_of(build)[-2:])))
    with pytest.raises(ValueError, match="500 nodes"):
        paste(full, copied(build, [("node", "c")]))
