"""Woods in a list, each with a bar of its hardness in the colour of the words."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QListView, QWidget

from app.widgets.fields import Combo
from app.widgets.hardness import BAR, hardness_bar
from app.widgets.kit import remark
from geometry.trade.escapes import in_tip
from geometry.trade.wood import Wood

_WOOD = Qt.ItemDataRole.UserRole + 1
"""Where an entry keeps its wood, for its bar; the data of an entry is the wood's name."""

_ROOM = (6, 4, 6, 4)
"""Pixels round the words above the list."""


class WoodCombo(Combo):
    """A list of woods; the bars follow a switch of light and dark."""

    EXTRA = Combo.EXTRA + BAR.width() + 8
    """The bar and the space behind it are in the list too."""

    def __init__(self, parent: QWidget | None = None) -> None:
        """Empty."""
        super().__init__(parent)
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
