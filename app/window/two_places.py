"""Pictures over which something is shown and moved, such as two places of known distance."""

from __future__ import annotations

import numpy as np
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from app.intake.pictures import Opened

_CROSS = 9.0  # pixels of the screen from the middle of a cross to its ends
_COLOURS = ("#d0021b", "#0057d9")
_FAR = 10  # pixels of the picture that an arrow key moves a place by with Shift


class OverPicture(QWidget):
    """A picture as large as it fits, over which something is moved by the mouse or the arrow keys.

    Signals:
        moved: what is shown over it is elsewhere.
    """

    moved = Signal()

    def __init__(self, name: str, words: str, parent: QWidget | None) -> None:
        """Without a picture; `words` say how things are moved."""
        super().__init__(parent)
        self._image = QImage()
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(QSize(220, 220))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(name)
        self.setAccessibleDescription(words)
        self.setToolTip(words)

    @property
    def _box(self) -> QRectF:
        """The picture on the screen."""
        size = self._image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        left, top = (self.width() - size.width()) / 2, (self.height() - size.height()) / 2
        return QRectF(left, top, size.width(), size.height())

    def _tell(self) -> None:
        self.update()
        self.moved.emit()

    def _painter(self) -> QPainter:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        return painter


def way_of(event: QKeyEvent) -> tuple[int, int] | None:
    """Where an arrow key goes: to the right, and up; None for other keys."""
    ways = {
        Qt.Key.Key_Left: (-1, 0),
        Qt.Key.Key_Right: (1, 0),
        Qt.Key.Key_Up: (0, 1),
        Qt.Key.Key_Down: (0, -1),
    }
    return ways.get(Qt.Key(event.key()))


def draw_seamed(painter: QPainter, colour: str, *lines: tuple[QPointF, QPointF]) -> None:
    """Lines in a colour on a white seam, to be seen on wood and paper."""
    for pen in (QPen(QColor("white"), 4.0), QPen(QColor(colour), 1.6)):
        painter.setPen(pen)
        for one, other in lines:
            painter.drawLine(one, other)


class TwoPlaces(OverPicture):
    """Shows a picture as large as it fits, and two crosses on it.

    A click puts the first place, the next one the second; from then on it moves the nearer one. With the keyboard the
    arrow keys move one place by a pixel of the picture, by ten with Shift, and the space bar takes the other one.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        """Without a picture."""
        words = self.tr(
            "Click two places whose distance you know; arrow keys move one by a pixel, space takes the other"
        )
        super().__init__(self.tr("Two places of known distance"), words, parent)
        self._reduced = 1.0
        self._places: list[QPointF] = []
        self._held = 0

    def show_picture(self, opened: Opened | None) -> None:
        """Show another picture, or none, without places."""
        self._places, self._held = [], 0
        if opened is None:
            self._image = QImage()
        else:
            pixels = np.ascontiguousarray(opened.pixels)
            high, wide, _ = pixels.shape
            self._image = QImage(pixels.data, wide, high, 3 * wide, QImage.Format.Format_BGR888).copy()
            self._reduced = opened.reduced
        self.update()
        self.moved.emit()

    @property
    def places(self) -> tuple[tuple[float, float], tuple[float, float]] | None:
        """Both places in pixels of the file; None while one is missing."""
        if len(self._places) < 2:
            return None
        by = self._reduced
        one, other = (((each.x() + 0.5) * by - 0.5, (each.y() + 0.5) * by - 0.5) for each in self._places)
        return one, other

    # Where the picture is

    def on_screen(self, place: QPointF) -> QPointF:
        """Where a place of the picture is seen."""
        box = self._box
        share = box.width() / self._image.width()
        return QPointF(box.left() + (place.x() + 0.5) * share, box.top() + (place.y() + 0.5) * share)

    def _in_picture(self, seen: QPointF) -> QPointF:
        box = self._box
        share = self._image.width() / max(box.width(), 1.0)
        return self._within(
            QPointF((seen.x() - box.left()) * share - 0.5, (seen.y() - box.top()) * share - 0.5)
        )

    def _within(self, place: QPointF) -> QPointF:
        return QPointF(
            min(max(place.x(), 0.0), self._image.width() - 1.0),
            min(max(place.y(), 0.0), self._image.height() - 1.0),
        )

    # What Qt calls

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Put the next place, or move the nearer one."""
        if self._image.isNull() or event.button() != Qt.MouseButton.LeftButton:
            return
        at = self._in_picture(event.position())
        if len(self._places) < 2:
            self._places.append(at)
            self._held = len(self._places) - 1
        else:
            away = [(place - at).manhattanLength() for place in self._places]
            self._held = away.index(min(away))
            self._places[self._held] = at
        self._tell()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """A place that is held follows."""
        if self._places and event.buttons() & Qt.MouseButton.LeftButton:
            self._places[self._held] = self._in_picture(event.position())
            self._tell()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Arrow keys move a place, the space bar takes the other one, or puts the next in the middle."""
        key, way = Qt.Key(event.key()), way_of(event)
        if self._image.isNull() or (way is None and key != Qt.Key.Key_Space):
            super().keyPressEvent(event)
        elif key == Qt.Key.Key_Space and len(self._places) < 2:
            self._places.append(QPointF(self._image.width() / 2, self._image.height() / 2))
            self._held = len(self._places) - 1
            self._tell()
        elif key == Qt.Key.Key_Space:
            self._held = 1 - self._held
            self.update()
        elif self._places and way is not None:
            step = _FAR if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1
            moved = self._places[self._held] + QPointF(step * way[0], -step * way[1])
            self._places[self._held] = self._within(moved)
            self._tell()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """The picture, its places, and the line between them."""
        painter = self._painter()
        if self._image.isNull():
            words = self.tr("Choose a picture; it is shown here.")
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, words)
            return
        painter.drawImage(self._box, self._image)
        seen = [self.on_screen(place) for place in self._places]
        if len(seen) == 2:
            draw_seamed(painter, _COLOURS[0], (seen[0], seen[1]))
        for number, at in enumerate(seen):
            across, down = QPointF(_CROSS, 0.0), QPointF(0.0, _CROSS)
            lines = (at - across, at + across), (at - down, at + down)
            draw_seamed(painter, _COLOURS[number], *lines)
            if number == self._held and self.hasFocus():
                painter.drawEllipse(at, _CROSS, _CROSS)
