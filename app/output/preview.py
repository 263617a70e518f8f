"""The page as it will come out of the printer, at any size on screen."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QColor,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from app.output.page_painter import Picture, paint

SMALLEST, LARGEST = 0.2, 80.0
"""Pixels to a mm between which one can zoom."""

STEP = 1.25
"""Factor of one step of zoom."""

THINNEST = 0.5
"""Lines on screen are at least so many device pixels wide."""

_ROOM = 20.0  # pixels round the page
_LINE = 40  # pixels that an arrow key scrolls by


class PagePreview(QAbstractScrollArea):
    """One page on a desk; it can be enlarged at the pointer, moved by dragging, and fits itself into the view.

    Wheel with Ctrl, + and - zoom; 0 shows the whole page, 1 its true size; arrows, wheel and dragging move it.

    Signals:
        zoom_changed: pixels to a mm.
        turned: -1 or 1, for the page before or after the one shown.
    """

    zoom_changed = Signal(float)
    turned = Signal(int)

    def __init__(self, per_mm: float, parent: QWidget | None = None) -> None:
        """`per_mm`: how many pixels of this screen make a mm, for the true size."""
        super().__init__(parent)
        self.true_zoom = per_mm
        """Pixels to a mm at which the page is as large as the paper."""
        self.page: Picture | None = None
        self._instead = ""
        self.zoom = 1.0
        """Pixels to a mm."""
        self._fitting = True
        self._grabbed: QPointF | None = None
        self.setAccessibleName(self.tr("Page preview"))
        self.setToolTip(
            self.tr(
                "Ctrl + wheel, + and -: zoom.  0: whole page.  1: true size.  Page up, page down: turn pages."
            )
        )
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)

    # What is shown

    def show_page(self, page: Picture | None, instead: str = "") -> None:
        """Show another page, with the same zoom, or fitted again when the last one was; without one, a sentence."""
        self.page, self._instead = page, instead
        self.setAccessibleDescription(instead)
        if self._fitting:
            self.fit()
        else:
            self._set_zoom(self.zoom, self._middle())
        self.viewport().update()

    def fit(self) -> None:
        """Show the whole page, and keep to it while the view changes its size."""
        self._fitting = True
        if self.page is None:
            return
        room = self.viewport().size()
        across = (room.width() - 2 * _ROOM) / self.page.width
        up = (room.height() - 2 * _ROOM) / self.page.height
        self._set_zoom(min(across, up), self._middle())

    def true_size(self) -> None:
        """Show the page as large as the paper, as far as the size of this screen is known."""
        self.zoom_to(self.true_zoom)

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Enlarge by a factor; what lies at `at` (a place in the view, else its middle) stays there."""
        self._fitting = False
        self._set_zoom(self.zoom * factor, at or self._middle())

    def zoom_to(self, zoom: float) -> None:
        """Show so many pixels to a mm."""
        self._fitting = False
        self._set_zoom(zoom, self._middle())

    def _set_zoom(self, zoom: float, at: QPointF) -> None:
        before = self.origin()
        kept = (at - before) / self.zoom
        self.zoom = min(max(zoom, SMALLEST), LARGEST)
        self._arrange()
        wanted = at - kept * self.zoom
        shift = self.origin() - wanted
        self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() + round(shift.x()))
        self.verticalScrollBar().setValue(self.verticalScrollBar().value() + round(shift.y()))
        self.viewport().update()
        self.zoom_changed.emit(self.zoom)

    def _arrange(self) -> None:
        """Give the scroll bars the range that page and zoom ask for."""
        view, page = self.viewport().size(), self._size()
        for bar, whole, seen in (
            (self.horizontalScrollBar(), page.width(), view.width()),
            (self.verticalScrollBar(), page.height(), view.height()),
        ):
            bar.setRange(0, max(0, whole - seen))
            bar.setPageStep(seen)
            bar.setSingleStep(_LINE)

    def _size(self) -> QSize:
        """The page and the room round it, in pixels."""
        if self.page is None:
            return QSize()
        wide, high = self.page.width * self.zoom, self.page.height * self.zoom
        return QSize(round(wide + 2 * _ROOM), round(high + 2 * _ROOM))

    def origin(self) -> QPointF:
        """Where in the view the upper left corner of the page lies."""
        view, size = self.viewport().size(), self._size()
        spare = QPointF(max(0, view.width() - size.width()), max(0, view.height() - size.height())) / 2
        scrolled = QPointF(self.horizontalScrollBar().value(), self.verticalScrollBar().value())
        return QPointF(_ROOM, _ROOM) + spare - scrolled

    def _middle(self) -> QPointF:
        return QRectF(self.viewport().rect()).center()

    def _paint_page(self, painter: QPainter, page: Picture) -> None:
        at = self.origin()
        sheet = QRectF(at.x(), at.y(), page.width * self.zoom, page.height * self.zoom)
        painter.fillRect(sheet, QColor("white"))
        painter.setPen(QPen(self.palette().mid().color(), 1))
        painter.drawRect(sheet)
        painter.setClipRect(sheet)
        painter.translate(at)
        paint(page, painter, self.zoom, THINNEST / self.devicePixelRatioF())

    # What Qt calls

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A page of middling size."""
        return QSize(560, 640)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """Paint the desk and what is seen of the page."""
        painter = QPainter(self.viewport())
        painter.fillRect(event.rect(), self.palette().window())
        if self.page is None:
            room = self.viewport().rect().adjusted(40, 40, -40, -40)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, self._instead)
        else:
            self._paint_page(painter, self.page)
        painter.end()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Fit the page again, or see more of it."""
        super().resizeEvent(event)
        if self._fitting:
            self.fit()
        else:
            self._arrange()

    def scrollContentsBy(self, dx: int, dy: int) -> None:  # noqa: ARG002, N802 - Qt's name
        """Show another part of the page."""
        self.viewport().update()

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """Zoom at the pointer with Ctrl, else scroll."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom_by(STEP ** (event.angleDelta().y() / 120), event.position())
            event.accept()
        else:
            super().wheelEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold of the page."""
        self._grabbed = event.position()
        self.viewport().setCursor(Qt.CursorShape.ClosedHandCursor)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Move the page along with the pointer."""
        if self._grabbed is None:
            return
        step = event.position() - self._grabbed
        self._grabbed = event.position()
        self.horizontalScrollBar().setValue(self.horizontalScrollBar().value() - round(step.x()))
        self.verticalScrollBar().setValue(self.verticalScrollBar().value() - round(step.y()))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: ARG002, N802 - Qt's name
        """Let go of the page."""
        self._grabbed = None
        self.viewport().setCursor(Qt.CursorShape.OpenHandCursor)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Zoom, turn pages, or scroll by the arrows."""
        key = Qt.Key(event.key())
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            self.zoom_by(STEP)
        elif key == Qt.Key.Key_Minus:
            self.zoom_by(1 / STEP)
        elif key == Qt.Key.Key_0:
            self.fit()
        elif key == Qt.Key.Key_1:
            self.true_size()
        elif key in (Qt.Key.Key_PageUp, Qt.Key.Key_PageDown):
            self.turned.emit(-1 if key == Qt.Key.Key_PageUp else 1)
        else:
            super().keyPressEvent(event)
