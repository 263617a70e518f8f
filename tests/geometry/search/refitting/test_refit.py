"""One head for another nut or other tuners: closed forms on plain heads, laws on all."""

from __future__ import annotations

import math
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.build import AlongEdge, Build, OnLine, OnPlate
from geometry.document.codec import read_build, write_build
from geometry.document.edits import free_outline, mirrored, move_post
from geometry.document.outline import Bend, Curve, Nodes, Starter
from geometry.document.outline_nodes import is_smooth, nodes_of, segment_between
from geometry.document.starters import STARTERS
from geometry.layout.edge import edge_of
from geometry.layout.layout import lay_out
from geometry.search.refitting.refit import Widen, refit, signs_of, widest_height, with_hardware
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import ARCS, PRINT, SAME
from geometry.trade.hardware_library import FOUR_ON_PLATE, OPEN_GEAR, SPLIT_POST
from tests.amount import sampled
from tests.builds import (
    READY_MADE,
    change,
    eight_on_plates,
    laden_head,
    nodes,
    plain_head,
    rectangle,
    row,
    six_in_line,
    three_and_three,
)
from tests.generated_builds import generated
from tests.strategies import builds

MODES: tuple[Widen | None, ...] = (None, *get_args(Widen))
BUILDS = [make() for make in READY_MADE] + [laden_head()]
FREED = [free_outline(build) for build in BUILDS]


def apart(one: Build, two: Build) -> float:
    """The farthest that either edge strays from the other, at places close together."""
    first, second = edge_of(one), edge_of(two)
    assert first is not None
    assert second is not None
    return max(_strays(first.contour, second.contour), _strays(second.contour, first.contour))


def _strays(one: Contour, two: Contour) -> float:
    return max(two.nearest(place).distance for place in one.flatten(0.05))


# Closed forms


def places(build: Build) -> list[tuple[float, float]]:
    return [(node.at.x, node.at.y) for node in nodes_of(build)]


def tapered() -> Build:
    """A nut of 44 mm, widest (80 mm) at a height of 40 mm, 60 mm wide at the tip."""
    outline = nodes((22, 0), (31, 20), (40, 40), (30, 160), (-30, 160), (-40, 40), (-31, 20), (-22, 0))
    return plain_head(outline=outline, nut=change(three_and_three().nut, width=44.0))


def test_a_whole_head_moves_by_half_the_change_on_each_side() -> None:
    assert places(refit(tapered(), 47.0, "head")) == [
        (23.5, 0), (32.5, 20), (41.5, 40), (31.5, 160), (-31.5, 160), (-41.5, 40), (-32.5, 20), (-23.5, 0),
    ]  # fmt: skip


def test_shoulders_fade_out_to_the_widest_place() -> None:
    assert places(refit(tapered(), 47.0, "shoulders")) == [
        (23.5, 0), (31.75, 20), (40, 40), (30, 160), (-30, 160), (-40, 40), (-31.75, 20), (-23.5, 0),
    ]  # fmt: skip


def test_a_scaled_head_has_every_x_in_proportion() -> None:
    assert places(refit(tapered(), 55.0, "scale")) == [
        (27.5, 0), (38.75, 20), (50, 40), (37.5, 160), (-37.5, 160), (-50, 40), (-38.75, 20), (-27.5, 0),
    ]  # fmt: skip


def test_nodes_follow_by_their_own_weights() -> None:
    outline = nodes((22, 0), (40, 40), (30, 160), (-30, 160), (-40, 40), (-22, 0))
    weights = (1.0, 0.5, 0.0, 0.25, 0.75, 1.0)
    own = Nodes(
        nodes=tuple(change(node, follows_nut=w) for node, w in zip(outline.nodes, weights, strict=True))
    )
    build = change(tapered(), outline=own)
    assert places(refit(build, 48.0)) == [(24, 0), (41, 40), (30, 160), (-30.5, 160), (-41.5, 40), (-24, 0)]


def test_strings_keep_their_margins_and_posts_their_insets() -> None:
    build = three_and_three()
    wider = refit(build, 46.0, "head")
    before, after = lay_out(build), lay_out(wider)
    outer = [build.strings[0].key, build.strings[-1].key]
    for key, sign in zip(outer, (1, -1), strict=True):
        assert after.slots[key] - before.slots[key] == pytest.approx(sign * 1.5)
    assert after.edge is not None
    for post in after.posts:
        assert after.edge.contour.nearest(post.at).distance == pytest.approx(12.5)
    assert wider.rows == build.rows


