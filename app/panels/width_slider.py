"""A slider of tenths of a millimetre that tells when a hand takes hold of it and when it lets go."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PySide6.QtWidgets import QSlider, QWidget

TENTHS = 10
"""Steps of the slider in a millimetre."""

_PAGE = 10


class WidthSlider(QSlider):
    """A length in mm, by mouse or by keys.

    Signals:
        slid: another length in mm, while it is held or at once.
        let_go: the button or the key came up.
        gave_up: Esc, while it was held.
    """

    slid = Signal(float)
    let_go = Signal()
    gave_up = Signal()

    def __init__(self, name: str, tip: str, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setAccessibleName(name)
        self.setAccessibleDescription(tip)
        self.setToolTip(tip)
        self.setSingleStep(1)
        self.setPageStep(_PAGE)
        self._showing = self._given_up = self._pressed = False
        self.held = False
        """Whether a button or a key is down on it."""
        self.valueChanged.connect(self._changed)

    def show_width(self, width: float, least: float, most: float) -> None:
        """Show a length between two others, all in mm; nobody is told."""
        self._showing = True
        self.setRange(round(least * TENTHS), round(most * TENTHS))
        self.setValue(round(width * TENTHS))
        self._showing = False

    def leave_off(self) -> None:
        """What the hand does until the next press counts no more."""
        self.held, self._given_up = False, True

    def _changed(self, tenths: int) -> None:
        if not self._showing:
            self.slid.emit(tenths / TENTHS)

    def _release(self) -> None:
        if self.held:
            self.held = False
            self.let_go.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Take hold."""
        self.held, self._pressed, self._given_up = True, True, False
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Follow the hand, unless it gave up."""
        if not self._given_up:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Let go."""
        super().mouseReleaseEvent(event)
        self._pressed = False
        self._release()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Step by keys; Esc gives up what is under way, else it is left to the window."""
        if event.key() == Qt.Key.Key_Escape and self.held:
            self.leave_off()
            self.gave_up.emit()
            return
        self.held = True
        super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Let go, when the key really came up."""
        super().keyReleaseEvent(event)
        if not event.isAutoRepeat():
            self._release()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """A key will come up elsewhere; a button still comes up here."""
        super().focusOutEvent(event)
        if not self._pressed:
            self._release()

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802 - Qt's name
        """The wheel scrolls the panel; turned over a slider it must not change the build."""
        event.ignore()
