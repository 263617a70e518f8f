"""An outline of nodes stretched to another length and width."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.corner_edits import round_corner
from geometry.document.edits import free_outline, set_run
from geometry.document.outline import Bend, Starter
from geometry.document.outline_nodes import nodes_of
from geometry.document.starters import STARTERS
from geometry.document.stretch import (
    outline_bounds,
    shoulder_ends,
    tip_ends,
    with_length,
    with_shoulder_width,
    with_tip_width,
    with_width,
)
from geometry.document.twins import is_symmetric
from geometry.layout.edge import edge_of
from geometry.shape.point import Point
from geometry.trade.sentence import SentenceError
from tests.amount import sampled
from tests.builds import nodes, plain_head, rectangle, three_and_three


def test_a_rectangle_takes_the_size_that_is_typed() -> None:
    build = plain_head(outline=rectangle())
    longer = with_length(build, 230.0)
    assert [node.at for node in nodes_of(longer)] == [
        Point(40.0, 0.0), Point(40.0, 230.0), Point(-40.0, 230.0), Point(-40.0, 0.0)
    ]  # fmt: skip
    wider = with_width(build, 90.0)
    assert [node.at for node in nodes_of(wider)] == [
        Point(40.0, 0.0), Point(45.0, 200.0), Point(-45.0, 200.0), Point(-40.0, 0.0)
    ]  # fmt: skip


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(st.floats(120.0, 300.0), st.floats(60.0, 120.0))
def test_a_freed_starter_measures_what_was_typed_and_stays_even(length: float, width: float) -> None:
    build = free_outline(three_and_three())
    after = with_width(with_length(build, length), width)
    bounds = outline_bounds(after)
    assert bounds.top == pytest.approx(length, abs=1e-6)
    assert bounds.right - bounds.left == pytest.approx(width, abs=1e-3)
    assert is_symmetric(after)
    ends = [nodes_of(each)[place].at for each in (build, after) for place in (0, -1)]
    assert ends[:2] == ends[2:]


def test_no_outline_is_less_wide_than_its_nut_line() -> None:
    build = free_outline(three_and_three())
    with pytest.raises(SentenceError, match=r"nut line stays .* expected a width of 43 mm or more"):
        with_width(build, 30.0)
    assert with_width(plain_head(outline=rectangle()), 80.0), "as wide as the nut line is no less"


def test_a_side_does_not_pass_the_centre_line() -> None:
    # Off the centre: the nut line reaches 40 to the right, the left side 100 to the left and a node on the right 20.
    build = plain_head(outline=nodes((40.0, 0.0), (20.0, 200.0), (-100.0, 200.0), (-40.0, 0.0)))
    with pytest.raises(SentenceError, match="With a width of 90 mm the outline would cross itself"):
        with_width(build, 90.0)


def test_the_upper_half_does_not_come_down_past_the_lower() -> None:
    build = plain_head(
        outline=nodes((40.0, 0.0), (40.0, 90.0), (40.0, 110.0), (40.0, 200.0), (-40.0, 200.0), (-40.0, 0.0))
    )
    # The node at 110 may come down 20 mm until it is beside the one at 90.
    with pytest.raises(SentenceError, match=r"expected a length of more than 180\.0 mm"):
        with_length(build, 180.0)
    assert with_length(build, 180.5)


@settings(max_examples=sampled(8, of=15), deadline=None)
@given(st.floats(1.0, 400.0), st.floats(1.0, 400.0))
def test_whatever_is_typed_the_outline_stays_uncrossed_or_is_refused(length: float, width: float) -> None:
    build = free_outline(three_and_three())
    try:
        build = with_width(with_length(build, length), width)
    except SentenceError:
        return
    edge = edge_of(build)
    assert edge is not None
    assert not edge.crossings
    assert outline_bounds(build).right - outline_bounds(build).left == pytest.approx(width, abs=0.01)


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(st.floats(35.0, 110.0))
def test_the_tip_takes_its_width_and_neither_length_nor_what_is_below_moves(width: float) -> None:
    build = free_outline(three_and_three())
    after = with_tip_width(build, width)
    ends = tip_ends(after)
    assert ends is not None
    assert ends[1].x - ends[0].x == pytest.approx(width, abs=1e-6)
    assert is_symmetric(after)
    top = outline_bounds(build).top
    below = [[node.at for node in nodes_of(each) if node.at.y <= 0.75 * top] for each in (build, after)]
    assert below[0] == below[1]
    assert outline_bounds(after).top == pytest.approx(top, abs=1e-6)


def test_the_tip_of_a_rectangle_widens_by_half_on_each_side() -> None:
    after = with_tip_width(plain_head(outline=rectangle()), 90.0)
    assert [node.at for node in nodes_of(after)] == [
        Point(40.0, 0.0), Point(45.0, 200.0), Point(-45.0, 200.0), Point(-40.0, 0.0)
    ]  # fmt: skip


def test_the_sides_of_a_tip_do_not_meet() -> None:
    # Corners at 40, the inner nodes at 10 from the middle: 60 of the 80 mm are outside them.
    outline = nodes((40.0, 0.0), (40.0, 160.0), (10.0, 200.0), (-10.0, 200.0), (-40.0, 160.0), (-40.0, 0.0))
    build = plain_head(outline=outline)
    with pytest.raises(
        SentenceError, match="sides of the tip would meet; expected a width of more than 60 mm"
    ):
        with_tip_width(build, 60.0)
    assert with_tip_width(build, 60.5) != build


@pytest.mark.parametrize("starter", STARTERS.values(), ids=STARTERS.keys())
def test_a_starter_that_is_freed_keeps_its_widths(starter: Starter) -> None:
    build = free_outline(plain_head(outline=starter))
    shoulder, tip = shoulder_ends(build), tip_ends(build)
    assert shoulder is not None
    assert tip is not None
    assert shoulder[1].x - shoulder[0].x == pytest.approx(starter.width_low, abs=1e-9)
    assert tip[1].x - tip[0].x == pytest.approx(starter.width_high, abs=1e-9)


def test_a_rounding_of_the_tip_is_measured_to_its_corner() -> None:
    build = plain_head(outline=rectangle())
    assert tip_ends(build) == (Point(-40.0, 200.0), Point(40.0, 200.0))
    rounded = round_corner(build, "n1", 12.0, symmetric=True)
    ends = tip_ends(rounded)
    assert ends is not None
    assert [(at.x, at.y) for at in ends] == [pytest.approx(pair) for pair in ((-40, 200), (40, 200))]


def test_a_half_round_tip_has_no_corners() -> None:
    """Its sides run side by side: the width is that between the ends of the arc."""
    sides = nodes((30.0, 0.0), (30.0, 170.0), (-30.0, 170.0), (-30.0, 0.0))
    build = set_run(plain_head(outline=sides), "n1", Bend(bulge=1.0))
    assert tip_ends(build) == (Point(-30.0, 170.0), Point(30.0, 170.0))


@settings(max_examples=sampled(6, of=25), deadline=None)
@given(st.floats(50.0, 110.0))
def test_the_shoulder_takes_its_width_and_the_tip_stays(width: float) -> None:
    build = free_outline(three_and_three())
    after = with_shoulder_width(build, width)
    ends = shoulder_ends(after)
    assert ends is not None
    assert ends[1].x - ends[0].x == pytest.approx(width, abs=1e-6)
    assert is_symmetric(after)
    upper = [
        [node.at for node in nodes_of(each) if node.at.y > outline_bounds(build).top / 2]
        for each in (build, after)
    ]
    assert upper[0] == upper[1]


def test_the_sides_of_a_shoulder_do_not_meet() -> None:
    outline = nodes((40.0, 0.0), (50.0, 30.0), (40.0, 200.0), (-40.0, 200.0), (-50.0, 30.0), (-40.0, 0.0))
    build = plain_head(outline=outline)
    with pytest.raises(SentenceError, match=r"sides of the shoulder would meet; expected .* more than 0 mm"):
        with_shoulder_width(build, 0.0)
