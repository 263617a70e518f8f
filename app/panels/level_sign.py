"""The sign of a level, as high as a line of words, and a verdict behind it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QWidget

from app.canvas.levels import level_icon, level_word
from app.canvas.look import look_in
from app.widgets.kit import GAP, strong
from geometry.checks.judge import Level


class LevelSign(QLabel):
    """A sign that is drawn anew when the colours or the size of type change."""

    def __init__(self, parent: QWidget | None = None) -> None:
        """Empty until a level is shown."""
        super().__init__(parent)
        self.level: Level | None = None

    def show_level(self, level: Level) -> None:
        """Show the sign of a level."""
        if level is not self.level:
            self.level = level
            self.setAccessibleName(level_word(level))
            self._draw(level)

    def _draw(self, level: Level) -> None:
        size = self.fontMetrics().height()
        icon = level_icon(level, look_in(self.palette()), size)
        self.setPixmap(icon.pixmap(QSize(size, size), self.devicePixelRatio()))

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Another palette or size of type."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange) and self.level is not None:
            self._draw(self.level)


class Verdict(QWidget):
    """The sign of a level with strong words behind it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        """Empty until something is said."""
        super().__init__(parent)
        self.sign, self.words = LevelSign(), strong("")
        row = QHBoxLayout(self)
        row.setContentsMargins(0, GAP, 0, 0)
        row.setSpacing(8)
        row.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self.words, 1)

    def say(self, level: Level, words: str) -> None:
        """Say a sentence of a level."""
        self.sign.show_level(level)
        self.words.setText(words)