def test_a_post_moved_by_hand_keeps_its_offset_from_where_its_rule_has_it() -> None:
    plain = plain_head(row(count=2))
    moved = move_post(plain, "treble2", 3.0, -1.25)
    wide, wide_moved = (lay_out(refit(build, 84.0, "head")) for build in (plain, moved))
    step = wide_moved.post("treble2").at - wide.post("treble2").at
    assert (step.x, step.y) == pytest.approx((1.25, 3.0))
    # The side of the rectangle went from x = 40 to 42.
    assert wide.post("treble2").at.x - lay_out(plain).post("treble2").at.x == pytest.approx(2.0)


def test_trees_stay_among_the_strings() -> None:
    wider = refit(six_in_line(), 52.5)
    assert wider.retainers[0].at == Point(15.0, 60.0)


def test_what_is_in_the_wood_stays() -> None:
    build = laden_head()
    wider = refit(build, 46.0, "scale")
    assert (wider.old_holes, wider.keep_clear, wider.head) == (build.old_holes, build.keep_clear, build.head)


# Runs


def arched(bulge: float) -> Build:
    """A rectangle, 80 wide, whose tip is an arc between sharp corners."""
    outline = rectangle()
    tip = change(outline.nodes[1], onward=Bend(bulge=bulge))
    return plain_head(outline=Nodes(nodes=(outline.nodes[0], tip, *outline.nodes[2:])))


@pytest.mark.parametrize("bulge", [0.2, -0.3, 0.9])
def test_an_arc_between_corners_keeps_its_height(bulge: float) -> None:
    before, after = (
        segment_between(*nodes_of(b)[1:3]) for b in (arched(bulge), refit(arched(bulge), 90.0, "head"))
    )
    assert after.point_at(0.5).y == pytest.approx(before.point_at(0.5).y)
    assert after.start.distance(after.end) == pytest.approx(90.0)


def test_a_smooth_arc_between_moved_sides_stays_an_arc_and_smooth() -> None:
    # A semicircle goes on from both straight sides.
    wider = refit(arched(1.0), 90.0, "head")
    assert nodes_of(wider)[1].onward == Bend(bulge=1.0)
    assert wider == change(wider, outline=Nodes(nodes=nodes_of(wider)))
    assert is_smooth(wider, "n1")


@pytest.mark.parametrize("bulge", [0.05, 0.4, -0.4, 1.0, 2.5])
@pytest.mark.parametrize("factor", [0.8, 1.05, 1.3])
def test_a_scaled_arc_is_the_ellipse_that_it_must_be(bulge: float, factor: float) -> None:
    build = arched(bulge)
    arc = segment_between(*nodes_of(build)[1:3])
    scaled = edge_of(refit(build, 80.0 * factor, "scale"))
    assert scaled is not None
    for n in range(101):
        place = arc.point_at(n / 100)
        there = scaled.drawn.nearest(Point(place.x * factor, place.y))
        assert there.distance <= PRINT / 2


def test_handles_keep_their_direction_and_grow_with_the_chord() -> None:
    outline = rectangle()
    tip = change(outline.nodes[1], onward=Curve(leave=Vector(-3.0, 6.0), arrive=Vector(4.0, 2.0)))
    build = plain_head(outline=Nodes(nodes=(outline.nodes[0], tip, *outline.nodes[2:])))
    assert nodes_of(refit(build, 100.0, "head"))[1].onward == Curve(
        leave=Vector(-3.75, 7.5), arrive=Vector(5.0, 2.5)
    )
    assert nodes_of(refit(build, 100.0, "scale"))[1].onward == Curve(
        leave=Vector(-3.75, 6.0), arrive=Vector(5.0, 2.0)
    )


@pytest.mark.parametrize("widen", MODES)
@pytest.mark.parametrize("build", FREED, ids=lambda build: build.name)
def test_what_was_smooth_stays_smooth(build: Build, widen: Widen | None) -> None:
    wider = refit(build, build.nut.width + 3.0, widen)
    # Straight on both sides of a node, two different weights make a corner: no run can turn.
    for node in nodes_of(build):
        if is_smooth(build, node.key):
            assert is_smooth(wider, node.key)


def test_an_arc_without_a_bulge_turns_with_the_line_that_it_goes_on_from() -> None:
    outline = nodes((40, 0), (40, 60), (40, 120), (-40, 120), (-40, 0)).nodes
    flat = change(outline[1], onward=Bend(bulge=0.0), follows_nut=0.0)
    kept = tuple(change(node, follows_nut=0.0) for node in outline[2:4])
    build = plain_head(outline=Nodes(nodes=(outline[0], flat, *kept, outline[4])))
    wider = refit(build, 86.0)
    assert is_smooth(wider, "n1")
    onward = nodes_of(wider)[1].onward
    assert isinstance(onward, Curve)
    # From (43, 0) to (40, 60), and on as far as a third of the way to (40, 120).
    assert (onward.leave.x, onward.leave.y) == pytest.approx((-20 * 3 / 3609**0.5, 20 * 60 / 3609**0.5))


