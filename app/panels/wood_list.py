"""The woods to choose from, each with a picture of its hardness; any other name may be typed."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCompleter

from app.widgets.fields import Combo, TextField
from app.widgets.hardness import BAR, hardness_bar
from geometry.trade.wood import known_woods


def wood_list(field: TextField) -> Combo:
    """A list that drops down from a field; what is typed offers every wood with those letters in its name."""
    woods = known_woods()
    made = Combo()
    made.setEditable(True)
    made.setInsertPolicy(Combo.InsertPolicy.NoInsert)
    made.setIconSize(BAR)
    made.setLineEdit(field)
    made.setAccessibleName(field.accessibleName())
    made.setToolTip(field.toolTip())
    colour = made.palette().text().color().name()
    for wood in woods:
        made.addItem(hardness_bar(wood, colour), wood.name)
    completer = QCompleter([wood.name for wood in woods], made)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    made.setCompleter(completer)
    made.setCurrentIndex(-1)
    # Choosing puts the name into the field; the field tells of it.
    made.activated.connect(field.take_over)
    return made
