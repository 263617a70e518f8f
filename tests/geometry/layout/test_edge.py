"""The edge of a head as lines and arcs, and what it encloses."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.document.outline import Curve, Node, Nodes
from geometry.document.starters import STARTERS
from geometry.layout.edge import Edge, edge_of
from geometry.shape.point import Point, Vector
from tests.builds import change, nodes, plain_head, rectangle


def edge(outline: object) -> Edge:
    found = edge_of(plain_head(outline=outline))
    assert found is not None
    return found


def test_ends_and_top_of_a_rectangle() -> None:
    plain = edge(rectangle())
    assert (plain.right_end, plain.left_end, plain.top) == (Point(40, 0), Point(-40, 0), 200.0)
    assert plain.crossings == ()


@given(st.floats(-70, 70), st.floats(-70, 230))
def test_signed_distance_of_a_rectangle(x: float, y: float) -> None:
    # Distances run to the three sides; what is over wood counts the neck below the nut line too.
    line = shapely.LineString([(40, 0), (40, 200), (-40, 200), (-40, 0)])
    wood = shapely.box(-40, -60, 40, 200)
    distance, foot = edge(rectangle()).distance(np.array([[x, y]]))
    place = shapely.Point(x, y)
    sign = 1 if wood.contains(place) else -1
    assert abs(distance[0]) == pytest.approx(line.distance(place), abs=1e-9)
    if wood.exterior.distance(place) > 1e-9:
        assert distance[0] * sign >= 0
    assert line.distance(shapely.Point(*foot[0])) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("starter", STARTERS.values(), ids=STARTERS)
def test_arcs_follow_the_drawn_curve(starter: object) -> None:
    drawn = edge(starter)
    assert not drawn.contour.has_cubics
    for share in np.linspace(0.0, 1.0, 200):
        for segment in drawn.drawn.segments:
            place = segment.point_at(float(share))
            assert drawn.contour.nearest(place).distance <= 0.0009 + 1e-9


def test_doubled_nodes_draw_nothing_and_loops_do() -> None:
    assert len(edge(nodes((40, 0), (40, 200), (40, 200), (-40, 200), (-40, 0))).drawn.segments) == 3
    loop = Curve(leave=Vector(30, 0), arrive=Vector(0, 30))
    outline = Nodes(
        nodes=(
            Node(key="a", at=Point(40, 0)),
            Node(key="b", at=Point(40, 100), onward=loop),
            Node(key="c", at=Point(40, 100)),
            Node(key="d", at=Point(-40, 0)),
        )
    )
    assert len(edge(outline).drawn.segments) == 3


@pytest.mark.parametrize("outline", [nodes(), nodes((1.0, 0.0)), nodes((1.0, 0.0), (1.0, 0.0))])
def test_no_line_no_edge(outline: Nodes) -> None:
    assert edge_of(plain_head(outline=outline)) is None


def test_crossing_edge_says_where() -> None:
    crossed = edge(nodes((20, 0), (-20, 100), (20, 100), (-20, 0)))
    (place,) = crossed.crossings
    assert (place.x, place.y) == pytest.approx((0.0, 50.0))


def test_starter_with_all_tuners_on_one_side_follows_the_hand() -> None:
    build = plain_head(outline=STARTERS["one-sided"])
    right, left = edge_of(build), edge_of(change(build, hand="left"))
    assert right is not None
    assert left is not None
    here, there = right.contour.bounds, left.contour.bounds
    assert (-here.left, here.top) == pytest.approx((there.right, there.top))
    assert here.left != pytest.approx(there.left)


@given(st.floats(-65.0, 65.0), st.floats(1.0, 8.0))
def test_out_of_a_corner_is_towards_it_from_wherever_it_is_nearest(degrees: float, distance: float) -> None:
    # A notch of 40 degrees whose apex reaches into the wood: the apex is nearest within 70 degrees to both sides of it.
    apex, lean = Point(-10.0, 50.0), math.tan(math.radians(20.0))
    notched = edge(nodes((30, 0), (30, 100), (-30, 100), (-30, 50 + 20 * lean), (apex.x, apex.y),
                         (-30, 50 - 20 * lean), (-30, 0)))  # fmt: skip
    angle = math.radians(degrees)
    at = np.array([[apex.x + distance * math.cos(angle), apex.y + distance * math.sin(angle)]])
    _, foot, piece = notched.pieces.nearest(at)
    out = notched.outward(at, foot, piece)
    assert out.tolist() == [pytest.approx((-math.cos(angle), -math.sin(angle)), abs=1e-9)]
