"""The list of packets, each with its first page in small and the number of its pages, found out beside the window."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
from PySide6.QtCore import QModelIndex, QObject, QPersistentModelIndex, QSize, Qt, Signal
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem

from app.document.messages import Progress, Refusal
from app.document.work import Work
from app.output.page_list import as_it_is, small
from app.output.page_painter import picture
from app.widgets.fields import Choice
from app.writing.export import Job, pages_of, sheets_of
from export.catalogue import PACKETS, Packet
from export.drawing import Sheet
from export.page import Page

SIDE = 54
"""Pixels that the longer side of a small page has."""

_PICTURE, _PAGES = Qt.ItemDataRole.UserRole + 1, Qt.ItemDataRole.UserRole + 2
_TIGHT = 4


Drawn = Mapping[str, tuple[Sheet, ...]]
"""Sheets that were drawn already, by the name of their kind: packets share them."""


class PacketPages(msgspec.Struct, frozen=True):
    """The pages of the packet called `name`: how many, and the first; none where nothing in it can be drawn."""

    name: str
    count: int
    first: Page | None


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


# Finding out


class PacketLooker(QObject):
    """Draws one packet after the other, when somebody wants to see them, until other choices make them others.

    Signals:
        found: the PacketPages of one packet.
    """

    found = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.work = Work(self)
        self.work.done.connect(self._take)
        self._job: Job | None = None
        self._drawn: Drawn = {}
        self._left: tuple[Packet, ...] = ()

    def forget(self) -> None:
        """What was found is of other choices."""
        self.work.cancel()
        self._job, self._drawn, self._left = None, {}, ()

    def look(self, job: Job) -> None:
        """Find out for this job, whatever sheets it names; what was found since `forget` is not looked for again."""
        if self._job is None:
            self._job, self._left = job, PACKETS
            self._next()

    def close(self) -> None:
        """Look no more."""
        self.work.close()

    def _next(self) -> None:
        job, drawn = self._job, self._drawn
        if self._left and job is not None:
            packet, *rest = self._left
            self._left = tuple(rest)
            self.work.start(lambda progress: _looked(job, packet, drawn, progress))

    def _take(self, step: tuple[PacketPages, Drawn]) -> None:
        found, self._drawn = step
        self.found.emit(found)
        self._next()


def _looked(job: Job, packet: Packet, drawn: Drawn, progress: Progress) -> tuple[PacketPages, Drawn]:
    known = dict(drawn)
    for number, name in enumerate(packet.names):
        progress(number, len(packet.names))  # ends here once nobody wants it any more
        if name not in known:
            known[name] = sheets_of(job, name)
    sheets = tuple(sheet for name in packet.names for sheet in known[name])
    try:
        pages = pages_of(sheets, job.stamp)
    except Refusal:  # the paper is too small; the preview says so
        pages = ()
    return PacketPages(packet.name, len(pages), next(iter(pages), None)), known
