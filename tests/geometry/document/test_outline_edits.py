"""Edits of an outline: each changes what it names, keeps shapes it promises to keep, and keeps both sides alike."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document import edits
from geometry.document.build import Build, Nut
from geometry.document.codec import read_build, write_build
from geometry.document.corner_edits import make_corner, make_smooth, radius_for_reach, round_corner
from geometry.document.node_edits import add_node, move_nodes, new_node_key, remove_node, set_handle
from geometry.document.outline import LARGEST_BULGE, Bend, Curve, Node, Nodes, Straight
from geometry.document.outline_nodes import (
    Handle,
    following,
    handles_of,
    is_end,
    is_smooth,
    node_of,
    nodes_of,
    partner_of,
    run_measures,
    run_partner_of,
    runs_at,
    runs_of,
    segment_of,
    tangents_at,
)
from geometry.document.run_edits import drag_run, run_as, set_angle, set_length, set_radius
from geometry.document.starters import STARTERS
from geometry.layout.edge import edge_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic
from tests.amount import sampled
from tests.builds import change, laden_head, nodes, rectangle, three_and_three

quick = settings(max_examples=sampled(20, of=60), deadline=None)
SHARES = st.floats(0.02, 0.98)
STEPS = st.floats(-9.0, 9.0)
SYMMETRIC = ("straight-taper", "waisted", "narrow", "rounded-paddle", "broad-for-plates")


def head(places: Nodes) -> Build:
    return Build(name="", outline=places, nut=Nut(width=80.0))


def starter(shape: Any) -> Build:
    return Build(name="", outline=STARTERS[shape], nut=Nut(width=36.0))


def arched() -> Build:
    """Both sides alike: straight sides, curves to a node on the centre line at the tip."""
    return head(
        Nodes(
            nodes=(
                Node(key="a", at=Point(30.0, 0.0)),
                Node(key="b", at=Point(35.0, 80.0), onward=Curve(leave=Vector(2, 10), arrive=Vector(12, 0))),
                Node(
                    key="c", at=Point(0.0, 110.0), onward=Curve(leave=Vector(-12, 0), arrive=Vector(-2, 10))
                ),
                Node(key="d", at=Point(-35.0, 80.0)),
                Node(key="e", at=Point(-30.0, 0.0)),
            )
        )
    )


def capped() -> Build:
    """Both sides alike: a curve from corner to corner over the tip."""
    over = Curve(leave=Vector(-8, 14), arrive=Vector(8, 14))
    return head(
        Nodes(
            nodes=(
                Node(key="a", at=Point(30.0, 0.0), onward=Bend(bulge=0.1)),
                Node(key="b", at=Point(35.0, 80.0), onward=over),
                Node(key="c", at=Point(-35.0, 80.0), onward=Bend(bulge=0.1)),
                Node(key="d", at=Point(-30.0, 0.0)),
            )
        )
    )


BUILDS = (laden_head(), arched(), capped(), *(starter(shape) for shape in STARTERS))
EVEN = (arched(), capped(), head(rectangle()), *(starter(shape) for shape in SYMMETRIC))


@st.composite
def runs(draw: st.DrawFn, among: tuple[Build, ...] = BUILDS) -> tuple[Build, str]:
    build = draw(st.sampled_from(among))
    return build, draw(st.sampled_from([key for key, _ in runs_of(build)]))


@st.composite
def inner_nodes(draw: st.DrawFn, among: tuple[Build, ...] = BUILDS) -> tuple[Build, str]:
    build = draw(st.sampled_from(among))
    return build, draw(st.sampled_from([node.key for node in nodes_of(build)[1:-1]]))


def by_key(build: Build) -> dict[str, Node]:
    return {node.key: node for node in nodes_of(build)}


def assert_only(before: Build, after: Build, *keys: str) -> None:
    """Nothing of the build but these nodes changed."""
    assert change(after, outline=before.outline) == before
    old, new = by_key(before), by_key(after)
    assert {key for key in old.keys() | new.keys() if old.get(key) != new.get(key)} <= set(keys)


def assert_even(build: Build) -> None:
    """The outline is its own mirror image, node by node and run by run."""
    segments = [segment for _, segment in runs_of(build)]
    for mine, other in zip(segments, reversed(segments), strict=True):
        image = other.mirrored().reversed()
        assert type(mine) is type(image)
        for share in (0.0, 0.3, 0.5, 0.8, 1.0):
            assert mine.point_at(share).distance(image.point_at(share)) < 1e-6


def assert_kept(build: Build) -> None:
    """A file can hold it, and it is drawn."""
    assert read_build(write_build(build)) == build
    edge_of(build)


def test_the_even_heads_are_even() -> None:
    for build in EVEN:
        assert_even(build)


# Reading


@pytest.mark.parametrize("build", BUILDS, ids=str)
def test_runs_are_what_is_drawn(build: Build) -> None:
    edge = edge_of(build)
    assert edge is not None
    assert tuple(segment for _, segment in runs_of(build)) == edge.drawn.segments
    assert nodes_of(build) == nodes_of(edits.free_outline(build))


def test_measures_of_runs() -> None:
    build = head(nodes((40, 0), (40, 100), (-40, 100), (-40, 0)))
    build = edits.set_run(build, "n1", Bend(bulge=1.0))
    build = edits.set_run(build, "n2", Curve(leave=Vector(0, -100 / 3), arrive=Vector(0, 100 / 3)))
    straight, arc, curve = (run_measures(build, key) for key in ("n0", "n1", "n2"))
    assert (straight.kind, straight.length, straight.radius) == ("straight", 100.0, None)
    assert straight.angle == pytest.approx(math.pi / 2)
    assert arc.kind == "arc"
    assert arc.radius == pytest.approx(40.0)
    assert arc.length == pytest.approx(40 * math.pi)
    assert curve.kind == "curve"
    assert curve.length == pytest.approx(100.0)
    assert curve.radius is None
    flat = edits.set_run(build, "n1", Bend(bulge=0.0))
    assert run_measures(flat, "n1").radius is None


def test_handles_lie_where_their_curves_say() -> None:
    build = arched()
    assert handles_of(build, "a") == ()
    assert handles_of(build, "b") == (Handle("b", "leave", Point(37.0, 90.0)),)
    assert handles_of(build, "c") == (
        Handle("c", "arrive", Point(12.0, 110.0)),
        Handle("c", "leave", Point(-12.0, 110.0)),
    )


def test_smooth_and_sharp_nodes_are_told_apart() -> None:
    build = arched()
    assert [is_smooth(build, key) for key in "abcde"] == [False, False, True, False, False]
    assert tangents_at(build, "a") is None
    spike = edits.set_run(build, "b", Curve(leave=Vector(2, 10), arrive=Vector(-12, 0)))
    assert not is_smooth(spike, "c")


def test_partners_lie_across_the_centre_line() -> None:
    build = arched()
    assert [partner_of(build, key) for key in "abcde"] == ["e", "d", "c", "b", "a"]
    assert [run_partner_of(build, key) for key in "abcd"] == ["d", "c", "b", "a"]
    assert run_partner_of(capped(), "b") == "b"
    moved = move_nodes(build, {"b": Point(36.0, 80.0)})
    assert partner_of(moved, "b") is None
    assert run_partner_of(moved, "b") is None
    # Nodes across from each other that are not neighbours make no run.
    crossed = head(nodes((10, 0), (20, 50), (-10, 0), (30, 70), (-20, 50), (-10, 1)))
    assert run_partner_of(crossed, "n0") is None


# Nodes


@quick
@given(runs(), SHARES)
def test_a_node_added_keeps_the_curve(drawn: tuple[Build, str], t: float) -> None:
    build, run = drawn
    before = segment_of(build, run)
    key = new_node_key(build)
    after = add_node(build, run, t)
    assert_only(build, after, run, key)
    first, second = segment_of(after, run), segment_of(after, key)
    for share in (0.0, 0.2, 0.5, 0.9, 1.0):
        assert first.point_at(share).distance(before.point_at(share * t)) < 1e-9
        assert second.point_at(share).distance(before.point_at(t + share * (1 - t))) < 1e-9
    shares = [by_key(after)[each].follows_nut for each in (run, key, following(after, key))]
    assert shares == sorted(shares) or shares == sorted(shares, reverse=True)


@quick
@given(runs(), SHARES)
def test_removing_a_node_undoes_adding_it(drawn: tuple[Build, str], t: float) -> None:
    build, run = drawn
    key = new_node_key(build)
    after = remove_node(add_node(build, run, t), key)
    assert [node.key for node in nodes_of(after)] == [node.key for node in nodes_of(build)]
    before, again = segment_of(build, run), segment_of(after, run)
    assert type(before) is type(again)
    for share in (0.0, 0.2, 0.5, 0.9, 1.0):
        assert again.point_at(share).distance(before.point_at(share)) < 1e-6


@quick
@given(inner_nodes())
def test_a_removed_node_joins_its_neighbours(drawn: tuple[Build, str]) -> None:
    build, key = drawn
    before, _ = runs_at(build, key)
    assert before is not None
    after = remove_node(build, key)
    assert key not in by_key(after)
    assert_only(build, after, before, key)
    assert_kept(after)


def test_kinds_of_joined_runs() -> None:
    square = head(rectangle())
    assert by_key(remove_node(square, "n1"))["n0"].onward == Straight()
    bent = edits.set_run(edits.set_run(square, "n0", Bend(bulge=0.1)), "n1", Bend(bulge=0.3))
    joined = segment_of(remove_node(bent, "n1"), "n0")
    assert isinstance(joined, Arc)
    assert joined.nearest(Point(40.0, 200.0)).distance < 1e-9
    mixed = remove_node(edits.set_run(square, "n0", Bend(bulge=0.1)), "n1")
    assert isinstance(segment_of(mixed, "n0"), Cubic)
    folded = edits.set_run(square, "n0", Curve(leave=Vector(0, 9), arrive=Vector(0, 0)))
    folded = edits.set_run(folded, "n1", Curve(leave=Vector(0, 0), arrive=Vector(0, 9)))
    assert by_key(remove_node(folded, "n1"))["n0"].onward == Curve(leave=Vector(0, 18), arrive=Vector(0, 18))


def test_the_ends_are_not_removed() -> None:
    for key in ("n0", "n3"):
        with pytest.raises(ValueError, match="nut line"):
            remove_node(head(rectangle()), key)


@quick
@given(inner_nodes(), STEPS, STEPS)
def test_a_moved_node_moves_alone(drawn: tuple[Build, str], x: float, y: float) -> None:
    build, key = drawn
    at = node_of(build, key).at + Vector(x, y)
    after = move_nodes(build, {key: at})
    assert_only(build, after, key)
    assert node_of(after, key).at == at
    assert node_of(after, key).onward == node_of(build, key).onward


def test_ends_slide_on_the_nut_line_and_far_places_are_held() -> None:
    build = head(rectangle())
    after = move_nodes(build, {"n0": Point(45.0, 7.0), "n1": Point(9e9, -9e9)})
    assert node_of(after, "n0").at == Point(45.0, 0.0)
    assert node_of(after, "n1").at == Point(2000.0, -2000.0)
    assert_kept(after)


def test_partners_that_both_move_follow_the_first() -> None:
    build = head(rectangle())
    both = {"n1": Point(43.0, 205.0), "n2": Point(-37.0, 205.0)}
    after = move_nodes(build, both, symmetric=True)
    assert node_of(after, "n1").at == Point(43.0, 205.0)
    assert node_of(after, "n2").at == Point(-43.0, 205.0)
    tip = move_nodes(arched(), {"c": Point(3.0, 115.0)}, symmetric=True)
    assert node_of(tip, "c").at == Point(0.0, 115.0)


# Handles


def test_a_handle_alone_breaks_a_smooth_node_and_with_its_twin_keeps_it() -> None:
    build = arched()
    broken = set_handle(build, "c", "arrive", Vector(9, 5))
    assert not is_smooth(broken, "c")
    assert_only(build, broken, "b")
    kept = set_handle(build, "c", "arrive", Vector(9, 12), keep_smooth=True)
    assert is_smooth(kept, "c")
    assert_only(build, kept, "b", "c")
    curve = node_of(kept, "c").onward
    assert isinstance(curve, Curve)
    assert curve.leave.length == pytest.approx(12.0)
    assert set_handle(build, "c", "arrive", Vector(0, 0), keep_smooth=True) == build


def test_next_to_a_straight_run_a_smooth_handle_stays_in_line() -> None:
    build = make_smooth(arched(), "b")
    after = set_handle(build, "b", "leave", Vector(20, 20), keep_smooth=True)
    assert is_smooth(after, "b")
    line = Vector(5, 80).unit()
    curve = node_of(after, "b").onward
    assert isinstance(curve, Curve)
    assert curve.leave.length == pytest.approx(Vector(20, 20).dot(line))
    other = set_handle(make_smooth(arched(), "d"), "d", "arrive", Vector(-3, 30), keep_smooth=True)
    assert is_smooth(other, "d")


def test_an_absent_handle_is_left_alone() -> None:
    build = arched()
    assert set_handle(build, "b", "arrive", Vector(1, 1)) == build
    assert set_handle(build, "a", "arrive", Vector(1, 1), keep_smooth=True) == build


# Corners


@quick
@given(inner_nodes())
def test_smooth_and_sharp_again(drawn: tuple[Build, str]) -> None:
    build, key = drawn
    if not is_smooth(build, key):
        smooth = make_smooth(build, key)
        tangents = tangents_at(smooth, key)
        assert tangents is not None
        assert abs(tangents[0].cross(tangents[1])) < 1e-6
        assert tangents[0].dot(tangents[1]) > 0
        before, _ = runs_at(build, key)
        assert_only(build, smooth, str(before), key)
    sharp = make_corner(build, key)
    for handle in handles_of(sharp, key):
        before, _ = runs_at(sharp, key)
        far = following(sharp, key) if handle.end == "leave" else str(before)
        at = node_of(sharp, key).at
        assert handle.at.distance(at.toward(node_of(sharp, far).at, 1 / 3)) < 1e-9
    assert_kept(sharp)


def test_ends_have_no_corner() -> None:
    build = arched()
    for key in ("a", "e"):
        assert make_smooth(build, key) == build
        assert make_corner(build, key) == build


def test_a_fold_is_smoothed_square_to_itself() -> None:
    fold = edits.set_run(arched(), "c", Curve(leave=Vector(12, 0), arrive=Vector(-2, 10)))
    assert is_smooth(make_smooth(fold, "c"), "c")


def test_a_square_corner_rounded() -> None:
    build = head(rectangle())
    after = round_corner(build, "n1", 10.0)
    assert_only(build, after, "n1", "n4")
    at = by_key(after)
    assert [node.key for node in nodes_of(after)] == ["n0", "n1", "n4", "n2", "n3"]
    assert at["n1"].at.distance(Point(40.0, 190.0)) < 1e-9
    assert at["n4"].at.distance(Point(30.0, 200.0)) < 1e-9
    assert run_measures(after, "n1").radius == pytest.approx(10.0)
    assert is_smooth(after, "n1")
    assert is_smooth(after, "n4")


def test_a_rounding_that_uses_up_a_side_drops_its_node() -> None:
    build = head(nodes((40, 0), (40, 20), (-60, 20), (-60, 0)))
    after = round_corner(build, "n1", 20.0)
    assert [node.key for node in nodes_of(after)] == ["n0", "n1", "n2", "n3"]
    assert run_measures(after, "n0").radius == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("key", "radius", "words"), [("n0", 5.0, "nut line"), ("n1", 500.0, "fit"), ("n1", 0.0, "more than zero")]
)
def test_roundings_that_cannot_be(key: str, radius: float, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        round_corner(head(rectangle()), key, radius)


@given(st.floats(0.2, 2.9), st.floats(0.5, 10.0))
def test_a_rounding_begins_where_it_is_asked_to(turn: float, reach: float) -> None:
    leg = Vector(0.0, 60.0).turned(turn)
    corner = Point(40.0, 60.0)
    build = head(Nodes(nodes=(
        Node(key="a", at=Point(40.0, 0.0)), Node(key="b", at=corner), Node(key="c", at=corner + leg),
        Node(key="d", at=Point(-200.0, 0.0)),
    )))  # fmt: skip
    radius = radius_for_reach(build, "b", reach)
    after = round_corner(build, "b", radius)
    assert node_of(after, "b").at.distance(Point(40.0, 60.0 - reach)) < 1e-6


def test_no_corner_no_radius() -> None:
    assert radius_for_reach(arched(), "c", 5.0) == 0.0
    assert radius_for_reach(arched(), "a", 5.0) == 0.0


# Runs


@quick
@given(runs(), st.sampled_from(["straight", "arc", "curve"]))
def test_the_kind_of_a_run(drawn: tuple[Build, str], kind: Any) -> None:
    build, run = drawn
    after = run_as(build, run, kind)
    assert_only(build, after, run)
    assert run_measures(after, run).kind == kind
    assert_kept(after)
    before, now = segment_of(build, run), segment_of(after, run)
    if kind == "arc" and isinstance(before, Cubic):
        assert now.nearest(before.point_at(0.5)).distance < 1e-6
    if kind == "curve":
        # A quarter turn as one cubic strays 0.027 % of its radius; these runs turn by less.
        assert before.point_at(0.5).distance(now.point_at(0.5)) < 1e-3 * before.length
        assert before.tangent_at(0.0).cross(now.tangent_at(0.0)) == pytest.approx(0.0, abs=1e-9)


def test_a_straight_run_made_an_arc_bulges_outwards() -> None:
    after = run_as(head(rectangle()), "n1", "arc")
    assert segment_of(after, "n1").point_at(0.5).y > 205.0


@quick
@given(runs((laden_head(), starter("waisted"))), SHARES, STEPS, STEPS)
def test_a_dragged_run(drawn: tuple[Build, str], t: float, x: float, y: float) -> None:
    build, run = drawn
    before = segment_of(build, run)
    to = before.point_at(t) + Vector(x, y)
    after = drag_run(build, run, t, to)
    now = segment_of(after, run)
    assert type(now) is type(before)
    if isinstance(before, Arc):
        assert_only(build, after, run)
        assert isinstance(now, Arc)
        assert now.nearest(to).distance < 1e-6 or abs(now.bulge) == LARGEST_BULGE
    elif isinstance(before, Cubic):
        assert (now.start, now.end) == (before.start, before.end)
        loose = not any(is_smooth(build, key) for key in (run, following(build, run)))
        if loose and 0.1 <= t <= 0.9:
            assert now.point_at(t).distance(to) < 1e-9
    else:
        assert_only(build, after, run, following(build, run))
        step = now.point_at(t) - before.point_at(t)
        free = not any(is_end(build, key) for key in (run, following(build, run)))
        assert step.x == pytest.approx(x)
        assert not free or step.y == pytest.approx(y)
    assert_kept(after)


def test_a_dragged_curve_stays_smooth() -> None:
    after = drag_run(arched(), "b", 0.5, Point(30.0, 112.0))
    assert is_smooth(after, "c")


@quick
@given(runs(), st.floats(2.0, 250.0))
def test_an_exact_length(drawn: tuple[Build, str], length: float) -> None:
    build, run = drawn
    after = set_length(build, run, length)
    assert run_measures(after, run).length == pytest.approx(length, abs=1e-6)
    last = following(build, run)
    assert_only(build, after, run, last)
    moved = node_of(after, last).at != node_of(build, last).at
    assert not (moved and is_end(build, last))


@quick
@given(runs(), st.floats(-3.0, 3.0))
def test_an_exact_direction(drawn: tuple[Build, str], angle: float) -> None:
    build, run = drawn
    before = run_measures(build, run)
    after = set_angle(build, run, angle)
    assert run_measures(after, run).angle == pytest.approx(angle, abs=1e-6)
    assert run_measures(after, run).length == pytest.approx(before.length, abs=1e-6)


@quick
@given(runs(), st.floats(1.0, 8.0))
def test_an_exact_radius(drawn: tuple[Build, str], times: float) -> None:
    build, run = drawn
    before = segment_of(build, run)
    radius = before.start.distance(before.end) / 2 * times
    after = set_radius(build, run, radius)
    assert_only(build, after, run)
    now = segment_of(after, run)
    assert isinstance(now, Arc)
    assert now.radius == pytest.approx(radius, rel=1e-6)
    if isinstance(before, Arc):
        assert (now.bulge > 0) == (before.bulge > 0)


def test_the_longer_way_round_stays_so() -> None:
    build = edits.set_run(head(rectangle()), "n1", Bend(bulge=2.0))
    after = set_radius(build, "n1", 41.0)
    onward = node_of(after, "n1").onward
    assert isinstance(onward, Bend)
    assert onward.bulge == pytest.approx((41.0 + 9.0) / 40.0)
    assert run_measures(after, "n1").radius == pytest.approx(41.0)


def test_measures_that_cannot_be() -> None:
    build = head(nodes((40, 0), (40, 100), (40, 100), (-40, 0)))
    with pytest.raises(ValueError, match="more than zero"):
        set_length(build, "n0", 0.0)
    with pytest.raises(ValueError, match="more than zero"):
        set_length(build, "n1", 5.0)
    with pytest.raises(ValueError, match="direction"):
        set_angle(build, "n1", 1.0)
    with pytest.raises(ValueError, match="two nodes, 50 mm"):
        set_radius(build, "n0", 49.0)
    assert node_of(set_radius(build, "n1", 5.0), "n1").onward == Bend(bulge=0.0)
    with pytest.raises(ValueError, match="centre line"):
        set_angle(head(rectangle()), "n1", 1.0, symmetric=True)


# Both sides


@quick
@given(inner_nodes(EVEN), STEPS, STEPS, st.data())
def test_edits_of_nodes_keep_both_sides_alike(
    drawn: tuple[Build, str], x: float, y: float, data: st.DataObject
) -> None:
    build, key = drawn
    step = Vector(x, y)
    at = node_of(build, key).at
    assert_even(move_nodes(build, {key: at + step}, symmetric=True))
    assert_even(remove_node(build, key, symmetric=True))
    assert_even(make_smooth(build, key, symmetric=True))
    assert_even(make_corner(build, key, symmetric=True))
    for handle in handles_of(build, key):
        smooth = data.draw(st.booleans())
        to = handle.at - at + step
        assert_even(set_handle(build, key, handle.end, to, keep_smooth=smooth, symmetric=True))


@quick
@given(runs(EVEN), SHARES, STEPS, STEPS, st.sampled_from(["straight", "arc", "curve"]))
def test_edits_of_runs_keep_both_sides_alike(
    drawn: tuple[Build, str], t: float, x: float, y: float, kind: Any
) -> None:
    build, run = drawn
    segment = segment_of(build, run)
    assert_even(add_node(build, run, t, symmetric=True))
    assert_even(add_node(build, run, 0.5, symmetric=True))
    assert_even(run_as(build, run, kind, symmetric=True))
    assert_even(drag_run(build, run, t, segment.point_at(t) + Vector(x, y), symmetric=True))
    longer = set_length(build, run, segment.length + abs(x), symmetric=True)
    assert_even(longer)
    assert run_measures(longer, run).length == pytest.approx(segment.length + abs(x), abs=1e-6)
    assert_even(set_radius(build, run, segment.length + abs(y), symmetric=True))
    if run_partner_of(build, run) != run:
        angle = run_measures(build, run).angle + x / 20
        turned = set_angle(build, run, angle, symmetric=True)
        assert_even(turned)


def test_a_curve_over_the_tip_follows_the_pointer_up() -> None:
    build = capped()
    at = segment_of(build, "b").point_at(0.3)
    after = drag_run(build, "b", 0.3, at + Vector(4.0, 3.0), symmetric=True)
    assert_even(after)
    assert segment_of(after, "b").point_at(0.3).y == pytest.approx(at.y + 3.0)


def test_both_corners_rounded_at_once() -> None:
    after = round_corner(head(rectangle()), "n1", 10.0, symmetric=True)
    assert_even(after)
    assert len(nodes_of(after)) == 6


@quick
@given(inner_nodes((laden_head(), starter("one-sided"))), STEPS, STEPS)
def test_a_node_without_a_partner_is_edited_alone(drawn: tuple[Build, str], x: float, y: float) -> None:
    build, key = drawn
    places = {key: node_of(build, key).at + Vector(x, y)}
    if partner_of(build, key) is None:
        assert move_nodes(build, places, symmetric=True) == move_nodes(build, places)
        assert remove_node(build, key, symmetric=True) == remove_node(build, key)


def test_the_rest_of_the_build_stays() -> None:
    build = three_and_three()
    key = nodes_of(build)[2].key
    for after in (
        remove_node(build, key, symmetric=True),
        make_corner(build, key, symmetric=True),
        run_as(build, key, "curve", symmetric=True),
    ):
        assert change(after, outline=build.outline) == build
