"""Numbers typed on the drawing: the field with the cursor lights its dimension up, a press on one takes its field."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.head_panel import HeadPanel
from app.panels.tuners_panel import TunersPanel
from app.window.window import Window
from geometry.document.build import Starter
from geometry.document.edits import free_outline
from geometry.document.stretch import outline_bounds, tip_ends
from geometry.shape.bounds import Bounds

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def bench(window: Window, qtbot: QtBot) -> Window:
    """The window in front, its drawing painted."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.side.show_panel("head")
    window.grab()
    return window


def head(window: Window) -> HeadPanel:
    panel = window.side.panel("head")
    assert isinstance(panel, HeadPanel)
    return panel


def press(window: Window, name: str) -> None:
    window.canvas.grab()
    box = next(box for box, each in window.canvas._painter.boxes if each == name)
    QTest.mouseClick(window.canvas, LEFT, pos=box.center().toPoint())


def test_the_cursor_in_a_field_lights_its_dimension_up(bench: Window) -> None:
    head(bench).starter.fields["length"].setFocus()
    assert bench.canvas._measures[1] == "Starter.length"
    head(bench).wood_numbers.fields["thickness_nut"].setFocus()
    assert bench.canvas._measures[1] == ""


def test_a_smaller_number_has_its_dimension_while_it_is_in_hand(bench: Window) -> None:
    for field, name in (("tip_rise", "Starter.tip_rise"), ("corner", "Starter.corner")):
        bench.canvas.grab()
        assert name not in [each for _, each in bench.canvas._painter.boxes]
        head(bench).starter.fields[field].setFocus()
        bench.canvas.grab()
        assert bench.canvas._measures[1] == name
        assert name in [each for _, each in bench.canvas._painter.boxes]


def test_a_dimension_is_pressed_and_typed_over(bench: Window) -> None:
    press(bench, "Starter.length")
    field = head(bench).starter.fields["length"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "171,5")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert isinstance(bench.session.build.outline, Starter)
    assert bench.session.build.outline.length == 171.5


def test_a_free_outline_is_stretched_by_its_dimensions(bench: Window) -> None:
    bench.session.act("Free the outline", free_outline)
    press(bench, "Free.width")
    field = head(bench).free_width
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "90")
    QTest.keyClick(field, Qt.Key.Key_Return)
    bounds = outline_bounds(bench.session.build)
    assert bounds.right - bounds.left == pytest.approx(90.0, abs=0.2)
    assert bench.session.history.undo_label == "Change greatest width"


def test_a_dimension_pressed_twice_keeps_its_field(bench: Window) -> None:
    bench.canvas.grab()
    box = next(box for box, each in bench.canvas._painter.boxes if each == "Starter.length")
    place = box.center().toPoint()
    QTest.mouseClick(bench.canvas, LEFT, pos=place)
    QTest.mouseDClick(bench.canvas, LEFT, pos=place)
    field = head(bench).starter.fields["length"]
    assert QApplication.focusWidget() is field
    before = bench.session.build
    QTest.keyClicks(field, "172")
    assert bench.session.build == before, "no key of the drawing"
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert isinstance(bench.session.build.outline, Starter)
    assert bench.session.build.outline.length == 172.0


def test_the_tuners_have_theirs_for_the_row_in_hand(bench: Window) -> None:
    bench.show_panel("tuners")
    panel = bench.side.panel("tuners")
    assert isinstance(panel, TunersPanel)
    press(bench, "OnLine.pitch")
    assert QApplication.focusWidget() is panel.row_form.numbers.fields["pitch"]
    assert bench.canvas._measures[2] == bench.session.build.rows[0].key
    bench.show_panel("best")
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()


def test_a_row_is_staggered_on_the_drawing(bench: Window) -> None:
    bench.show_panel("tuners")
    panel = bench.side.panel("tuners")
    assert isinstance(panel, TunersPanel)
    field = panel.row_form.ahead
    assert field.value == 0.0
    field.setFocus()
    QTest.keyClicks(field, "8")
    QTest.keyClick(field, Qt.Key.Key_Return)
    rows = bench.session.build.rows
    assert rows[0].rule.start - rows[1].rule.start == pytest.approx(8.0)
    assert bench.session.history.undo_label == "Stagger the row"
    bench.canvas.setFocus()
    press(bench, "Row.ahead")
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "-1999")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert "expected a number from" in field.fault
    assert bench.session.build.rows == rows


def test_the_tip_of_a_free_outline_is_typed_on_the_drawing(bench: Window) -> None:
    bench.session.act("Free the outline", free_outline)
    press(bench, "Free.tip")
    field = head(bench).free_tip
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "51")
    QTest.keyClick(field, Qt.Key.Key_Return)
    ends = tip_ends(bench.session.build)
    assert ends is not None
    assert ends[1].x - ends[0].x == pytest.approx(51.0)


def test_a_dimension_out_of_view_leaves_no_words_behind(bench: Window) -> None:
    bench.canvas.grab()
    assert any(name == "Starter.length" for _, name in bench.canvas._painter.boxes)
    bench.canvas.zoom_to(Bounds(-5.0, 0.0, 5.0, 10.0))
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()


def test_other_tools_and_drags_have_no_dimensions_in_their_way(bench: Window) -> None:
    bench.canvas.grab()
    box, _ = bench.canvas._painter.boxes[0]
    bench.use_tool("region")
    QTest.mouseClick(bench.canvas, LEFT, pos=box.center().toPoint())
    assert bench.canvas.tool.busy
    bench.use_tool("select")
    bench.session.preview(free_outline(bench.session.build))
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()
