"""The list of packets, each with its first page in small and the number of its pages."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.output.packet_pages import PacketPages
from app.output.page_list import as_it_is, small
from app.output.page_painter import picture
from app.widgets.fields import Choice

SIDE = 54
"""Pixels that the longer side of a small page has."""

_PICTURE, _PAGES = Qt.ItemDataRole.UserRole + 1, Qt.ItemDataRole.UserRole + 2
_TIGHT = 4


class PacketChoice(Choice):
    """A choice whose open list shows what comes out of each packet; closed it is like any other.

    Signals:
        opened: the list is shown, so what comes out is wanted.
    """

    opened = Signal()

    def __init__(self, name: str, options: Sequence[tuple[object, str]], *, tip: str = "") -> None:
        """`options` are names of packets and their words in order."""
        super().__init__(name, options, tip=tip)
        self.setItemDelegate(_Rows(self))

    def show_pages(self, found: PacketPages) -> None:
        """Show what comes out of one packet."""
        place = self._values.index(found.name)
        words = self.tr("{count} pages").format(count=found.count)
        if found.count < 2:
            words = self.tr("1 page") if found.count else self.tr("no page for this head")
        self.setItemData(place, words, _PAGES)
        told = f"{self.itemText(place)}, {words}"
        self.setItemData(place, told, Qt.ItemDataRole.AccessibleTextRole)
        if found.first is not None:
            page = small(picture(found.first), self.devicePixelRatioF(), SIDE)
            self.setItemData(place, as_it_is(page), _PICTURE)

    def forget_pages(self) -> None:
        """What comes out is not known any more."""
        for place in range(self.count()):
            for role in (_PICTURE, _PAGES, Qt.ItemDataRole.AccessibleTextRole):
                self.setItemData(place, None, role)

    def pages_of(self, name: str) -> tuple[str, QIcon | None]:
        """What the list says of a packet's pages, and their picture; empty and None while they are not known."""
        place = self._values.index(name)
        return self.itemData(place, _PAGES) or "", self.itemData(place, _PICTURE)

    def showPopup(self) -> None:  # noqa: N802 - Qt's name
        """Ask for what the list shows, and open it with room for the pictures."""
        self.opened.emit()
        super().showPopup()
        self.view().setMinimumWidth(self.view().minimumWidth() + SIDE + 4 * _TIGHT)


class _Rows(QStyledItemDelegate):
    """Words with the number of pages below them, the first page before them."""

    def initStyleOption(  # noqa: N802 - Qt's name
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> None:
        """Take the picture and the number of pages in."""
        super().initStyleOption(option, index)
        pages, drawn = index.data(_PAGES), index.data(_PICTURE)
        if pages:
            option.text = f"{option.text}\N{LINE SEPARATOR}{pages}"
        option.features |= QStyleOptionViewItem.ViewItemFeature.HasDecoration
        option.decorationSize = QSize(SIDE, SIDE)
        if isinstance(drawn, QIcon):
            option.icon = drawn

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:  # noqa: N802
        """As high as a picture, so that nothing moves when it comes."""
        hint = super().sizeHint(option, index)
        return QSize(hint.width(), SIDE + 2 * _TIGHT)
