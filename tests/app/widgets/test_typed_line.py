"""Lines to type in: what all of them do alike."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFocusEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.bench.strings_page import PitchField
from app.widgets.fields import TextField
from app.widgets.number_field import NumberField
from app.widgets.typed_line import TypedLine
from tests.app.panels.hands import SCREENLESS, shown

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def lines() -> list[TypedLine]:
    return [NumberField("Width"), PitchField("Pitch", tip="Such as F#3"), TextField("Name")]


@pytest.mark.usefixtures("qapp")
def test_all_kinds_line_up() -> None:
    assert len({line.sizeHint().width() for line in lines()}) == 1


def test_esc_brings_back_what_counts_and_then_is_left_to_the_window(qtbot: QtBot) -> None:
    for line in lines():
        shown(qtbot, line)
        line.setFocus()
        QTest.keyClicks(line, "9")
        QTest.keyClick(line, Qt.Key.Key_Escape)
        assert (line.text(), line.isModified()) == ("", False)


def test_another_window_in_front_takes_nothing_over(qtbot: QtBot) -> None:
    for line, text in zip(lines(), ("9", "e4", "short"), strict=True):
        shown(qtbot, line)
        line.setFocus()
        QTest.keyClicks(line, text)
        QApplication.sendEvent(
            line, QFocusEvent(QFocusEvent.Type.FocusOut, Qt.FocusReason.ActiveWindowFocusReason)
        )
        assert line.isModified()
        QApplication.sendEvent(line, QFocusEvent(QFocusEvent.Type.FocusOut, Qt.FocusReason.TabFocusReason))
        assert not line.isModified()


def test_a_bare_line_keeps_nothing(qtbot: QtBot) -> None:
    line = shown(qtbot, TypedLine("Anything", tip="What for"))
    QTest.keyClicks(line, "x")
    QTest.keyClick(line, Qt.Key.Key_Return)
    assert (line.text(), line.fault) == ("x", "")
    line.mark_fault("No.")
    assert (line.toolTip(), line.accessibleDescription()) == ("No.", "No.")
    QTest.keyClick(line, Qt.Key.Key_Escape)
    assert (line.text(), line.fault, line.toolTip()) == ("", "", "What for")
