"""Pieces that the parts of the output share: lines, panels that scroll, sentences with a sign, the foot of dialogs."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QProgressBar,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from app.canvas.levels import level_icon
from app.canvas.look import look_in
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel, button, strong
from app.widgets.sizes import least_height
from geometry.checks.judge import Level

_SIGN = 18  # pixels
_ANY_WIDTH = 16777215  # Qt's largest size of a widget


PATIENCE = 300
"""Milliseconds of work before its progress is shown: most is done sooner, and flicker helps nobody."""


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


class Foot(QWidget):
    """A caution or a message at the left, buttons at the right, between them progress while work lasts.

    Signals:
        stop_wanted: the maker gives up what is under way.
    """

    stop_wanted = Signal()

    def __init__(self, parent: QWidget | None = None, *, heed: bool = True, prints: bool = True) -> None:
        """`heed`: what must be heeded when printing is told while nothing else is; `prints`: pages can be printed."""
        super().__init__(parent)
        self._doing, self._heed = "", heed
        self.caution = Notice(
            Level.WATCH,
            self.tr(
                "Print at 100 % (actual size). Lay a steel rule on both printed rulers before you mark anything."
            ),
        )
        self.message = PlainLabel()
        self.message.setWordWrap(True)
        self.message.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.progress = QProgressBar()
        self.progress.setMinimumWidth(60)
        self.progress.setMaximumWidth(140)
        self.progress.setTextVisible(False)
        self.progress.setAccessibleName(self.tr("Progress"))
        self.stop = button(self.tr("S&top"), self.tr("Give up what is under way (Esc)"))
        self.again = button(self.tr("Draw &again"), self.tr("Draw the pages again (F5)"))
        self.close_button = button(self.tr("Close"), self.tr("Close this window (Esc)"))
        self.save = button(self.tr("&Save PDF…"), self.tr("Write all pages as one PDF (Ctrl+S)"))
        self.print = button(self.tr("Pr&int…"), self.tr("Print the pages at true size (Ctrl+P)"))
        words = filled(QVBoxLayout(), self.caution, self.message)
        buttons = self.stop, self.again, self.close_button, self.save, self.print
        self._row = QHBoxLayout(self)
        filled(self._row, (words, 1), self.progress, *buttons, margins=(16, 12, 16, 12), spacing=8)
        self.print.setHidden(not prints)
        self.stop.clicked.connect(self.stop_wanted)
        self._patience = QTimer(self, singleShot=True, interval=PATIENCE)
        self._patience.timeout.connect(self._show_working)
        self.rest()
        self.say("")

    @property
    def working(self) -> bool:
        """Whether work is shown."""
        return self.stop.isVisibleTo(self)

    def add(self, wanted: QWidget) -> None:
        """Put another button before that which saves."""
        self._row.insertWidget(self._row.indexOf(self.save), wanted)

    def say(self, words: str) -> None:
        """Show a message; without one, what to heed when printing, if anything is."""
        self.message.setText(words)
        self.message.setVisible(bool(words))
        self.caution.setVisible(self._heed and not words)

    def begin(self, words: str) -> None:
        """Work begins; it is shown when it takes longer than a moment."""
        self._doing = words
        self.progress.setRange(0, 0)
        if not self.working:
            self._patience.start()

    def show_progress(self, done: int, steps: int) -> None:
        """So many steps of so many are done."""
        self.progress.setRange(0, steps)
        self.progress.setValue(done)

    def rest(self) -> None:
        """No work is under way."""
        self._patience.stop()
        self.progress.hide()
        self.stop.hide()

    def _show_working(self) -> None:
        self.say(self._doing)
        self.progress.show()
        self.stop.show()
