"""Parts moved or taken away together."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Polygon, RoundRegion
from geometry.document.codec import read_build, write_build
from geometry.document.outline_nodes import node_of, nodes_of
from geometry.layout.layout import lay_out
from geometry.layout.parts_at_once import Parts, move_parts, remove_parts
from geometry.shape.point import Point, Vector
from tests.amount import sampled
from tests.builds import (
    INSET,
    PITCH,
    START,
    eight_on_plates,
    laden_head,
    plain_head,
    rectangle,
    row,
    three_and_three,
)

STEP = Vector(1.5, -2.0)


def test_everything_on_the_head_moves_by_the_step() -> None:
    build = laden_head()
    parts = Parts(
        posts=("t1", "b2"), regions=("rod", "inlay"), retainers=("tree", "guide"), old_holes=("old1",)
    )
    assert parts.count == 7
    after = move_parts(build, parts, STEP)
    before, now = lay_out(build), lay_out(after)
    for post in before.posts:
        step = STEP if post.key in parts.posts else Vector(0.0, 0.0)
        assert now.post(post.key).at.distance(post.at + step) < 1e-9
    assert [each.at for each in after.retainers] == [each.at + STEP for each in build.retainers]
    assert [each.at for each in after.old_holes] == [build.old_holes[0].at + STEP, build.old_holes[1].at]
    rod, inlay = (region.shape for region in after.keep_clear)
    assert isinstance(rod, Polygon)
    assert rod.points[0] == Point(-3.5, -2.0)
    assert inlay == RoundRegion(centre=Point(7.5, 116.0), radius=8.0)
    assert after.outline == build.outline


@settings(max_examples=sampled(12, of=30), deadline=None)
@given(st.floats(-9.0, 9.0), st.floats(-9.0, 9.0))
def test_a_whole_head_moves_as_one_but_for_the_nut_line(x: float, y: float) -> None:
    build = plain_head(row(count=3), row("bass", count=3))
    posts = tuple(post.key for each in build.rows for post in each.posts)
    parts = Parts(nodes=tuple(node.key for node in nodes_of(build)), posts=posts)
    after = move_parts(build, parts, Vector(x, y))
    before, now = lay_out(build), lay_out(after)
    for post in before.posts:
        assert now.post(post.key).at.distance(post.at + Vector(x, y)) < 1e-6
    assert node_of(after, "n1").at == Point(40.0 + x, 200.0 + y)
    assert node_of(after, "n0").at == Point(40.0 + x, 0.0)


def test_posts_that_the_edge_takes_along_stay_with_their_rule() -> None:
    build = plain_head(row(count=2))
    nodes = tuple(node.key for node in nodes_of(build))
    after = move_parts(build, Parts(nodes=nodes, posts=("treble1", "treble2")), Vector(3.0, 0.0))
    assert after.rows == build.rows
    assert lay_out(after).post("treble1").at.distance(Point(23.0, 60.0)) < 1e-6


def test_plates_and_chosen_rows_move_as_a_whole() -> None:
    plates = eight_on_plates()
    after = move_parts(plates, Parts(posts=("t2", "t3")), Vector(-0.5, 1.0))
    assert after.rows[0].moved == ()
    assert after.rows[0].rule != plates.rows[0].rule
    build = plain_head(row(count=3))
    whole = move_parts(build, Parts(rows=("treble",), posts=("treble2",)), Vector(2.0, 5.0))
    assert whole.rows[0].rule == AlongEdge(start=START + 5.0, pitch=PITCH, inset=INSET - 2.0)
    assert whole.rows[0].moved == ()


def test_what_has_no_place_stays() -> None:
    nowhere = replace(row(count=1), rule=AlongEdge(start=900.0, pitch=10.0, inset=10.0))
    build = plain_head(nowhere, replace(row("bass"), posts=()))
    assert move_parts(build, Parts(posts=("treble1",), rows=("treble", "bass")), STEP) == build


def test_both_sides_move_together() -> None:
    build = plain_head(outline=rectangle())
    after = move_parts(build, Parts(nodes=("n1",)), Vector(2.0, 3.0), symmetric=True)
    assert node_of(after, "n2").at == Point(-42.0, 203.0)


def test_parts_are_taken_away() -> None:
    build = laden_head()
    parts = Parts(
        nodes=("a", "c", "f"), posts=("t3",), rows=("b",), regions=("rod",), retainers=("tree",), old_holes=("old2",)
    )  # fmt: skip
    after = remove_parts(build, parts)
    assert [node.key for node in nodes_of(after)] == ["a", "b", "d", "e", "f"]
    assert [each.key for each in after.rows] == ["t"]
    assert [post.key for post in after.rows[0].posts] == ["t1", "t2"]
    assert after.rows[0].moved == ()
    assert [each.key for each in after.keep_clear] == ["inlay"]
    assert [each.key for each in after.retainers] == ["guide"]
    assert [each.key for each in after.old_holes] == ["old1"]
    assert read_build(write_build(after)) == after


def test_partners_go_together() -> None:
    build = three_and_three()
    keys = [node.key for node in nodes_of(build)]
    after = remove_parts(build, Parts(nodes=(keys[1], keys[-2])), symmetric=True)
    assert [node.key for node in nodes_of(after)] == [keys[0], *keys[2:-2], keys[-1]]
    # A node that mirrors an end of the outline goes alone.
    odd: Build = plain_head(outline=rectangle())
    odd = move_parts(odd, Parts(nodes=("n2",)), Vector(0.0, -200.0))
    assert [node.key for node in nodes_of(remove_parts(odd, Parts(nodes=("n2",)), symmetric=True))] == [
        "n0",
        "n1",
        "n3",
    ]
