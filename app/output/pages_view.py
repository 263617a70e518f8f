"""All pages in small beside the one that is looked at, over it which one it is, and how large."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.output.page_list import PageList
from app.output.page_painter import Picture, picture
from app.output.pieces import upright_line
from app.output.preview import STEP, PagePreview
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.widgets.shades import shade_in
from app.widgets.theme import icon
from export.page import Page

NARROW, TIGHT = 150, 110
"""Average letters of the screen's width below which the list of pages has no titles, and is not there at all."""


class PagesView(QWidget):
    """The list of pages, and one of them as it will print."""

    def __init__(self, per_mm: float, letters: float, parent: QWidget | None = None) -> None:
        """`per_mm`: pixels of this screen in a mm, for the true size.

        `letters`: width of the screen in average letters. Where it is small the page has the room of the list's
        titles, then that of the whole list: the arrows over the page turn it as well.
        """
        super().__init__(parent)
        narrow, tight = letters < NARROW, letters < TIGHT
        self._pages: tuple[Page, ...] = ()
        self._pictures: dict[int, Picture] = {}
        self.list = PageList(self.picture, narrow=narrow)
        self.preview = PagePreview(per_mm)
        self.bar = PreviewBar(self.preview, tight=tight)
        right = filled(QVBoxLayout(), self.bar, (self.preview, 1), spacing=0)
        self._aside = self.list, upright_line()
        filled(QHBoxLayout(self), *self._aside, (right, 1), margins=(0, 0, 0, 0), spacing=0)
        self._narrow, self._tight = narrow, tight
        for part in self._aside:
            part.setVisible(not tight)
        self.list.chosen.connect(self._show)
        self.preview.turned.connect(self.turn)
        self.bar.turned.connect(self.turn)

    def suit(self, room: int) -> None:
        """Leave the titles away, then the whole list, where so many pixels across have no room for them.

        A small screen, of which the view knows from the beginning, has none either.
        """
        spare = room - self.bar.minimumSizeHint().width()
        titles = not self._narrow and spare >= self.list.width_with(titles=True)
        listed = not self._tight and spare >= self.list.width_with(titles=False)
        self.list.show_titles(titles=titles)
        for part in self._aside:
            part.setVisible(listed)

    def show_pages(self, pages: tuple[Page, ...]) -> None:
        """Show these pages, at the place where one was before."""
        self._pages = pages
        self._pictures.clear()
        self.list.show_pages(pages)
        self._show(self.list.currentRow())

    def show_nothing(self, why: str) -> None:
        """Show a sentence in the place of the pages."""
        self.show_pages(())
        self.preview.show_page(None, why)
        self.bar.show_number(0, 0)

    def turn(self, step: int) -> None:
        """Show a page before or after the one shown."""
        self.list.setCurrentRow(min(max(self.list.currentRow() + step, 0), self.list.count() - 1))

    def turn_to_sheet(self, name: str) -> None:
        """Show the first page of a sheet; where no page is of it, the one shown stays."""
        names = [page.placed[0].sheet.name for page in self._pages]
        if name in names:
            self.list.setCurrentRow(names.index(name))

    def picture(self, index: int) -> Picture:
        """The page of an index, ready to paint."""
        if index not in self._pictures:
            self._pictures[index] = picture(self._pages[index])
        return self._pictures[index]

    def _show(self, index: int) -> None:
        if index >= 0:
            self.preview.show_page(self.picture(index))
            self.bar.show_number(index + 1, len(self._pages))


class PreviewBar(QWidget):
    """Buttons to turn pages and to zoom, with the number of the page and the zoom between them.

    Signals:
        turned: -1 or 1, for the page before or after.
    """

    turned = Signal(int)

    def __init__(self, preview: PagePreview, *, tight: bool = False, parent: QWidget | None = None) -> None:
        """`tight`: in two rows, for a screen that has no room for one."""
        super().__init__(parent)
        self._preview = preview
        self.before = _arrow("‹", self.tr("Page before"), self.tr("The page before (Page up)"))
        self.after = _arrow("›", self.tr("Next page"), self.tr("The next page (Page down)"))
        self.number = PlainLabel()
        self.zoom = PlainLabel()
        further = self._zoom_button("further", self.tr("Smaller"), self.tr("Smaller (−)"))
        closer = self._zoom_button("closer", self.tr("Larger"), self.tr("Larger (+)"))
        whole = self._zoom_button("fit", self.tr("Whole page"), self.tr("The whole page (0)"))
        true = self._zoom_button("actual", self.tr("True size"), self.tr("As large as on paper (1)"))
        self.buttons = (self.before, self.after, further, closer, whole, true)
        turns, zooms = (self.before, self.number, self.after, None), (further, self.zoom, closer, whole, true)
        rows = (turns, zooms) if tight else ((*turns, *zooms),)
        lines = (filled(QHBoxLayout(), *parts, spacing=4) for parts in rows)
        filled(QVBoxLayout(self), *lines, margins=(8, 6, 8, 6), spacing=2)
        self.before.clicked.connect(lambda: self.turned.emit(-1))
        self.after.clicked.connect(lambda: self.turned.emit(1))
        further.clicked.connect(lambda: preview.zoom_by(1 / STEP))
        closer.clicked.connect(lambda: preview.zoom_by(STEP))
        whole.clicked.connect(preview.fit)
        true.clicked.connect(preview.true_size)
        preview.zoom_changed.connect(self._show_zoom)
        self._show_zoom()
        self.show_number(0, 0)

    def show_number(self, number: int, count: int) -> None:
        """Say which of how many pages is shown; 0 of 0 while there is none."""
        words = self.tr("Page {number} of {count}").format(number=number, count=count)
        self.number.setText(words if count else self.tr("No page"))
        self.before.setEnabled(number > 1)
        self.after.setEnabled(number < count)

    def _show_zoom(self) -> None:
        share = round(self._preview.zoom / self._preview.true_zoom * 100)
        self.zoom.setText(self.tr("{share} %").format(share=share))

    def _zoom_button(self, picture: str, name: str, tip: str) -> QToolButton:
        button = _button(name, tip)
        button.setIcon(icon(picture, shade_in(self.palette())))
        button.setIconSize(QSize(20, 20))
        return button


def _arrow(sign: str, name: str, tip: str) -> QToolButton:
    button = _button(name, tip)
    font = button.font()
    font.setPointSizeF(font.pointSizeF() * 1.5)
    button.setFont(font)
    button.setText(sign)
    return button


def _button(name: str, tip: str) -> QToolButton:
    button = QToolButton()
    button.setAutoRaise(True)
    button.setMinimumSize(28, 28)
    button.setAccessibleName(name)
    button.setToolTip(tip)
    return button
