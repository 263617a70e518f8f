"""Bars over the drawing that say what happened and offer what can be done about it; they never stop the work."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QPushButton, QSizePolicy, QToolButton

from app.widgets.kit import PlainLabel, ScrolledColumn, line
from app.widgets.shades import Shade, colours_of
from app.widgets.theme import icon, image
from geometry.trade.escapes import on_one_line

MOST_SHOWN = 3
"""So many notices are shown at a time; others wait until one of these goes."""

LEAST_BESIDE = 50
"""Average letters of the width that words keep beside their answers."""

MOST_OF_WINDOW = 0.3
"""Share of the window's height that notices take at most; longer words scroll."""

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
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(14, 8, 10, 8)
        self._grid.setHorizontalSpacing(10)
        self._grid.setColumnStretch(1, 1)
        self._grid.addWidget(self._sign, 0, 0)
        self._grid.addWidget(self._words, 0, 1)
        if not stays:
            self._grid.addWidget(self._close, 0, 3)
        self._offered = line(*self.answers)
        self._offered.setVisible(bool(self.answers))
        self._below: bool | None = None
        self._place_answers(below=False)
        self.set_shade(shade)

    def _place_answers(self, *, below: bool) -> None:
        """Beside the words, or below them where they would be squeezed."""
        if below != self._below:
            self._below = below
            self._grid.addWidget(self._offered, *((1, 1) if below else (0, 2)))

    def follow_width(self, width: int) -> None:
        """Find a place for the answers on a bar of this width."""
        letters = (width - self._offered.sizeHint().width()) / self.fontMetrics().averageCharWidth()
        self._place_answers(below=bool(self.answers) and letters < LEAST_BESIDE)

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


class NoticeBar(ScrolledColumn):
    """Notices one under the other: those that stay, then what is new, then what waits; each key has one."""

    def __init__(self) -> None:
        super().__init__(margin=0, spacing=0)
        policy = QSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._shade: Shade = "light"
        self._notices: dict[str, Notice] = {}
        self._ranks: dict[str, int] = {}
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
        self.column.insertWidget(tuple(self._notices).index(key), notice)
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
            self.column.removeWidget(notice)
            notice.deleteLater()

    def _arrange(self) -> None:
        shown = self.shown
        for notice in self._notices.values():
            notice.setVisible(notice in shown)
            notice.follow_width(self.width())
        self.setVisible(bool(shown))
        self.updateGeometry()
        # At once, as a bar without scrolling would: what is offered can be pressed where it is seen.
        parent = self.parentWidget()
        around = None if parent is None else parent.layout()
        for layout in (self.column, around):
            if layout is not None:
                layout.activate()

    # What Qt calls

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        """Narrow bars are higher."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        """All of the words, or a share of the window, in which they scroll."""
        least = max((notice.minimumSizeHint().height() for notice in self.shown), default=0)
        return min(self._whole(width), max(least, round(self.window().height() * MOST_OF_WINDOW)))

    def _whole(self, width: int) -> int:
        # Of the notices themselves: the column knows of a change within one only after the next event.
        return sum(notice.heightForWidth(width) for notice in self.shown)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As its width asks for."""
        return QSize(super().sizeHint().width(), self.heightForWidth(self.width()))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Any width."""
        return QSize(0, self.heightForWidth(self.width()))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width, another height."""
        super().resizeEvent(event)
        for notice in self.shown:
            notice.follow_width(self.width())
        # A bar would take width, the words another line, and so want the bar.
        needed, policy = self._whole(self.width()) > self.height(), Qt.ScrollBarPolicy
        self.setVerticalScrollBarPolicy(policy.ScrollBarAsNeeded if needed else policy.ScrollBarAlwaysOff)
        if event.size().width() != event.oldSize().width():
            self.updateGeometry()
