"""Small pieces that the parts of the output share: lines, panels that scroll, sentences with a sign."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QWidget

from app.canvas.levels import level_icon
from app.canvas.look import look_in
from app.widgets.kit import strong
from app.widgets.plain import PlainLabel
from geometry.checks.judge import Level

_SIGN = 18  # pixels


def sheet_title(words: str) -> str:
    """What a sheet is called on screen."""
    return QCoreApplication.translate("Output", words)


class Notice(QWidget):
    """A sentence with the sign of its level before it."""

    def __init__(self, level: Level, words: str, *, margin: int = 0, bold: bool = False) -> None:
        """`margin`: room in pixels round it."""
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(margin, margin * 2 // 3, margin, margin * 2 // 3)
        row.setSpacing(8)
        sign = PlainLabel()
        look = look_in(self.palette())
        sign.setPixmap(level_icon(level, look, _SIGN).pixmap(_SIGN, _SIGN))
        self.words = strong(words) if bold else PlainLabel(words)
        self.words.setWordWrap(True)
        row.addWidget(sign)
        row.addWidget(self.words, 1)


def scrolled(panel: QWidget, letters: int) -> QScrollArea:
    """A panel that scrolls up and down, so many letters wide, or as wide as it must be beside the bar."""
    area = QScrollArea()
    area.setWidget(panel)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    least = panel.minimumSizeHint().width() + area.verticalScrollBar().sizeHint().width()
    area.setFixedWidth(max(area.fontMetrics().averageCharWidth() * letters, least))
    return area


def upright_line() -> QFrame:
    """A quiet line between two columns."""
    return _line(QFrame.Shape.VLine)


def level_line() -> QFrame:
    """A quiet line between two rows."""
    return _line(QFrame.Shape.HLine)


def _line(shape: QFrame.Shape) -> QFrame:
    line = QFrame()
    line.setFrameShape(shape)
    line.setFrameShadow(QFrame.Shadow.Plain)
    line.setForegroundRole(QPalette.ColorRole.Midlight)
    return line
