"""Zooming, moving and turning the page that is looked at."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.output.page_painter import Picture
from app.output.pages_view import PreviewBar
from app.output.preview import LARGEST, SMALLEST, STEP, PagePreview

A4 = Picture(210.0, 297.0, ())
PER_MM = 4.0


@pytest.fixture
def preview(qtbot: QtBot) -> PagePreview:
    made = PagePreview(PER_MM)
    qtbot.addWidget(made)
    made.resize(600, 500)
    made.show()
    made.show_page(A4)
    return made


def on_paper(preview: PagePreview, at: QPointF) -> tuple[float, float]:
    """Which place of the page, in mm, lies there in the view."""
    step = at - preview.origin()
    return step.x() / preview.zoom, step.y() / preview.zoom


def wheel(preview: PagePreview, at: QPointF, notches: int, keys: Qt.KeyboardModifier) -> None:
    view = preview.viewport()
    event = QWheelEvent(
        at,
        QPointF(view.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, 120 * notches),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view, event)


def test_the_whole_page_is_seen_at_first_and_after_a_change_of_size(preview: PagePreview) -> None:
    for high in (500, 400):
        preview.resize(600, high)
        view = preview.viewport().rect()
        at = preview.origin()
        assert 0 < at.y() < at.y() + A4.height * preview.zoom < view.height()
        left, right = at.x(), view.width() - at.x() - A4.width * preview.zoom
        assert left == pytest.approx(right, abs=1)
        assert preview.zoom * A4.height == pytest.approx(view.height() - 40)


@pytest.mark.parametrize("notches", [1, 3, -1])
def test_the_wheel_zooms_at_the_pointer(preview: PagePreview, notches: int) -> None:
    preview.zoom_to(8.0)
    at = QPointF(200.0, 150.0)
    before = on_paper(preview, at)
    wheel(preview, at, notches, Qt.KeyboardModifier.ControlModifier)
    assert preview.zoom == pytest.approx(8.0 * STEP**notches)
    # Scroll bars count whole pixels.
    assert on_paper(preview, at) == pytest.approx(before, abs=1 / preview.zoom)


def test_the_wheel_scrolls_without_ctrl(preview: PagePreview) -> None:
    preview.zoom_to(8.0)
    before = preview.origin()
    wheel(preview, QPointF(200.0, 150.0), -1, Qt.KeyboardModifier.NoModifier)
    assert preview.zoom == 8.0
    assert preview.origin().y() < before.y()


def test_dragging_moves_the_page_with_the_pointer(preview: PagePreview) -> None:
    preview.zoom_to(8.0)
    before = preview.origin()
    view = preview.viewport()
    QTest.mouseMove(view, QPoint(300, 200))
    assert preview.origin() == before
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(300, 200))
    QTest.mouseMove(view, QPoint(270, 260))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(270, 260))
    assert preview.origin() - before == QPointF(-30.0, 60.0)
    QTest.mouseMove(view, QPoint(100, 100))
    assert preview.origin() - before == QPointF(-30.0, 60.0)


def test_keys_zoom_fit_scroll_and_turn(qtbot: QtBot, preview: PagePreview) -> None:
    fitted = preview.zoom
    QTest.keyClick(preview, Qt.Key.Key_Plus)
    assert preview.zoom == pytest.approx(fitted * STEP)
    QTest.keyClick(preview, Qt.Key.Key_Minus)
    assert preview.zoom == pytest.approx(fitted)
    QTest.keyClick(preview, Qt.Key.Key_1)
    assert preview.zoom == PER_MM
    before = preview.origin()
    QTest.keyClick(preview, Qt.Key.Key_Down)
    assert preview.origin().y() < before.y()
    QTest.keyClick(preview, Qt.Key.Key_0)
    assert preview.zoom == pytest.approx(fitted)
    for key, step in ((Qt.Key.Key_PageUp, -1), (Qt.Key.Key_PageDown, 1)):
        with qtbot.waitSignal(preview.turned) as told:
            QTest.keyClick(preview, key)
        assert told.args == [step]


def test_more_is_seen_in_a_larger_view(preview: PagePreview) -> None:
    preview.zoom_to(8.0)
    QApplication.processEvents()
    before = preview.horizontalScrollBar().maximum()
    preview.resize(700, 500)
    assert preview.zoom == 8.0
    assert preview.horizontalScrollBar().maximum() == before - 100


def test_zoom_has_its_ends(preview: PagePreview) -> None:
    preview.zoom_to(1e6)
    assert preview.zoom == LARGEST
    preview.zoom_by(1e-9)
    assert preview.zoom == SMALLEST


def test_another_page_keeps_the_zoom(preview: PagePreview) -> None:
    preview.zoom_to(6.0)
    preview.show_page(Picture(297.0, 210.0, ()))
    assert preview.zoom == 6.0
    preview.fit()
    preview.show_page(Picture(420.0, 594.0, ()))
    assert preview.zoom * 594.0 == pytest.approx(preview.viewport().height() - 40)


def test_without_a_page_a_sentence_stands_there(preview: PagePreview) -> None:
    preview.show_page(None, "Nothing to draw.")
    blank = preview.grab().toImage()
    assert preview.page is None
    assert preview.accessibleDescription() == "Nothing to draw."
    preview.fit()
    preview.zoom_to(2.0)
    preview.show_page(None)
    assert preview.grab().toImage() != blank


def test_the_bar_zooms_and_turns(qtbot: QtBot, preview: PagePreview) -> None:
    bar = PreviewBar(preview)
    qtbot.addWidget(bar)
    buttons = {button.accessibleName(): button for button in bar.buttons}
    buttons["True size"].click()
    assert bar.zoom.text() == "100 %"
    buttons["Larger"].click()
    assert bar.zoom.text() == "125 %"
    buttons["Smaller"].click()
    buttons["Smaller"].click()
    assert bar.zoom.text() == "80 %"
    buttons["Whole page"].click()
    assert preview.zoom * A4.height == pytest.approx(preview.viewport().height() - 40)
    bar.show_number(2, 3)
    assert bar.number.text() == "Page 2 of 3"
    for name, step in (("Page before", -1), ("Next page", 1)):
        with qtbot.waitSignal(bar.turned) as told:
            buttons[name].click()
        assert told.args == [step]
    bar.show_number(1, 1)
    assert not buttons["Page before"].isEnabled()
    assert not buttons["Next page"].isEnabled()
    assert all(button.toolTip() for button in bar.buttons)
