"""Labels that show words as they are."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QLabel, QWidget

from geometry.trade.escapes import in_tip


class PlainLabel(QLabel):
    """A label whose words are no mark-up, whatever they look like: they may hold names out of a file."""

    def __init__(self, words: str = "", parent: QWidget | None = None) -> None:
        super().__init__(words, parent)
        self.setTextFormat(Qt.TextFormat.PlainText)


class ShortenedLabel(PlainLabel):
    """A label of one line that ends in an ellipsis where it has no room; its tooltip says the words whole."""

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802, ARG002 - Qt's name
        """Paint what there is room for."""
        room = self.contentsRect()
        words = self.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, room.width())
        self.setToolTip("" if words == self.text() else in_tip(self.text()))
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        painter.drawText(room, self.alignment(), words)
        painter.end()
