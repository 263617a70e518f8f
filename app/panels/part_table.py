"""A small table of parts of the build, as high as its rows; the chosen one is the one selected on the head."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QItemSelectionModel, QSignalBlocker, QSize, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QSizePolicy, QTableWidget, QTableWidgetItem

from app.document.scene import Scene
from app.document.selection import Item, ItemKind, keys_of
from app.document.session import Session
from geometry.trade.escapes import in_tip

FEWEST = 1
"""Rows that there is always room for."""

LETTERS = 8
"""Average letters of the second column that there is always room for, where its words are longer."""


class WordTable(QTableWidget):
    """Cells of words in plain rows, of which one may be chosen; what is around the table scrolls it up and down."""

    def __init__(self, name: str) -> None:
        """`name` is what a screen reader says."""
        super().__init__()
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.horizontalHeader().setHighlightSections(False)
        self.horizontalHeader().setMinimumSectionSize(10)


class PartTable(WordTable):
    """Rows of words, one for each part; choosing one selects it in the session.

    Signals:
        current_changed: another part is the current one.
    """

    current_changed = Signal()

    def __init__(self, session: Session, kind: ItemKind, name: str, columns: Sequence[str]) -> None:
        """`columns` are the headings; the first column is narrow, the second takes what room is left."""
        super().__init__(name)
        self._session = session
        self._kind: ItemKind = kind
        self._keys: tuple[str, ...] = ()
        self.current: str | None = None
        """Key of the part that the fields below the table are about."""
        self.setColumnCount(len(columns))
        self.setHorizontalHeaderLabels(list(columns))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTextElideMode(Qt.TextElideMode.ElideRight)
        header = self.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(min(1, len(columns) - 1), QHeaderView.ResizeMode.Stretch)
        self.currentCellChanged.connect(self._current_cell)

    def show_rows(
        self, rows: Sequence[tuple[str, tuple[str, ...]]], scene: Scene, wanted: str | None = None
    ) -> None:
        """Show parts as key and words; the current one is `wanted`, or selected on the head, or stays."""
        keys = tuple(key for key, _ in rows)
        same_list = not set(self._keys).isdisjoint(keys)
        before = self._keys.index(self.current) if same_list and self.current in self._keys else 0
        self._keys = keys
        with QSignalBlocker(self):
            self.setRowCount(len(rows))
            for place, (_, words) in enumerate(rows):
                for column, text in enumerate(words):
                    self._show_cell(place, column, text)
            self.updateGeometry()
            self._choose(scene, before, wanted)

    def _show_cell(self, row: int, column: int, text: str) -> None:
        item = self.item(row, column)
        if item is None:
            item = QTableWidgetItem()
            item.setFlags(Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable)
            self.setItem(row, column, item)
        if item.text() != text:
            item.setText(text)
            item.setToolTip(in_tip(text))

    def _choose(self, scene: Scene, before: int, wanted: str | None) -> None:
        of_kind = (wanted,) if wanted in self._keys else keys_of(scene.selection, self._kind)
        selected = [key for key in of_kind if key in self._keys]
        if selected:
            self.current = selected[-1]
        elif self.current not in self._keys:
            self.current = self._keys[min(before, len(self._keys) - 1)] if self._keys else None
        place = self._keys.index(self.current) if self.current is not None else -1
        if place != self.currentRow():
            flag = QItemSelectionModel.SelectionFlag
            self.setCurrentCell(place, 0, flag.ClearAndSelect | flag.Rows)

    def _current_cell(self, row: int) -> None:
        if not 0 <= row < len(self._keys):
            return
        self.current = self._keys[row]
        self._session.select((Item(self._kind, self.current),))
        self.current_changed.emit()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As high as the rows, so that only the panel scrolls."""
        row = self.fontMetrics().height() + 8
        self.verticalHeader().setDefaultSectionSize(row)
        header = self.horizontalHeader().sizeHint().height()
        rows = max(FEWEST, self.rowCount())
        return QSize(200, header + rows * row + 2 * self.frameWidth())

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Not less, and wide enough for every heading and for what names the parts."""
        return QSize(max(120, self._least_width()), self.sizeHint().height())

    def _least_width(self) -> int:
        header, stretched = self.horizontalHeader(), min(1, self.columnCount() - 1)
        wanted = [
            max(header.sectionSizeHint(column), self.sizeHintForColumn(column))
            for column in range(self.columnCount())
        ]
        letters = LETTERS * self.fontMetrics().averageCharWidth()
        wanted[stretched] = max(header.sectionSizeHint(stretched), min(wanted[stretched], letters))
        return sum(wanted) + 2 * self.frameWidth()
