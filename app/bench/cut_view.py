"""The cut along the bottom of a nut, as seen from the frets, with what comes off drawn larger than it is."""

from __future__ import annotations

from PySide6.QtCore import QLineF, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.canvas.look import SHORT, line, look_in
from geometry.layout.nut_fitting import Fitting
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

_TALLEST = 0.45
"""Share of the nut's drawn height that the deeper end of the cut takes."""

_LINES = 6.0
"""Height in lines of type."""


class CutView(QWidget):
    """A nut with the wood that comes off its bottom, the bass end where the build has it."""

    def __init__(self, name: str, tip: str) -> None:
        super().__init__()
        self._fitting: Fitting | None = None
        self._bass_left = True
        self.words = ("", "")
        """What is written at the left and the right end."""
        self.setAccessibleName(name)
        self.setToolTip(tip)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_cut(self, fitting: Fitting | None, *, bass_left: bool, units: Units) -> None:
        """Show another cut; without one the view is hidden."""
        self.setVisible(fitting is not None)
        self._fitting = fitting
        if fitting is None:
            return
        ends = [
            self.tr("bass {length}").format(length=show_length(fitting.cut.bass_end, units)),
            self.tr("treble {length}").format(length=show_length(fitting.cut.treble_end, units)),
        ]
        self._bass_left = bass_left
        self.words = (ends[0], ends[1]) if bass_left else (ends[1], ends[0])
        self.setAccessibleDescription(", ".join(ends))
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A few lines of type high."""
        return QSize(200, round(self.fontMetrics().height() * _LINES))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As high, and narrow."""
        return QSize(120, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint the nut, hatch what comes off, and write how much at each end."""
        if self._fitting is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = look_in(self.palette())
        text = self.fontMetrics().height()
        nut = QRectF(self.rect()).adjusted(8, 4, -8, -(text + 8))
        left, right = self._drawn(nut.height() * _TALLEST)
        low_left, low_right = nut.bottomLeft() - QPointF(0, left), nut.bottomRight() - QPointF(0, right)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(look.wood))
        painter.drawPolygon(QPolygonF([nut.topLeft(), nut.topRight(), low_right, low_left]))
        painter.setBrush(QBrush(QColor(look.stop), Qt.BrushStyle.BDiagPattern))
        painter.drawPolygon(QPolygonF([low_left, low_right, nut.bottomRight(), nut.bottomLeft()]))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(line(look.quiet, 1.0, SHORT))
        painter.drawLines([QLineF(low_left, nut.bottomLeft()), QLineF(low_right, nut.bottomRight())])
        painter.drawLine(nut.bottomLeft(), nut.bottomRight())
        painter.setPen(QPen(QColor(look.ink), 1.6))
        painter.drawPolyline([low_left, nut.topLeft(), nut.topRight(), low_right])
        painter.setPen(QPen(QColor(look.stop), 2.0))
        painter.drawLine(low_left, low_right)
        painter.setPen(QColor(look.ink))
        below = QRectF(nut.left(), nut.bottom() + 4, nut.width(), text)
        painter.drawText(below, Qt.AlignmentFlag.AlignLeft, self.words[0])
        painter.drawText(below, Qt.AlignmentFlag.AlignRight, self.words[1])
        painter.end()

    def _drawn(self, tallest: float) -> tuple[float, float]:
        """Pixels that come off at the left and the right; the deeper end is always as tall, or nothing is."""
        assert self._fitting is not None, "only a cut is drawn"
        bass, treble = self._fitting.cut.bass_end, self._fitting.cut.treble_end
        most = max(bass, treble)
        scale = tallest / most if most > 0 else 0.0
        ends = bass * scale, treble * scale
        return ends if self._bass_left else (ends[1], ends[0])
