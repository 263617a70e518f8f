"""A small table of words that is as high as its lines and marks those that matter by their weight."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QAbstractItemView, QFrame, QHeaderView, QTableWidget, QTableWidgetItem, QWidget


class Cells(QTableWidget):
    """Lines of cells; numbers stand at the right, names and the last column at the left."""

    def __init__(self, name: str, heads: Sequence[str], parent: QWidget | None = None) -> None:
        super().__init__(0, len(heads), parent)
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setAlternatingRowColors(True)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setHighlightSections(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setDefaultSectionSize(2 * header.minimumSectionSize())  # else the last one is never narrower
        header.setStretchLastSection(True)
        for column, words in enumerate(heads):
            item = QTableWidgetItem(words)
            if column in (0, len(heads) - 1):
                item.setTextAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
            self.setHorizontalHeaderItem(column, item)

    def show_lines(self, lines: Sequence[tuple[tuple[str, ...], bool]]) -> None:
        """Show these lines, each with whether it stands out."""
        self.setRowCount(len(lines))
        for row, (cells, strong) in enumerate(lines):
            for column, words in enumerate(cells):
                item = QTableWidgetItem(words)
                inner = 0 < column < len(cells) - 1
                side = Qt.AlignmentFlag.AlignRight if inner else Qt.AlignmentFlag.AlignLeft
                item.setTextAlignment(side | Qt.AlignmentFlag.AlignVCenter)
                if strong:
                    font = QFont(self.font())
                    font.setWeight(QFont.Weight.DemiBold)
                    item.setFont(font)
                self.setItem(row, column, item)
        self.resizeRowsToContents()
        self._fit()

    def cells(self, row: int) -> tuple[str, ...]:
        """The words of a line."""
        items = (self.item(row, column) for column in range(self.columnCount()))
        return tuple("" if item is None else item.text() for item in items)

    def _fit(self) -> None:
        """As high as the lines, with room for the bar where they are wider than the table."""
        high = self.horizontalHeader().sizeHint().height()
        high += sum(self.rowHeight(row) for row in range(self.rowCount()))
        bar = self.horizontalScrollBar()
        if bar.maximum() > 0:
            high += bar.sizeHint().height()
        self.setFixedHeight(high + 2 * self.frameWidth() + 2)

    def updateGeometries(self) -> None:  # noqa: N802 - Qt's name
        """Another width may need a bar, or need it no more."""
        super().updateGeometries()
        self._fit()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Another size of type makes other lines."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.resizeRowsToContents()
            self._fit()
