"""Bars over the drawing that say what happened and offer what can be done about it; they never stop the work."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.widgets.plain import PlainLabel
from app.widgets.shades import Shade, colours_of
from app.widgets.theme import icon, image
from geometry.trade.escapes import on_one_line

MOST_SHOWN = 3
"""So many notices are shown at a time; others wait until one of these goes."""

SAID = "said"
"""The key of what is said by the way: the next one takes its place."""


class Answer(msgspec.Struct, frozen=True):
    """A button of a notice: its words, and what it does. The notice goes unless that returns False."""

    words: str
    run: Callable[[], object]


class Notice(QFrame):
    """One bar: a sign, words, answers, and a cross unless it `stays` as long as what it says is true.

    Signals:
        gone: it was answered or closed.
    """

    gone = Signal()

    def __init__(self, words: str, answers: tuple[Answer, ...], shade: Shade, *, stays: bool) -> None:
        super().__init__()
        self.setObjectName("notice")
        self.setAccessibleName(self.tr("Notice"))
        self._sign = PlainLabel()
        self._words = PlainLabel(on_one_line(words))
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._words.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.answers = tuple(map(self._button, answers))
        self._close = QToolButton()
        self._close.setAutoRaise(True)
        self._close.setAccessibleName(self.tr("Close the notice"))
        self._close.setToolTip(self.tr("Close the notice"))
        self._close.clicked.connect(self.gone)
        row = QHBoxLayout(self)
        row.setContentsMargins(14, 8, 10, 8)
        row.setSpacing(10)
        row.addWidget(self._sign)
        row.addWidget(self._words)
        for part in (*self.answers, *(() if stays else (self._close,))):
            row.addWidget(part)
        self.set_shade(shade)

    @property
    def words(self) -> str:
        """What it says."""
        return self._words.text()

    def set_shade(self, shade: Shade) -> None:
        """Follow a change between light and dark."""
        colours = colours_of(shade)
        self.setStyleSheet(
            f"#notice {{ background: {colours.hint}; border: 0; border-bottom: 1px solid {colours.line}; }}"
        )
        self._sign.setPixmap(image("notice", colours.text, 20, self.devicePixelRatio()))
        self._close.setIcon(icon("close", shade))

    def _button(self, answer: Answer) -> QPushButton:
        button = QPushButton(answer.words)

        def chosen() -> None:
            if answer.run() is not False:
                self.gone.emit()

        button.clicked.connect(chosen)
        return button


class NoticeBar(QWidget):
    """Notices one under the other: those that stay, then what is new, then what waits; each key has one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shade: Shade = "light"
        self._notices: dict[str, Notice] = {}
        self._ranks: dict[str, int] = {}
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self.hide()

    @property
    def shown(self) -> tuple[Notice, ...]:
        """The notices in view."""
        return tuple(self._notices.values())[:MOST_SHOWN]

    @property
    def words(self) -> str:
        """What the notices in view say, a line each; empty while there is none."""
        return "\n".join(notice.words for notice in self.shown)

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """The answers that are offered in view."""
        return tuple(button for notice in self.shown for button in notice.answers)

    def set_shade(self, shade: Shade) -> None:
        """Follow a change between light and dark."""
        self._shade = shade
        for notice in self._notices.values():
            notice.set_shade(shade)

    def say(
        self, words: str, *answers: Answer, key: str = SAID, stays: bool = False, waits: bool = False
    ) -> None:
        """Show a notice with its answers; one that stays goes only when dropped, one that waits lets others by."""
        if key in self._notices and self._notices[key].words == on_one_line(words) and not answers:
            return
        notice = Notice(words, answers, self._shade, stays=stays)
        notice.gone.connect(lambda: self._gone(key, notice))
        self._clear(self._notices.get(key))
        self._notices[key] = notice
        self._ranks[key] = 0 if stays else 2 if waits else 1
        self._notices = dict(sorted(self._notices.items(), key=lambda each: self._ranks[each[0]]))
        self._column.insertWidget(tuple(self._notices).index(key), notice)
        self._arrange()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def drop(self, *keys: str) -> None:
        """Take notices away, if they are there."""
        for key in keys:
            self._clear(self._notices.pop(key, None))
        self._arrange()

    def _gone(self, key: str, notice: Notice) -> None:
        # Its answer may have put another one of this key in its place.
        if self._notices.get(key) is notice:
            self.drop(key)

    def _clear(self, notice: Notice | None) -> None:
        if notice is not None:
            notice.hide()
            self._column.removeWidget(notice)
            notice.deleteLater()

    def _arrange(self) -> None:
        shown = self.shown
        for notice in self._notices.values():
            notice.setVisible(notice in shown)
        self.setVisible(bool(shown))
