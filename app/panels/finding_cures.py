"""The cures of the finding that was chosen: worked out beside the window, given up when the build changes."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.document.messages import Progress
from app.document.scene import Scene
from app.document.session import Session
from app.document.work import Work
from app.panels.cures_box import CuresBox
from app.panels.finding_rows import CuresRow, found_again, identity, translated
from app.panels.findings_model import FindingsModel
from app.panels.findings_view import FindingsList
from app.panels.panel import STEPS, in_steps
from app.widgets.kit import capital
from geometry.checks.judge import Finding, Level
from geometry.curing.case import head_of
from geometry.curing.cures import Cures, cures_of, placement_for
from geometry.curing.judged import Cure
from geometry.document.build import Build
from geometry.trade.shop import Shop


class FindingCures(QObject):
    """Opens the cures of a finding beneath it, and does the one that is taken: one act, one undo.

    Signals:
        cured: a cure was done: the Layout before it, and the Finding that it was for.
    """

    cured = Signal(object, object)

    def __init__(self, session: Session, model: FindingsModel, shown: FindingsList) -> None:
        """Nothing is open before a finding is chosen."""
        super().__init__(shown)
        self._session, self._model, self._list = session, model, shown
        self.finding: Finding | None = None
        """The finding whose cures are open."""
        self._build: Build = session.build
        self.found: Cures | None = None
        self.box = CuresBox(shown.viewport())
        self.box.hide()
        self.work = Work(self)
        self.work.done.connect(self._done)
        self.work.progressed.connect(self.box.searching.show_progress)
        self.box.taken.connect(self.take)
        self.box.search_wanted.connect(self._search)
        self.box.search_stopped.connect(self._stop)
        self.box.left.connect(lambda: shown.setFocus())
        shown.escaped.connect(self._give_up_search)
        self.box.resized.connect(shown.measure_rooms)
        shown.show_room(CuresRow, self.box)

    def open(self, finding: Finding) -> None:
        """Work out what cures a finding and show it beneath; what is fine needs nothing."""
        if finding.level is Level.FINE:
            self.close()
        elif finding != self.finding or self._build is not self._session.scene.build:
            self.finding, self.found = finding, None
            self._build = self._session.scene.build
            self.box.show_waiting()
            self._list.follow(lambda: self._model.open_cures(identity(finding)))
            self._list.reveal_room(CuresRow)
            self._work_out(_worked_out)

    def close(self) -> None:
        """Nothing is open any more."""
        self.work.cancel()
        had_focus = self.box.has_focus
        self.finding = self.found = None
        if self._model.cures_of is not None:
            self._list.follow(lambda: self._model.open_cures(None))
        if had_focus:
            self._list.setFocus()

    def follow(self, scene: Scene) -> None:
        """Another build has other cures; while a hand drags there is none to wait for."""
        if self.finding is None or scene.build is self._build:
            return
        self.work.cancel()
        now = found_again(self.finding, scene.findings)
        if now is None or now.level is Level.FINE:
            self.close()
        elif scene.gesture:
            # What was known is of no use, and where the hand gives up the old build comes back.
            self._build, self.found = scene.build, None
            self.box.show_waiting()
        else:
            self.open(now)

    def renew(self) -> None:
        """Other units or another shop: what is open is worked out anew."""
        finding, self.finding = self.finding, None
        if finding is not None:
            self.open(finding)

    def _work_out(self, function: Callable[[Build, Finding, Shop, Progress], object]) -> None:
        """Work something out about the finding that is open, beside the window."""
        build, finding, shop = self._build, self.finding, replace(self._model.shop, units=self._model.units)
        assert finding is not None, "a finding is open"
        self.work.start(lambda progress: function(build, finding, shop, progress))

    def _done(self, result: object) -> None:
        if isinstance(result, Cures):
            self.found = result
            self.box.show_found(result, self._model.units)
            # The Tab key goes from the list to what helps.
            for one, two in pairwise([self._list, *self.box.buttons, self.box.searching.stop]):
                QWidget.setTabOrder(one, two)
            self._list.reveal_room(CuresRow)
        elif not isinstance(result, Cure):
            self.box.show_nothing_found()
            self.box.take_focus()
        elif result.stops:
            self._offer(result)
        else:
            self.take(result)

    def _offer(self, cure: Cure) -> None:
        """Show a placement that leaves something at stop, and what it leaves: the maker decides."""
        assert self.found is not None, "a search begins beside the cures"
        self.found = replace(self.found, cures=(cure, *self.found.cures), placement=False)
        self.box.show_found(self.found, self._model.units)
        self.box.take_focus()

    # Acts

    def take(self, cure: Cure) -> None:
        """Do what cures the finding: one act."""
        if self._session.build is not self._build:
            return
        had_focus, finding = self.box.has_focus, self.finding
        before = self._session.scene.layout
        self._session.act(capital(cure.act), lambda _: cure.build)
        if had_focus:
            self._list.setFocus()
        if self.finding is None:
            # What stood beneath it is gone: the worst of what is left comes first again.
            self._list.scrollToTop()
        self.cured.emit(before, finding)

    def take_first(self) -> None:
        """Do the first one, if it is known."""
        if self.found is not None and self.found.cures:
            self.take(self.found.cures[0])

    def _search(self) -> None:
        if self.finding is not None:
            self.box.show_search()
            self._work_out(_placed)

    def _give_up_search(self) -> None:
        if not self.box.searching.isHidden():
            self._stop()

    def _stop(self) -> None:
        self.work.cancel()
        self.box.show_stopped()


def _worked_out(build: Build, finding: Finding, shop: Shop, progress: Progress) -> Cures:
    """The cures of a finding; `progress` may raise to end the work."""
    return cures_of(head_of(build, shop, translated, lambda: progress(0, STEPS)), finding)


def _placed(build: Build, finding: Finding, shop: Shop, progress: Progress) -> Cure | None:
    """The placement that cures a finding, if one does."""
    return placement_for(head_of(build, shop, translated), finding, in_steps(progress))
