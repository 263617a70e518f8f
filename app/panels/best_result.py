"""What a search for the best placement has found: both placements in numbers, and the buttons to take it or not."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.panels.best_offer import Offer, Placement, narrowest, say_smallest
from app.panels.finding_rows import translated
from app.panels.level_sign import Verdict
from app.panels.proposing import Result
from app.panels.sentences import sentence, tell
from app.widgets.kit import GAP, button, heading, line, remark, strong
from app.widgets.plain import PlainLabel
from geometry.checks.judge import Level
from geometry.search.placing.best_words import say_given_up
from geometry.search.placing.cures_words import say_remedies
from geometry.search.rings.allowance_words import say_end
from geometry.trade.quantities import show_angle
from geometry.trade.units import Units


class BestResult(Result[Offer]):
    """Both placements, what ends their rings, and whether to take the proposed one."""

    def __init__(self, units: Units) -> None:
        super().__init__(units)
        self.verdict = Verdict()
        self.says = PlainLabel()
        self.says.setWordWrap(True)
        self.table = _Table()
        self.cures = sentence()
        self.cures.setAccessibleName(self.tr("What cures it"))
        self.limits = remark("")
        self.limits.setAccessibleName(self.tr("What limits the rings"))
        self.take = button(self.tr("Take it"), self.tr("Put the tuners there, as one act that can be undone"))
        self.leave = button(self.tr("Dismiss"), self.tr("Leave the tuners where they are (Esc)"))
        title = heading(self.tr("What was found"))
        acts = line(self.take, self.leave)
        for part in (title, self.verdict, self.cures, self.says, self.table, self.limits, acts):
            self.column.addWidget(part)

    def set_focus(self) -> None:
        """Take the keyboard to what can be done now."""
        (self.take if self.take.isVisible() else self.leave).setFocus()

    def _tell(self, found: Offer) -> None:
        self.verdict.setVisible(found.forbidden is not None)
        if found.forbidden is not None:
            words = self.tr("No placement was found that keeps every limit. {0}").format(found.forbidden)
            self.verdict.say(Level.STOP, words)
        tell(self.cures, say_remedies(found.remedies, found.proposed.build, self._units, translated))
        more = say_given_up(found.given_up, self._units, translated)
        self.says.setText(" ".join(filter(None, (self._words(found), more))))
        self.table.setVisible(not found.nothing_better)
        if not found.nothing_better:
            self.table.show_rows(self._rows(found))
        self._show_limits(found)
        self.take.setVisible(not found.nothing_better)

    def _words(self, offer: Offer) -> str:
        if offer.nothing_better:
            return self._say_why_they_stay(offer)
        if offer.forbidden is not None:
            return self.tr("The least bad one lies over today's on the drawing.")
        return self.tr("It lies over today's placement on the drawing.")

    def _say_why_they_stay(self, offer: Offer) -> str:
        found = offer.today.allowance
        if not found.told:
            return self.tr("Nothing can be told while the outline is open or crosses itself.")
        if all(ring.drilled for ring in found.rings):
            return self.tr("All holes are drilled already: no tuner can move.")
        ring = say_smallest(offer.today.allowance, self._units)
        words = self.tr(
            "Leave the tuners where they are: nothing better was found. The smallest ring is {0}."
        )
        if offer.refused is None:
            return words.format(ring)
        more = self.tr("Another one would break what this one keeps, or break it further: {0}")
        return f"{words.format(ring)} {more.format(offer.refused)}"

    def _rows(self, offer: Offer) -> tuple[tuple[str, str, str], ...]:
        both = (offer.today, offer.proposed)
        rings = [say_smallest(each.allowance, self._units) for each in both]
        splays = [show_angle(each.splay) for each in both]
        stops = [self._say_stops(each) for each in both]
        return (
            (self.tr("Smallest ring"), *rings),  # type: ignore[return-value] # three of them
            (self.tr("Strings turn at the nut"), *splays),
            (self.tr("At stop"), *stops),
        )

    def _say_stops(self, placement: Placement) -> str:
        return str(placement.stops) if placement.stops else self.tr("nothing")

    def _show_limits(self, offer: Offer) -> None:
        told = [(self.tr("today, hole {0}: {1}."), offer.today)]
        if not offer.nothing_better:
            told.append((self.tr("as proposed, hole {0}: {1}."), offer.proposed))
        rings = [(words, narrowest(placement.allowance)) for words, placement in told]
        lines = [
            words.format(ring.label, say_end(ring.ends, translated))
            for words, ring in rings
            if ring is not None and ring.ends is not None
        ]
        self.limits.setText("\n".join([self.tr("What ends the smallest ring:"), *lines] if lines else []))
        self.limits.setVisible(bool(lines))


class _Table(QWidget):
    """Lines of a quantity, as it is and as proposed."""

    def __init__(self) -> None:
        super().__init__()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, GAP, 0, GAP)
        self._grid.setHorizontalSpacing(16)
        self._grid.setVerticalSpacing(GAP)
        self._grid.setColumnStretch(0, 1)
        self._cells: dict[tuple[int, int], QLabel] = {}
        for column, words in ((1, self.tr("Today")), (2, self.tr("Proposed"))):
            self._put(0, column, strong(words))

    def _put(self, row: int, column: int, label: QLabel) -> QLabel:
        label.setWordWrap(column == 0)
        if column:
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._grid.addWidget(label, row, column)
        self._cells[row, column] = label
        return label

    def show_rows(self, rows: tuple[tuple[str, str, str], ...]) -> None:
        """Show these cells."""
        for row, cells in enumerate(rows, start=1):
            for column, words in enumerate(cells):
                label = self._cells.get((row, column)) or self._put(row, column, PlainLabel())
                label.setText(words)
                if column:
                    name = self.tr("today") if column == 1 else self.tr("proposed")
                    label.setAccessibleName(f"{cells[0]}, {name}")

    def cell(self, row: int, column: int) -> str:
        """The words of a cell; rows are counted below the heads."""
        return self._cells[row + 1, column].text()
