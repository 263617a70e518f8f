"""What lies under the pointer: the small before the large, the nearest of its kind, only what is in view."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document import edits
from geometry.document.build import Build, OldHole, Polygon, Region, Retainer, RoundRegion
from geometry.document.outline import Curve, Nodes
from geometry.document.outline_nodes import nodes_of, runs_of
from geometry.layout.layout import lay_out
from geometry.layout.pick import Picked, Shown, in_box, pick, pick_node, pick_run
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector
from tests.amount import sampled
from tests.builds import READY_MADE, laden_head, plain_head, row

CORNER, POST = Point(40.0, 200.0), Point(20.0, 60.0)
"""Of the plain head: node n1, and the first post of the treble row."""


def plain() -> Build:
    region = Region(
        key="k", name="pocket", shape=RoundRegion(centre=Point(0.0, 150.0), radius=12.0), side="face"
    )
    inlay = Polygon(points=(Point(-30.0, 20.0), Point(-20.0, 20.0), Point(-20.0, 40.0)))
    dot = Polygon(points=(Point(5.0, 5.0),) * 3)
    build = plain_head(
        row(count=2),
        retainers=(Retainer(key="tree", at=Point(0.0, 30.0), height=6.0, strings=(), radius=3.0),),
        keep_clear=(region, Region(key="l", name="", shape=inlay), Region(key="m", name="", shape=dot)),
        old_holes=(
            OldHole(key="o", at=Point(-20.0, 100.0), diameter=8.0),
            OldHole(key="p", at=Point(-20.0, 120.0), diameter=8.0, depth=5.0),
        ),
    )
    return edits.set_run(build, "n2", Curve(leave=Vector(-6, -60), arrive=Vector(-6, 60)))


def found(
    at: Point, side: Shown = "face", reach: float = 2.0, handles: tuple[str, ...] = ()
) -> Picked | None:
    build = plain()
    return pick(build, lay_out(build), at, reach, side, handles)


@pytest.mark.parametrize(
    ("at", "kind", "key"),
    [
        (Point(39.0, 199.0), "node", "n1"),
        (POST, "post", "treble1"),
        (POST + Vector(6.9, 0.0), "post", "treble1"),
        (Point(2.5, 30.0), "retainer", "tree"),
        (Point(-17.0, 101.0), "old hole", "o"),
        (Point(0.0, 161.0), "region", "k"),
        (Point(0.0, 150.0), "region", "k"),
        (Point(-19.5, 30.0), "region", "l"),
        (Point(-22.0, 28.0), "region", "l"),
        (Point(5.5, 5.5), "region", "m"),
        (Point(39.0, 90.0), "run", "n0"),
    ],
)
def test_each_kind_is_found(at: Point, kind: str, key: str) -> None:
    picked = found(at)
    assert picked is not None
    assert (picked.kind, picked.key) == (kind, key)


@pytest.mark.parametrize("at", [Point(0.0, 100.0), Point(60.0, 60.0), Point(0.0, 0.0), POST + Vector(9.1, 0)])
def test_nothing_is_found_where_nothing_is(at: Point) -> None:
    assert found(at) is None


@pytest.mark.parametrize(("away", "kind"), [(2.9, "node"), (3.1, "run")])
def test_the_edge_beside_a_node_is_the_nodes(away: float, kind: str) -> None:
    """Within one and a half times the reach of 2 mm, from both sides of the corner."""
    for at in (CORNER - Vector(0.0, away), CORNER - Vector(away, 0.0)):
        picked = found(at)
        assert picked is not None
        assert picked.kind == kind
    beside = found(CORNER + Vector(1.5, -2.5))
    assert beside == Picked("node", "n1")


def test_most_of_a_short_run_stays_within_reach() -> None:
    """Of a run of 80 mm a node takes a quarter at each end, however far the pointer reaches."""
    build = plain_head()
    layout = lay_out(build)
    beyond = pick(build, layout, Point(CORNER.x - 20.5, CORNER.y), 20.0, "face")
    within = pick(build, layout, Point(CORNER.x - 20.0, CORNER.y), 19.0, "face")
    assert beyond is not None
    assert beyond.kind == "run"
    assert within == Picked("node", "n1")


def test_a_run_tells_where_it_was_met() -> None:
    assert found(Point(20.0, 200.5)) == Picked("run", "n1", t=0.25)


def test_small_things_come_first() -> None:
    build = plain_head(
        row(), keep_clear=(Region(key="k", name="", shape=RoundRegion(centre=POST, radius=30.0)),)
    )
    layout = lay_out(build)
    assert pick(build, layout, POST, 2.0, "face") == Picked("post", "treble1")
    assert pick(build, layout, Point(39.5, 70.0), 2.0, "face") == Picked("run", "n0", t=0.35)
    assert pick(build, layout, Point(25.0, 75.0), 2.0, "face") == Picked("region", "k")


def test_handles_are_found_where_they_are_shown() -> None:
    tip = Point(-46.0, 140.0)
    assert found(tip, reach=1.0, handles=("n2",)) == Picked("handle", "n2", end="leave")
    assert found(tip, reach=1.0, handles=("n3", "gone")) is None
    assert found(tip, reach=1.0) is None
    assert found(Point(-46.0, 60.0), handles=("n2", "n3")) == Picked("handle", "n3", end="arrive")


def test_a_handle_on_its_node_leaves_the_node_within_reach() -> None:
    build = edits.set_run(plain(), "n2", Curve(leave=Vector(0, 0), arrive=Vector(0, -10)))
    picked = pick(build, lay_out(build), Point(-40.5, 200.0), 2.0, "face", ("n2",))
    assert picked == Picked("node", "n2")


def test_only_what_is_in_view_is_found() -> None:
    hole, pocket, tree = Point(-20.0, 120.0), Point(0.0, 150.0), Point(0.0, 30.0)
    for side in ("back", "both"):
        assert found(hole, side) == Picked("old hole", "p")
    assert found(hole, "face") is None
    assert found(pocket, "both") == Picked("region", "k")
    assert found(pocket, "back") is None
    assert found(tree, "back") is None
    # The body reaches 10 mm to each side of its post, 8 mm along.
    beside = POST + Vector(-9.5, 0.0)
    assert found(beside, "face") is None
    assert found(beside, "back") == Picked("post", "treble1")


@pytest.mark.parametrize("make", READY_MADE)
def test_every_node_and_post_of_a_ready_head_is_found_at_its_place(make: Callable[[], Build]) -> None:
    build = make()
    layout = lay_out(build)
    for node in nodes_of(build):
        assert pick(build, layout, node.at, 1e-3, "both") == Picked("node", node.key)
    for post in layout.posts:
        assert pick(build, layout, post.at, 1e-3, "both") == Picked("post", post.key)


@settings(max_examples=sampled(20, of=60), deadline=None)
@given(st.sampled_from(["a", "b", "c", "d", "e"]), st.floats(0.1, 0.9), st.floats(-1.9, 1.9))
def test_a_run_is_found_within_reach_of_it(key: str, t: float, away: float) -> None:
    build = edits.set_outline(plain_head(), laden_head().outline)
    segment = dict(runs_of(build))[key]
    at = segment.point_at(t) + segment.tangent_at(t).left * away
    picked = pick(build, lay_out(build), at, 2.0, "face")
    assert picked is not None
    assert picked.t is not None
    assert (picked.kind, picked.key) == ("run", key)
    assert segment.point_at(picked.t).distance(at) == pytest.approx(abs(away), abs=1e-6)


def test_a_box_takes_what_lies_in_it() -> None:
    build = plain()
    layout = lay_out(build)

    def kinds(box: Bounds, side: Shown = "face") -> set[tuple[str, str]]:
        return {(each.kind, each.key) for each in in_box(build, layout, box, side)}

    everything = kinds(Bounds(-60.0, -10.0, 60.0, 210.0))
    nodes = {("node", f"n{number}") for number in range(4)}
    posts = {("post", "treble1"), ("post", "treble2")}
    rest = {("retainer", "tree"), ("old hole", "o"), ("region", "k"), ("region", "l"), ("region", "m")}
    assert everything == nodes | posts | rest
    both = kinds(Bounds(-60.0, -10.0, 60.0, 210.0), "both")
    assert both == everything | {("old hole", "p")}
    assert kinds(Bounds(-13.0, 137.0, 13.0, 163.0)) == {("region", "k")}
    assert kinds(Bounds(-13.0, 139.0, 13.0, 163.0)) == set()
    assert kinds(Bounds(-13.0, 20.0, 13.0, 163.0), "back") == set()


def test_a_place_for_a_new_node_is_the_middle_or_away_from_the_ends() -> None:
    build = plain()
    assert pick_run(build, Point(41.0, 60.0), 2.0) == Picked("run", "n0", t=0.3)
    assert pick_run(build, Point(38.5, 101.0), 2.0) == Picked("run", "n0", t=0.5)
    assert pick_run(build, Point(40.5, 0.5), 2.0) is None
    # Beyond the nut line the end itself is nearest, more than half the reach away.
    assert pick_run(build, Point(40.0, -1.5), 2.0) is None
    assert pick_run(build, Point(45.0, 60.0), 2.0) is None
    # Whatever lies on the edge does not matter.
    over = plain_head(keep_clear=(Region(key="k", name="", shape=RoundRegion(centre=CORNER, radius=60.0)),))
    assert pick_run(over, Point(40.0, 140.0), 2.0) == Picked("run", "n0", t=0.7)


def test_a_node_is_found_under_whatever_lies_there() -> None:
    assert pick_node(plain(), Point(39.0, 199.0), 2.0) == "n1"
    assert pick_node(plain(), Point(30.0, 199.0), 2.0) is None
    assert pick_node(plain_head(outline=Nodes(nodes=())), CORNER, 2.0) is None
