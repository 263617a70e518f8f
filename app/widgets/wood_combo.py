"""Lists of woods, each with a bar of its hardness in the colour of the words; names may be typed, too."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from PySide6.QtCore import QEvent, QLocale, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap, QResizeEvent, QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QCompleter, QListView, QStyledItemDelegate, QWidget

from app.widgets.fields import Combo, TextField
from app.widgets.kit import remark
from geometry.trade.escapes import in_tip
from geometry.trade.wood import WOODS, Wood, known_woods

BAR = QSize(44, 12)
"""Pixels of the bar of the hardest wood."""

_RATIO = 2.0  # dots a pixel, so that it is sharp on most screens


@lru_cache(maxsize=128)
def hardness_bar(wood: Wood, colour: str) -> QIcon:
    """A bar as long as the wood is hard, of those in the table; the frame is the hardest."""
    share = min(1.0, wood.janka / max(each.janka for each in WOODS))
    picture = QPixmap(BAR * _RATIO)
    picture.setDevicePixelRatio(_RATIO)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    frame = QRectF(0.5, 2.5, BAR.width() - 1, BAR.height() - 5)
    painter.setPen(QColor(colour))
    painter.drawRect(frame)
    frame.setWidth(frame.width() * share)
    painter.fillRect(frame, QColor(colour))
    painter.end()
    return QIcon(picture)


_WOOD = Qt.ItemDataRole.UserRole + 1
"""Where an entry keeps its wood, for its bar; the data of an entry is the wood's name."""

_ROOM = (6, 4, 6, 4)
"""Pixels round the words above the list."""


class WoodCombo(Combo):
    """A list of woods; the bars follow a switch of light and dark."""

    EXTRA = Combo.EXTRA + BAR.width() + 8
    """The bar and the space behind it are in the list too."""

    def __init__(self) -> None:
        """Empty."""
        super().__init__()
        self.setIconSize(BAR)
        self.setView(_Woods(self.tr("Bar: how hard the wood is")))

    def add_wood(self, wood: Wood, words: str) -> None:
        """One more wood at the end, shown as `words`."""
        self.addItem(words, wood.name)
        self.setItemData(self.count() - 1, wood, _WOOD)
        self.setItemData(self.count() - 1, in_tip(all_names(wood)), Qt.ItemDataRole.ToolTipRole)
        self._paint_bar(self.count() - 1)

    def _paint_bar(self, place: int) -> None:
        wood = self.itemData(place, _WOOD)
        if isinstance(wood, Wood):
            self.setItemIcon(place, hardness_bar(wood, self.palette().text().color().name()))

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Paint the bars in the new colour of the words."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            for place in range(self.count()):
                self._paint_bar(place)


class _Woods(QListView):
    """The list that drops down, with what its bars mean above it; that stays while the woods scroll."""

    def __init__(self, legend: str) -> None:
        super().__init__()
        self.setIconSize(BAR)
        self.setTextElideMode(Qt.TextElideMode.ElideMiddle)
        self.legend = remark(legend)
        self.legend.setWordWrap(False)
        self.legend.setParent(self)
        self.legend.setContentsMargins(*_ROOM)
        self.setViewportMargins(0, self.legend.sizeHint().height(), 0, 0)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """As wide as the list."""
        super().resizeEvent(event)
        self.legend.resize(self.width(), self.legend.sizeHint().height())


def all_names(wood: Wood) -> str:
    """Such as "sugar maple (hard maple, rock maple)"."""
    return f"{wood.name} ({', '.join(wood.also)})" if wood.also else wood.name


class WoodList(WoodCombo):
    """A list that drops down from a field; what is typed offers every wood with those letters in one of its names."""

    def __init__(self, field: TextField) -> None:
        """With the woods of the table, until those of a shop are offered."""
        super().__init__()
        self._field = field
        self._words: dict[str, str] = {}
        self.setEditable(True)
        self.setInsertPolicy(Combo.InsertPolicy.NoInsert)
        self.setLineEdit(field)
        self.setAccessibleName(field.accessibleName())
        self.setToolTip(field.toolTip())
        self.setItemDelegate(_Entries(self._words, self))
        self.offer(())
        # Choosing puts the name into the field; the field tells of it.
        self.activated.connect(field.take_over)

    def offer(self, own: tuple[Wood, ...]) -> None:
        """Offer the maker's own woods and those of the table; the field keeps its name."""
        woods = known_woods(own)
        self.clear()
        self._words.clear()
        for wood in woods:
            self._words[wood.name] = all_names(wood)
            self.add_wood(wood, wood.name)
        self.setCompleter(_Completer(woods, self))
        self.setCurrentIndex(-1)
        self._field.show_kept()

    def offered(self, place: int) -> str:
        """An entry stands in the list with the other names of its wood."""
        return self._words[self.itemText(place)]


class _Entries(QStyledItemDelegate):
    """Entries by all their names, while their texts are the names alone."""

    def __init__(self, words: dict[str, str], parent: QWidget) -> None:
        super().__init__(parent)
        self._words = words

    def displayText(self, value: Any, locale: QLocale | QLocale.Language) -> str:  # noqa: N802 - as in Qt
        """All names of the wood that the entry is."""
        text = super().displayText(value, locale)
        return self._words.get(text, text)


class _Completer(QCompleter):
    """Finds a wood by any of its names; what it writes is the one by which the wood is known."""

    def __init__(self, woods: tuple[Wood, ...], parent: QWidget) -> None:
        super().__init__(parent)
        model = QStandardItemModel(self)
        for wood in woods:
            entry = QStandardItem(all_names(wood))
            entry.setData(wood.name, Qt.ItemDataRole.UserRole)
            model.appendRow(entry)
        self.setModel(model)
        self.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        self.setFilterMode(Qt.MatchFlag.MatchContains)

    def pathFromIndex(self, index: QModelIndex | QPersistentModelIndex) -> str:  # noqa: N802 - Qt's name
        """The name that is written for an entry."""
        return str(index.data(Qt.ItemDataRole.UserRole))
