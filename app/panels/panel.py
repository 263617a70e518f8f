"""What all panels have in common: a column that scrolls and quiet updates, and for some a search beside the window."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Generic, TypeVar

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QWidget

from app.document.messages import Progress
from app.document.scene import Ghost, Scene
from app.document.session import Session
from app.document.work import Work
from app.widgets.kit import GAP, ScrolledColumn, button
from app.widgets.number_field import NumberField
from app.widgets.typed_line import all_reads
from geometry.document.build import Build
from geometry.trade.units import Units


class Panel(ScrolledColumn):
    """A column of forms about the session's build; hidden panels catch up when they are shown.

    Signals:
        drawing_wanted: what comes next is done on the drawing, so the keyboard goes there.
    """

    drawing_wanted = Signal()

    letters = 0
    """How wide the panel reads best, in average letters; 0 for one that makes do with what there is."""

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show what the session works on."""
        super().__init__()
        self.session = session
        self.units: Units = units
        self.shown: Scene | None = None
        """The scene that the fields show."""
        self._least = 0
        self.verticalScrollBar().installEventFilter(self)
        self._keep_width(bar_shown=False)
        session.changed.connect(self._changed)

    def set_title(self, title: str) -> None:
        """Name the panel."""
        self.setAccessibleName(title)
        self.setWindowTitle(title)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self.units = units
        for field in self.findChildren(NumberField):
            field.set_units(units)
        if self.shown is not None:
            self.show_scene(self.session.scene, None)

    @property
    def kept_nowhere(self) -> str:
        """A sentence about what is typed here and would be lost with the build on the bench; empty for nothing."""
        return ""

    @property
    def row_in_hand(self) -> str | None:
        """The key of the row of tuners that the fields show, if they show one."""
        return None

    @property
    def part_in_hand(self) -> str | None:
        """The same for a single post or string."""
        return None

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show a scene; `before` is the one that the fields show, None when all must be shown anew."""

    def refresh(self) -> None:
        """Catch up with the session."""
        scene = self.session.scene
        if scene is not self.shown:
            before, self.shown = self.shown, scene
            self.show_scene(scene, before)

    def _changed(self) -> None:
        if self.isVisible():
            self.refresh()

    def _keep_width(self, *, bar_shown: bool) -> None:
        """Leave the room of the scroll bar free while it is not there, so that nothing moves when it comes."""
        margins = self.viewportMargins()
        margins.setRight(0 if bar_shown else self.verticalScrollBar().sizeHint().width())
        if margins != self.viewportMargins():
            self.setViewportMargins(margins)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """A form that needs another width than before: a scroll area alone would cut it off at the side."""
        if event.type() == QEvent.Type.LayoutRequest and isinstance(watched, QWidget):
            before, self._least = self._least, watched.minimumSizeHint().width()
            if before != self._least:
                self.updateGeometry()
        if watched is self.verticalScrollBar() and event.type() in {QEvent.Type.Show, QEvent.Type.Hide}:
            self._keep_width(bar_shown=event.type() == QEvent.Type.Show)
        return super().eventFilter(watched, event)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """What happened while the panel was hidden is shown now."""
        self.refresh()
        super().showEvent(event)


STEPS = 100
"""A search tells its progress in so many parts."""

_WIDE = 160  # pixels


class Searching(QWidget):
    """A button to stop and a bar; hidden while nothing is looked for."""

    def __init__(self, parent: QWidget | None = None) -> None:
        """Nothing is looked for yet."""
        super().__init__(parent)
        self.stop = button(self.tr("Stop searching"), self.tr("Give the search up (Esc)"))
        self.bar = QProgressBar()
        self.bar.setTextVisible(False)
        self.bar.setMinimumWidth(_WIDE)
        self.bar.setRange(0, STEPS)
        self.bar.setAccessibleName(self.tr("Progress"))
        self.bar.setToolTip(self.tr("How far the search may be: how long it takes is not known before"))
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(GAP)
        row.addWidget(self.stop)
        row.addWidget(self.bar, 1)
        self.hide()

    def begin(self) -> None:
        """Nothing of the search is done yet."""
        self.bar.setValue(0)
        self.show()

    def show_progress(self, done: int, _steps: int) -> None:
        """So many of the STEPS are done."""
        self.bar.setValue(done)


def in_steps(progress: Progress) -> Callable[[float, float], None]:
    """What a search calls with how far it is; `progress` hears it in STEPS, all of them never, and may raise."""

    def told(share: float, _room: float) -> None:
        progress(math.floor(share * STEPS), STEPS)

    progress(0, STEPS)
    return told


Found = TypeVar("Found")
"""What a panel finds out."""


class Result(QWidget, Generic[Found]):
    """What was found in words, below each other; hidden until there is something to tell."""

    def __init__(self, units: Units) -> None:
        """Nothing is found yet."""
        super().__init__()
        self._units: Units = units
        self._found: Found | None = None
        self.hide()

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

    def __init__(self, session: Session, units: Units, result: Result[Found]) -> None:
        """Nothing is looked for before somebody asks; what is found then is told by `result`."""
        super().__init__(session, units)
        self.result = result
        self._about: Build = session.build
        self._proposal: Found | None = None
        self._laid: Ghost | None = None
        self.work = Work(self)
        self.searching = Searching()
        self.searching.stop.clicked.connect(self._stop)
        self.work.progressed.connect(self.searching.show_progress)
        self.work.done.connect(self._found)
        self.work.idle.connect(self._rest)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units, those of the result too."""
        super().set_units(units)
        self.result.set_units(units)

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
        """End the search, take the proposal off the drawing and forget what was found; what was typed stays."""
        self.work.cancel()
        laid, self._laid, self._proposal = self._laid, None, None
        if laid is not None and self.session.scene.ghost is laid:
            self.session.dismiss()
        self.result.show_found(None)

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
