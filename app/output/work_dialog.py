"""What the dialogs of the output have in common: work beside the window, its foot, saving and printing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from PySide6.QtCore import QEvent, QObject, QPoint, QTimer
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QBoxLayout, QDialog, QFrame, QLayout, QStyle, QVBoxLayout, QWidget

from app.document.files import write_whole
from app.document.messages import Progress
from app.document.work import Work
from app.output.pages_view import PagesView
from app.output.pieces import Foot, Scrolled, level_line, upright_line
from app.output.printing import RESOLUTION, Printing, chosen_pages
from app.output.questions import Questions, suggested
from app.widgets.boxes import filled
from app.widgets.sizes import roomy
from app.widgets.typed_line import all_reads
from app.writing.export import Suffix
from export.page import Page


class WorkDialog(QDialog):
    """Makes something beside the window, shows it and saves it; Esc gives up what is under way, else closes.

    Whoever derives from it fills it, connects what `making` brings, and says in `_allow` what can be done now.
    Dialogs of the system are asked through `ask`.
    """

    def __init__(self, name: str, folder: Path, foot: Foot, parent: QWidget | None = None) -> None:
        """`name` is that of the build, `folder` where files go at first."""
        super().__init__(parent)
        self._name, self._folder, self.foot = name, folder, foot
        self._columns: Columns | None = None
        self.ask = Questions(self)
        self.making, self.writing = Work(self), Work(self)
        self.writing.done.connect(foot.say)
        self.writing.refused.connect(foot.say)
        self.printing = Printing(self)
        self.printing.done.connect(foot.say)
        self.printing.refused.connect(foot.say)
        for work in self._works:
            work.progressed.connect(foot.show_progress)
            work.idle.connect(self._allow)
        foot.stop_wanted.connect(self.give_up)
        foot.close_button.clicked.connect(self.reject)

    @property
    def _works(self) -> tuple[Work | Printing, ...]:
        """What is shown at the foot, and given up together."""
        return self.making, self.writing, self.printing

    def _fill(self, left: QWidget, right: QWidget, above: Sequence[QWidget | QLayout] = ()) -> None:
        """Put two columns side by side, what is above them over both, the foot below; then lines between.

        Where the window is too narrow for both columns they stand one above the other.
        """
        content = QWidget()
        self._columns = Columns(left, right)
        filled(QVBoxLayout(content), *above, (self._columns, 1), margins=(0, 0, 0, 0), spacing=0)
        self._area = roomy(content)
        content.installEventFilter(self)
        parts = (self._area, 1), level_line(), self.foot
        filled(QVBoxLayout(self), *parts, margins=(0, 0, 0, 0), spacing=0)

    def _bring(self, part: QWidget) -> None:
        """Scroll to what has just been found, where it stands below what was asked."""
        if self._columns is not None and self._columns.stacked:
            QTimer.singleShot(0, part, lambda: self._scroll_to(part))

    def _scroll_to(self, part: QWidget) -> None:
        content = self._area.widget()
        if content is not None:
            self._area.verticalScrollBar().setValue(part.mapTo(content, QPoint(0, 0)).y())

    def _hear(self, *keys: tuple[str, Callable[[], object]]) -> None:
        """Do something when its keys are pressed."""
        for words, act in keys:
            QShortcut(QKeySequence(words), self, act)

    # What is under way

    def _make(self, words: str, function: Callable[[Progress], object]) -> None:
        """Do this beside the window; the words say at the foot what it is."""
        self.foot.begin(words)
        self.making.start(function)
        self._allow()

    def _save(self, title: str, part: str, suffix: Suffix, data: Callable[[], bytes]) -> None:
        """Ask for a place and write the file there, beside the window; Stop leaves what was there."""
        if not self._all_reads():
            return
        path = self.ask.path(title, suggested(self._folder, self._name, part, suffix), suffix)
        if path is None:
            return
        self._folder = path.parent
        wrote = self.tr("Saved {path}").format(path=path)

        def write(progress: Progress) -> str:
            progress(0, 2)
            whole = data()
            progress(1, 2)
            write_whole(path, whole)
            return wrote

        self.foot.begin(self.tr("Writing {name}…").format(name=path.name))
        self.writing.start(write)
        self._allow()

    def _print_pages(
        self, pages: Sequence[Page], name: str, title: str, allowed: Callable[[str], bool] = lambda _: True
    ) -> None:
        """Print these, on the printer with this name or another one, if its name is `allowed` once it was chosen."""
        printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
        if name in self.ask.installed_printers():
            printer.setPrinterName(name)
        printer.setDocName(title)
        if self.ask.printer(printer, len(pages)) and allowed(printer.printerName()):
            printer.setResolution(RESOLUTION)
            self.foot.begin(self.tr("Printing…"))
            self.printing.start(printer, chosen_pages(printer, pages))
            self._allow()

    def _all_reads(self) -> bool:
        """Whether all that is typed reads; what does not is said, with the cursor there."""
        return all_reads(self, self.foot.say)

    def _allow(self) -> None:
        """Offer what can be done now."""
        if not any(work.busy for work in self._works):
            self.foot.rest()

    def give_up(self) -> None:
        """End what is under way."""
        for work in self._works:
            work.cancel()
        self.foot.say(self.tr("Stopped."))

    # What Qt calls

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width may have room for both columns, or not."""
        self._arrange()
        super().resizeEvent(event)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802 - Qt's name
        """And so may other content."""
        if event.type() == QEvent.Type.LayoutRequest:
            self._arrange()
        return super().eventFilter(watched, event)

    def _arrange(self) -> None:
        """Put the columns beside each other if they fit, a scroll bar beside them counted."""
        if self._columns is not None:
            room = self.width() - self.style().pixelMetric(QStyle.PixelMetric.PM_ScrollBarExtent)
            self._columns.arrange(room)

    def reject(self) -> None:
        """Esc gives up what is shown to be under way, else closes."""
        if self.foot.working:
            self.give_up()
        else:
            super().reject()

    def done(self, result: int) -> None:
        """Close; nothing goes on behind the maker's back."""
        for work in self._works:
            work.close()
        # A clock that goes off while its dialog, garbage by then, is collected ends the program.
        for clock in self.findChildren(QTimer):
            clock.stop()
        super().done(result)


class Columns(QWidget):
    """Two parts with a line between them."""

    def __init__(self, left: QWidget, right: QWidget) -> None:
        super().__init__()
        self._parts = left, right
        self._line = upright_line()
        box = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._box = filled(box, (left, 1), self._line, (right, 1), margins=(0, 0, 0, 0), spacing=0)
        self.stacked = False

    def arrange(self, room: int) -> None:
        """Stand side by side where both have their least widths within so many pixels, else stacked."""
        line = self._line.sizeHint().width()
        for part, other in zip(self._parts, reversed(self._parts), strict=True):
            if isinstance(part, PagesView):
                part.suit(room - _least(other) - line)
        stacked = sum(_least(part) for part in self._parts) + line > room
        if stacked == self.stacked:
            return
        self.stacked = stacked
        ways = QBoxLayout.Direction
        self._box.setDirection(ways.TopToBottom if stacked else ways.LeftToRight)
        self._line.setFrameShape(QFrame.Shape.HLine if stacked else QFrame.Shape.VLine)
        for part in self._parts:
            if isinstance(part, Scrolled):
                part.set_tall(stacked)


def _least(part: QWidget) -> int:
    """The least width of a part beside another, in pixels."""
    if isinstance(part, Scrolled):
        return part.usual_width
    return max(part.minimumWidth(), part.minimumSizeHint().width())
