"""A table of values as the sheets print it, on the screen: as high as its rows, with heads over several lines."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Sequence

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidgetItem

from app.panels.part_table import WordTable
from export.flow import Column, Row, Table

_AIR = 10
"""Pixels that a cell is wider than its words, and higher where they run over several lines."""

_LEAST_WORDS = 14
"""Letters that a column of running words has room for at least."""


class ValueTable(WordTable):
    """Shows a Table; columns of `words` share what room is left and let their words run over several lines."""

    def __init__(self, name: str, *, words: tuple[int, ...] = ()) -> None:
        """`name` is what a screen reader says; `words` are the places of columns with long words."""
        super().__init__(name)
        self._words = words
        self.setWordWrap(bool(words))
        self.setTextElideMode(Qt.TextElideMode.ElideNone)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        header = self.horizontalHeader()
        header.setSectionsClickable(False)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)

    def show_table(self, table: Table | None) -> None:
        """Show other rows; without any the table is hidden."""
        self.setVisible(table is not None and bool(table.rows))
        if table is None:
            return
        self.setColumnCount(len(table.columns))
        self.setRowCount(len(table.rows))
        for place, column in enumerate(table.columns):
            self._show_head(place, column, [row.cells[place] for row in table.rows])
        for number, row in enumerate(table.rows):
            self._show_row(number, row, table.columns)
        self._fit()

    def _show_head(self, place: int, column: Column, cells: Sequence[str]) -> None:
        room = max((len(cell) for cell in cells), default=0)
        if place in self._words:
            room = _LEAST_WORDS
        longest = max(len(word) for word in column.head.split())
        text = "\n".join(textwrap.wrap(column.head, max(room, longest)))
        item = self.horizontalHeaderItem(place)
        if item is None or item.text() != text:
            item = QTableWidgetItem(text)
            item.setTextAlignment(_side(column) | Qt.AlignmentFlag.AlignBottom)
            item.setToolTip(column.head)
            self.setHorizontalHeaderItem(place, item)

    def _show_row(self, number: int, row: Row, columns: Sequence[Column]) -> None:
        for place, (text, column) in enumerate(zip(row.cells, columns, strict=True)):
            item = self.item(number, place)
            if item is None:
                item = QTableWidgetItem()
                self.setItem(number, place, item)
            item.setTextAlignment(_side(column) | Qt.AlignmentFlag.AlignVCenter)
            font = QFont(self.font())
            font.setBold(row.bold)
            item.setFont(font)
            if item.text() != text:
                item.setText(text)
                item.setToolTip(text)

    # Sizes

    def _fit(self) -> None:
        """Share the room out among the columns, and take as much height as the rows need."""
        wanted = [self._wanted(place) for place in range(self.columnCount())]
        spare = self.viewport().width() - sum(wanted)
        if self._words and wanted:
            room = spare + sum(wanted[place] for place in self._words)
            for place in self._words:
                wanted[place] = max(room // len(self._words), self._least(place))
        elif spare > 0 and wanted:
            each, rest = divmod(spare, len(wanted))
            wanted = [width + each + (place < rest) for place, width in enumerate(wanted)]
        for place, width in enumerate(wanted):
            if self.columnWidth(place) != width:
                self.setColumnWidth(place, width)
        line = self.fontMetrics().height() + 8
        self.verticalHeader().setDefaultSectionSize(line)
        self.verticalHeader().setMinimumSectionSize(line)
        if self._words:
            self.resizeRowsToContents()
            for row in range(self.rowCount()):
                if self.rowHeight(row) > line:
                    self.setRowHeight(row, self.rowHeight(row) + _AIR)
        if self.minimumHeight() != self._height():
            self.setFixedHeight(self._height())

    def _wanted(self, place: int) -> int:
        """The width in which nothing of a column is cut short."""
        head = self.horizontalHeader().sectionSizeHint(place)
        cells = max((self._cell_width(row, place) for row in range(self.rowCount())), default=0)
        return max(head, cells + _AIR)

    def _cell_width(self, row: int, place: int) -> int:
        item = self.item(row, place)
        assert item is not None, "every cell of a table has its words"
        bold = QFont(self.font())
        bold.setBold(item.font().bold())
        return QFontMetrics(bold).horizontalAdvance(item.text())

    def _least(self, place: int) -> int:
        """The width of a column of running words in which it can still be read, its head whole."""
        letters = self.fontMetrics().averageCharWidth() * _LEAST_WORDS
        return max(letters, self.horizontalHeader().sectionSizeHint(place))

    def _height(self) -> int:
        rows = sum(self.rowHeight(row) for row in range(self.rowCount()))
        over = sum(self.columnWidth(place) for place in range(self.columnCount())) > self.viewport().width()
        bar = self.horizontalScrollBar().sizeHint().height() if over else 0
        return self.horizontalHeader().sizeHint().height() + rows + bar + 2 * self.frameWidth()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width shares out anew."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._fit()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Only now its type is known for certain."""
        super().showEvent(event)
        self._fit()

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """Narrow rooms get a bar to scroll with."""
        return QSize(120, self._height())


def _side(column: Column) -> Qt.AlignmentFlag:
    return Qt.AlignmentFlag.AlignRight if column.anchor == "end" else Qt.AlignmentFlag.AlignLeft


def sizes_table(heads: Sequence[str], rows: Iterable[tuple[str, ...]], bold: int | None = None) -> Table:
    """A table whose first column has words and whose others have sizes; one row may be bold."""
    columns = [Column(head, anchor="end" if place else "start") for place, head in enumerate(heads)]
    return Table(tuple(columns), tuple(Row(row, bold=place == bold) for place, row in enumerate(rows)))
