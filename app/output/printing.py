"""Pages sent to a printer at true size."""

from __future__ import annotations

from collections.abc import Generator, Sequence
from time import perf_counter

from PySide6.QtCore import QMarginsF, QObject, QSizeF, QTimer, Signal
from PySide6.QtGui import QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from app.output.page_painter import picture, steps
from export.page import Page
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


class Printing(QObject):
    """Sends page after page, so that the window stays awake and the maker can stop it.

    Signals:
        progressed: pages sent, and of how many.
        done: all pages were sent.
        refused: the printer does not take them.
        idle: it is over, one way or another.
    """

    progressed = Signal(int, int)
    done = Signal()
    refused = Signal(str)
    idle = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._printer: QPrinter | None = None
        self._painter = QPainter()
        self._pages: Sequence[Page] = ()
        self._begun = 0
        self._steps: Generator[None, None, None] | None = None
        self._clock = QTimer(self)
        self._clock.setInterval(0)
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
        if not self._painter.begin(printer):
            self.refused.emit(
                self.tr("The printer does not answer. Is it switched on? Or save a PDF and print that.")
            )
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
            self._end()
            self.done.emit()
            self.idle.emit()
        else:
            self._begin(printer, self._pages[self._begun])

    def _begin(self, printer: QPrinter, page: Page) -> None:
        if self._begun:
            printer.setPageLayout(layout_of(page))
            printer.newPage()
        self._begun += 1
        self._steps = steps(picture(page), self._painter, printer.resolution() / INCH)

    def _end(self) -> None:
        self._clock.stop()
        if self._steps is not None:
            self._steps.close()
        self._painter.end()
        self._printer = self._steps = None
