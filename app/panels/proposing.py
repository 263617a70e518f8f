"""What panels have in common that look for something beside the window and lay it over the drawing."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from app.document.messages import Progress
from app.document.scene import Ghost, Scene
from app.document.session import Session
from app.document.work import Work
from app.panels.panel import Panel
from app.panels.searching import Searching
from app.widgets.kit import column
from app.widgets.typed_line import all_reads
from geometry.document.build import Build
from geometry.trade.units import Units

Found = TypeVar("Found")
"""What a panel finds out."""


class Result(QWidget, Generic[Found]):
    """What was found in words, below each other; hidden until there is something to tell."""

    def __init__(self, units: Units) -> None:
        """Nothing is found yet."""
        super().__init__()
        self._units: Units = units
        self._found: Found | None = None
        self._column = column(self)
        self.hide()

    def put(self, *parts: QWidget) -> None:
        """Parts at the end, one below the other."""
        for part in parts:
            self._column.addWidget(part)

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self._units = units
        self.show_found(self._found)

    def show_found(self, found: Found | None) -> None:
        """Tell it; hidden for None."""
        self._found = found
        self.setVisible(found is not None)
        if found is not None:
            self._tell(found)

    def _tell(self, found: Found) -> None:
        raise NotImplementedError


class ProposingPanel(Panel, Generic[Found]):
    """A search beside the window, and its proposal, which nothing but taking it brings into the build.

    Esc and hiding give up first the search and then the proposal; so does a change of the build by another hand, or
    another proposal. A panel says how it forgets (`_clear`), and shows what was found (`_found`).
    """

    def __init__(self, session: Session, units: Units) -> None:
        """Nothing is looked for before somebody asks."""
        super().__init__(session, units)
        self._about: Build = session.build
        self._proposal: Found | None = None
        self._laid: Ghost | None = None
        self.work = Work(self)
        self.searching = Searching()
        self.searching.stop.clicked.connect(self._stop)
        self.work.progressed.connect(self.searching.show_progress)
        self.work.done.connect(self._found)
        self.work.idle.connect(self._rest)

    # Looking

    def _start(self, function: Callable[[Progress], object]) -> None:
        """Look beside the window for something about the build as it is."""
        self._about = self.session.build
        self.work.start(function)

    def _lay_over(self, ghost: Ghost) -> None:
        """Show a head over that of the drawing."""
        self._laid = ghost
        self.session.propose(ghost)

    def _stale(self, scene: Scene) -> bool:
        """Whether a scene has another build, or somebody else took the proposal off the drawing."""
        return scene.build is not self._about or (self._laid is not None and scene.ghost is not self._laid)

    def _found(self, found: Found) -> None:
        """Show what was found."""
        raise NotImplementedError

    def _rest(self) -> None:
        """Nothing is looked for any more."""
        self.searching.hide()

    def _stop(self) -> None:
        """End the search."""
        self.work.cancel()

    # What becomes of it

    def _drop(self) -> None:
        """End the search and take the proposal off the drawing, if it is still there."""
        self.work.cancel()
        laid, self._laid, self._proposal = self._laid, None, None
        if laid is not None and self.session.scene.ghost is laid:
            self.session.dismiss()

    def _clear(self) -> None:
        """Forget what was asked and what was found."""
        raise NotImplementedError

    def _put_away(self) -> None:
        """Nobody sees the panel any more."""
        self._clear()

    def _take_over(self, label: str) -> bool:
        """Put the proposal in place of the build as one act; whether that was done."""
        laid = self._laid
        if laid is None or self._proposal is None or self.session.scene.ghost is not laid:
            return False
        if not all_reads(self, lambda _: None):  # the form says why beneath the field
            return False
        self.session.act(label, lambda _: laid.build)
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc gives up the search, or else the proposal."""
        if event.key() == Qt.Key.Key_Escape and self.searching.isVisible():
            self._stop()
        elif event.key() == Qt.Key.Key_Escape and (self._proposal is not None or self._laid is not None):
            self._clear()
        else:
            super().keyPressEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802 - Qt's name
        """Nothing stays proposed or under way where nobody sees it."""
        self._put_away()
        super().hideEvent(event)
