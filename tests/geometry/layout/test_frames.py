"""Which way tuners point along a drawn curve: square to it where the post is, after a move by hand too."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from geometry.document.build import AlongEdge, Build, Moved, OnLine
from geometry.document.outline import Curve, Node, Nodes
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import lay_out
from geometry.layout.parts import PlacedPost
from geometry.shape.box import Box
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import PRINT
from tests.amount import sampled
from tests.builds import mirror_of, nodes, plain_head, row

EGG = Nodes(
    nodes=(
        Node(key="a", at=Point(21, 0), onward=Curve(leave=Vector(4, 10), arrive=Vector(0, -20))),
        Node(key="b", at=Point(40, 45), onward=Curve(leave=Vector(0, 36), arrive=Vector(30, 0))),
        Node(key="c", at=Point(0, 112), onward=Curve(leave=Vector(-30, 0), arrive=Vector(0, 36))),
        Node(key="d", at=Point(-40, 45), onward=Curve(leave=Vector(0, -20), arrive=Vector(-4, 10))),
        Node(key="e", at=Point(-21, 0)),
    )
)
"""A head all of whose edge is curved."""


def egg(*moved: Moved, **rule: Any) -> Build:
    """Two posts a side along the curve, the treble ones moved by hand."""
    along = AlongEdge(**{"start": 36.0, "pitch": 34.0, "inset": 13.0, **rule})
    rows = (row("treble", 2, rule=along, moved=moved), row("bass", 2, rule=along))
    return plain_head(*rows, outline=EGG)


def foot_on(outline: Nodes, at: Point) -> tuple[float, float]:
    """The place of the drawn curves nearest to a point: of many places, then where the way there is square."""
    place = np.array([at.x, at.y])
    found = []
    for one, two in zip(outline.nodes, outline.nodes[1:], strict=False):
        run = one.onward
        assert isinstance(run, Curve)
        start, end = np.array([one.at.x, one.at.y]), np.array([two.at.x, two.at.y])
        first = start + np.array([run.leave.x, run.leave.y])
        second = end + np.array([run.arrive.x, run.arrive.y])

        def curve(t: Any, a: Any = start, b: Any = first, c: Any = second, d: Any = end) -> Any:
            t = np.asarray(t)[..., None]
            s = 1 - t
            return a * s**3 + 3 * b * s**2 * t + 3 * c * s * t**2 + d * t**3

        def square(t: float, a: Any = start, b: Any = first, c: Any = second, d: Any = end) -> float:
            s = 1 - t
            ahead = 3 * ((b - a) * s**2 + 2 * (c - b) * s * t + (d - c) * t**2)
            return float((curve(t, a, b, c, d) - place) @ ahead)

        many = np.linspace(0, 1, 201)
        best = int(np.argmin(np.hypot(*(curve(many) - place).T)))
        low, high = many[max(0, best - 1)], many[min(200, best + 1)]
        t = brentq(square, low, high, xtol=1e-14) if square(low) * square(high) < 0 else many[best]
        foot = curve(t)
        found.append((math.dist(foot, place), tuple(foot.tolist())))
    return min(found)[1]


def off_square(post: PlacedPost, outline: Nodes) -> float:
    """Angle in degrees between a post's shaft and the way to the nearest place of the drawn edge."""
    x, y = foot_on(outline, post.at)
    way = Vector(x - post.at.x, y - post.at.y)
    return abs(math.degrees(math.atan2(way.cross(post.frame.outward), way.dot(post.frame.outward))))


def test_a_shaft_is_square_to_the_curve_where_its_post_was_moved_to() -> None:
    build = egg(Moved(post="treble2", along=14.0, inward=3.0))
    for post in lay_out(build).posts:
        assert off_square(post, EGG) < 1e-6
    moved = lay_out(build).post("treble2")
    # So much it would be off with the direction of the place where its rule puts it.
    turned = moved.ruled.outward
    x, y = foot_on(EGG, moved.at)
    way = Vector(x - moved.at.x, y - moved.at.y)
    assert math.degrees(abs(math.atan2(way.cross(turned), way.dot(turned)))) == pytest.approx(12.7, abs=0.05)


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(st.floats(-8, 20), st.floats(-4, 6), st.floats(30, 44), st.floats(9, 15), st.booleans())
def test_wherever_a_hand_puts_a_post(
    along: float, inward: float, start: float, inset: float, left_handed: bool
) -> None:
    build = egg(Moved(post="treble2", along=along, inward=inward), start=start, inset=inset)
    build = mirror_of(build) if left_handed else build
    assert isinstance(build.outline, Nodes)
    for post in lay_out(build).posts:
        assert off_square(post, build.outline) < 1e-6
        assert post.frame.along.dot(post.frame.outward) == pytest.approx(0.0, abs=1e-12)


