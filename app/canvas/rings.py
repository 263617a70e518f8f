"""The rings of the miss allowance on the drawing: as long as each punch mark is inside of its own, the head is safe."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from app.canvas.levels import paint_level
from app.canvas.look import Look, pen
from app.canvas.view import View
from export.drawing import Role
from geometry.checks.judge import Level
from geometry.search.rings.allowance import Joint, JointRing

SMALLEST = 2.5
"""A ring with a radius of fewer pixels would only be a blot."""

SIGN = 11.0
"""Size in pixels of the sign that stands where nothing is allowed."""

_THIN = 0.5  # the width of the ring of evenness, as a share of the other one
_APART = 1.5  # pixels by which the two rings of a hole must differ to be seen as two


def paint_rings(painter: QPainter, found: Joint, view: View, look: Look) -> None:
    """The joint ring of each hole, a thinner one within which its row looks even, a sign where nothing is allowed."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    stroke = look.stroke(Role.MARGIN_RING)
    thick, thin = pen(stroke), pen(stroke)
    thin.setWidthF(stroke.width * _THIN)
    for ring in found.rings:
        at = view.to_screen(ring.at)
        if ring.broken:
            paint_stop(painter, at, look)
        else:
            _paint_ring(painter, ring, at, view.scale, (thick, thin))
    painter.restore()


def _paint_ring(
    painter: QPainter, ring: JointRing, at: QPointF, scale: float, pens: tuple[QPen, QPen]
) -> None:
    joint, even = ring.radius * scale, (ring.even or 0.0) * scale
    if joint >= SMALLEST:
        painter.setPen(pens[0])
        painter.drawEllipse(at, joint, joint)
    if even >= SMALLEST and abs(even - joint) >= _APART:
        painter.setPen(pens[1])
        painter.drawEllipse(at, even, even)


def paint_stop(painter: QPainter, at: QPointF, look: Look) -> None:
    """The sign of a hole to which nothing is allowed."""
    paint_level(painter, QRectF(at.x() - SIGN / 2, at.y() - SIGN / 2, SIGN, SIGN), Level.STOP, look)
