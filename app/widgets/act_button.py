"""A button that reads like a link: what it does, and beneath it what comes of it, over as many lines as it takes."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from geometry.trade.escapes import in_tip

PAD_X, PAD_Y = 8, 5
"""Pixels of air beside and above the words."""

_LONGEST = 10_000
_CORNER = 4.0


class ActButton(QAbstractButton):
    """An act in words that wrap, for a narrow panel."""

    def __init__(self, act: str, outcome: str = "", parent: QWidget | None = None) -> None:
        """`act` is what is done, `outcome` what comes of it."""
        super().__init__(parent)
        self.setText(act)
        self.outcome = outcome
        said = f"{act}: {outcome}" if outcome else act
        self.setAccessibleName(said)
        self.setToolTip(in_tip(said))
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAttribute(Qt.WidgetAttribute.WA_Hover)
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

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter does it, as the space bar does."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)
