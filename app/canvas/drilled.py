"""Holes that are in the wood already: hatched, with a word what that means."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QFontMetricsF, QPainter

from app.canvas.clear import clearest
from app.canvas.look import Look, pen
from app.canvas.view import View
from app.canvas.words import tr
from export.drawing import Role
from geometry.layout.layout import Layout

_EDGE, _GAP = 10.0, 6.0  # pixels from the edge of the room, and between swatch and words


def paint_drilled(painter: QPainter, layout: Layout, view: View, look: Look) -> bool:
    """Hatch the holes that are drilled, and tell whether there are any: only the others are still to drill."""
    drilled = [post for post in layout.posts if post.post.drilled]
    if drilled:
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for post in drilled:
            _hatch(painter, view.to_screen(post.at), post.hardware.bore.through / 2 * view.scale, look)
        painter.restore()
    return bool(drilled)


def paint_drilled_legend(painter: QPainter, view: View, look: Look, taken: Sequence[QRectF]) -> QRectF:
    """Say in a corner, clear of what is `taken` (boxes in pixels), what the hatching means; gives back the box."""
    words = tr("Hatched: drilled already")
    metrics = QFontMetricsF(painter.font())
    high = metrics.height() + 4
    wide = metrics.horizontalAdvance(words) + high + 2 * _GAP
    low, left = view.height - _EDGE - high, view.ruler + _EDGE
    corners = [(left, low), (view.width - _EDGE - wide, low), (left, left), (view.width - _EDGE - wide, left)]
    box = clearest([QRectF(x, y, wide, high) for x, y in corners], taken)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(look.paper))
    painter.drawRoundedRect(box, 4.0, 4.0)
    _hatch(painter, QPointF(box.x() + high / 2 + 1, box.center().y()), high / 2 - 4, look)
    painter.setPen(QColor(look.ink))
    room = box.adjusted(high + _GAP, 0, 0, 0)
    painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, words)
    painter.restore()
    return box


def _hatch(painter: QPainter, at: QPointF, radius: float, look: Look) -> None:
    """The desk seen through a hole, with strokes over it."""
    painter.setPen(pen(look.stroke(Role.BORE)))
    for brush in (QBrush(QColor(look.desk)), QBrush(QColor(look.quiet), Qt.BrushStyle.BDiagPattern)):
        painter.setBrush(brush)
        painter.drawEllipse(at, radius, radius)
