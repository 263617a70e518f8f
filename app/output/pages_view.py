"""All pages in small beside the one that is looked at."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.output.page_list import PageList
from app.output.page_painter import Picture, picture
from app.output.pieces import upright_line
from app.output.preview import PagePreview
from app.output.preview_bar import PreviewBar
from app.widgets.boxes import filled
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
