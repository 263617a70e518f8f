"""A canvas with a session, and a tool that writes down what it is told."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QMouseEvent, QPainter, QPainterPath, QPointingDevice, QWheelEvent
from PySide6.QtWidgets import QApplication, QWidget

from app.canvas.canvas import Canvas
from app.canvas.look import Look
from app.canvas.tool import Pointer, Tool
from app.canvas.view import View
from app.document.session import Session
from geometry.document.node_edits import move_nodes
from geometry.shape.point import Point

LEFT, MIDDLE, NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.MiddleButton, Qt.MouseButton.NoButton
NO_KEYS = Qt.KeyboardModifier.NoModifier


class Notes(Tool):
    """Notes every call; drags the node `node` when it has one."""

    name = "notes"
    cursor = Qt.CursorShape.CrossCursor

    def __init__(self, canvas: Canvas, node: str = "") -> None:
        super().__init__(canvas.session, canvas.aids)
        self.said: list[tuple[str, Pointer | int | None]] = []
        self.node = node
        self.takes: set[int] = set()
        self.down = False

    @property
    def hint(self) -> str:
        return "down" if self.down else "up"

    @property
    def busy(self) -> bool:
        return self.down

    def press(self, pointer: Pointer) -> None:
        self.said.append(("double" if pointer.double else "press", pointer))
        self.down = True

    def move(self, pointer: Pointer) -> None:
        self.said.append(("move", pointer))
        if self.down and self.node:
            self.session.preview(move_nodes(self.session.build, {self.node: pointer.at}))

    def release(self, pointer: Pointer) -> None:
        self.said.append(("release", pointer))
        self.down = False
        self.session.commit("Move node")

    def cancel(self) -> None:
        self.said.append(("cancel", None))
        self.down = False
        self.session.cancel()

    def key(self, key: int, modifiers: Qt.KeyboardModifier) -> bool:
        self.said.append(("key", key))
        return key in self.takes

    def overlay(self, painter: QPainter, view: View, look: Look) -> None:
        painter.fillRect(QRectF(view.width / 2, view.height / 2, 4, 4), QColor("#ff00ff"))

    @property
    def names(self) -> list[str]:
        return [name for name, _ in self.said if name != "move"]

    def last(self, name: str) -> Pointer:
        found = [what for said, what in self.said if said == name]
        assert isinstance(found[-1], Pointer)
        return found[-1]


def canvas_of(session: Session, width: int = 640, height: int = 560) -> Canvas:
    canvas = Canvas(session)
    canvas.resize(width, height)
    canvas.show()
    QApplication.processEvents()
    return canvas


def pixel(canvas: Canvas, at: Point) -> QPoint:
    return canvas.view.to_screen(at).toPoint()


def move(canvas: Canvas, at: QPointF, held: Qt.MouseButton = NONE) -> None:
    event = QMouseEvent(QEvent.Type.MouseMove, at, canvas.mapToGlobal(at), NONE, held, NO_KEYS)
    QApplication.sendEvent(canvas, event)


def wheel(
    canvas: Canvas,
    at: QPointF,
    turn: QPoint,
    *,
    pixels: QPoint | None = None,
    keys: Qt.KeyboardModifier = NO_KEYS,
    phase: Qt.ScrollPhase = Qt.ScrollPhase.NoScrollPhase,
    device: QPointingDevice | None = None,
) -> None:
    source = Qt.MouseEventSource.MouseEventNotSynthesized
    event = QWheelEvent(
        at,
        canvas.mapToGlobal(at),
        pixels or QPoint(),
        turn,
        NONE,
        keys,
        phase,
        False,
        source,
        device or QPointingDevice.primaryPointingDevice(),
    )
    QApplication.sendEvent(canvas, event)


def colours(widget: QWidget) -> QImage:
    return widget.grab().toImage()


def holds(image: QImage, colour: str, near: QPointF, reach: int = 4) -> bool:
    """Whether a pixel near a place has this colour, or nearly: thin lines blend with what lies beneath."""
    ratio = image.devicePixelRatio()
    x, y = round(near.x() * ratio), round(near.y() * ratio)
    wanted = QColor(colour)
    return any(
        _alike(image.pixelColor(x + dx, y + dy), wanted)
        for dx in range(-reach, reach + 1)
        for dy in range(-reach, reach + 1)
        if image.rect().contains(x + dx, y + dy)
    )


def _alike(one: QColor, other: QColor) -> bool:
    parts = ((one.red(), other.red()), (one.green(), other.green()), (one.blue(), other.blue()))
    return all(abs(mine - yours) <= 50 for mine, yours in parts)


def place(path: QPainterPath, share: float) -> Point:
    found = path.pointAtPercent(share)
    return Point(found.x(), found.y())
