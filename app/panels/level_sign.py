"""The sign of a level, as high as a line of words, and verdicts behind it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QWidget

from app.canvas.levels import level_icon, level_word
from app.canvas.look import look_in
from app.document.scene import Scene
from app.document.session import Session
from app.panels.finding_rows import verdict
from app.widgets.kit import GAP, PlainLabel, small_button, strong
from geometry.checks.judge import Finding, Level


class LevelSign(QLabel):
    """A sign that is drawn anew when the colours or the size of type change."""

    def __init__(self) -> None:
        """Empty until a level is shown."""
        super().__init__()
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

    def __init__(self) -> None:
        """Empty until something is said."""
        super().__init__()
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


class VerdictLine(QWidget):
    """What the list of findings says at its top, for a window that has no room for the list.

    Signals:
        wanted: the list is asked for.
    """

    wanted = Signal()

    def __init__(self, session: Session) -> None:
        """Follow the findings of a session."""
        super().__init__()
        self.setAccessibleName(self.tr("Verdict"))
        self.sign, self.sentence = LevelSign(), PlainLabel()
        # Words over two lines rather than a window that cannot be made narrower.
        self.sentence.setWordWrap(True)
        self.sentence.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.sentence.setMinimumHeight(2 * self.sentence.fontMetrics().lineSpacing())
        self.open = small_button(self.tr("Findings"), self.tr("Show all findings (Ctrl+Shift+6)"))
        self.open.clicked.connect(self.wanted)
        row = QHBoxLayout(self)
        row.setContentsMargins(8, 2, 8, 2)
        row.setSpacing(8)
        row.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.sentence, 1)
        row.addWidget(self.open, 0, Qt.AlignmentFlag.AlignVCenter)
        session.changed.connect(self.show_scene)
        self.show_scene(session.scene)

    def show_scene(self, scene: Scene) -> None:
        """Show the verdict of a scene."""
        tell_verdict(scene.findings, self.sign, self.sentence)


def tell_verdict(found: Sequence[Finding], sign: LevelSign, label: QLabel) -> None:
    """Show the worst level, and say whether the head can be drilled."""
    level, words = verdict(found)
    if words != label.text():
        label.setText(words)
    sign.show_level(level)
