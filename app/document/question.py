"""Questions in a box over the window."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QFontDatabase, QFontMetrics
from PySide6.QtWidgets import (
    QDialog,
    QGridLayout,
    QMessageBox,
    QPushButton,
    QSizePolicy,
    QSpacerItem,
    QStyle,
    QWidget,
)

from geometry.trade.escapes import on_one_line

BESIDE_TITLE = 6
"""What a desktop draws beside a title, in heights of its bar: icon, three buttons, air (common practice, no source)."""

Answer = TypeVar("Answer")

_leaving: set[QDialog] = set()


def answered(dialog: QDialog) -> bool:
    """Show a dialog and wait for it; whether it was accepted. Qt destroys it at the next turn of its events.

    Waiting hands a dialog over to Python, whose garbage collector would destroy it at any moment after: also while Qt
    tells one of its widgets that the focus has gone on to the next dialog, which crashes the program. So it is held
    until Qt is through with it.
    """
    accepted = dialog.exec() == QDialog.DialogCode.Accepted
    _leaving.add(dialog)
    dialog.destroyed.connect(lambda: _leaving.discard(dialog))
    dialog.deleteLater()
    return accepted


def question(
    parent: QWidget | None,
    title: str,
    words: str,
    more: str,
    icon: QMessageBox.Icon = QMessageBox.Icon.Warning,
) -> QMessageBox:
    """A box without buttons yet. Its words may hold names out of a file: they are shown as they are."""
    box = QMessageBox(parent)
    box.setIcon(icon)
    box.setWindowTitle(title)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(on_one_line(words))
    box.setInformativeText(on_one_line(more))
    _make_room_for_title(box)
    return box


def confirmed(
    parent: QWidget | None,
    title: str,
    words: str,
    more: str,
    yes: str,
    *,
    kind: QMessageBox.ButtonRole = QMessageBox.ButtonRole.DestructiveRole,
    icon: QMessageBox.Icon = QMessageBox.Icon.Warning,
    usual: bool = False,
) -> bool:
    """Ask whether to go on: the button `yes` was pressed, and not Cancel; Enter presses it where it is usual."""
    box = question(parent, title, words, more, icon)
    go_on, cancel = box.addButton(yes, kind), box.addButton(QMessageBox.StandardButton.Cancel)
    box.setDefaultButton(go_on if usual else cancel)
    answered(box)
    return box.clickedButton() is go_on


def picked(box: QMessageBox, answers: Mapping[QPushButton, Answer]) -> Answer | None:
    """Ask, and give what goes with the button that was pressed; None for another one."""
    answered(box)
    return next((answer for button, answer in answers.items() if box.clickedButton() is button), None)


def _make_room_for_title(box: QMessageBox) -> None:
    """A box is never narrower than its title bar; it takes its size from its layout alone, no least width counts."""
    fonts = QFontMetrics(QFontDatabase.systemFont(QFontDatabase.SystemFont.TitleFont))
    bar = box.style().pixelMetric(QStyle.PixelMetric.PM_TitleBarHeight, None, box)
    width = fonts.horizontalAdvance(box.windowTitle()) + BESIDE_TITLE * bar
    grid, policy = box.layout(), QSizePolicy.Policy
    assert isinstance(grid, QGridLayout), "a message box is laid out in a grid"
    spacer = QSpacerItem(width, 0, policy.Minimum, policy.Minimum)
    grid.addItem(spacer, grid.rowCount(), 0, 1, grid.columnCount())
