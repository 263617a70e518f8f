"""Pages sent to a printer at true size."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from time import perf_counter

from PySide6.QtCore import QMarginsF, QObject, QSizeF, QTimer, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

from app.output.page_painter import picture, steps
from export.page import Page
from geometry.trade.escapes import on_one_line
from geometry.trade.units import INCH

RESOLUTION = 1200
"""Dots in an inch by which places on paper are counted: one is 0.021 mm."""

AT_A_TIME = 0.02
"""Seconds of painting before the window has its turn."""


def layout_of(page: Page) -> QPageLayout:
    """The paper of a page, without margins: the page brings its own."""
    short, long = sorted((page.width, page.height))
    size = QPageSize(QSizeF(short, long), QPageSize.Unit.Millimeter, "", QPageSize.SizeMatchPolicy.FuzzyMatch)
    lying = page.width > page.height
    orientation = QPageLayout.Orientation.Landscape if lying else QPageLayout.Orientation.Portrait
    layout = QPageLayout(size, orientation, QMarginsF(), QPageLayout.Unit.Millimeter)
    layout.setMode(QPageLayout.Mode.FullPageMode)
    return layout


def chosen_pages(printer: QPrinter, pages: Sequence[Page]) -> Sequence[Page]:
    """The pages that were asked for in the printer's dialog."""
    if printer.printRange() is not QPrinter.PrintRange.PageRange or printer.fromPage() < 1:
        return pages
    return pages[printer.fromPage() - 1 : printer.toPage() or None]


def is_gone(printer: QPrinter) -> bool:
    """Whether this computer does not know the printer any more."""
    return QPrinterInfo.printerInfo(printer.printerName()).isNull()


def is_stopped(printer: QPrinter) -> bool:
    """Whether the printer takes pages and prints none."""
    return QPrinterInfo.printerInfo(printer.printerName()).state() is QPrinter.PrinterState.Error


class Printing(QObject):
    """Sends page after page, so that the window stays awake and the maker can stop it.

    Signals:
        progressed: pages sent, and of how many.
        done: all pages were sent; a sentence says what becomes of them.
        refused: the printer does not take them, a sentence.
        idle: it is over, one way or another.
    """

    progressed = Signal(int, int)
    done = Signal(str)
    refused = Signal(str)
    idle = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        # Python lets go of these in this order, and a painter must end while what it paints on is still there.
        self._steps: Generator[None, None, None] | None = None
        self._painter = QPainter()
        self._printer: QPrinter | None = None
        self._pages: Sequence[Page] = ()
        self._begun = 0
        self._clock = QTimer(self, interval=0)
        self._clock.timeout.connect(self._send)

    @property
    def busy(self) -> bool:
        """Whether pages are being sent."""
        return self._printer is not None

    def start(self, printer: QPrinter, pages: Sequence[Page]) -> None:
        """Send the pages from now on."""
        assert pages, "nothing to print"
        assert not self.busy, "one printing at a time"
        printer.setFullPage(True)
        printer.setPageLayout(layout_of(pages[0]))
        why = self._gone(printer)
        if not why and not self._painter.begin(printer):
            why = self.tr("The printer does not answer. Is it switched on? Or save a PDF and print that.")
        if why:
            self.refused.emit(why)
            self.idle.emit()
            return
        self._printer, self._pages, self._begun = printer, pages, 0
        self._clock.start()

    def cancel(self) -> None:
        """Stop; what was sent already may still come out."""
        if self._printer is not None:
            self._printer.abort()
            self._end()
            self.idle.emit()

    def close(self) -> None:
        """Stop, since nobody waits for it any more."""
        self.cancel()

    def _send(self) -> None:
        """A little of the page under way, or the beginning of the next one."""
        printer = self._printer
        assert printer is not None, "the clock runs while there is something to send"
        until = perf_counter() + AT_A_TIME
        for _ in self._steps or ():
            if perf_counter() > until:
                return
        if self._begun:
            self.progressed.emit(self._begun, len(self._pages))
        if self._begun == len(self._pages):
            whole = self._end()
            self._tell(printer, whole=whole)
            self.idle.emit()
        else:
            self._begin(printer, self._pages[self._begun])

    def _begin(self, printer: QPrinter, page: Page) -> None:
        if self._begun:
            printer.setPageLayout(layout_of(page))
            printer.newPage()
        self._begun += 1
        self._steps = steps(picture(page), self._painter, printer.resolution() / INCH, as_fonts=True)

    def _end(self) -> bool:
        """Close the job; whether the printer took all of it."""
        self._clock.stop()
        if self._steps is not None:
            self._steps.close()
        whole = self._painter.end()
        self._printer = self._steps = None
        return whole

    def _tell(self, printer: QPrinter, *, whole: bool) -> None:
        """Say what became of the pages: that they are on their way only where a printer has taken them."""
        failed = printer.printerState() in (QPrinter.PrinterState.Aborted, QPrinter.PrinterState.Error)
        if why := self._gone(printer):
            self.refused.emit(why)
        elif failed or not whole:
            self.refused.emit(self.tr("The printer did not take all pages. Save a PDF and print that."))
        elif printer.outputFileName():
            self.done.emit(self.tr("The pages are in {path}.").format(path=printer.outputFileName()))
        elif is_stopped(printer):
            words = self.tr("{name} is stopped. The pages wait there until it goes on.")
            self.done.emit(words.format(name=on_one_line(printer.printerName())))
        else:
            self.done.emit(self.tr("The pages are on their way to the printer."))

    def _gone(self, printer: QPrinter) -> str:
        """Why nothing can come out of a printer that is no more; nothing said of one that is there."""
        if printer.outputFileName() or not is_gone(printer):
            return ""
        words = self.tr("Nothing was printed: there is no printer {name} any more. Choose another one.")
        return words.format(name=on_one_line(printer.printerName()))
