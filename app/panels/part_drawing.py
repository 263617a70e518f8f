"""A drawing of a tuner that follows its numbers and shows which measure is which."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.look import Look, look_in
from app.widgets.number_field import number_text
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point
from geometry.trade.hardware import Hardware
from geometry.trade.part_dimensions import dimension
from geometry.trade.part_view import Dimension, Figure, FigureKind, bounds_of, plan, section
from geometry.trade.units import Units

ROOM = 34.0
"""Pixels left round each view for measures."""

FILLS: dict[FigureKind, int] = {
    "body": 26,
    "plate": 26,
    "seat": 22,
    "button": 30,
    "shaft": 60,
    "washer": 40,
    "hexagon": 50,
    "bushing": 40,
    "post": 90,
}
"""How strongly the metal of a part is tinted, of 255."""


class PartDrawing(QWidget):
    """The tuner from the face, and below it cut through its post; the measure in hand stands out."""

    def __init__(self, hardware: Hardware, units: Units) -> None:
        """Draw a tuner."""
        super().__init__()
        self.hardware = hardware
        """What is drawn."""
        self._units: Units = units
        self.path = ""
        """The field whose measure is shown, such as "washer.height"."""
        self.setAccessibleName(self.tr("Drawing of the tuner"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def show_hardware(self, hardware: Hardware) -> None:
        """Draw other numbers."""
        self.hardware = hardware
        self.update()

    def show_measure(self, path: str, words: str) -> None:
        """Show where a field's measure is."""
        self.path = path
        self.setAccessibleDescription(words)
        self.update()

    @property
    def measure(self) -> Dimension | None:
        """What stands out, None while it is nothing that is drawn."""
        return dimension(self.hardware, self.path)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Large enough to read."""
        return QSize(380, 460)

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Small enough for a laptop."""
        return QSize(260, 280)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint both views at one scale, above each other."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = look_in(self.palette())
        painter.fillRect(self.rect(), QColor(look.paper))
        upper, lower = plan(self.hardware), section(self.hardware)
        views = _arranged(
            bounds_of(upper), bounds_of(lower), QRectF(self.rect()), self.fontMetrics().height()
        )
        words = (self.tr("From the face"), self.tr("Cut through the post"))
        for view, figures, text in zip(views, (upper, lower), words, strict=True):
            for figure in figures:
                _paint(painter, view, figure, look)
            painter.setPen(QColor(look.quiet))
            painter.drawText(view.caption, Qt.AlignmentFlag.AlignLeft, text)
        measure = self.measure
        if measure is not None:
            view = views[0] if measure.view == "plan" else views[1]
            self._paint_measure(painter, view, measure, look)
        painter.end()

    def _paint_measure(self, painter: QPainter, view: View, measure: Dimension, look: Look) -> None:
        accent = QColor(look.accent)
        ends = [view.pixel(measure.one), view.pixel(measure.two)]
        way = ends[1] - ends[0]
        length = (way.x() ** 2 + way.y() ** 2) ** 0.5
        across = QPointF(way.y(), -way.x()) / length if length > 0 else QPointF(0.0, -1.0)
        beside = across * (measure.beside * BESIDE_PIXELS)
        one, two = ends[0] + beside, ends[1] + beside
        painter.setPen(QPen(accent, 1.0))
        for end, foot in zip(ends, (one, two), strict=True):
            painter.drawLine(end, foot + beside / 4)
        painter.setPen(QPen(accent, 2.2))
        painter.drawLine(one, two)
        for end in (one, two):
            painter.drawLine(end - across * 5, end + across * 5)
        text = number_text(measure.one.distance(measure.two), "length", self._units)
        self._paint_words(painter, (one + two) / 2 + across * 14, text, look)

    def _paint_words(self, painter: QPainter, middle: QPointF, text: str, look: Look) -> None:
        fonts = self.fontMetrics()
        room = QRectF(0, 0, fonts.horizontalAdvance(text) + 10, fonts.height() + 4)
        room.moveCenter(middle)
        room.moveLeft(min(max(room.left(), 2), self.width() - room.width() - 2))
        room.moveTop(min(max(room.top(), 2), self.height() - room.height() - 2))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.paper))
        painter.drawRoundedRect(room, 4, 4)
        painter.setPen(QColor(look.accent))
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, text)


BESIDE_PIXELS = 3.5
"""Pixels for a mm that a line of measure stands beside its part: the same at any scale."""


class View(msgspec.Struct, frozen=True):
    """A view's place on the widget: `origin` is where its (0, 0) lies, `scale` pixels for a mm.

    `caption` is where its title is written.
    """

    origin: QPointF
    scale: float
    caption: QRectF

    def pixel(self, at: Point) -> QPointF:
        """Where a place of the view lies on the widget."""
        return QPointF(self.origin.x() + at.x * self.scale, self.origin.y() - at.y * self.scale)

    def area(self, box: Bounds) -> QRectF:
        """Where a rectangle of the view lies on the widget."""
        return QRectF(self.pixel(Point(box.left, box.top)), self.pixel(Point(box.right, box.bottom)))


def _arranged(upper: Bounds, lower: Bounds, room: QRectF, line: int) -> tuple[View, View]:
    """Both views at one scale, their posts above each other, each with a line of words over it."""
    left, right = min(upper.left, lower.left), max(upper.right, lower.right)
    wide = room.width() - 2 * ROOM
    high = room.height() - 4 * ROOM - 2 * line
    scale = min(wide / max(1.0, right - left), high / max(1.0, upper.height + lower.height))
    x = room.left() + (room.width() - (right - left) * scale) / 2 - left * scale
    spare = (high - (upper.height + lower.height) * scale) / 2
    first = room.top() + ROOM + line + spare / 2
    second = first + upper.height * scale + 2 * ROOM + line + spare
    captions = (
        QRectF(room.left() + 10, room.top() + 8, wide, line + 4),
        QRectF(room.left() + 10, second - ROOM - line - spare / 2, wide, line + 4),
    )
    return (
        View(QPointF(x, first + upper.top * scale), scale, captions[0]),
        View(QPointF(x, second + lower.top * scale), scale, captions[1]),
    )


def _paint(painter: QPainter, view: View, figure: Figure, look: Look) -> None:
    """One part: wood in its own colour, holes white, metal tinted."""
    ink = QColor(look.ink if figure.kind in ("bore", "post", "screw", "pin") else look.quiet)
    painter.setPen(QPen(ink, 1.3))
    if figure.kind == "wood":
        fill = QColor(look.wood)
        painter.setPen(QPen(QColor(look.quiet), 1.0, Qt.PenStyle.DashLine))
    elif figure.kind in FILLS:
        fill = QColor(look.quiet)
        fill.setAlpha(FILLS[figure.kind])
    else:
        fill = QColor(look.paper)
    painter.setBrush(fill)
    area = view.area(figure.box)
    if figure.round:
        painter.drawEllipse(area)
    elif figure.kind == "button":
        painter.drawRoundedRect(area, 5, 5)
    else:
        painter.drawRect(area)
