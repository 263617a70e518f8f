"""A maker who works the program by real events and counts what they cost.

One act is one thing that is pressed, picked, dragged or typed with Enter behind it. Moving the keyboard from field to
field by Tab is no act, as moving the mouse is none; but it must get there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QGuiApplication, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QScrollArea,
    QWidget,
)

from app.canvas.canvas import Canvas
from geometry.shape.point import Point, Vector

LEFT = Qt.MouseButton.LeftButton
MOST_TABS = 250
"""Whoever has not got there by then will not."""


class Maker:
    """Whoever works, with the mouse or by the keyboard alone; `acts` tells what was done."""

    def __init__(self) -> None:
        self.acts: list[str] = []

    def _count(self, what: str) -> None:
        self.acts.append(what)

    @property
    def told(self) -> str:
        return "\n".join(f"{number}. {what}" for number, what in enumerate(self.acts, start=1))

    # What differs

    def press(self, button: QAbstractButton) -> None:
        raise NotImplementedError

    def reach(self, field: QWidget) -> None:
        """Bring the cursor into a field."""
        raise NotImplementedError

    # What is alike

    def type_in(self, field: QLineEdit, text: str) -> None:
        """Replace what a field holds."""
        self.reach(field)
        assert QApplication.focusWidget() is field, f"the cursor is not in {field.accessibleName()!r}"
        field.selectAll()
        QTest.keyClicks(field, text)
        QTest.keyClick(field, Qt.Key.Key_Return)
        self._count(f"type {text!r} into {field.accessibleName()!r}")

    def key(self, widget: QWidget, key: Qt.Key, modifiers: Qt.KeyboardModifier, what: str) -> None:
        """Press a key that does something."""
        QTest.keyClick(widget, key, modifiers)
        self._count(what)

    def pick(self, box: QComboBox, words: str) -> None:
        """Choose from a list by its first letters, as keyboards do, or by a click."""
        place = box.findText(words)
        assert place >= 0, f"{words!r} is not offered"
        self.reach(box)
        box.showPopup()
        view = box.view()
        view.setCurrentIndex(box.model().index(place, 0))
        QTest.keyClick(view, Qt.Key.Key_Return)
        self._count(f"pick {words!r}")

    def name_file(self) -> None:
        """Accept the name that the system's dialog proposes; the dialog itself is not ours."""
        self._count("accept the name of the file")


class ByMouse(Maker):
    """Points and clicks."""

    def press(self, button: QAbstractButton) -> None:
        bring_into_view(button)
        assert button.isVisible(), f"{button.text()!r} is not in sight"
        assert button.isEnabled(), f"{button.text()!r} is faded"
        QTest.mouseClick(button, LEFT, pos=button.rect().center())
        self._count(f"press {button.accessibleName() or button.text()!r}")

    def reach(self, field: QWidget) -> None:
        bring_into_view(field)
        assert field.isVisible(), f"{field.accessibleName()!r} is not in sight"
        QTest.mouseClick(field, LEFT, pos=QPoint(6, field.height() // 2))
        if isinstance(field, QComboBox):
            field.hidePopup()
        field.setFocus()

    def drag(self, canvas: Canvas, start: Point, step: Vector) -> None:
        """Drag something on the drawing."""
        begin, end = (canvas.view.to_screen(at).toPoint() for at in (start, start + step))
        QTest.mousePress(canvas, LEFT, pos=begin)
        for share in (0.3, 0.7, 1.0):
            moved(canvas, QPointF(begin) + (QPointF(end) - QPointF(begin)) * share)
        QTest.mouseRelease(canvas, LEFT, pos=end)
        self._count("drag on the drawing")


class ByKeyboard(Maker):
    """Has no mouse."""

    def press(self, button: QAbstractButton) -> None:
        self.reach(button)
        QTest.keyClick(button, Qt.Key.Key_Space)
        self._count(f"press {button.accessibleName() or button.text()!r}")

    def reach(self, field: QWidget) -> None:
        for _ in range(MOST_TABS):
            focus = QApplication.focusWidget()
            if focus is field:
                return
            assert focus is not None, "the keyboard is nowhere"
            QTest.keyClick(focus, Qt.Key.Key_Tab)
        message = f"Tab does not come to {field.accessibleName()!r}"
        raise AssertionError(message)


def bring_into_view(part: QWidget) -> None:
    """Scroll to a part as the wheel would."""
    parent = part.parentWidget()
    while parent is not None:
        if isinstance(parent, QScrollArea):
            parent.ensureWidgetVisible(part)
        parent = parent.parentWidget()


def moved(widget: QWidget, at: QPointF) -> None:
    none, free = Qt.MouseButton.NoButton, Qt.KeyboardModifier.NoModifier
    event = QMouseEvent(QEvent.Type.MouseMove, at, widget.mapToGlobal(at), none, LEFT, free)
    QGuiApplication.sendEvent(widget, event)


def worked(dialog: QDialog, work: Callable[[Any], None]) -> int:
    """Show a dialog as it would wait for an answer, and work it; its answer."""
    dialog.show()
    dialog.activateWindow()
    QApplication.processEvents()
    first = dialog.focusWidget() or dialog.nextInFocusChain()
    assert first is not None, "a dialog has fields"
    first.setFocus()
    work(dialog)
    assert not dialog.isVisible(), "the dialog was answered"
    return dialog.result()
