"""What is told of a hole beside its mark: the verdict with its sign, then sentences, then what can be done."""

from __future__ import annotations

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.level_sign import Verdict
from app.panels.missed_answer import Answer, say_answer, say_others, say_ways_out
from app.panels.sentences import sentence, tell
from app.widgets.kit import GAP, heading
from geometry.trade.units import Units


class MissedResult(QWidget):
    """Hidden until there is something to tell."""

    def __init__(self, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._units: Units = units
        self._answer: Answer | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        self.verdict = Verdict()
        self.says, self.others, self.ways = sentence(), sentence(), sentence()
        self.others_title = heading(self.tr("The other holes"))
        self.ways_title = heading(self.tr("What else would help"))
        for part in (self.verdict, self.says, self.others_title, self.others, self.ways_title, self.ways):
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
        verdict, more = say_answer(answer, self._units)
        self.verdict.say(answer.level, verdict)
        tell(self.says, more)
        tell(self.others, say_others(answer, self._units))
        ways = say_ways_out(answer, self._units)
        tell(self.ways, ways)
        self.ways_title.setVisible(bool(ways))
