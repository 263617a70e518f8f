"""A line to type a pitch in, such as E4, F#3 or Bb2."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal

from app.widgets.typed_line import TypedLine
from geometry.trade.pitch import pitch_step, plain_pitch

_LONGEST = 20
"""Characters; enough for any pitch and the blanks around it."""


class PitchField(TypedLine):
    """A pitch, which may be taken away.

    Signals:
        edited: the pitch, empty after the maker took it away.
    """

    edited = Signal(str)

    def __init__(self, name: str, tip: str) -> None:
        """`name` is what a screen reader says; `tip` what the tooltip says while all is well."""
        super().__init__(name, tip=tip)
        self._kept = ""
        self.setMaxLength(_LONGEST)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def set_value(self, pitch: str) -> None:
        """Show another pitch; what is being typed just now is left alone."""
        changed, self._kept = pitch != self._kept, pitch
        self.follow(changed=changed)

    def kept_text(self) -> str:
        """The pitch that counts."""
        return self._kept

    def take_over(self) -> None:
        """What was typed becomes the pitch, if it is one."""
        if not self.isModified():
            return
        typed = plain_pitch(self.text())
        pitch = typed[:1].upper() + typed[1:]
        if pitch and pitch_step(pitch) is None:
            self.mark_fault(self.tr("A pitch is a letter from A to G, # or b, and its octave, such as F#3."))
            return
        changed, self._kept = pitch != self._kept, pitch
        self.show_kept()
        if changed:
            self.edited.emit(pitch)
