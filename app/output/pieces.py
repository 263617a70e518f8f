"""Small pieces that the parts of the output share: lines, panels that scroll, sentences with a sign."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QWidget

from app.canvas.levels import level_icon
from app.canvas.look import look_in
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel, strong
from app.widgets.sizes import least_height
from geometry.checks.judge import Level

_SIGN = 18  # pixels
_ANY_WIDTH = 16777215  # Qt's largest size of a widget


def sheet_title(words: str) -> str:
    """What a sheet is called on screen."""
    return QCoreApplication.translate("Output", words)


class Notice(QWidget):
    """A sentence with the sign of its level before it."""

    def __init__(self, level: Level, words: str, *, margin: int = 0, bold: bool = False) -> None:
        """`margin`: room in pixels round it."""
        super().__init__()
        sign = PlainLabel()
        look = look_in(self.palette())
        sign.setPixmap(level_icon(level, look, _SIGN).pixmap(_SIGN, _SIGN))
        self.words = strong(words) if bold else PlainLabel(words)
        self.words.setWordWrap(True)
        margins = (margin, margin * 2 // 3, margin, margin * 2 // 3)
        filled(QHBoxLayout(self), sign, (self.words, 1), margins=margins, spacing=8)


class Scrolled(QScrollArea):
    """A panel that scrolls up and down; while it is tall it is as high as the panel, and what is round it scrolls."""

    def __init__(self, panel: QWidget, letters: int) -> None:
        """So many letters wide, or as wide as it must be beside the bar."""
        super().__init__()
        self._tall = False
        self.setWidget(panel)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        least = self._least_width() + self.verticalScrollBar().sizeHint().width()
        self.usual_width = max(self.fontMetrics().averageCharWidth() * letters, least)
        """How wide it is beside something, in pixels."""
        self.setFixedWidth(self.usual_width)

    def set_tall(self, tall: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Stand above or below something, or beside it."""
        self._tall = tall
        if tall:
            self.setMinimumWidth(self._least_width())
            self.setMaximumWidth(_ANY_WIDTH)
        else:
            self.setFixedWidth(self.usual_width)
            self.setMinimumHeight(0)
        self._follow()

    def _least_width(self) -> int:
        panel = self.widget()
        return 0 if panel is None else panel.minimumSizeHint().width()

    def _follow(self) -> None:
        panel = self.widget()
        if self._tall and panel is not None:
            self.setMinimumHeight(least_height(panel, max(self.width(), self._least_width())))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width needs another height."""
        super().resizeEvent(event)
        self._follow()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """The panel may need more or less than before."""
        if event.type() == QEvent.Type.LayoutRequest and watched is self.widget():
            self._follow()
        return super().eventFilter(watched, event)


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
