"""The findings in one line: whether the head can be drilled, and the way to the whole list."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.panels.finding_rows import verdict
from app.panels.level_sign import LevelSign
from app.widgets.kit import small_button
from app.widgets.plain import PlainLabel


class VerdictLine(QWidget):
    """What the list of findings says at its top, for a window that has no room for the list.

    Signals:
        wanted: the list is asked for.
    """

    wanted = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        """Follow the findings of a session."""
        super().__init__(parent)
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
        level, words = verdict(scene.findings)
        if words != self.sentence.text():
            self.sentence.setText(words)
        self.sign.show_level(level)
