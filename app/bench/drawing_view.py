"""A drawing of the sheets, small and in the colours of the window."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.look import DASHED, SHORT, Look, Stroke, look_in
from app.canvas.marks import MarkPainter
from app.canvas.view import View
from export.drawing import Drawing, Role
from geometry.shape.point import Point

_AIR = 8.0
"""Pixels round the drawing."""

_TYPE = 3.6
"""mm of a drawing that are as high as a line of the window's type: words of sheets are then easy to read."""


class DrawingView(QWidget):
    """Shows one drawing at the scale at which its words are as large as the window's, smaller where room lacks."""

    def __init__(self, name: str, tip: str) -> None:
        """`name` and `tip` say what is drawn."""
        super().__init__()
        self.drawing = Drawing(())
        """What is shown."""
        self._marks = MarkPainter()
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def room(self, height: float) -> tuple[float, float]:
        """The room in mm that a drawing has here, as wide as the view and `height` lines of type high."""
        wide = (max(self.width(), self.minimumSizeHint().width()) - 2 * _AIR) / self._scale
        return wide, height * _TYPE

    @property
    def _scale(self) -> float:
        """Pixels for a mm while there is room."""
        return self.fontMetrics().height() / _TYPE

    def show_drawing(self, drawing: Drawing | None) -> None:
        """Show another drawing; without one the view is hidden."""
        self.setVisible(drawing is not None and bool(drawing.marks))
        if drawing is not None:
            self.drawing = drawing
            self.updateGeometry()
            self.update()

    # What Qt calls

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        """The drawing keeps its proportions."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """As high as the drawing at the scale that fits the width."""
        if not self.drawing.marks:
            return 0
        bounds = self.drawing.bounds
        scale = min(self._scale, (width - 2 * _AIR) / max(1.0, bounds.width))
        return round(bounds.height * scale + 2 * _AIR)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As high as its width asks for."""
        return QSize(self.width(), self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Narrow, and then smaller."""
        return QSize(self.fontMetrics().averageCharWidth() * 30, 0)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the drawing in the middle of its paper."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = chart_look(look_in(self.palette()))
        painter.fillRect(self.rect(), QColor(look.paper))
        if self.drawing.marks:
            painter.setFont(self.font())
            self._marks.paint(painter, self.drawing, self._view(), look)
        painter.end()

    def _view(self) -> View:
        bounds = self.drawing.bounds
        scale = min(
            self._scale,
            (self.width() - 2 * _AIR) / max(1.0, bounds.width),
            (self.height() - 2 * _AIR) / max(1.0, bounds.height),
        )
        middle = Point((bounds.left + bounds.right) / 2, (bounds.bottom + bounds.top) / 2)
        return View(middle, scale, self.width(), self.height())


def chart_look(look: Look) -> Look:
    """The canvas' look with the roles that only sheets have, on paper instead of wood."""
    strokes = {
        **look.strokes,
        Role.TABLE: Stroke(look.wood_grid[1], 1.0),
        Role.TABLE_HEAD: Stroke(look.quiet, 1.2),
        Role.CURVE: Stroke(look.ink, 2.0),
        Role.SECOND_CURVE: Stroke(look.accent, 1.6, DASHED),
        Role.REFERENCE: Stroke(look.quiet, 1.0, SHORT),
        Role.FENCE: Stroke(look.quiet, 1.2),
        Role.CUT_OUTLINE: Stroke(look.ink, 1.6),
        Role.STOP: Stroke(look.stop, 1.8),
        Role.WATCH: Stroke(look.watch, 1.8),
    }
    return replace(look, strokes=strokes, wood=look.paper)
