"""A search under way in a panel: how far it is, and the button that ends it."""

from __future__ import annotations

import math
from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QProgressBar, QWidget

from app.document.messages import Progress
from app.widgets.kit import GAP, button

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
