"""Questions in a box over the window."""

from __future__ import annotations

import gc

from PySide6.QtCore import QTimer
from PySide6.QtGui import QFontDatabase, QFontMetrics
from PySide6.QtWidgets import QDialog, QLineEdit, QMessageBox, QWidget
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from app.document.question import answered, question

BUTTONS = 100
"""Pixels that icon and buttons of a title bar take at least."""


def test_a_box_is_wide_enough_for_its_title(qtbot: QtBot) -> None:
    title = "A title that is much longer than what it stands over"
    box = question(None, title, "Yes?", "No.")
    qtbot.addWidget(box)
    box.addButton("Go", QMessageBox.ButtonRole.AcceptRole)
    box.show()
    fonts = QFontMetrics(QFontDatabase.systemFont(QFontDatabase.SystemFont.TitleFont))
    assert box.width() >= fonts.horizontalAdvance(title) + BUTTONS


class Circle(QDialog):
    """A dialog in a circle of references, as those are whose parts know them."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.line = QLineEdit(self)
        self.circle = self


def test_a_dialog_that_was_answered_is_destroyed_by_qt_and_not_whenever_garbage_is_collected(
    qtbot: QtBot,
) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    for accept in (True, False):
        dialog = Circle(window)
        line = dialog.line
        QTimer.singleShot(0, dialog.accept if accept else dialog.reject)
        assert answered(dialog) is accept
        del dialog
        gc.collect()
        assert isValid(line)
        with qtbot.waitSignal(line.destroyed):
            pass
    assert window.findChildren(QDialog) == []
    gc.collect()
    qtbot.wait(1)
