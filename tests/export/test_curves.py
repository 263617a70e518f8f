"""Cubics that stand for arcs stray no more than they may."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from export.curves import CURVE, Bend, Straight, arc_steps, stroke
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Cubic, Line

CENTRE = Point(3.0, -2.0)


def along(start: Point, bend: Bend, t: float) -> Point:
    shares = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    points = (start, bend.first, bend.second, bend.end)
    return Point(
        sum(share * point.x for share, point in zip(shares, points, strict=True)),
        sum(share * point.y for share, point in zip(shares, points, strict=True)),
    )


def straying(start: Point, steps: tuple[Bend, ...], radius: float) -> float:
    worst = 0.0
    for step in steps:
        worst = max(worst, *(abs(along(start, step, k / 40).distance(CENTRE) - radius) for k in range(41)))
        start = step.end
    return worst


@given(
    st.floats(0.1, 2000),
    st.floats(-math.pi, math.pi),
    st.floats(0.001, math.tau).flatmap(lambda sweep: st.sampled_from((sweep, -sweep))),
    st.sampled_from((1e-4, 1e-3, 1e-2)),
)
def test_arcs_stay_within_the_tolerance(radius: float, start: float, sweep: float, tolerance: float) -> None:
    steps = arc_steps(CENTRE, radius, start, sweep, tolerance)
    begin = CENTRE + Vector(radius, 0.0).turned(start)
    end = CENTRE + Vector(radius, 0.0).turned(start + sweep)
    assert straying(begin, steps, radius) <= tolerance + 1e-9 * radius
    assert steps[-1].end.distance(end) < 1e-9 * (1 + radius)


def test_a_bore_is_eight_cubics() -> None:
    line = stroke(Circle(CENTRE, 5.0))
    assert len(line.steps) == 8
    assert line.closed
    assert line.start == Point(8.0, -2.0)


def test_a_large_circle_takes_more_pieces() -> None:
    # An eighth of a turn strays 0.00042 mm at a radius of 100 mm, four times what is allowed.
    assert len(stroke(Circle(CENTRE, 100.0), CURVE).steps) > 8
    assert len(stroke(Circle(CENTRE, 100.0), 0.0005).steps) == 8


def test_contours_become_strokes_that_meet() -> None:
    a, b, c = Point(0.0, 0.0), Point(10.0, 0.0), Point(10.0, 10.0)
    handles = Vector(1.0, 2.0), Vector(-1.0, 0.0)
    line = stroke(Contour((Line(a, b), Arc(b, c, 0.5), Cubic(c, a, *handles)), closed=True))
    assert line.steps[0] == Straight(b)
    assert line.steps[-1] == Bend(c + handles[0], a + handles[1], a)
    assert line.steps[-2].end == c
    assert line.closed


def test_an_arc_without_bulge_is_straight() -> None:
    end = Point(4.0, 4.0)
    assert stroke(Contour((Arc(CENTRE, end, 0.0),))).steps == (Straight(end),)


@pytest.mark.parametrize("bulge", [-3.0, -1.0, -0.2, 0.2, 1.0, 3.0])
def test_arcs_of_contours_bend_to_their_side(bulge: float) -> None:
    start, end = Point(0.0, 0.0), Point(10.0, 0.0)
    steps = stroke(Contour((Arc(start, end, bulge),))).steps
    before, middle = start, steps[(len(steps) - 1) // 2]
    for step in steps[: (len(steps) - 1) // 2]:
        before = step.end
    assert isinstance(middle, Bend)
    # Sagitta of a bulge: half the chord times the bulge, to the right of the run when counter-clockwise.
    deepest = middle.end if len(steps) % 2 == 0 else along(before, middle, 0.5)
    assert deepest.y == pytest.approx(-5.0 * bulge, abs=0.001)
