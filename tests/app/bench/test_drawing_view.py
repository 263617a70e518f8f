"""Drawings of the sheets in the window."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from app.bench.drawing_view import DrawingView, chart_look
from app.canvas.look import DARK, LIGHT, Look
from export.drawing import Drawing, Mark, Role
from geometry.shape.contour import through
from geometry.shape.point import Point
from tests.app.panels.hands import SCREENLESS, shown

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def bar(width: float, height: float) -> Drawing:
    corners = (Point(0, 0), Point(width, 0), Point(width, height), Point(0, height))
    return Drawing((Mark(Role.CURVE, through(corners, closed=True)),))


def test_it_keeps_the_proportions_of_its_drawing(qtbot: QtBot) -> None:
    view = shown(qtbot, DrawingView("Bar", "A bar"), width=300)
    view.show_drawing(bar(1000.0, 500.0))
    air = 16
    assert view.heightForWidth(300) == pytest.approx((300 - air) / 2 + air, abs=1)
    assert view.heightForWidth(600) == pytest.approx((600 - air) / 2 + air, abs=1)
    assert view.hasHeightForWidth()
    assert view.sizeHint().height() == view.heightForWidth(view.width())


def test_a_small_drawing_is_not_blown_up(qtbot: QtBot) -> None:
    view = shown(qtbot, DrawingView("Bar", "A bar"), width=300)
    view.show_drawing(bar(10.0, 10.0))
    assert view.heightForWidth(300) == view.heightForWidth(900)
    wide, high = view.room(10)
    assert wide > 10.0
    assert high > 10.0


def test_it_paints_its_drawing_in_the_middle(qtbot: QtBot) -> None:
    view = shown(qtbot, DrawingView("Bar", "A bar"), width=300, height=300)
    assert view.heightForWidth(300) == 0
    view.grab()
    view.show_drawing(bar(1000.0, 0.0))
    image: QImage = view.grab().toImage()
    middle = [image.pixelColor(150, y).lightness() for y in range(image.height())]
    dark = [y for y, lightness in enumerate(middle) if lightness < 128]
    assert dark
    assert sum(dark) / len(dark) == pytest.approx(image.height() / 2, abs=2)


def test_nothing_to_draw_hides_it(qtbot: QtBot) -> None:
    view = shown(qtbot, DrawingView("Bar", "A bar"))
    view.show_drawing(bar(10.0, 10.0))
    assert view.isVisible()
    view.show_drawing(None)
    assert not view.isVisible()
    view.show_drawing(Drawing(()))
    assert not view.isVisible()


def contrast(one: str, other: str) -> float:
    """WCAG 2.2: (brighter + 0.05) / (darker + 0.05) of the relative luminances."""

    def luminance(colour: str) -> float:
        parts = (QColor(colour).redF(), QColor(colour).greenF(), QColor(colour).blueF())
        linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
        return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=["light", "dark"])
def test_lines_stand_out_from_the_paper(look: Look) -> None:
    made = chart_look(look)
    for role in (Role.CURVE, Role.SECOND_CURVE, Role.STOP, Role.WATCH, Role.CUT_OUTLINE, Role.TABLE_HEAD):
        assert contrast(made.stroke(role).colour, made.paper) >= 3.0, role
    assert made.stroke(Role.CURVE).dash != made.stroke(Role.SECOND_CURVE).dash
