"""The woods to choose from, each with a picture of its hardness; any other name may be typed."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QLocale, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QStandardItem, QStandardItemModel
from PySide6.QtWidgets import QCompleter, QStyledItemDelegate, QWidget

from app.widgets.fields import Combo, TextField
from app.widgets.wood_combo import WoodCombo, all_names
from geometry.trade.wood import Wood, known_woods


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
