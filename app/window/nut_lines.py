"""The nut line and the centre line over the picture of a head, to be dragged where they belong."""

from __future__ import annotations

import math
from typing import Literal

import numpy as np
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from app.canvas.underlay import underlay_of
from app.intake.face_shown import FaceShown
from app.window.two_places import OverPicture, draw_seamed, way_of
from geometry.intake.lines import Lines
from geometry.shape.bounds import Bounds

Grip = Literal["crossing", "turn", "nut", "centre"]

_NEAR = 12.0  # pixels of the screen within which something is gripped
_KNOB = 6.0
_NUT, _CENTRE, _EDGE = "#d0021b", "#0057d9", "#1a7f37"
_STEP, _FAR = 0.1, 1.0  # mm that an arrow key moves the lines by, and with Shift
_TURN = math.radians(0.1)
_MOST = math.radians(30.0)


class NutLines(OverPicture):
    """Shows the face square on with the edge that was found, the nut line and the centre line over it.

    The nut line is dragged along the head, the centre line across it, both by where they cross; the knob at the upper
    end of the centre line turns them. Arrow keys move them by 0.1 mm, with Shift by 1 mm, with Ctrl they turn by 0.1°.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        """Without a picture."""
        words = self.tr(
            "Drag the red nut line, the blue centre line, or the knob that turns both; arrow keys move them by 0.1 mm, "
            "with Shift by 1 mm, with Ctrl they turn by 0.1°"
        )
        super().__init__(self.tr("Nut line and centre line"), words, parent)
        self._shown: FaceShown | None = None
        self._within = Bounds(0, 0, 0, 0)
        self._lines = Lines(0.0, 0.0)
        self._grip: Grip | None = None

    def show_face(self, shown: FaceShown | None) -> None:
        """Show another face, its lines where to begin from; or none."""
        self._shown, self._grip = shown, None
        face = None if shown is None else underlay_of(shown.picture)
        self._image, self._within = (QImage(), Bounds(0, 0, 0, 0)) if face is None else (face.image, face.box)
        self._lines = Lines(0.0, 0.0) if shown is None else shown.lines
        self.update()

    @property
    def lines(self) -> Lines | None:
        """Where the lines are, in mm of the sheet or the glass; None while no face is shown."""
        return None if self._shown is None else self._lines

    # Where things are

    @property
    def _scale(self) -> float:
        """Pixels of the screen in a mm."""
        return self._box.width() / self._within.width

    def on_screen(self, x: float, y: float) -> QPointF:
        """Where a place of the sheet, in mm, is seen."""
        box = self._box
        return QPointF(
            box.left() + (x - self._within.left) * self._scale,
            box.top() + (self._within.top - y) * self._scale,
        )

    def _on_sheet(self, seen: QPointF) -> tuple[float, float]:
        box = self._box
        x = self._within.left + (seen.x() - box.left()) / self._scale
        return x, self._within.top - (seen.y() - box.top()) / self._scale

    def _in_frame(self, across: float, along: float) -> QPointF:
        """Where a place in the frame of the lines is seen."""
        x, y = self._lines.on_sheet(np.array([[across, along]]))[0]
        return self.on_screen(float(x), float(y))

    @property
    def knob(self) -> QPointF:
        """Where the knob that turns the lines is seen: as far up the centre line as the picture reaches."""
        crossing = self._in_frame(0.0, 0.0)
        up = max(crossing.y() - self._box.top() - 2 * _KNOB, 4 * _NEAR) / math.cos(self._lines.turn)
        return self._in_frame(0.0, up / self._scale)

    @property
    def crossing(self) -> QPointF:
        """Where both lines cross, as it is seen."""
        return self._in_frame(0.0, 0.0)

    # What Qt calls

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of what is near."""
        if self._shown is not None and event.button() == Qt.MouseButton.LeftButton:
            self._grip = self._near(event.position())

    def _near(self, at: QPointF) -> Grip | None:
        if _apart(at, self.knob) <= _NEAR:
            return "turn"
        if _apart(at, self.crossing) <= _NEAR:
            return "crossing"
        across, along = (each * self._scale for each in self._of(at))
        if abs(along) <= _NEAR and abs(along) <= abs(across):
            return "nut"
        return "centre" if abs(across) <= _NEAR else None

    def _of(self, at: QPointF) -> tuple[float, float]:
        """A place of the screen in the frame of the lines, in mm."""
        across, along = self._lines.seen_from(np.array([self._on_sheet(at)]))[0]
        return float(across), float(along)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """What is held follows."""
        if self._grip is None or not event.buttons() & Qt.MouseButton.LeftButton:
            return
        across, along = self._of(event.position())
        if self._grip == "turn":
            self._turn(-math.atan2(across, along))
        else:
            self._move(0.0 if self._grip == "nut" else across, 0.0 if self._grip == "centre" else along)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Let go."""
        self._grip = None

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Arrow keys move the lines, or turn them with Ctrl."""
        way = way_of(event)
        if self._shown is None or way is None:
            super().keyPressEvent(event)
        elif event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._turn(-_TURN * (way[0] or way[1]))
        else:
            step = _FAR if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else _STEP
            self._move(step * way[0], step * way[1])

    def _move(self, across: float, along: float) -> None:
        """Move the lines in their own directions, by mm, as far as the picture goes."""
        x, y = self._lines.on_sheet(np.array([[across, along]]))[0]
        box = self._within
        x, y = min(max(float(x), box.left), box.right), min(max(float(y), box.bottom), box.top)
        self._lines = Lines(x, y, self._lines.turn)
        self._tell()

    def _turn(self, by: float) -> None:
        turn = min(max(self._lines.turn + by, -_MOST), _MOST)
        self._lines = Lines(self._lines.x, self._lines.y, turn)
        self._tell()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """The picture, the edge, the lines and their knobs."""
        if self._shown is None:
            return
        painter = self._painter()
        painter.drawImage(self._box, self._image)
        painter.setClipRect(self._box)
        edge = QPolygonF([self.on_screen(float(x), float(y)) for x, y in self._shown.outline])
        painter.setPen(QPen(QColor(_EDGE), 1.4))
        painter.drawPolygon(edge)
        far = 2 * (self._box.width() + self._box.height()) / self._scale
        draw_seamed(painter, _CENTRE, (self._in_frame(0.0, -far), self._in_frame(0.0, far)))
        draw_seamed(painter, _NUT, (self._in_frame(-far, 0.0), self._in_frame(far, 0.0)))
        painter.setPen(QPen(QColor("white"), 2.0))
        for at, colour in ((self.knob, _CENTRE), (self.crossing, _NUT)):
            painter.setBrush(QColor(colour))
            painter.drawEllipse(at, _KNOB, _KNOB)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(_NUT), 1.6))
            painter.drawEllipse(self.crossing, 2 * _KNOB, 2 * _KNOB)


def _apart(one: QPointF, other: QPointF) -> float:
    return math.hypot(one.x() - other.x(), one.y() - other.y())
