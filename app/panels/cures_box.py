"""What cures a finding, as buttons beneath its sentence."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QSizePolicy, QVBoxLayout, QWidget

from app.panels.finding_rows import translated
from app.panels.panel import Searching
from app.widgets.kit import EnterButton, capital, remark
from geometry.curing.cures import Cures, say_outcome
from geometry.trade.escapes import in_tip
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
            outcome = self.tr("looks for the best one; may take a minute or two")
            self.search = ActButton(self.tr("Find a placement that clears"), outcome, self)
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
        words = self.tr(
            "No placement was found that clears this without breaking something else. Nothing was changed. "
            "A wider or longer head, or smaller tuners, give more room."
        )
        self._say(words)

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

    def take_focus(self) -> None:
        """Give the keyboard to the first act, if there is one."""
        for first in self._shown[:1]:
            first.setFocus(Qt.FocusReason.TabFocusReason)

    @property
    def _shown(self) -> list[ActButton]:
        return [each for each in self.buttons if each.isVisibleTo(self)]

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
        shown = self._shown
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


PAD_X, PAD_Y = 8, 5
"""Pixels of air beside and above the words."""

_LONGEST = 10_000
_CORNER = 4.0


class ActButton(EnterButton):
    """An act in words that wrap, for a narrow panel."""

    def __init__(self, act: str, outcome: str, parent: QWidget) -> None:
        """`act` is what is done, `outcome` what comes of it, empty for nothing more."""
        super().__init__(parent)
        self.setText(act)
        self.outcome = outcome
        said = f"{act}: {outcome}" if outcome else act
        self.setAccessibleName(said)
        self.setToolTip(in_tip(said))
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    def _heights(self, width: int) -> tuple[int, int]:
        """How high the act and its outcome are in so much room, in pixels."""
        room = QRect(0, 0, max(1, width - 2 * PAD_X), _LONGEST)
        fonts, wrap = self.fontMetrics(), Qt.TextFlag.TextWordWrap
        act = fonts.boundingRect(room, wrap, self.text()).height()
        return act, fonts.boundingRect(room, wrap, self.outcome).height() if self.outcome else 0

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        """Words wrap."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """As high as the words need."""
        return sum(self._heights(width)) + 2 * PAD_Y

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A few words wide."""
        width = self.fontMetrics().averageCharWidth() * 30
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """A line at least."""
        return QSize(0, self.fontMetrics().height() + 2 * PAD_Y)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """The act as a link, its outcome below, a wash under the pointer and a frame round the focus."""
        palette, role = self.palette(), QPalette.ColorRole
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self.isDown() or self.underMouse():
            wash = QColor(palette.color(role.Link))
            wash.setAlpha(60 if self.isDown() else 26)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(wash)
            painter.drawRoundedRect(self.rect(), _CORNER, _CORNER)
        if self.hasFocus():
            painter.setPen(palette.color(role.Highlight))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(self.rect().adjusted(0, 0, -1, -1), _CORNER, _CORNER)
        act, outcome = self._heights(self.width())
        room = QRect(PAD_X, PAD_Y, self.width() - 2 * PAD_X, act)
        painter.setPen(palette.color(role.Link if self.isEnabled() else role.PlaceholderText))
        painter.drawText(room, Qt.TextFlag.TextWordWrap, self.text())
        painter.setPen(palette.color(role.Text))
        painter.drawText(
            room.translated(0, act).adjusted(0, 0, 0, outcome - act), Qt.TextFlag.TextWordWrap, self.outcome
        )
        painter.end()
