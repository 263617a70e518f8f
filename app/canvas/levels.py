"""The signs of the three levels: told apart by shape as well as by colour, and each with its word."""

from __future__ import annotations

import math

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap, QPolygonF

from app.canvas.look import Look
from geometry.checks.judge import Level


def level_word(level: Level) -> str:
    """The word that goes with a level's sign."""
    words = {
        Level.STOP: QCoreApplication.translate("Level", "Stop"),
        Level.WATCH: QCoreApplication.translate("Level", "Watch"),
        Level.FINE: QCoreApplication.translate("Level", "Fine"),
    }
    return words[level]


def paint_level(painter: QPainter, room: QRectF, level: Level, look: Look) -> None:
    """The sign of a level inside a square: octagon with a cross, triangle with a mark, disc with a tick."""
    size = min(room.width(), room.height())
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(room.center())
    painter.scale(size / 16, size / 16)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(look.level(level)))
    painter.drawPath(_plate(level))
    mark = QPen(QColor(look.paper), 2.0)
    mark.setCapStyle(Qt.PenCapStyle.RoundCap)
    mark.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(mark)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(_mark(level))
    painter.restore()


def level_icon(level: Level, look: Look, size: int = 16) -> QIcon:
    """The sign as an icon, sharp up to four times the size asked for (logical pixels)."""
    icon = QIcon()
    for ratio in (1, 2, 3, 4):
        pixmap = QPixmap(size * ratio, size * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        paint_level(painter, QRectF(0, 0, size, size), level, look)
        painter.end()
        icon.addPixmap(pixmap)
    return icon


def _plate(level: Level) -> QPainterPath:
    path = QPainterPath()
    if level is Level.FINE:
        path.addEllipse(QPointF(0, 0), 7.5, 7.5)
    elif level is Level.WATCH:
        path.addPolygon(QPolygonF([QPointF(0, -7.5), QPointF(8, 7), QPointF(-8, 7)]))
        path.closeSubpath()
    else:
        turns = [math.pi / 8 + math.pi / 4 * step for step in range(8)]
        path.addPolygon(QPolygonF([QPointF(8 * math.cos(turn), 8 * math.sin(turn)) for turn in turns]))
        path.closeSubpath()
    return path


def _mark(level: Level) -> QPainterPath:
    strokes: dict[Level, tuple[tuple[tuple[float, float], ...], ...]] = {
        Level.FINE: (((-3.5, 0.5), (-1.0, 3.0), (3.8, -2.8)),),
        Level.WATCH: (((0.0, -2.5), (0.0, 1.8)), ((0.0, 4.8), (0.0, 4.8001))),
        Level.STOP: (((-2.8, -2.8), (2.8, 2.8)), ((2.8, -2.8), (-2.8, 2.8))),
    }
    path = QPainterPath()
    for first, *others in strokes[level]:
        path.moveTo(*first)
        for place in others:
            path.lineTo(*place)
    return path