@pytest.mark.parametrize("change_of", [-3.0, 2.0, 5.0])
@pytest.mark.parametrize("widen", ["head", "shoulders", None])
def test_an_arc_that_becomes_curves_stays_near(widen: Widen | None, change_of: float) -> None:
    """Where the ends of a corner move by their own shares, its place moves by something between."""
    build = free_outline(three_and_three())
    wider = refit(build, 43.0 + change_of, widen)
    assert apart(build, wider) <= abs(change_of) / 2 + PRINT


def test_sides_are_told_by_the_tip_and_not_by_the_centre_line() -> None:
    outline = free_outline(six_in_line(outline=change(STARTERS["one-sided"], corner=0.0, lean_deg=20.0)))
    found = nodes_of(outline)
    assert found[3].at.x > 0
    assert signs_of(found) == (1, 1, 1, -1, -1, -1)


def test_a_lone_tip_stays_and_a_flat_one_widens_about_its_middle() -> None:
    pointed = nodes((20, 0), (30, 50), (4, 90), (-30, 50), (-20, 0))
    assert signs_of(pointed.nodes) == (1, 1, 0, -1, -1)
    flat = nodes((20, 0), (30, 90), (18, 90), (6, 90), (-20, 0))
    assert signs_of(flat.nodes) == (1, 1, 0, -1, -1)
    assert signs_of(flat.nodes[:1]) == (1,)
    assert signs_of(()) == ()


# The widest place


def test_the_widest_place_of_a_round_head_is_level_with_its_middle() -> None:
    outline = nodes((20, 0), (20, 1), (-20, 1), (-20, 0))
    # An arc round (0, 31) from (20, 1) over the top to (-20, 1).
    bulge = math.tan((math.pi + 2 * math.atan2(30, 20)) / 4)
    round_head = Nodes(
        nodes=tuple(
            change(node, onward=Bend(bulge=bulge)) if n == 1 else node for n, node in enumerate(outline.nodes)
        )
    )
    assert widest_height(edge_of(plain_head(outline=round_head))) == pytest.approx(31.0)


def test_the_widest_place_of_equals_is_the_lowest() -> None:
    assert widest_height(edge_of(tapered())) == 40.0
    assert widest_height(edge_of(plain_head())) == 0.0
    parallel = nodes((22, 0), (40, 30), (40, 160), (-40, 160), (-40, 30), (-22, 0))
    assert widest_height(edge_of(plain_head(outline=parallel))) == 30.0
    assert widest_height(None) == 0.0
    # A half-drawn outline that does not reach down to the nut line.
    floating = nodes((30, 10), (35, 50), (-35, 50), (-30, 10))
    assert widest_height(edge_of(plain_head(outline=floating))) == 50.0


# Starters


@pytest.mark.parametrize("widen", ["head", "shoulders", None])
@pytest.mark.parametrize("shape", ["straight-taper", "narrow", "broad-for-plates"])
def test_a_starter_follows_as_its_nodes_would(shape: str, widen: Widen | None) -> None:
    starter = change(STARTERS[shape], corner=0.0, tip_rise=0.0)  # type: ignore[index]
    build = three_and_three(outline=starter, nut=change(three_and_three().nut, width=0.6 * starter.width_low))
    width = build.nut.width + 2.0
    assert isinstance(refit(build, width, widen).outline, Starter)
    pairs = zip(
        places(refit(build, width, widen)), places(refit(free_outline(build), width, widen)), strict=True
    )
    for starter_place, node_place in pairs:
        assert starter_place == pytest.approx(node_place, abs=1e-9)


def test_a_starter_takes_the_change_up_in_its_widths() -> None:
    build = three_and_three()
    starter = build.outline
    assert isinstance(starter, Starter)
    assert refit(build, 45.0, "head").outline == change(starter, width_low=74.0, width_high=64.0)
    assert refit(build, 86.0, "scale").outline == change(starter, width_low=144.0, width_high=124.0)
    assert refit(build, 45.0, "shoulders").outline == starter
    own = refit(build, 45.0).outline
    assert isinstance(own, Starter)
    # 1 - 24 / 178 and 1 - 173 / 178, to three decimals.
    assert (own.width_low, own.width_high) == pytest.approx((72.0 + 2 * 0.865, 62.0 + 2 * 0.028))


