"""The row at the foot of the output: what to heed, what is under way, where the pages go."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QProgressBar,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.output.pieces import Notice
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel, button
from geometry.checks.judge import Level

PATIENCE = 300
"""Milliseconds of work before its progress is shown: most is done sooner, and flicker helps nobody."""


class Foot(QWidget):
    """A caution or a message at the left, buttons at the right, between them progress while work lasts.

    Signals:
        stop_wanted: the maker gives up what is under way.
    """

    stop_wanted = Signal()

    def __init__(self, parent: QWidget | None = None, *, heed: bool = True, prints: bool = True) -> None:
        """`heed`: what must be heeded when printing is told while nothing else is; `prints`: pages can be printed."""
        super().__init__(parent)
        self._doing, self._heed = "", heed
        self.caution = Notice(
            Level.WATCH,
            self.tr(
                "Print at 100 % (actual size). Lay a steel rule on both printed rulers before you mark anything."
            ),
        )
        self.message = PlainLabel()
        self.message.setWordWrap(True)
        self.message.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.progress = QProgressBar()
        self.progress.setMinimumWidth(60)
        self.progress.setMaximumWidth(140)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(self.tr("Progress"))
        self.stop = button(self.tr("S&top"), self.tr("Give up what is under way (Esc)"))
        self.again = button(self.tr("Draw &again"), self.tr("Draw the pages again (F5)"))
        self.close_button = button(self.tr("Close"), self.tr("Close this window (Esc)"))
        self.save = button(self.tr("&Save PDF…"), self.tr("Write all pages as one PDF (Ctrl+S)"))
        self.print = button(self.tr("Pr&int…"), self.tr("Print the pages at true size (Ctrl+P)"))
        words = filled(QVBoxLayout(), self.caution, self.message)
        buttons = self.stop, self.again, self.close_button, self.save, self.print
        self._row = QHBoxLayout(self)
        filled(self._row, (words, 1), self.progress, *buttons, margins=(16, 12, 16, 12), spacing=8)
        self.print.setHidden(not prints)
        self.stop.clicked.connect(self.stop_wanted)
        self._patience = QTimer(self, singleShot=True, interval=PATIENCE)
        self._patience.timeout.connect(self._show_working)
        self.rest()
        self.say("")

    @property
    def working(self) -> bool:
        """Whether work is shown."""
        return self.stop.isVisibleTo(self)

    def add(self, wanted: QWidget) -> None:
        """Put another button before that which saves."""
        self._row.insertWidget(self._row.indexOf(self.save), wanted)

    def say(self, words: str) -> None:
        """Show a message; without one, what to heed when printing, if anything is."""
        self.message.setText(words)
        self.message.setVisible(bool(words))
        self.caution.setVisible(self._heed and not words)

    def begin(self, words: str) -> None:
        """Work begins; it is shown when it takes longer than a moment."""
        self._doing = words
        self.progress.setRange(0, 0)
        if not self.working:
            self._patience.start()

    def show_progress(self, done: int, steps: int) -> None:
        """So many steps of so many are done."""
        self.progress.setRange(0, steps)
        self.progress.setValue(done)

    def rest(self) -> None:
        """No work is under way."""
        self._patience.stop()
        self.progress.hide()
        self.stop.hide()

    def _show_working(self) -> None:
        self.say(self._doing)
        self.progress.show()
        self.stop.show()
