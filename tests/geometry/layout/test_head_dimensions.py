"""Dimensions on the drawing say the number of their field."""

from __future__ import annotations

import math
from typing import Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Blank, Build, Head, Moved, OnLine
from geometry.document.edits import free_outline, mirrored
from geometry.document.outline import Starter
from geometry.document.row_edits import set_ahead
from geometry.document.starters import STARTERS
from geometry.layout.found_dimension import BESIDE
from geometry.layout.head_dimensions import (
    FROM_THE_SIDE,
    IN_HAND,
    MEASURES,
    HeadDimension,
    head_dimension,
    shown_measures,
)
from geometry.layout.layout import lay_out
from geometry.layout.side_view import NECK
from geometry.shape.point import Point, Vector
from tests import builds
from tests.builds import nodes, plain_head, post_at, rectangle, six_in_line, three_and_three

SOMETIMES = ("OnLine.inset_last", "Row.ahead")
"""Measures that only some rows have."""


def all_measured() -> Build:
    """A symmetric head that has every number which can be shown in plan, none of them 0."""
    build = three_and_three()
    assert isinstance(build.outline, Starter)
    return replace(
        build,
        outline=replace(build.outline, waist=3.5, tip_rise=6.5, corner=7.0),
        head=replace(
            build.head,
            back_flat_from=17.0,
            binding=2.0,
            edge_face=0.75,
            edge_back=1.25,
            volute_height=3.0,
            volute_length=26.0,
            grain_deg=-4.0,
            blank=Blank(left=45.0, right=50.0, length=190.0),
        ),
        cutter_diameter=6.35,
        nut=replace(build.nut, margin_treble=3.25, margin_bass=3.75),
        strings=tuple(replace(string, course=str(place // 2)) for place, string in enumerate(build.strings)),
    )


OF_A_HEAD = [
    name
    for table in (IN_HAND, FROM_THE_SIDE)
    for names in table.values()
    for name in names
    if name.partition(".")[0] in {"Starter", "Nut", "Head", "Blank", "Build"} and name != "Starter.lean_deg"
]
"""Numbers of a symmetric head that are no row's, post's or string's."""


@pytest.mark.parametrize("name", OF_A_HEAD)
def test_a_number_in_hand_has_its_dimension(name: str) -> None:
    build = all_measured()
    assert build.head.blank is not None
    record, _, field = name.partition(".")
    found = head_dimension(build, lay_out(build), name)
    assert found is not None
    holds = {
        "Starter": build.outline,
        "Nut": build.nut,
        "Head": build.head,
        "Blank": build.head.blank,
        "Build": build,
    }
    assert found.length == pytest.approx(getattr(holds[record], field), abs=0.002)
    if found.kind == "length" and name != "Build.scale_length":
        assert found.one.distance(found.two) == pytest.approx(found.length, abs=0.002)
        assert not found.broken
    panel = next((panel for panel, names in IN_HAND.items() if name in names), None)
    if panel is not None:
        assert name in shown_measures(panel, name)
        assert name not in shown_measures(panel, "")


def test_what_is_nothing_has_no_dimension() -> None:
    build = plain_head(head=Head(binding=0.0, edge_face=0.0, edge_back=0.0, volute_length=0.0))
    layout = lay_out(build)
    for name in ("Head.binding", "Head.edge_face", "Head.edge_back", "Head.volute_length", "Blank.left"):
        assert head_dimension(build, layout, name) is None, name
    straight = replace(
        three_and_three(), outline=replace(STARTERS["straight-taper"], tip_rise=0.0, corner=0.0)
    )
    for name in ("Starter.tip_rise", "Starter.waist", "Starter.corner"):
        assert head_dimension(straight, lay_out(straight), name) is None, name


@pytest.mark.parametrize("to", ["centre", "edge"])
@pytest.mark.parametrize("side", ["treble", "bass"])
def test_a_margin_runs_from_the_end_of_the_nut_to_its_string(
    side: Literal["treble", "bass"], to: Literal["centre", "edge"]
) -> None:
    build = three_and_three()
    build = replace(build, nut=replace(build.nut, margin_treble=3.25, margin_bass=3.75, margin_to=to))
    found = head_dimension(build, lay_out(build), f"Nut.margin_{side}")
    assert found is not None
    assert found.length == pytest.approx(3.25 if side == "treble" else 3.75)
    # Right-handed: the treble side is at positive x.
    assert found.one.x == pytest.approx(build.nut.width / 2 * (1 if side == "treble" else -1))
    assert abs(found.two.x) < abs(found.one.x)


@pytest.mark.parametrize(
    "name", [name for names in MEASURES.values() for name in names if name not in SOMETIMES]
)
def test_a_dimension_measures_what_its_field_holds(name: str) -> None:
    build = three_and_three()
    outline, row = build.outline, build.rows[0]
    assert isinstance(outline, Starter)
    assert isinstance(row.rule, AlongEdge)
    found = head_dimension(build, lay_out(build), name, row.key)
    record, _, field = name.partition(".")
    if record == "Free":
        assert found is None
        return
    assert found is not None
    holds = {"Starter": outline, "Nut": build.nut, "OnLine": row.rule}
    value = getattr(holds[record], field)
    assert found.length == pytest.approx(value, abs=0.002)


def test_a_free_outline_has_its_length_and_greatest_width() -> None:
    build = free_outline(three_and_three())
    outline = three_and_three().outline
    assert isinstance(outline, Starter)
    layout = lay_out(build)
    length, width = (head_dimension(build, layout, f"Free.{each}") for each in ("length", "width"))
    assert length is not None
    assert length.length == pytest.approx(outline.length, abs=1e-6)
    assert width is not None
    assert width.length >= outline.width_low
    assert head_dimension(build, layout, "Starter.length") is None


def test_there_is_nothing_to_show_without_a_row_or_by_another_name() -> None:
    build = plain_head()
    layout = lay_out(build)
    assert head_dimension(build, layout, "OnLine.start") is None
    assert head_dimension(build, layout, "Head.wood") is None
    assert head_dimension(build, layout, "Post.x") is None, "of no post"
    assert head_dimension(build, layout, "Post.x", part="nobody") is None
    leaning = six_in_line()
    assert head_dimension(leaning, lay_out(leaning), "Starter.width_low") is None


def dimension(build: Build, name: str, row: int | None = None) -> HeadDimension:
    found = head_dimension(build, lay_out(build), name, None if row is None else build.rows[row].key)
    assert found is not None
    return found


def test_a_free_outline_has_the_width_of_its_tip() -> None:
    # The outer nodes beyond three quarters of 200 mm are those at 155 and 165, 60 mm apart across.
    build = plain_head(
        outline=nodes((40.0, 0.0), (28.0, 155.0), (20.0, 200.0), (-15.0, 200.0), (-32.0, 165.0), (-40.0, 0.0))
    )
    found = dimension(build, "Free.tip")
    assert (found.one, found.two) == (Point(-32.0, 160.0), Point(28.0, 160.0))
    pointed = plain_head(outline=nodes((40.0, 0.0), (0.0, 200.0), (-40.0, 0.0)))
    assert head_dimension(pointed, lay_out(pointed), "Free.tip") is None
    starter = three_and_three()
    assert head_dimension(starter, lay_out(starter), "Free.tip") is None


@pytest.mark.parametrize("distance", [14.0, -9.5])
def test_a_staggered_row_has_its_distance_to_the_one_facing_it(distance: float) -> None:
    build = three_and_three()
    row = build.rows[0].key
    assert head_dimension(build, lay_out(build), "Row.ahead", row) is None, "they face each other"
    assert dimension(set_ahead(build, row, distance), "Row.ahead", 0).length == pytest.approx(
        abs(distance), abs=0.002
    )
    alone = replace(build, rows=build.rows[:1])
    assert head_dimension(alone, lay_out(alone), "Row.ahead", row) is None


def test_the_last_post_has_an_inset_of_its_own() -> None:
    build = plain_head(*three_and_three().rows, outline=rectangle(), hardware=three_and_three().hardware)
    rule = OnLine(start=40.0, pitch=40.0, inset=12.0, inset_last=15.5)
    build = replace(build, rows=tuple(replace(row, rule=rule) for row in build.rows))
    first = dimension(build, "OnLine.inset", 0)
    assert first.length == pytest.approx(12.0, abs=0.002)
    assert first.one.y == pytest.approx(40.0), "the first post"
    assert dimension(build, "OnLine.inset_last", 0).length == pytest.approx(15.5, abs=0.002)
    along = three_and_three()
    assert head_dimension(along, lay_out(along), "OnLine.inset_last", along.rows[0].key) is None


@pytest.mark.parametrize("build", [three_and_three(), mirrored(three_and_three()), six_in_line()])
@pytest.mark.parametrize("name", ["OnLine.start", "OnLine.pitch"])
def test_measures_of_a_row_are_drawn_beside_the_head(build: Build, name: str) -> None:
    for number, row in enumerate(build.rows):
        found, edge = dimension(build, name, number), lay_out(build).edge
        assert edge is not None
        bounds, sign = edge.contour.bounds, build.sign_of(row.side)
        beyond = bounds.right if sign > 0 else -bounds.left
        assert found.away == Vector(sign, 0.0)
        assert max(sign * end.x for end in found.ends) >= beyond + BESIDE - 0.01
        assert sign * found.words.x > min(sign * found.one.x, sign * found.two.x)
        one, two = found.ends
        assert one.distance(two) == pytest.approx(found.length), "the line is as long as what it measures"


def test_dimensions_of_a_row_keep_off_a_post_that_a_hand_has_moved() -> None:
    """Three posts from 60 mm on, 40 mm apart; the first moved 2 mm to the nut: its row still begins at 60."""
    rule = OnLine(start=60.0, pitch=40.0, inset=12.0)

    def measured(*moved: str) -> tuple[HeadDimension, HeadDimension, HeadDimension]:
        by_hand = tuple(Moved(post=post, along=-2.0, inward=0.0) for post in moved)
        build = plain_head(builds.row("treble", 3, rule=rule, moved=by_hand))
        start, pitch, inset = (dimension(build, f"OnLine.{name}", 0) for name in ("start", "pitch", "inset"))
        assert (start.length, pitch.length, inset.length) == pytest.approx((60.0, 40.0, 12.0))
        return start, pitch, inset

    start, pitch, inset = measured()
    assert (start.by_row, pitch.by_row, inset.by_row) == (False, False, False)
    assert pitch.one.y == pytest.approx(60.0)
    start, pitch, inset = measured("treble1")
    # Between the second and the third, which stand there; the first does not stand where the row begins.
    assert (start.by_row, pitch.by_row, inset.by_row) == (True, False, False)
    assert pitch.one.y == pytest.approx(100.0)
    start, pitch, inset = measured("treble2")
    assert (start.by_row, pitch.by_row, inset.by_row) == (False, True, False)
    assert pitch.one.y == pytest.approx(60.0)
    start, pitch, inset = measured("treble3")
    assert (start.by_row, pitch.by_row, inset.by_row) == (False, False, True)


def test_widths_have_their_words_beside_the_head() -> None:
    build = three_and_three()
    for name in ("Starter.width_low", "Starter.width_high"):
        found = dimension(build, name)
        assert found.words == found.one
        assert found.away == Vector(-1.0, 0.0)


# From the side


@given(
    thick=st.floats(8, 25),
    thin=st.floats(8, 25),
    depth=st.floats(8, 30),
    degrees=st.floats(0, 60),
    floor=st.floats(0, 12),
)
def test_from_the_side_dimensions_lie_on_the_wood(
    thick: float, thin: float, depth: float, degrees: float, floor: float
) -> None:
    head = Head(thickness_nut=thick, thickness_tip=thin, neck_depth=depth, angle_deg=degrees)
    build = plain_head(head=head)
    build = replace(build, nut=replace(build.nut, slot_floor=floor))
    angle = math.radians(degrees)
    at_nut, at_tip = dimension(build, "Head.thickness_nut"), dimension(build, "Head.thickness_tip")
    assert (at_nut.one, at_nut.two) == (Point(-thick, 0.0), Point(0.0, 0.0))
    assert (at_tip.one.x, at_tip.one.y) == pytest.approx((-thin, 200.0))
    assert dimension(build, "Nut.slot_floor").two == Point(floor, 0.0)
    deep = dimension(build, "Head.neck_depth")
    assert deep.length == pytest.approx(depth)
    assert (deep.two.x, deep.two.y) == pytest.approx((-NECK * math.sin(angle), -NECK * math.cos(angle)))
    turn = dimension(build, "Head.angle_deg")
    assert turn.about == Point(0.0, 0.0)
    assert turn.kind == "angle"
    # The line of the neck drawn on over the face, and the face itself: the angle between both is the one typed.
    one, two = (end - Point(0.0, 0.0) for end in (turn.one, turn.two))
    assert math.degrees(abs(one.angle - two.angle)) == pytest.approx(degrees, abs=1e-6)
    assert two.x >= 0, "over the face"


def test_a_scale_length_is_drawn_broken_along_the_neck() -> None:
    build = replace(plain_head(head=Head(angle_deg=0.0)), scale_length=648.0)
    found = dimension(build, "Build.scale_length")
    assert found.broken
    assert found.length == 648.0
    assert (found.one, found.two) == (Point(7.0, 0.0), Point(7.0, -NECK))
    assert found.ends[0].x == pytest.approx(13.0), "6 mm over the slot floors"


def test_the_turns_of_a_string_are_found_between_its_hole_and_its_lowest_turn() -> None:
    # A string of 1 mm with three turns from 7.5 mm over the face runs in at 4.5 mm.
    build = plain_head(post_at(10.0, 60.0, turns=3.0), slots=(-3.0, 3.0))
    found = part_dimension(build, "Post.turns", "one1")
    assert (found.one.x, found.two.x) == pytest.approx((4.5, 7.5))
    assert found.length == pytest.approx(3.0)
    assert found.kind == "count"
    assert head_dimension(plain_head(), lay_out(plain_head()), "Post.turns", part="one1") is None


# Single posts and strings, and what is turned


def part_dimension(build: Build, name: str, part: str) -> HeadDimension:
    found = head_dimension(build, lay_out(build), name, part=part)
    assert found is not None
    return found


def test_a_post_has_its_place_from_the_centre_line_and_the_nut_line() -> None:
    build = plain_head(post_at(-12.5, 83.0), slots=(-3.0, 3.0))
    across, up = (part_dimension(build, f"Post.{name}", "one1") for name in "xy")
    assert (across.length, across.one, across.two.x) == (-12.5, Point(0.0, 83.0), -12.5)
    assert not across.broken
    assert (up.length, up.one) == (83.0, Point(-12.5, 0.0))


def test_a_post_moved_by_hand_has_both_steps_from_its_rule() -> None:
    # The rule has it at 60 mm and 20 mm from the right edge at 40, so at x = 20; to the left is inward.
    build = plain_head(post_at(13.0, 71.0), slots=(-3.0, 3.0))
    along, inward = (part_dimension(build, f"Moved.{name}", "one1") for name in ("along", "inward"))
    assert (along.length, inward.length) == pytest.approx((11.0, 7.0))
    assert (along.one.x, along.one.y) == pytest.approx((13.0, 60.0))
    assert (inward.one.x, inward.one.y) == pytest.approx((20.0, 71.0))


@pytest.mark.parametrize("degrees", [0.0, 25.0, -40.0])
def test_a_turned_tuner_has_its_angle(degrees: float) -> None:
    build = plain_head(post_at(10.0, 60.0, post={"turned_deg": degrees}), slots=(-3.0, 3.0))
    found = part_dimension(build, "Post.turned_deg", "one1")
    assert found.about is not None
    one, two = found.one - found.about, found.two - found.about
    assert math.degrees(math.atan2(one.cross(two), one.dot(two))) == pytest.approx(degrees)
    assert one.angle == pytest.approx(0.0), "from straight out to the right"


def test_a_gauge_lies_across_its_string() -> None:
    build = plain_head(slots=(3.0, -3.0))
    found = part_dimension(build, "String.diameter", build.strings[0].key)
    assert (found.kind, found.length) == ("gauge", 1.0)
    assert (found.one.x, found.two.x) == pytest.approx((2.5, 3.5)), "the treble string lies at the right"


@pytest.mark.parametrize("build", [six_in_line(), mirrored(six_in_line())])
def test_a_leaning_edge_has_its_angle_from_straight_up(build: Build) -> None:
    assert isinstance(build.outline, Starter)
    found, edge = dimension(build, "Starter.lean_deg"), lay_out(build).edge
    assert found.length == build.outline.lean_deg
    assert edge is not None
    # The end of the leaning arm lies on the edge itself.
    way = found.two - found.one
    assert way.x * build.bass_sign < 0, "it leans from the tuners' side to the other"
    foot = edge.contour.nearest(found.two)
    assert edge.contour.segments[foot.index].point_at(foot.t).distance(found.two) < 0.01


def test_grain_is_turned_from_the_centre_line() -> None:
    build = plain_head(head=Head(grain_deg=10.0))
    found = dimension(build, "Head.grain_deg")
    assert found.about == Point(0.0, 100.0)
    assert (found.two - found.about).angle == pytest.approx(math.radians(100.0))
