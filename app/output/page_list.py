"""All pages in small, to choose the one that is looked at."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QIcon, QPainter, QPixmap
from PySide6.QtWidgets import QFrame, QListWidget, QListWidgetItem

from app.output.page_painter import Picture, paint
from app.widgets.shades import colours_of, shade_in
from export.page import Page

SIDE = 76
"""Pixels that the longer side of a small page has."""

_TITLE = Qt.ItemDataRole.UserRole


class PageList(QListWidget):
    """The pages, one under the other, each with its number and title; painted one by one so that nobody waits.

    Signals:
        chosen: the index of another page, -1 for none.
    """

    chosen = Signal(int)

    def __init__(self, picture_of: Callable[[int], Picture], *, narrow: bool) -> None:
        """`picture_of` gives the page of an index, ready to paint; a `narrow` list is pictures alone."""
        super().__init__()
        self._picture_of, self._narrow = picture_of, narrow
        self.painted = 0
        self.setAccessibleName(self.tr("Pages"))
        self.setToolTip(self.tr("Choose the page to look at"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setIconSize(QSize(SIDE, SIDE))
        self.setSpacing(4)
        self.setWordWrap(True)
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setFixedWidth(self.width_with(titles=not narrow))
        colours = colours_of(shade_in(self.palette()))
        self.setStyleSheet(
            "QListWidget { outline: 0; padding: 4px; }"
            "QListWidget::item { border-radius: 5px; border: 1px solid transparent; padding: 4px 2px; }"
            f"QListWidget::item:selected {{ background: {colours.tint}; color: {colours.text}; "
            f"border-color: {colours.accent}; }}"
        )
        self.currentRowChanged.connect(self.chosen)
        self._clock = QTimer(self, interval=0)
        self._clock.timeout.connect(self._paint_one)

    def width_with(self, *, titles: bool) -> int:
        """Pixels across with the titles of the pages, or without."""
        return self.fontMetrics().averageCharWidth() * 18 + SIDE + 24 if titles else SIDE + 36

    def show_titles(self, *, titles: bool) -> None:
        """Show the pages with their titles, or the pictures alone."""
        if titles == self._narrow:
            self._narrow = not titles
            self.setFixedWidth(self.width_with(titles=titles))
            for row in range(self.count()):
                self.item(row).setText(self._words(row + 1, self.item(row).data(_TITLE)))

    def _words(self, number: int, title: str) -> str:
        return "" if self._narrow else f"{number}\n{title}"

    def show_pages(self, pages: Sequence[Page]) -> None:
        """List other pages; the one that was chosen stays so as far as there is one at its place."""
        before = max(self.currentRow(), 0)
        self.blockSignals(True)
        self.clear()
        for number, page in enumerate(pages, 1):
            title = page.placed[0].sheet.title
            whole = self.tr("Page {number}: {title}").format(number=number, title=title)
            item = QListWidgetItem(QIcon(_square(1.0)), self._words(number, title))
            item.setData(_TITLE, title)
            item.setToolTip(whole)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, whole)
            item.setSizeHint(QSize(0, max(SIDE, 4 * self.fontMetrics().lineSpacing()) + 10))
            self.addItem(item)
        self.blockSignals(False)
        self.painted = 0
        self.setCurrentRow(min(before, len(pages) - 1))
        self._clock.start()

    def _paint_one(self) -> None:
        if self.painted == self.count():
            self._clock.stop()
            return
        item = self.item(self.painted)
        pixmap = small(self._picture_of(self.painted), self.devicePixelRatioF())
        item.setIcon(as_it_is(pixmap))
        self.painted += 1


def small(page: Picture, ratio: float, side: int = SIDE) -> QPixmap:
    """A page in small on a square of `side` pixels, for a screen with `ratio` dots a pixel."""
    pixmap = _square(ratio, side)
    scale = (side - 2) / max(page.width, page.height)
    wide, high = page.width * scale, page.height * scale
    painter = QPainter(pixmap)
    painter.translate((side - wide) / 2, (side - high) / 2)
    painter.fillRect(0, 0, round(wide), round(high), Qt.GlobalColor.white)
    painter.save()
    paint(page, painter, scale, 0.4)
    painter.restore()
    painter.setPen(Qt.GlobalColor.gray)
    painter.drawRect(0, 0, round(wide) - 1, round(high) - 1)
    painter.end()
    return pixmap


def as_it_is(page: QPixmap) -> QIcon:
    """An icon that is not tinted where it is chosen."""
    drawn = QIcon(page)
    drawn.addPixmap(page, QIcon.Mode.Selected)
    return drawn


def _square(ratio: float, side: int = SIDE) -> QPixmap:
    pixmap = QPixmap(round(side * ratio), round(side * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    return pixmap
