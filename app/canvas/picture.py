"""Small pictures of heads, painted by the same painter as the drawing in the window."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPixmap

from app.canvas.look import Look, look_of
from app.canvas.marks import MarkPainter, fill_wood
from app.canvas.view import View
from app.widgets.shades import Shade
from export.drawing import Drawing, Role
from export.sheets.view import back_view, face_view
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.shape.point import Point

FINE_PRINT = (Role.LABEL, Role.CROSSHAIR, Role.CENTRE_DOT, Role.CENTRE_LINE, Role.BACK_FLAT)
"""What would only blacken a small picture."""


def head_picture(
    build: Build, width: float, height: float, ratio: float, shade: Shade, layout: Layout | None = None
) -> QPixmap:
    """A build seen from the face, with its tuners, as large as it fits, on nothing."""
    layout = layout or lay_out(build)
    face = face_view(build, layout).without(*FINE_PRINT)
    back = back_view(build, layout).without(*FINE_PRINT)
    return drawing_picture(face, back, width, height, ratio, look_of(shade))


def drawing_picture(
    face: Drawing, back: Drawing, width: float, height: float, ratio: float, look: Look
) -> QPixmap:
    """Both sides of a head over each other, as large as they fit."""
    pixmap = QPixmap(round(width * ratio), round(height * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    if not (face.marks or back.marks):
        return pixmap
    view = View(Point(0.0, 0.0), 1.0, width, height).fitted((face + back).bounds)
    painter = QPainter(pixmap)
    marks, ghosts = MarkPainter(), MarkPainter()
    fill_wood(painter, marks.outline(face), view, QBrush(QColor(look.wood)))
    ghosts.paint(painter, back, view, look, "ghost")
    marks.paint(painter, face, view, look)
    painter.end()
    return pixmap
