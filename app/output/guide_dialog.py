"""The printed drill guide, to be turned and looked at from all sides before it is written."""

from __future__ import annotations

import math
from collections.abc import Sequence

from PySide6.QtCore import QPointF, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from app.document.work import Work
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.widgets.sizes import fit
from app.writing.export import Job, guide_pieces
from export.sheets.guide import PILOT
from export.solid.body import Piece, Seen, seen, triangles_of
from export.solid.plan import DOWEL, DOWEL_DEEP
from geometry.shape.close import Floats
from geometry.trade.quantities import show_length
from geometry.trade.shop import Shop

ABOUT, TILT = math.radians(200.0), math.radians(42.0)
"""How it is turned at first: fences up, the nut's end near."""

STEP = math.radians(10.0)
"""What an arrow key turns it by."""

_BY_PIXEL = math.radians(0.5)
_PLASTIC = (222, 200, 160)
_ROOM = 1.0  # of the view


class GuideDialog(QDialog):
    """The guide of a job; why there is none where there is none."""

    def __init__(self, job: Job, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shop = job.shop
        self.setWindowTitle(self.tr("Printed drill guide"))
        self.view = GuideView()
        self.words = PlainLabel(self.tr("Making the guide…"))
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        parts = (self.view, 1), self.words, buttons
        filled(QVBoxLayout(self), *parts, margins=(14, 14, 14, 12), spacing=12)
        fit(self, 700, 660)
        self.making = Work(self)
        self.making.done.connect(self._show)
        self.making.refused.connect(self.words.setText)
        self.making.start(lambda _: guide_pieces(job))

    def _show(self, pieces: tuple[Piece, ...]) -> None:
        self.view.show_pieces(pieces)
        self.words.setText(f"{self._sizes(pieces)} {self._holes()}")
        self.view.setFocus()

    def _sizes(self, pieces: tuple[Piece, ...]) -> str:
        sizes = " + ".join(_size(piece, self._shop) for piece in pieces)
        if len(pieces) == 1:
            return self.tr("{sizes}, as it lies on the bed: upper side down, fences up.").format(sizes=sizes)
        dowel, deep = (show_length(each, self._shop.units) for each in (DOWEL, 2 * DOWEL_DEEP))
        words = self.tr(
            "{sizes}: larger than the bed in one piece, so it comes in two, joined by dowels {dowel} thick and {deep} "
            "long."
        )
        return words.format(sizes=sizes, dowel=dowel, deep=deep)

    def _holes(self) -> str:
        bushing = self._shop.guide_bushing
        diameter = show_length(PILOT if bushing is None else bushing, self._shop.units)
        if bushing is None:
            words = self.tr("Holes for a pilot bit of {diameter}: plastic leads nothing wider for long.")
        else:
            words = self.tr("Holes for metal bushings of {diameter} outside.")
        return words.format(diameter=diameter)

    def done(self, result: int) -> None:
        """Close; nothing goes on behind the maker's back."""
        self.making.close()
        super().done(result)


def _size(piece: Piece, shop: Shop) -> str:
    sides = piece.corners.max(axis=0) - piece.corners.min(axis=0)
    return " × ".join(show_length(float(side), shop.units) for side in sides)


class GuideView(QWidget):
    """Shows pieces; dragging turns them, arrow keys too, Home turns them back, Space shows the other side."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._triangles: Floats | None = None
        self._reach = 1.0
        self._seen: Seen | None = None
        self.about, self.tilt = ABOUT, TILT
        self._grabbed: QPointF | None = None
        self.setAccessibleName(self.tr("Printed drill guide"))
        self.setToolTip(
            self.tr("Drag or press the arrow keys to turn it.  Space: the other side.  Home: as at first.")
        )
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.OpenHandCursor)

    def show_pieces(self, pieces: Sequence[Piece]) -> None:
        """Show other pieces, side by side."""
        self._triangles = triangles_of(pieces)
        # However it is turned, it stays within this distance of the middle.
        self._reach = float((self._triangles**2).sum(axis=2).max()) ** 0.5
        self.turn(0.0, 0.0)

    def turn(self, about: float, tilt: float) -> None:
        """Turn by so many radians more round the upright axis, and towards who looks."""
        self.about, self.tilt = self.about + about, self.tilt + tilt
        self._seen = None
        self.update()

    def turn_back(self) -> None:
        """As at first."""
        self.turn(ABOUT - self.about, TILT - self.tilt)

    # What Qt calls

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Room for a head at about its size."""
        return QSize(640, 520)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Paint every side that is turned to who looks, the far ones first."""
        if self._triangles is None:
            return
        if self._seen is None:
            self._seen = seen(self._triangles, self.about, self.tilt)
        scale = _ROOM * min(self.width(), self.height()) / (2 * self._reach)
        corners = self._seen.corners * (scale, -scale) + (self.width() / 2, self.height() / 2)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for (one, two, three), light in zip(corners.tolist(), self._seen.light.tolist(), strict=True):
            colour = QColor(*(round(part * light) for part in _PLASTIC))
            # Its rim too, or the ground would be seen between two sides.
            painter.setPen(colour)
            painter.setBrush(colour)
            painter.drawPolygon(QPolygonF([QPointF(*one), QPointF(*two), QPointF(*three)]))
        painter.end()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of it."""
        self._grabbed = event.position()
        self.setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Turn it along with the pointer."""
        if self._grabbed is not None:
            step = event.position() - self._grabbed
            self._grabbed = event.position()
            self.turn(step.x() * _BY_PIXEL, -step.y() * _BY_PIXEL)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Let go of it."""
        self._grabbed = None
        self.setCursor(Qt.CursorShape.OpenHandCursor)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Turn it by a step, back, or over."""
        steps = {
            Qt.Key.Key_Left: (-STEP, 0.0),
            Qt.Key.Key_Right: (STEP, 0.0),
            Qt.Key.Key_Up: (0.0, STEP),
            Qt.Key.Key_Down: (0.0, -STEP),
            Qt.Key.Key_Space: (0.0, math.pi),
        }
        key = Qt.Key(event.key())
        if key in steps:
            self.turn(*steps[key])
        elif key == Qt.Key.Key_Home:
            self.turn_back()
        else:
            super().keyPressEvent(event)
