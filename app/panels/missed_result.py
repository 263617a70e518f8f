"""What is told of a hole beside its mark: the verdict with its sign, then sentences, then what can be done."""

from __future__ import annotations

from app.panels.level_sign import Verdict
from app.panels.missed_answer import Answer, say_answer, say_others, say_ways_out
from app.panels.proposing import Result
from app.panels.sentences import sentence, tell
from app.widgets.kit import heading, remark
from geometry.trade.units import Units


class MissedResult(Result[Answer]):
    """The verdict and the ways out of a missed hole."""

    def __init__(self, units: Units) -> None:
        super().__init__(units)
        self.verdict = Verdict()
        self.says, self.others, self.ways = sentence(), sentence(), sentence()
        self.about, self.ways_title = remark(), heading("")
        others_title = heading(self.tr("The other holes"))
        for part in (
            self.about,
            self.verdict,
            self.says,
            others_title,
            self.others,
            self.ways_title,
            self.ways,
        ):
            self.column.addWidget(part)

    def _tell(self, found: Answer) -> None:
        verdict, more = say_answer(found, self._units)
        # Two heads are told of at once, the plan beside this one, and one may clear where the other does not.
        self.about.setText(
            self.tr("This is the head with hole {0} as drilled. The findings are of the plan.").format(
                found.hole.label
            )
        )
        self.verdict.say(found.level, verdict)
        tell(self.says, more)
        tell(self.others, say_others(found, self._units))
        ways = say_ways_out(found, self._units)
        tell(self.ways, ways)
        self.ways_title.setText(
            self.tr("What else would help with hole {0} as drilled").format(found.hole.label)
        )
        self.ways_title.setVisible(bool(ways))
