"""A hand that works a canvas through real events, at places of the head."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.canvas.canvas import Canvas
from app.document.session import Session
from app.tools.catalogue import TOOLS
from geometry.shape.point import Point, Vector

LEFT, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
SHIFT, CONTROL, ALT = (
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)
FREE = Qt.KeyboardModifier.NoModifier


class Hand:
    """Works one canvas; places are head mm and land on whole pixels, which is why `near` is half a diagonal."""

    def __init__(self, session: Session, tool: str = "select") -> None:
        self.session = session
        self.canvas = Canvas(session)
        self.canvas.resize(700, 760)
        self.canvas.grid = False
        self.take(tool)
        self.canvas.show()
        QApplication.processEvents()
        self.canvas.fit()

    def take(self, tool: str) -> None:
        self.canvas.tool = TOOLS[tool](self.session, self.canvas.aids)

    @property
    def near(self) -> float:
        return 0.75 / self.canvas.view.scale

    def pixel(self, at: Point) -> QPoint:
        return self.canvas.view.to_screen(at).toPoint()

    def press(self, at: Point, keys: Qt.KeyboardModifier = FREE) -> None:
        QTest.mousePress(self.canvas, LEFT, keys, self.pixel(at))

    def move(self, at: Point, keys: Qt.KeyboardModifier = FREE, held: Qt.MouseButton = LEFT) -> None:
        place = QPointF(self.pixel(at))
        event = QMouseEvent(QEvent.Type.MouseMove, place, self.canvas.mapToGlobal(place), NONE, held, keys)
        QApplication.sendEvent(self.canvas, event)

    def release(self, at: Point, keys: Qt.KeyboardModifier = FREE) -> None:
        QTest.mouseRelease(self.canvas, LEFT, keys, self.pixel(at))

    def click(self, at: Point, keys: Qt.KeyboardModifier = FREE) -> None:
        self.press(at, keys)
        self.release(at, keys)

    def double_click(self, at: Point) -> None:
        self.click(at)
        QTest.mouseDClick(self.canvas, LEFT, FREE, self.pixel(at))

    def drag(self, start: Point, step: Vector, keys: Qt.KeyboardModifier = CONTROL) -> None:
        """A drag in three movements; with Ctrl, so that nothing snaps."""
        self.hold(start, step, keys)
        self.release(start + step, keys)

    def hold(self, start: Point, step: Vector, keys: Qt.KeyboardModifier = CONTROL) -> None:
        """A drag that is not ended."""
        self.press(start, FREE)
        for share in (0.3, 0.8, 1.0):
            self.move(start + step * share, keys)

    def type(self, key: Qt.Key, keys: Qt.KeyboardModifier = FREE) -> None:
        QTest.keyClick(self.canvas, key, keys)

    @property
    def undo_label(self) -> str | None:
        return self.session.history.undo_label
