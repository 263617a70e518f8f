"""Questions in a box over the window."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from geometry.trade.escapes import on_one_line


def question(
    parent: QWidget, title: str, words: str, more: str, icon: QMessageBox.Icon = QMessageBox.Icon.Warning
) -> QMessageBox:
    """A box without buttons yet. Its words may hold names out of a file: they are shown as they are."""
    box = QMessageBox(parent)
    box.setIcon(icon)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(on_one_line(words))
    box.setInformativeText(on_one_line(more))
    return box
