"""The woods to choose from, each with a picture of its hardness; any other name may be typed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCompleter

from app.widgets.fields import Combo, TextField
from app.widgets.wood_combo import WoodCombo
from geometry.trade.wood import Wood, known_woods


class WoodList(WoodCombo):
    """A list that drops down from a field; what is typed offers every wood with those letters in its name."""

    def __init__(self, field: TextField) -> None:
        """With the woods of the table, until those of a shop are offered."""
        super().__init__()
        self._field = field
        self.setEditable(True)
        self.setInsertPolicy(Combo.InsertPolicy.NoInsert)
        self.setLineEdit(field)
        self.setAccessibleName(field.accessibleName())
        self.setToolTip(field.toolTip())
        self.offer(())
        # Choosing puts the name into the field; the field tells of it.
        self.activated.connect(field.take_over)

    def offer(self, own: tuple[Wood, ...]) -> None:
        """Offer the maker's own woods and those of the table; the field keeps its name."""
        woods = known_woods(own)
        self.clear()
        for wood in woods:
            self.add_wood(wood, wood.name)
        completer = QCompleter([wood.name for wood in woods], self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        self.setCompleter(completer)
        self.setCurrentIndex(-1)
        self._field.show_kept()