def test_a_leaning_edge_keeps_its_ends_in_step_with_their_shares() -> None:
    build = six_in_line(outline=change(STARTERS["one-sided"], corner=0.0))
    before, after = build, refit(build, 46.0)
    low, high = (1 - 24 / 182, 1 - 176 / 182)
    # 0.55 of a change of width lies on the tuners' side: the last node but one is its shoulder, before it its tip.
    for place, share in ((-2, low), (-3, high)):
        step = nodes_of(after)[place].at.x - nodes_of(before)[place].at.x
        assert step == pytest.approx(-0.55 * 4.0 * share, abs=2e-3)
    assert isinstance(after.outline, Starter)


def test_a_starter_whose_measures_cannot_say_it_becomes_nodes() -> None:
    upright = six_in_line(outline=change(STARTERS["one-sided"], lean_deg=0.0))
    # The lower end of the tuners' edge moves in by more than the upper one: it would lean outwards.
    assert isinstance(refit(upright, 38.0).outline, Nodes)
    assert isinstance(refit(upright, 46.0).outline, Starter)
    assert isinstance(refit(three_and_three(), 1000.0, "scale").outline, Nodes)


# Laws


@pytest.mark.parametrize("widen", MODES)
@pytest.mark.parametrize("build", BUILDS + FREED, ids=lambda build: build.name)
def test_the_same_width_changes_nothing(build: Build, widen: Widen | None) -> None:
    assert refit(build, build.nut.width, widen) == build


@pytest.mark.parametrize("widen", MODES)
@pytest.mark.parametrize("build", BUILDS + FREED, ids=lambda build: build.name)
def test_there_and_back_is_the_same_head(build: Build, widen: Widen | None) -> None:
    back = refit(refit(build, build.nut.width + 3.0, widen), build.nut.width, widen)
    # An arc that became curves strays by its own tolerance, and each edge by that of its arcs. Where shoulders fade
    # out towards a rounded widest place, that place itself wanders a little.
    rounded = widen == "shoulders" and isinstance(build.outline, Nodes)
    assert apart(build, back) <= (0.1 if rounded else 3 * PRINT)
    assert change(back, outline=build.outline, retainers=build.retainers) == build


@given(st.integers(0, 500), st.floats(-4.0, 8.0), st.sampled_from(MODES), st.booleans())
@settings(max_examples=sampled(15, of=40), deadline=None)
def test_there_and_back_and_mirrored_for_generated_heads(
    seed: int, more: float, widen: Widen | None, free: bool
) -> None:
    build = generated(seed)
    build = free_outline(build) if free else build
    width = build.nut.width + more
    there = refit(build, width, widen)
    assert apart(refit(mirrored(build), width, widen), mirrored(there)) <= 2 * ARCS + SAME
    rounded = widen == "shoulders" and free
    back = refit(there, build.nut.width, widen)
    assert apart(build, back) <= (0.3 if rounded else 3 * PRINT)


@given(builds(), st.floats(0.5, 200.0), st.sampled_from(MODES))
@settings(max_examples=sampled(15, of=50), deadline=None)
def test_whatever_a_file_holds_can_be_refitted_and_saved(
    build: Build, width: float, widen: Widen | None
) -> None:
    there = refit(build, width, widen)
    assert there.nut.width == width
    assert read_build(write_build(there)) == there
    assert lay_out(there).labels == lay_out(build).labels


@given(st.floats(0.2, 5.0))
def test_a_scaled_straight_outline_is_scaled_in_area(factor: float) -> None:
    build = tapered()
    before, after = (edge_of(each) for each in (build, refit(build, 44.0 * factor, "scale")))
    assert before is not None
    assert after is not None
    areas = [each.contour.closed_by_line().area() for each in (before, after)]
    assert areas[1] == pytest.approx(factor * areas[0])


# Other tuners


def test_other_tuners_keep_the_rule_unless_a_plate_asks_for_its_own() -> None:
    build = three_and_three()
    other = with_hardware(build, "t", OPEN_GEAR)
    assert other.rows[0] == change(build.rows[0], hardware="open-gear")
    plates = eight_on_plates()
    single = with_hardware(plates, "t", SPLIT_POST)
    assert single.rows[0].rule == OnLine(start=34.0, pitch=23.0, inset=12.0)
    before, after = lay_out(plates), lay_out(single)
    for post in after.posts:
        assert post.at.distance(before.post(post.key).at) <= SAME
    assert with_hardware(single, "t", FOUR_ON_PLATE).rows[0].rule == OnPlate(start=34.0, inset=12.0)
    # A plate for four does not carry three: the rule stays, and the plate is found not to fit.
    assert isinstance(with_hardware(build, "t", FOUR_ON_PLATE).rows[0].rule, AlongEdge)
