"""Questions in a box over the window."""

from __future__ import annotations

from PySide6.QtGui import QFontDatabase, QFontMetrics
from PySide6.QtWidgets import QMessageBox
from pytestqt.qtbot import QtBot

from app.document.question import question

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