def test_parts_lie_where_the_drawn_curve_has_them() -> None:
    # A button's middle is 6 mm along and 36 mm out: a shaft 0.05 degrees off would shift it by 0.03 mm.
    for post in lay_out(egg(Moved(post="treble2", along=5.0, inward=0.0))).posts:
        x, y = foot_on(EGG, post.at)
        out = Vector(x - post.at.x, y - post.at.y).unit()
        up = out.left if post.side_sign > 0 else out.right
        assert isinstance(post.button, Box)
        assert post.button.centre.distance(post.at + up * 6.0 + out * 36.0) < PRINT


def test_a_move_by_hand_is_told_in_the_frame_of_the_edge_at_the_place_of_the_rule() -> None:
    ruled = lay_out(egg()).post("treble2").frame
    moved = lay_out(egg(Moved(post="treble2", along=14.0, inward=3.0))).post("treble2")
    assert moved.ruled == ruled
    assert moved.at.distance(ruled.at + ruled.along * 14.0 - ruled.outward * 3.0) < 1e-12


@settings(max_examples=sampled(8, of=20), deadline=None)
@given(st.floats(-10, 20), st.floats(-10, 10), st.floats(-5, 5), st.floats(-5, 5))
def test_a_post_dragged_again_and_again_lies_where_the_hand_is(
    x: float, y: float, further_x: float, further_y: float
) -> None:
    build = egg(Moved(post="treble2", along=2.0, inward=1.0))
    for step in (Vector(x, y), Vector(further_x, further_y)):
        layout = lay_out(build)
        to = layout.post("treble2").at + step
        build = move_posts(build, layout, {"treble2": to})
        assert lay_out(build).post("treble2").at.distance(to) < 1e-9


@pytest.mark.parametrize("beyond", [-1.0, 0.0, 5.0])
def test_a_post_on_the_edge_or_over_it_still_points_outwards(beyond: float) -> None:
    straight = plain_head(row(moved=(Moved(post="treble1", along=0.0, inward=-20.0 - beyond),)))
    (post,) = lay_out(straight).posts
    assert (post.at.x, post.frame.outward.x) == pytest.approx((40.0 + beyond, 1.0))
    curved = lay_out(egg(Moved(post="treble1", along=0.0, inward=-14.0))).post("treble1")
    assert curved.frame.outward.dot(curved.ruled.outward) > 0.99


def test_rows_in_line_keep_their_direction_when_a_post_is_moved() -> None:
    rule = OnLine(start=36.0, pitch=34.0, inset=13.0)
    by_hand = row("treble", 2, rule=rule, moved=(Moved(post="treble2", along=3.0, inward=2.0),))
    first, second = lay_out(plain_head(by_hand, outline=EGG)).posts
    assert second.frame.outward == first.frame.outward == second.ruled.outward


def test_beside_a_corner_the_shaft_points_at_it() -> None:
    # A notch 10 mm deep, its corner at (30, 60): a post whose nearest place that is points there.
    outline = nodes((40, 0), (40, 50), (30, 60), (40, 70), (40, 200), (-40, 200), (-40, 0))
    rule = AlongEdge(start=100.0, pitch=40.0, inset=20.0)
    (post,) = lay_out(
        plain_head(
            row(rule=rule, moved=(Moved(post="treble1", along=-43.0, inward=5.0),)),
            outline=outline,
        )
    ).posts
    assert (post.at.x, post.at.y) == pytest.approx((15.0, 57.0))
    size = math.hypot(15.0, 3.0)
    assert (post.frame.outward.x, post.frame.outward.y) == pytest.approx((15.0 / size, 3.0 / size))
