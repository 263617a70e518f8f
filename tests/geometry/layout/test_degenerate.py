"""Builds at the edge of sense: laid out and judged like any other."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from geometry.checks.judge import Level, findings, worst
from geometry.document.build import StraightPull
from geometry.document.outline import Curve, Node, Nodes
from geometry.layout.layout import lay_out
from geometry.layout.least_splay import straight_line_places
from geometry.layout.pull import Pull
from geometry.shape.pieces import arrays
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from tests.builds import change, plain_head, row, strings, three_and_three


def test_nodes_that_creep_on_by_less_than_the_same_are_one_place() -> None:
    step = 0.9 * SAME
    crept = tuple(Node(key=f"c{n}", at=Point(20.0 + n * step, 50.0)) for n in range(5))
    ends = (
        Node(key="a", at=Point(21.0, 0.0)),
        Node(key="b", at=Point(-21.0, 100.0)),
        Node(key="d", at=Point(-21.0, 0.0)),
    )
    build = change(three_and_three(), outline=Nodes(nodes=(ends[0], *crept, *ends[1:])))
    edge = lay_out(build).edge
    assert edge is not None
    # From the first node to the crept one and on: four runs, and no gap between them.
    assert all(
        one.end.distance(two.start) == 0.0
        for one, two in zip(edge.drawn.segments, edge.drawn.segments[1:], strict=False)
    )
    assert edge.contour.end == Point(-21.0, 0.0)


def test_a_post_that_swallows_its_slot_still_gets_a_place() -> None:
    # The contact circle reaches over the slot: the splay is a quarter turn wherever the post stands.
    huge = Pull(Point(0.0, 0.0), Vector(0.0, 1.0), 500.0, left=True)
    small = Pull(Point(5.0, 0.0), Vector(0.0, 1.0), 3.0, left=True)
    places = straight_line_places(100.0, 20.0, (huge, small, small))
    assert all(math.isfinite(place.x) and math.isfinite(place.y) for place in places)


def test_a_straight_pull_row_far_off_the_head_is_judged() -> None:
    build = three_and_three()
    rows = tuple(change(row, rule=StraightPull(start=1500.0, pitch=1400.0)) for row in build.rows)
    assert worst(findings(change(build, rows=rows))) is Level.STOP


def test_strings_that_run_across_the_head_are_judged() -> None:
    # A scale of a hundredth of a millimetre, spread by 187 mm: the ideal line is all but level, and 2.5 mm on it
    # leave no height between posts.
    rule = StraightPull(start=123.33054558134464, pitch=2.5248912831404473)
    flat = plain_head(
        row(count=4, rule=rule),
        strings=strings(*(0.5,) * 4),
        scale_length=0.011144450212449517,
        bridge_spread=186.88286688233325,
    )
    posts = lay_out(flat).posts
    assert [one.at.distance(two.at) for one, two in pairwise(posts)] == pytest.approx([rule.pitch] * 3)
    assert worst(findings(flat)) is Level.STOP


def test_curves_that_go_nowhere_are_judged() -> None:
    still = Curve(leave=Vector(0.0, 0.0), arrive=Vector(0.0, 0.0))
    nodes = Nodes(nodes=tuple(Node(key=f"n{n}", at=Point(0.0, 0.0), onward=still) for n in range(2)))
    layout = lay_out(change(three_and_three(), outline=nodes))
    # There is no edge to stand beside: no row has a place, and each says so.
    assert layout.posts == ()
    assert len(layout.problems) == 2
    assert worst(findings(change(three_and_three(), outline=nodes))) is Level.STOP


def test_no_pieces_are_a_curve_too() -> None:
    none = arrays((), closed=False)
    assert (len(none.half), none.tops.shape) == (0, (0, 2))
