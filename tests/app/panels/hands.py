"""What a maker does in a panel: types, picks, presses, reads."""

from __future__ import annotations

from typing import TypeVar

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QTextDocument, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from app.widgets.fields import Choice

SCREENLESS = "This plugin does not support"
"""How Qt's screenless platform begins what only it says."""

Shown = TypeVar("Shown", bound=QWidget)


def shown(qtbot: QtBot, widget: Shown, width: int = 300, height: int = 700) -> Shown:
    """The widget in front of the maker."""
    qtbot.addWidget(widget)
    widget.resize(width, height)
    with qtbot.waitActive(widget):
        widget.show()
        widget.activateWindow()
    return widget


def type_in(field: QLineEdit, text: str) -> None:
    """Type over what a field holds, and press Enter."""
    assert field.isVisible(), "nobody can type into a hidden field"
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def press(button: QAbstractButton) -> None:
    """Press a button with the space bar."""
    assert button.isVisible(), "nobody can press a hidden button"
    button.setFocus()
    QTest.keyClick(button, Qt.Key.Key_Space)


def pick(choice: Choice, words: str) -> None:
    """Pick an option by its words, with the keyboard in the open list."""
    assert choice.isVisible(), "nobody can pick from a hidden list"
    place = choice.findText(words)
    assert place >= 0, f"{words!r} is not offered"
    choice.setFocus()
    choice.showPopup()
    view = choice.view()
    view.setCurrentIndex(choice.model().index(place, 0))
    QTest.keyClick(view, Qt.Key.Key_Return)


def point(widget: QWidget, at: QPoint) -> None:
    """Move the mouse over a widget without a button."""
    place, none = QPointF(at), Qt.MouseButton.NoButton
    keys = Qt.KeyboardModifier.NoModifier
    everywhere = QPointF(widget.mapToGlobal(at))
    QApplication.sendEvent(widget, QMouseEvent(QEvent.Type.MouseMove, place, everywhere, none, none, keys))


def told(label: QLabel) -> str:
    """The words that a label shows, a line for each sentence; empty when it is hidden."""
    document = QTextDocument()
    document.setHtml(label.text())
    return document.toPlainText() if not label.isHidden() else ""


def turned_down() -> QWheelEvent:
    """One notch of the wheel towards the maker."""
    return QWheelEvent(
        QPointF(5, 5),
        QPointF(5, 5),
        QPoint(0, -120),
        QPoint(0, -120),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
