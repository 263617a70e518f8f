"""Woods in a list, each with a bar of its hardness in the colour of the words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QWidget

from app.widgets.fields import Combo
from app.widgets.hardness import BAR, hardness_bar
from geometry.trade.wood import Wood

_WOOD = Qt.ItemDataRole.UserRole + 1
"""Where an entry keeps its wood, for its bar; the data of an entry is the wood's name."""


class WoodCombo(Combo):
    """A list of woods; the bars follow a switch of light and dark."""

    def __init__(self, parent: QWidget | None = None) -> None:
        """Empty."""
        super().__init__(parent)
        self.setIconSize(BAR)

    def add_wood(self, wood: Wood, words: str) -> None:
        """One more wood at the end, shown as `words`."""
        self.addItem(words, wood.name)
        self.setItemData(self.count() - 1, wood, _WOOD)
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


def all_names(wood: Wood) -> str:
    """Such as "sugar maple (hard maple, rock maple)"."""
    return f"{wood.name} ({', '.join(wood.also)})" if wood.also else wood.name
