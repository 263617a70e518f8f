"""What a search for the best placement has found, with the rings of both placements, and how a panel tells it."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from app.document.messages import Progress
from app.document.scene import Ghost
from app.panels.finding_rows import translated
from app.panels.level_sign import Verdict
from app.panels.panel import STEPS, Result, in_steps
from app.panels.sentences import sentence, tell
from app.widgets.kit import GAP, PlainLabel, button, column, heading, line, remark, strong
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.best import best
from geometry.search.placing.cures import Remedy, remedies
from geometry.search.placing.cures_words import say_remedies
from geometry.search.placing.plain import say_given_up
from geometry.search.placing.standing import Wish, mean_splay
from geometry.search.rings.allowance import Allowance, Ring, allowance, exact_rings
from geometry.search.rings.allowance_words import say_end
from geometry.trade.quantities import show_angle, show_radius
from geometry.trade.units import Units


class Placement(msgspec.Struct, frozen=True):
    """One placement with what is told of it; `splay` is the mean turn of the strings at the nut in degrees."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    allowance: Allowance
    splay: float

    @property
    def stops(self) -> int:
        """How many findings are at stop."""
        return sum(each.level is Level.STOP for each in self.found)


class Offer(msgspec.Struct, frozen=True):
    """What a search has found: today's placement, the proposed one, and what even that breaks, if anything.

    `refused` says what another one that was found would have broken, `remedies` what cures what moving does not.
    `given_up` is how many mm more were not worth what they would have spoilt.
    """

    today: Placement
    proposed: Placement
    forbidden: str | None
    refused: str | None
    remedies: tuple[Remedy, ...]
    ghost: Ghost
    given_up: float

    @property
    def nothing_better(self) -> bool:
        """Whether the tuners had better stay."""
        return self.proposed.build == self.today.build


def searched(build: Build, wish: Wish, units: Units, words: str, progress: Progress) -> Offer:
    """Look for the best placement; `words` name it on the drawing. `progress` may raise to end the search."""
    found = best(build, wish, in_steps(progress), units)
    progress(STEPS, STEPS)
    proposed = _placement(found.build)
    ghost = Ghost(found.build, proposed.layout, words, exact_rings(found.build, proposed.layout))
    cures = remedies(found.build, units)
    today = _placement(build)
    return Offer(today, proposed, found.forbidden, found.refused, cures, ghost, found.given_up)


def _placement(build: Build) -> Placement:
    layout = lay_out(build)
    return Placement(build, layout, findings(build, layout), allowance(build, layout), mean_splay(layout))


def say_smallest(found: Allowance, units: Units) -> str:
    """The radius of the smallest ring of a hole still to be drilled; a dash where there is none."""
    radii = [ring.radius for ring in found.rings if not ring.drilled]
    return show_radius(min(radii), units) if radii and found.told else "–"


def narrowest(found: Allowance) -> Ring | None:
    """The hole with the smallest ring of those to be drilled, None where nothing ends it or a limit is broken."""
    free = [ring for ring in found.rings if not ring.drilled and ring.ends is not None]
    if any(ring.broken for ring in found.rings):
        return None
    return min(free, key=lambda ring: (ring.radius, ring.alone), default=None)


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
        title, acts = heading(self.tr("What was found")), line(self.take, self.leave)
        column(self, title, self.verdict, self.cures, self.says, self.table, self.limits, acts)

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
        nothing = self.tr("nothing")
        one, two = (
            (say_smallest(each.allowance, self._units), show_angle(each.splay), str(each.stops or nothing))
            for each in (offer.today, offer.proposed)
        )
        heads = (self.tr("Smallest ring"), self.tr("Strings turn at the nut"), self.tr("At stop"))
        return tuple(zip(heads, one, two, strict=True))

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
        self._heads = self.tr("Today"), self.tr("Proposed")
        for place, words in enumerate(self._heads, start=1):
            self._put(0, place, strong(words))

    def _put(self, row: int, place: int, label: QLabel) -> QLabel:
        label.setWordWrap(place == 0)
        if place:
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._grid.addWidget(label, row, place)
        self._cells[row, place] = label
        return label

    def show_rows(self, rows: tuple[tuple[str, str, str], ...]) -> None:
        """Show these cells."""
        for row, cells in enumerate(rows, start=1):
            for place, words in enumerate(cells):
                label = self._cells.get((row, place)) or self._put(row, place, PlainLabel())
                label.setText(words)
                if place:
                    label.setAccessibleName(f"{cells[0]}, {self._heads[place - 1].lower()}")

    def cell(self, row: int, place: int) -> str:
        """The words of a cell; rows are counted below the heads."""
        return self._cells[row + 1, place].text()
