"""A bar over the drawing that says what happened and offers what can be done about it; it never stops the work."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QToolButton, QWidget

from app.widgets.theme import Shade, colours_of, icon, image


class Answer(msgspec.Struct, frozen=True):
    """A button of a notice: its words, and what it does before the notice goes."""

    words: str
    run: Callable[[], None]


class NoticeBar(QFrame):
    """One notice at a time; a later one takes the place of an earlier one."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self.setAccessibleName(self.tr("Notice"))
        self._sign = QLabel()
        self._words = QLabel()
        self._words.setWordWrap(True)
        self._words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._words.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._answers: list[QPushButton] = []
        self._close = QToolButton()
        self._close.setAutoRaise(True)
        self._close.setAccessibleName(self.tr("Close the notice"))
        self._close.setToolTip(self.tr("Close the notice"))
        self._close.clicked.connect(self.hide)
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(14, 8, 10, 8)
        self._row.setSpacing(10)
        self._row.addWidget(self._sign)
        self._row.addWidget(self._words)
        self._row.addWidget(self._close)
        self.set_shade("light")
        self.hide()

    @property
    def words(self) -> str:
        """What the notice says, empty while there is none."""
        return "" if self.isHidden() else self._words.text()

    @property
    def buttons(self) -> tuple[QPushButton, ...]:
        """The answers that are offered."""
        return tuple(self._answers)

    def set_shade(self, shade: Shade) -> None:
        """Follow a change between light and dark."""
        colours = colours_of(shade)
        self.setStyleSheet(
            f"#notice {{ background: {colours.hint}; border: 0; border-bottom: 1px solid {colours.line}; }}"
        )
        self._sign.setPixmap(image("notice", colours.text, 20, self.devicePixelRatio()))
        self._close.setIcon(icon("close", shade))

    def say(self, words: str, *answers: Answer) -> None:
        """Show a notice with its answers."""
        for button in self._answers:
            self._row.removeWidget(button)
            button.deleteLater()
        self._answers = [self._button(answer) for answer in answers]
        for place, button in enumerate(self._answers, start=2):
            self._row.insertWidget(place, button)
        self._words.setText(words)
        self.show()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def _button(self, answer: Answer) -> QPushButton:
        button = QPushButton(answer.words)

        def chosen() -> None:
            self.hide()
            answer.run()

        button.clicked.connect(chosen)
        return button
