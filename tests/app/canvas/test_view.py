"""Millimetres to pixels and back: nothing but the view mirrors, and what is held stays where it is."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec.structs import replace
from PySide6.QtCore import QPointF

from app.canvas.view import AIR, LARGEST_SCALE, SMALLEST_SCALE, View
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point

millimetres = st.floats(-500, 500)
pixels = st.floats(0, 2000)
views = st.builds(
    View,
    centre=st.builds(Point, millimetres, millimetres),
    scale=st.floats(SMALLEST_SCALE, LARGEST_SCALE),
    width=st.floats(50, 3000),
    height=st.floats(50, 3000),
    ruler=st.floats(0, 40),
    mirrored=st.booleans(),
)


@given(views, st.builds(QPointF, pixels, pixels))
def test_a_pixel_comes_back(view: View, pixel: QPointF) -> None:
    back = view.to_screen(view.to_head(pixel))
    assert (back.x(), back.y()) == pytest.approx((pixel.x(), pixel.y()), abs=1e-6)


@given(views, millimetres, millimetres)
def test_the_transform_agrees(view: View, x: float, y: float) -> None:
    one, other = view.transform.map(QPointF(x, y)), view.to_screen(Point(x, y))
    assert (one.x(), one.y()) == pytest.approx((other.x(), other.y()), abs=1e-5)


@given(views, st.floats(0.1, 10), st.builds(QPointF, pixels, pixels))
def test_zooming_holds_what_lies_under_the_pixel(view: View, factor: float, at: QPointF) -> None:
    held = view.to_head(at)
    zoomed = view.zoomed(factor, at)
    still = zoomed.to_screen(held)
    assert (still.x(), still.y()) == pytest.approx((at.x(), at.y()), abs=1e-5)
    assert zoomed.scale == min(LARGEST_SCALE, max(SMALLEST_SCALE, view.scale * factor))


@given(views, st.floats(-300, 300), st.floats(-300, 300))
def test_panning_pushes_the_head(view: View, dx: float, dy: float) -> None:
    before, after = view.to_screen(Point(3, 4)), view.panned(dx, dy).to_screen(Point(3, 4))
    assert (after.x() - before.x(), after.y() - before.y()) == pytest.approx((dx, dy), abs=1e-5)


@given(views, st.builds(Point, millimetres, millimetres))
def test_from_behind_only_x_turns_over(view: View, at: Point) -> None:
    front, behind = replace(view, mirrored=False), replace(view, mirrored=True)
    one, other = front.to_screen(at), behind.to_screen(at)
    assert one.x() - front.middle.x() == pytest.approx(front.middle.x() - other.x(), abs=1e-5)
    assert one.y() == other.y()


def test_up_in_the_head_is_up_on_the_screen() -> None:
    view = View(Point(0.0, 0.0), 2.0, 100.0, 100.0)
    assert view.to_screen(Point(10.0, 20.0)) == QPointF(70.0, 10.0)


def test_fitted_fills_the_room_beside_the_rulers() -> None:
    view = View(Point(9.0, 9.0), 1.0, 220.0, 420.0, ruler=20.0).fitted(Bounds(-10.0, 0.0, 10.0, 20.0))
    assert view.scale == pytest.approx(200 * (1 - 2 * AIR) / 20)
    box = view.box_to_screen(Bounds(-10.0, 0.0, 10.0, 20.0))
    assert box.left() - 20 == pytest.approx(220 - box.right())
    assert box.top() - 20 == pytest.approx(420 - box.bottom())


def test_a_point_is_fitted_at_the_largest_scale() -> None:
    assert View(Point(0.0, 0.0), 1.0, 99.0, 99.0).fitted(Bounds(1, 1, 1, 1)).scale == LARGEST_SCALE


@pytest.mark.parametrize("mirrored", [False, True])
def test_shown_is_what_the_corners_see(mirrored: bool) -> None:
    view = View(Point(5.0, 0.0), 2.0, 100.0, 50.0, mirrored=mirrored)
    assert view.shown == Bounds(-20.0, -12.5, 30.0, 12.5)


def test_resizing_keeps_the_middle() -> None:
    view = View(Point(5.0, 7.0), 2.0, 100.0, 50.0, ruler=10.0).resized(300.0, 80.0)
    assert view.to_screen(Point(5.0, 7.0)) == QPointF(155.0, 45.0)


def test_a_box_is_fitted_beside_what_is_kept_clear() -> None:
    view = View(Point(0.0, 0.0), 1.0, 620.0, 420.0, ruler=20.0)
    low = Bounds(-10.0, 0.0, 10.0, 200.0)
    assert view.fitted_beside(low, 100.0, 50.0, 70.0) == view.fitted(low), "it is clear by itself"
    wide = Bounds(-100.0, 0.0, 100.0, 60.0)
    fitted = view.fitted_beside(wide, 100.0, 50.0, 70.0)
    box = fitted.box_to_screen(wide)
    # 620 less the ruler, 100, 50 and 70 leaves 380, of which AIR stays free on both sides.
    assert box.width() == pytest.approx(380 * (1 - 2 * AIR))
    assert box.left() - 20.0 == pytest.approx(50 + 380 * AIR)
    assert 520.0 - box.right() == pytest.approx(70 + 380 * AIR)
    assert (fitted.width, fitted.height) == (620.0, 420.0)


def test_half_of_the_room_is_the_head_at_least() -> None:
    view = View(Point(0.0, 0.0), 1.0, 620.0, 420.0, ruler=20.0)
    wide = Bounds(-100.0, 0.0, 100.0, 60.0)
    box = view.fitted_beside(wide, 200.0, 900.0, 900.0).box_to_screen(wide)
    assert box.width() == pytest.approx(200 * (1 - 2 * AIR))
