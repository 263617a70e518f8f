"""An invented head of two posts, small enough for one page, and larger drawings made from it."""

from __future__ import annotations

import math

import pytest

from export.drawing import QUARTER, Drawing, Mark, Role, Sheet, Text, fitted
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Line

POSTS = (Point(-18.25, 40.5), Point(18.25, 40.5))
RADIUS = 5.0


def head_marks() -> tuple[Mark, ...]:
    """An outline whose tip is half a circle of radius 30, two bores with crosshairs, a string, words."""
    corners = Point(30.0, 0.0), Point(30.0, 80.0), Point(-30.0, 80.0), Point(-30.0, 0.0)
    edge = Contour(
        (Line(corners[0], corners[1]), Arc(corners[1], corners[2], 1.0), Line(corners[2], corners[3]))
    )
    crosses = [
        Mark(Role.CROSSHAIR, Contour((Line(post + way * 0.8, post + way * 3.0),)))
        for post in POSTS
        for way in (Vector(1.0, 0.0).turned(quarter * math.pi / 2) for quarter in range(4))
    ]
    return (
        Mark(Role.OUTLINE, edge, "outline"),
        Mark(Role.WINDOW, through((Point(-5, 60), Point(5, 60), Point(5, 70), Point(-5, 70)), closed=True)),
        *(Mark(Role.BORE, Circle(post, RADIUS), f"post {number}") for number, post in enumerate(POSTS, 1)),
        *(Mark(Role.CENTRE_DOT, Circle(post, 0.2)) for post in POSTS),
        *crosses,
        Mark(Role.STRING_PATH, through((Point(4.0, 0.0), Point(13.0, 40.0)))),
        Mark(Role.LABEL, Text(Point(34.0, 40.0), 3.0, 'Bore ⌀ 10.00 & 3/8"')),
        Mark(Role.LABEL, Text(Point(-34.0, 10.0), 3.0, "Bass side", QUARTER)),
    )


@pytest.fixture
def head() -> Sheet:
    """The head as a sheet that fits every paper."""
    holes = tuple(Circle(post, RADIUS) for post in POSTS)
    return fitted(
        "face",
        "Face, seen from the front",
        Drawing(head_marks()),
        notes=("All lengths in mm.",),
        cautions=("Punch the centres first.", "Drill from the face."),
        seam_avoid=holes,
    )


@pytest.fixture
def large() -> Sheet:
    """A plate of 400 by 520 mm with holes all over it."""
    rim = through((Point(0, 0), Point(400, 0), Point(400, 520), Point(0, 520)), closed=True)
    holes = tuple(Circle(Point(20.0 + 45.0 * i, 30.0 + 51.0 * j), 6.0) for i in range(9) for j in range(10))
    marks = (Mark(Role.CUT_OUTLINE, rim), *(Mark(Role.GUIDE_HOLE, hole) for hole in holes))
    return fitted("plate", "A plate of holes", Drawing(marks), seam_avoid=holes)
