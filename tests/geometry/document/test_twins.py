"""Both sides of a head worked on together: who follows whom, and by how much."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import Build, Polygon, Region, RoundRegion
from geometry.document.codec import read_build, write_build
from geometry.document.edits import (
    add_region,
    flip_wound_side,
    free_outline,
    move_post,
    set_drilled,
    set_hardware,
    set_piece,
    set_rule,
    turn_tuner,
)
from geometry.document.node_edits import move_nodes
from geometry.document.outline_nodes import nodes_of
from geometry.document.row_edits import measured
from geometry.document.twins import (
    followed,
    is_symmetric,
    set_symmetric,
    twin_post,
    twin_region,
    twin_row,
    with_region,
    with_twins,
)
from geometry.layout.layout import lay_out
from geometry.layout.parts_at_once import Parts, move_parts, remove_parts
from geometry.shape.point import Point, Vector
from geometry.trade.hardware_library import OPEN_GEAR
from tests.amount import sampled
from tests.builds import eight_on_plates, plain_head, rectangle, row, six_in_line, three_and_three

TRIANGLE = Polygon(points=(Point(10.0, 50.0), Point(20.0, 50.0), Point(10.0, 60.0)))
ROD = Polygon(points=(Point(-5.0, 0.0), Point(5.0, 0.0), Point(5.0, 30.0), Point(-5.0, 30.0)))


def six() -> Build:
    """Three posts a side on a rectangle."""
    return plain_head(row(count=3), row("bass", count=3))


def region(key: str, shape: Polygon | RoundRegion) -> Region:
    return Region(key=key, name=key, shape=shape)


# When both sides are worked on together


@pytest.mark.parametrize(("build", "on"), [(three_and_three(), True), (six_in_line(), False), (six(), True)])
def test_an_outline_says_it_by_itself(build: Build, on: bool) -> None:
    assert is_symmetric(build) is on
    assert is_symmetric(free_outline(build)) is on


def test_it_goes_by_itself_where_a_node_went_alone_and_by_word_else() -> None:
    build = plain_head(outline=rectangle())
    lopsided = move_nodes(build, {"n1": Point(41.0, 200.0)})
    assert not is_symmetric(lopsided)
    assert is_symmetric(set_symmetric(lopsided, on=True))
    assert not is_symmetric(set_symmetric(build, on=False))


@pytest.mark.parametrize("on", [True, False])
def test_the_build_remembers_it(on: bool) -> None:
    kept = read_build(write_build(set_symmetric(six(), on=on)))
    assert kept.symmetric is on
    assert b"symmetric" not in write_build(six())


# Twins


def test_rows_and_posts_have_their_partners_across() -> None:
    build = six()
    treble, bass = build.rows
    assert twin_row(build, treble.key) == bass
    assert [twin_post(build, post.key) for post in treble.posts] == [post.key for post in bass.posts]
    other = set_rule(build, treble.key, replace(treble.rule, start=61.0))
    assert twin_row(other, treble.key) is None
    assert twin_post(other, treble.posts[0].key) is None


def test_a_post_that_was_moved_alone_has_no_partner() -> None:
    build = six()
    post, partner = (each.posts[1].key for each in build.rows)
    assert twin_post(move_post(build, post, 1.0, 0.0), partner) is None
    both = move_post(move_post(build, post, 1.0, 2.0), partner, 1.0, 2.0)
    assert twin_post(both, post) == partner


def test_more_posts_on_one_side_leave_the_last_alone() -> None:
    build = plain_head(row(count=2), row("bass", count=3))
    assert [twin_post(build, post.key) is None for post in build.rows[1].posts] == [False, False, True]


def test_regions_mirror_each_other_or_themselves() -> None:
    build = add_region(add_region(six(), region("rod", ROD)), region("one", TRIANGLE))
    assert twin_region(build, "rod") == "rod"
    assert twin_region(build, "one") is None
    image = Polygon(points=tuple(point.mirrored for point in reversed(TRIANGLE.points)))
    build = add_region(build, region("two", image))
    assert (twin_region(build, "one"), twin_region(build, "two")) == ("two", "one")
    assert (
        twin_region(add_region(build, region("dot", RoundRegion(centre=Point(9.0, 9.0), radius=2.0))), "dot")
        is None
    )


def test_a_new_region_gets_its_image_unless_it_lies_across() -> None:
    across = with_region(six(), region("rod", ROD))
    assert len(across.keep_clear) == 1
    both = with_region(across, region("one", TRIANGLE))
    assert [each.key for each in both.keep_clear[:2]] == ["rod", "one"]
    assert twin_region(both, "one") == both.keep_clear[2].key
    dot = with_region(six(), region("dot", RoundRegion(centre=Point(-9.0, 9.0), radius=2.0)))
    assert dot.keep_clear[1].shape == RoundRegion(centre=Point(9.0, 9.0), radius=2.0)


# The other side follows


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(st.floats(-6.0, 6.0), st.floats(-6.0, 6.0), st.integers(0, 2), st.integers(0, 1))
def test_a_post_that_is_moved_stays_the_mirror_image_of_its_partner(
    x: float, y: float, place: int, side: int
) -> None:
    build = three_and_three()
    lead = build.rows[side].posts[place].key
    partner = build.rows[1 - side].posts[place].key
    after = lay_out(move_parts(build, Parts(posts=(lead,)), Vector(x, y), symmetric=True))
    was = lay_out(build).post(lead).at
    assert after.post(lead).at.distance(was + Vector(x, y)) < 1e-6
    assert after.post(partner).at.distance(after.post(lead).at.mirrored) < 1e-6


@settings(max_examples=sampled(8, of=15), deadline=None)
@given(st.floats(-4.0, 4.0), st.floats(-4.0, 4.0), st.sampled_from([three_and_three(), eight_on_plates()]))
def test_a_row_that_is_dragged_stays_the_mirror_image_of_its_twin(x: float, y: float, build: Build) -> None:
    if twin_row(build, build.rows[0].key) is None:
        build = replace(build, rows=(build.rows[0], replace(build.rows[1], rule=build.rows[0].rule)))
    after = move_parts(build, Parts(rows=(build.rows[0].key,)), Vector(x, y), symmetric=True)
    layout = lay_out(after)
    for one, other in zip(after.rows[0].posts, after.rows[1].posts, strict=True):
        assert layout.post(other.key).at.distance(layout.post(one.key).at.mirrored) < 1e-3


def test_of_two_partners_the_one_that_is_named_first_leads() -> None:
    build = six()
    one, other = (each.posts[0].key for each in build.rows)
    for lead, follower in ((one, other), (other, one)):
        after = lay_out(move_parts(build, Parts(posts=(lead, follower)), Vector(2.0, 0.0), symmetric=True))
        assert after.post(lead).at.x == pytest.approx(lay_out(build).post(lead).at.x + 2.0)
        assert after.post(follower).at.distance(after.post(lead).at.mirrored) < 1e-6


def test_a_drilled_hole_stays_where_it_is() -> None:
    build = six()
    one, other = (each.posts[0].key for each in build.rows)
    build = set_drilled(build, other, drilled=True)
    after = lay_out(move_parts(build, Parts(posts=(one,)), Vector(0.0, 3.0), symmetric=True))
    assert after.post(other).at == lay_out(build).post(other).at


def test_where_a_drilled_hole_is_corrected_the_mark_across_stays() -> None:
    build = set_drilled(three_and_three(), "t2", drilled=True)
    after = with_twins(lambda each: move_post(each, "t2", 0.6, -0.4))(build)
    assert after == move_post(build, "t2", 0.6, -0.4)
    assert lay_out(after).post("b2").at == lay_out(build).post("b2").at
    turned = with_twins(lambda each: turn_tuner(each, "t2", 10.0))(build)
    assert turned == turn_tuner(turn_tuner(build, "t2", 10.0), "b2", -10.0)


def test_other_tuners_leave_the_bores_of_a_drilled_row() -> None:
    build = set_drilled(three_and_three(), "t1", drilled=True)
    other = with_twins(lambda each: set_hardware(each, "b", OPEN_GEAR))(build)
    assert other == set_hardware(build, "b", OPEN_GEAR)
    assert lay_out(other).post("t1").bore == 10.0
    # Its rule follows nevertheless, for what is drilled keeps its place by hand.
    rule = replace(build.rows[0].rule, start=40.0)
    both = with_twins(lambda each: set_rule(each, "b", rule))(build)
    assert [each.rule for each in both.rows] == [rule, rule]


def test_tuners_measured_anew_leave_the_bores_of_a_drilled_row() -> None:
    build = set_drilled(three_and_three(), "t1", drilled=True)
    (old,) = build.hardware
    wider = replace(old, bore=replace(old.bore, through=old.bore.through + 0.5))
    edit = with_twins(lambda each: measured(each, "b", wider))
    after = edit(build)
    assert [each.hardware for each in after.rows] == [old.key, "h1"]
    assert after.hardware == (old, replace(wider, key="h1"))
    # The maker's word holds for the row that is measured, and without holes elsewhere for all.
    assert with_twins(lambda each: measured(each, "t", wider))(build).hardware == (wider,)
    thicker = replace(old, post_diameter=old.post_diameter + 0.2)
    assert with_twins(lambda each: measured(each, "b", thicker))(build).hardware == (thicker,)


def test_what_a_post_is_set_otherwise_in_than_its_twin_stays() -> None:
    own = set_piece(turn_tuner(flip_wound_side(three_and_three(), "b2"), "b2", 10.0), "b2", "left")
    moved = with_twins(lambda each: move_post(each, "t2", 1.0, 0.0))(own)
    assert moved == move_post(move_post(own, "t2", 1.0, 0.0), "b2", 1.0, 0.0)
    turned = with_twins(lambda each: turn_tuner(flip_wound_side(each, "t2"), "t2", 5.0))(own)
    assert turned == turn_tuner(flip_wound_side(own, "t2"), "t2", 5.0)
    alike = turn_tuner(own, "t2", -10.0)
    again = with_twins(lambda each: turn_tuner(each, "t2", 0.0))(alike)
    assert again == turn_tuner(turn_tuner(alike, "t2", 0.0), "b2", 0.0)


def test_strings_and_turns_are_each_posts_own() -> None:
    build = six()
    post = build.rows[0].posts[0]
    wound = replace(post, turns=3.0, string=None)
    after = replace(
        build, rows=(replace(build.rows[0], posts=(wound, *build.rows[0].posts[1:])), build.rows[1])
    )
    assert followed(build, after) == after


def test_regions_follow_and_one_across_the_middle_stays_there() -> None:
    build = with_region(with_region(six(), region("rod", ROD)), region("one", TRIANGLE))
    twin = twin_region(build, "one")
    assert twin is not None
    after = move_parts(build, Parts(regions=("rod", "one")), Vector(3.0, 4.0), symmetric=True)
    shapes = {each.key: each.shape for each in after.keep_clear}
    assert shapes["rod"] == Polygon(points=tuple(point + Vector(0.0, 4.0) for point in ROD.points))
    moved = Polygon(points=tuple(point + Vector(3.0, 4.0) for point in TRIANGLE.points))
    assert shapes["one"] == moved
    assert shapes[twin] == Polygon(points=tuple(point.mirrored for point in moved.points))
    assert remove_parts(after, Parts(regions=("one",)), symmetric=True).keep_clear == after.keep_clear[:1]


def test_a_corner_of_a_region_across_the_middle_takes_its_partner_along() -> None:
    build = add_region(six(), region("rod", ROD))
    corner = Polygon(points=(ROD.points[0], ROD.points[1], Point(7.0, 31.0), ROD.points[3]))
    edit = with_twins(lambda each: replace(each, keep_clear=(region("rod", corner),)))
    (after,) = edit(build).keep_clear
    assert isinstance(after.shape, Polygon)
    assert after.shape.points[2:] == (Point(7.0, 31.0), Point(-7.0, 31.0))
    apart = edit(set_symmetric(build, on=False)).keep_clear
    assert apart == (region("rod", corner),)


def test_everything_of_a_starter_has_a_partner_but_what_lies_on_the_line() -> None:
    build = three_and_three()
    assert len(nodes_of(build)) > 2
    assert is_symmetric(
        move_parts(build, Parts(nodes=(nodes_of(build)[1].key,)), Vector(2.0, 1.0), symmetric=True)
    )
