"""What cures a finding, as buttons beneath its sentence."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.panels.finding_rows import translated
from app.panels.searching import Searching
from app.widgets.act_button import PAD_X, ActButton
from app.widgets.kit import capital, remark
from geometry.curing.cures import Cures
from geometry.curing.words import say_outcome
from geometry.trade.units import Units


class CuresBox(QWidget):
    """The acts that cure one finding, or that they are being worked out, or why there are none.

    Signals:
        taken: the Cure that the maker wants.
        search_wanted: another placement is to be looked for.
        search_stopped: it is not to be looked for any more.
        left: Esc was pressed.
        resized: other words need other room.
    """

    taken = Signal(object)
    search_wanted = Signal()
    search_stopped = Signal()
    left = Signal()
    resized = Signal()

    def __init__(self, parent: QWidget) -> None:
        """Nothing is known yet."""
        super().__init__(parent)
        self.setAccessibleName(self.tr("What helps"))
        self.setAutoFillBackground(False)
        self.buttons: list[ActButton] = []
        self.search: ActButton | None = None
        self.words = remark("")
        self.words.setContentsMargins(PAD_X, 0, PAD_X, 0)
        self.searching = Searching(self)
        self.searching.stop.clicked.connect(self.search_stopped)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(28, 4, 8, 8)
        self._column.setSpacing(0)
        self._column.addWidget(self.words)
        self._column.addWidget(self.searching)
        self.show_waiting()

    # What is shown

    def show_waiting(self) -> None:
        """The cures are being worked out."""
        self._clear()
        self._say(self.tr("Working out what helps…"))

    def show_found(self, found: Cures, units: Units) -> None:
        """The cures, the plainest first."""
        self._clear()
        for cure in found.cures:
            made = ActButton(capital(cure.act), say_outcome(cure, units, translated), self)
            made.clicked.connect(lambda _=False, cure=cure: self.taken.emit(cure))
            self._add(made)
        if found.placement:
            self.search = ActButton(
                self.tr("Find a placement that clears"),
                self.tr("looks for the best one; may take a minute or two"),
                self,
            )
            self.search.clicked.connect(self.search_wanted)
            self._add(self.search)
        self._say(found.hand)

    def show_search(self) -> None:
        """Another placement is being looked for."""
        for each in self.buttons:
            each.hide()
        self._say(self.tr("Looking for a placement that clears…"))
        self.searching.begin()
        self.searching.stop.setFocus()
        self.resized.emit()

    def show_nothing_found(self) -> None:
        """No placement clears; what else there is stays."""
        self.searching.hide()
        for each in self.buttons:
            each.setVisible(each is not self.search)
        self._say(
            self.tr(
                "No placement was found that clears this without breaking something else. Nothing was changed. "
                "A wider or longer head, or smaller tuners, give more room."
            )
        )

    def show_stopped(self) -> None:
        """The search was given up."""
        self.searching.hide()
        for each in self.buttons:
            each.show()
        self._say(self.tr("The search was stopped. Nothing was changed."))
        if self.search is not None:
            self.search.setFocus()

    @property
    def has_focus(self) -> bool:
        """Whether the keyboard is in here."""
        focus = self.focusWidget()
        return focus is not None and focus.hasFocus()

    def take_focus(self) -> bool:
        """Give the keyboard to the first act; False where there is none."""
        first = next((each for each in self.buttons if each.isVisibleTo(self)), None)
        if first is not None:
            first.setFocus(Qt.FocusReason.TabFocusReason)
        return first is not None

    def _clear(self) -> None:
        self.searching.hide()
        for each in self.buttons:
            self._column.removeWidget(each)
            each.hide()
            each.deleteLater()
        self.buttons, self.search = [], None

    def _add(self, made: ActButton) -> None:
        self._column.insertWidget(len(self.buttons), made)
        self.buttons.append(made)
        made.show()

    def _say(self, words: str) -> None:
        self.words.setText(words)
        self.words.setVisible(bool(words))
        self.resized.emit()

    # What Qt calls

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Up and down go from act to act; Esc gives a search up, else goes back to the list."""
        shown = [each for each in self.buttons if each.isVisibleTo(self)]
        place = next((n for n, each in enumerate(shown) if each.hasFocus()), None)
        if event.key() == Qt.Key.Key_Escape:
            (self.left if self.searching.isHidden() else self.search_stopped).emit()
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and place is not None:
            place += 1 if event.key() == Qt.Key.Key_Down else -1
            if 0 <= place < len(shown):
                shown[place].setFocus(Qt.FocusReason.TabFocusReason)
            else:
                self.left.emit()
        else:
            super().keyPressEvent(event)
