"""A line to type a pitch in, such as E4, F#3 or Bb2."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QLineEdit

from app.number_field import has_cursor, paint_fault
from geometry.trade.pitch import pitch_step, plain_pitch


class PitchField(QLineEdit):
    """Enter, Tab and leaving take the pitch over, Esc brings the last one back; what does not read stays, marked.

    Signals:
        edited: the pitch, empty after the maker took it away.
    """

    edited = Signal(str)

    def __init__(self, name: str, tip: str) -> None:
        """`name` is what a screen reader says; `tip` what the tooltip says while all is well."""
        super().__init__()
        self._tip, self._kept = tip, ""
        self.fault = ""
        """Why the text does not read, empty when it does."""
        self.setAccessibleName(name)
        self.setMaxLength(20)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.returnPressed.connect(self._take_over)
        self.textEdited.connect(lambda: self._mark(""))
        self._describe()

    def set_value(self, pitch: str) -> None:
        """Show another pitch; what is being typed just now is left alone."""
        changed, self._kept = pitch != self._kept, pitch
        if not (self.isModified() and (has_cursor(self) or not changed)):
            self._show()

    def _show(self) -> None:
        if self.text() != self._kept:
            self.setText(self._kept)
        self.setModified(False)
        self._mark("")

    def _take_over(self) -> None:
        if not self.isModified():
            return
        typed = plain_pitch(self.text())
        pitch = typed[:1].upper() + typed[1:]
        if pitch and pitch_step(pitch) is None:
            self._mark(self.tr("A pitch is a letter from A to G, # or b, and its octave, such as F#3."))
            return
        changed, self._kept = pitch != self._kept, pitch
        self._show()
        if changed:
            self.edited.emit(pitch)

    def _mark(self, fault: str) -> None:
        if fault != self.fault:
            self.fault = fault
            self._describe()
            self.update()

    def _describe(self) -> None:
        self.setToolTip(self.fault or self._tip)
        self.setAccessibleDescription(self.fault or self._tip)

    # What Qt calls

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc brings the pitch back; without anything typed it is left to the window."""
        if event.key() == Qt.Key.Key_Escape and self.isModified():
            self.setModified(False)
            self._show()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """Leaving takes over what was typed; another window in front does not."""
        super().focusOutEvent(event)
        if event.reason() not in (Qt.FocusReason.ActiveWindowFocusReason, Qt.FocusReason.PopupFocusReason):
            self._take_over()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802 - Qt's name
        """A fault is marked by a line of its own and a sign."""
        super().paintEvent(event)
        if self.fault:
            paint_fault(self)
