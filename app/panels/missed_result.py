"""What is told of a hole beside its mark: the verdict with its sign, then sentences, then what can be done."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.canvas.levels import level_icon
from app.canvas.look import DARK, LIGHT
from app.output.pieces import shade_of
from app.panels.missed_answer import Answer, say_answer, say_others, say_ways_out
from app.panels.panel import GAP, heading, strong
from geometry.build.lengths import Units

_SIGN = 18  # pixels


class MissedResult(QWidget):
    """Hidden until there is something to tell."""

    def __init__(self, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._units: Units = units
        self._answer: Answer | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        self.sign, self.verdict = QLabel(), strong("")
        head = QWidget()
        row = _row(head)
        row.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        self.says, self.others, self.ways = _sentences(), _sentences(), _sentences()
        row.addWidget(self.verdict, 1)
        self.others_title = heading(self.tr("The other holes"))
        self.ways_title = heading(self.tr("What else would help"))
        for part in (head, self.says, self.others_title, self.others, self.ways_title, self.ways):
            column.addWidget(part)
        self.hide()

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self._units = units
        self.show_answer(self._answer)

    def show_answer(self, answer: Answer | None) -> None:
        """Tell it; hidden for None."""
        self._answer = answer
        self.setVisible(answer is not None)
        if answer is None:
            return
        look = DARK if shade_of(self) == "dark" else LIGHT
        self.sign.setPixmap(level_icon(answer.level, look, _SIGN).pixmap(_SIGN, _SIGN))
        verdict, more = say_answer(answer, self._units)
        self.verdict.setText(verdict)
        _show(self.says, more)
        _show(self.others, say_others(answer, self._units))
        ways = say_ways_out(answer, self._units)
        _show(self.ways, ways)
        self.ways_title.setVisible(bool(ways))


def _row(widget: QWidget) -> QHBoxLayout:
    row = QHBoxLayout(widget)
    row.setContentsMargins(0, GAP, 0, 0)
    row.setSpacing(8)
    return row


def _sentences() -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


def _show(label: QLabel, sentences: Sequence[str]) -> None:
    label.setText("".join(f'<p style="margin:0 0 6px 0">{escape(each)}</p>' for each in sentences))
    label.setVisible(bool(sentences))
