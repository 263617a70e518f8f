"""The six ready outlines: on the nut line, as large as asked, flowing, never wider towards the tip."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import Build, Nut
from geometry.document.codec import read_build, write_build
from geometry.document.edits import free_outline
from geometry.document.outline import Bend, Starter, Straight
from geometry.document.starters import STARTERS, as_nodes, starter_contour
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line
from tests.amount import sampled
from tests.strategies import odd_starters, sensible_starters

SHAPES = sorted(STARTERS)
SYMMETRIC = [shape for shape in SHAPES if shape != "one-sided"]
HANDS = st.sampled_from([-1, 1])
NUT = 30.0
WIDTHS = st.floats(0.1, 2000.0)


def polygon(contour: Contour) -> shapely.Polygon:
    """The head as another library sees it, curves cut into chords that stray 0.001 mm."""
    return shapely.Polygon([(point.x, point.y) for point in contour.flatten(0.001)])


def span_at(contour: Contour, y: float) -> tuple[float, float]:
    """The left and right edge of the head at a height, measured by another library."""
    across = polygon(contour).intersection(shapely.LineString([(-5000.0, y), (5000.0, y)]))
    left, _, right, _ = across.bounds
    return left, right


def sharp(starter: Starter) -> Starter:
    """The starter with its corners left as they are."""
    return replace(starter, corner=0.0)


def has_point(contour: Contour, x: float, y: float) -> bool:
    """Whether one of the nodes is at a place."""
    return any(point.distance(Point(x, y)) < 1e-9 for point in contour.points)


def test_there_are_six_each_under_its_own_name() -> None:
    assert len(STARTERS) == 6
    assert all(starter.shape == shape for shape, starter in STARTERS.items())


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("bass_sign", [-1, 1])
def test_a_ready_starter_is_a_simple_head_on_the_nut_line(shape: Any, bass_sign: int) -> None:
    contour = starter_contour(STARTERS[shape], NUT, bass_sign)
    assert (contour.start, contour.end) == (Point(15.0, 0.0), Point(-15.0, 0.0))
    head = polygon(contour)
    assert head.is_valid
    assert head.exterior.is_ccw
    assert head.bounds[1] == 0.0


@given(sensible_starters(), HANDS)
def test_a_sensible_starter_is_a_simple_head_on_the_nut_line(
    drawn: tuple[Starter, float], bass_sign: int
) -> None:
    starter, width = drawn
    contour = starter_contour(starter, width, bass_sign)
    assert contour.start.distance(Point(width / 2, 0.0)) == 0.0
    assert contour.end.distance(Point(-width / 2, 0.0)) == 0.0
    assert polygon(contour).is_valid
    assert polygon(contour).exterior.is_ccw


@given(sensible_starters(), HANDS)
def test_the_length_is_met_at_the_middle_of_the_tip(drawn: tuple[Starter, float], bass_sign: int) -> None:
    starter, width = drawn
    assert math.isclose(starter_contour(starter, width, bass_sign).bounds.top, starter.length, abs_tol=1e-9)
    flat = replace(sharp(starter), tip_rise=0.0)
    assert math.isclose(starter_contour(flat, width, bass_sign).bounds.top, starter.length, abs_tol=1e-9)


@given(sensible_starters())
def test_the_widths_are_met_at_the_shoulder_and_at_the_corners(drawn: tuple[Starter, float]) -> None:
    starter, width = drawn
    assume(starter.shape != "one-sided")
    contour = starter_contour(sharp(starter), width, -1)
    corner = starter.length - starter.tip_rise
    for sign in (-1, 1):
        assert has_point(contour, sign * starter.width_low / 2, starter.shoulder)
        assert has_point(contour, sign * starter.width_high / 2, corner)
    assert len(contour.points) == 6


@given(sensible_starters(), HANDS)
def test_one_side_leans_straight_and_the_other_runs_free(
    drawn: tuple[Starter, float], bass_sign: int
) -> None:
    starter, width = drawn
    starter = replace(sharp(starter), shape="one-sided", waist=0.0, lean_deg=starter.lean_deg or 12.0)
    contour = starter_contour(starter, width, bass_sign)
    corner = starter.length - starter.tip_rise
    # 55 % of the width lies on the tuners' side, whose edge leans away from it by the tangent of the angle.
    row = bass_sign * 0.55 * starter.width_low
    row_tip = row - bass_sign * math.tan(math.radians(starter.lean_deg)) * (corner - starter.shoulder)
    assert has_point(contour, row, starter.shoulder)
    assert has_point(contour, row - bass_sign * starter.width_low, starter.shoulder)
    assert has_point(contour, row_tip, corner)
    assert has_point(contour, row_tip - bass_sign * starter.width_high, corner)
    assert sum(isinstance(segment, Line) for segment in contour.segments) == 2


@given(sensible_starters(), st.floats(0.0, 1.0))
def test_straight_sides_narrow_evenly_towards_the_tip(drawn: tuple[Starter, float], share: float) -> None:
    starter, width = drawn
    assume(starter.shape not in ("one-sided", "waisted"))
    contour = starter_contour(sharp(starter), width, -1)
    y = starter.shoulder + share * (starter.length - starter.tip_rise - starter.shoulder)
    left, right = span_at(contour, y)
    expected = starter.width_low + share * (starter.width_high - starter.width_low)
    assert math.isclose(right - left, expected, abs_tol=1e-6)


@given(sensible_starters())
def test_no_starter_flares_at_its_first_posts(drawn: tuple[Starter, float]) -> None:
    starter, width = drawn
    contour = starter_contour(starter, width, -1)
    highest = starter.length - starter.tip_rise - starter.corner
    # A waist draws the sides in as far as the middle; the first posts stand below it.
    last = (starter.shoulder + highest) / 2 if starter.waist else highest
    spans = [span_at(contour, y) for y in np.linspace(starter.shoulder, last - 4.0 * bool(starter.waist), 12)]
    widths = [right - left for left, right in spans]
    assert all(above <= below + 1e-6 for below, above in pairwise(widths))


@given(sensible_starters())
def test_a_waist_draws_each_side_in_by_so_much(drawn: tuple[Starter, float]) -> None:
    starter, width = drawn
    starter = replace(sharp(starter), shape="waisted", waist=3.0)
    contour = starter_contour(starter, width, -1)
    side = contour.segments[1]
    chord = Line(side.start, side.end)
    assert math.isclose(chord.nearest(side.point_at(0.5)).distance, 3.0, abs_tol=1e-9)
    assert side.point_at(0.5).x < chord.point_at(0.5).x


@given(sensible_starters())
def test_the_tip_rises_over_its_corners_as_asked(drawn: tuple[Starter, float]) -> None:
    starter, width = drawn
    contour = starter_contour(sharp(starter), width, -1)
    tip = contour.segments[2]
    assert isinstance(tip, Arc)
    assert math.isclose(tip.start.y, tip.end.y, abs_tol=1e-9)
    assert math.isclose(tip.point_at(0.5).y - tip.start.y, starter.tip_rise, abs_tol=1e-9)


@given(sensible_starters(), HANDS)
def test_both_corners_have_the_radius_asked_for(drawn: tuple[Starter, float], bass_sign: int) -> None:
    starter, width = drawn
    contour = starter_contour(starter, width, bass_sign)
    arcs = [segment for segment in contour.segments if isinstance(segment, Arc)]
    round_ones = [arc for arc in arcs if math.isclose(arc.radius, starter.corner, rel_tol=1e-9)]
    assert len(round_ones) == 2
    assert all(arc.bulge > 0 for arc in round_ones)


@given(sensible_starters(), HANDS)
def test_the_edge_flows_without_a_kink(drawn: tuple[Starter, float], bass_sign: int) -> None:
    starter, width = drawn
    contour = starter_contour(starter, width, bass_sign)
    for before, after in pairwise(contour.segments):
        assert abs(before.tangent_at(1.0).cross(after.tangent_at(0.0))) < 1e-6
        assert before.tangent_at(1.0).dot(after.tangent_at(0.0)) > 0
    # It leaves the neck and comes back to it in the direction of the neck.
    assert contour.segments[0].tangent_at(0.0).dot(Vector(0.0, 1.0)) > 1 - 1e-9
    assert contour.segments[-1].tangent_at(1.0).dot(Vector(0.0, -1.0)) > 1 - 1e-9


@given(sensible_starters())
def test_symmetric_starters_are_their_own_mirror_image(drawn: tuple[Starter, float]) -> None:
    starter, width = drawn
    assume(starter.shape != "one-sided")
    contour = starter_contour(starter, width, -1)
    assert starter_contour(starter, width, 1) == contour
    for point, image in zip(contour.points, reversed(contour.points), strict=True):
        assert point.distance(image.mirrored) < 1e-9


@given(sensible_starters())
def test_the_one_sided_head_of_the_other_hand_is_the_mirror_image(drawn: tuple[Starter, float]) -> None:
    starter = replace(drawn[0], shape="one-sided")
    contour = starter_contour(starter, drawn[1], -1)
    assert starter_contour(starter, drawn[1], 1) == contour.mirrored().reversed()


@pytest.mark.parametrize("shape", SHAPES)
def test_a_corner_that_does_not_fit_stays_sharp(shape: Any) -> None:
    starter = replace(STARTERS[shape], corner=400.0)
    assert starter_contour(starter, NUT, -1) == starter_contour(sharp(starter), NUT, -1)


@pytest.mark.parametrize("shape", SYMMETRIC)
def test_a_head_as_wide_as_its_nut_starts_straight(shape: Any) -> None:
    starter = replace(STARTERS[shape], width_low=NUT, width_high=NUT, waist=0.0, corner=0.0, tip_rise=0.0)
    contour = starter_contour(starter, NUT, -1)
    assert all(isinstance(segment, Line) for segment in contour.segments)
    assert math.isclose(polygon(contour).area, NUT * starter.length, rel_tol=1e-12)


@settings(max_examples=sampled(60, of=300))
@given(odd_starters(), WIDTHS, HANDS)
def test_odd_measures_give_a_contour_all_the_same(starter: Starter, width: float, bass_sign: int) -> None:
    contour = starter_contour(starter, width, bass_sign)
    assert all(math.isfinite(point.x) and math.isfinite(point.y) for point in contour.points)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("size", [1e-9, 1e-6, 750.0])
@pytest.mark.parametrize("extra", [0.0, 1e-9, 750.0])
@pytest.mark.parametrize("width", [1e-9, 1e-6, 2000.0])
def test_measures_at_their_ends_give_a_contour(shape: Any, size: float, extra: float, width: float) -> None:
    starter = Starter(
        shape=shape,
        length=size,
        width_low=size,
        width_high=size,
        shoulder=size,
        tip_rise=extra,
        corner=extra,
        waist=extra,
        lean_deg=45.0,
    )
    assert starter_contour(starter, width, -1).segments


def test_sides_and_tip_too_short_to_see_leave_no_gap() -> None:
    starter = Starter(shape="narrow", length=24.0 + 1e-9, width_low=1.9e-6, width_high=1e-9, shoulder=24.0)
    contour = starter_contour(starter, NUT, -1)
    assert len(contour.segments) == 2
    assert contour.segments[0].end == contour.segments[1].start


@given(odd_starters(), WIDTHS, st.sampled_from(["right", "left"]))
def test_an_odd_starter_made_free_can_be_saved(starter: Starter, width: float, hand: Any) -> None:
    freed = free_outline(Build(name="", outline=starter, nut=Nut(width=width), hand=hand))
    assert read_build(write_build(freed)) == freed


# Nodes


def test_nodes_of_a_contour_carry_its_runs() -> None:
    cubic = Cubic(Point(0.0, 60.0), Point(-20.0, 0.0), Vector(-5.0, -10.0), Vector(0.0, 15.0))
    contour = Contour(
        (Line(Point(20.0, 0.0), Point(20.0, 40.0)), Arc(Point(20.0, 40.0), cubic.start, 0.5), cubic)
    )
    nodes = as_nodes(contour)
    assert [node.at for node in nodes] == list(contour.points)
    assert [node.key for node in nodes] == ["n1", "n2", "n3", "n4"]
    assert nodes[0].onward == Straight()
    assert nodes[1].onward == Bend(bulge=0.5)
    assert getattr(nodes[2].onward, "leave", None) == cubic.leave
    assert getattr(nodes[2].onward, "arrive", None) == cubic.arrive
    assert nodes[3].onward == Straight()


def test_nodes_follow_the_nut_the_less_the_higher_they_are() -> None:
    contour = through([Point(20.0, 0.0), Point(20.0, 25.0), Point(0.0, 100.0), Point(-20.0, -5.0)])
    assert [node.follows_nut for node in as_nodes(contour)] == [1.0, 0.75, 0.0, 1.0]
    below = through([Point(20.0, 0.0), Point(0.0, -10.0), Point(-20.0, 0.0)])
    assert [node.follows_nut for node in as_nodes(below)] == [1.0, 1.0, 1.0]


@pytest.mark.parametrize("shape", SHAPES)
def test_the_ends_of_a_freed_starter_follow_the_nut_wholly(shape: Any) -> None:
    nodes = as_nodes(starter_contour(STARTERS[shape], NUT, -1))
    assert (nodes[0].follows_nut, nodes[-1].follows_nut) == (1.0, 1.0)
    highest = max(nodes, key=lambda node: node.at.y)
    assert highest.follows_nut == min(node.follows_nut for node in nodes)
