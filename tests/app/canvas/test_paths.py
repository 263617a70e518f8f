"""Shapes as paths stray from their curves by less than a screen can show."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF

from app.canvas.paths import path_of
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Cubic, Line
from tests.app.canvas.surroundings import place


@given(st.floats(-3, 3).filter(lambda bulge: abs(bulge) > 1e-9), st.floats(1, 200))
def test_an_arc_keeps_to_its_circle(bulge: float, chord: float) -> None:
    arc = Arc(Point(1.0, 2.0), Point(1.0 + chord, 2.0), bulge)
    path = path_of(Contour((arc,)))
    # 4e-6 of the radius: an eighth of a turn as one cubic, M. Goldapp, CAGD 8 (1991)
    for step in range(21):
        at = place(path, step / 20)
        assert arc.nearest(at).distance <= 5e-6 * min(arc.radius, 1e6) + 1e-6
    assert path.currentPosition() == QPointF(arc.end.x, arc.end.y)


def test_an_arc_bulges_to_the_right_of_its_chord() -> None:
    path = path_of(Contour((Arc(Point(0.0, 0.0), Point(2.0, 0.0), 1.0),)))
    assert path.pointAtPercent(0.5).y() == pytest.approx(-1.0, abs=1e-4)


def test_lines_cubics_and_closing() -> None:
    one, two = Point(0.0, 0.0), Point(4.0, 0.0)
    cubic = Cubic(two, one, Vector(0.0, 3.0), Vector(0.0, 3.0))
    path = path_of(Contour((Line(one, two), cubic), closed=True))
    middle = cubic.point_at(0.5)
    assert path.contains(QPointF(middle.x, middle.y - 0.01))
    assert not path.contains(QPointF(middle.x, middle.y + 0.01))


def test_a_circle() -> None:
    path = path_of(Circle(Point(3.0, 4.0), 2.0))
    assert all(
        math.hypot(at.x - 3.0, at.y - 4.0) == pytest.approx(2.0, abs=1e-3)
        for at in (place(path, step / 16) for step in range(16))
    )


def test_an_open_contour_stays_open() -> None:
    path = path_of(through((Point(0.0, 0.0), Point(1.0, 0.0), Point(1.0, 1.0))))
    assert path.elementCount() == 3
