"""The caliper card to type into: each hole to the nut line and the edges, and pairs of holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from app.intake.hole_table import Line
from app.widgets.boxes import filled
from app.widgets.kit import GAP, heading, remark
from export.sheets.caliper import readings
from geometry.layout.layout import Layout
from geometry.layout.names import natural

HOLE_COLUMNS = ("hole", "nut", "side", "left", "right", "centre", "diameter")
PAIR_COLUMNS = ("hole", "between", "across")
"""As the reader of tables knows them."""

_WAYS = QAbstractItemView.EditTrigger
TYPED = _WAYS.DoubleClicked | _WAYS.EditKeyPressed | _WAYS.AnyKeyPressed
"""What begins to type into a cell."""


class ReadingTables(QWidget):
    """Two tables with the holes of a head; what was not read stays empty.

    Signals:
        edited: a reading is another.
    """

    edited = Signal()

    def __init__(self, layout: Layout, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # As on the caliper card, from which they are typed.
        single = sorted((post.label for post in layout.posts), key=natural)
        pairs = [reading.name for reading in readings(layout, lambda post: post.bore)]
        self.holes = _table(
            self.tr("Holes to the nut line and the edges"),
            (
                (self.tr("Hole"), ""),
                (self.tr("Nut"), self.tr("From the rim square to the nut line")),
                (self.tr("Side"), self.tr("From the rim the shortest way to the side")),
                (self.tr("Left"), self.tr("From the rim the shortest way to the left side")),
                (self.tr("Right"), self.tr("From the rim the shortest way to the right side")),
                (self.tr("Centre"), self.tr("From the nearest rim square to the centre line")),
                (self.tr("⌀"), self.tr("The diameter of the hole on the face; empty: as its drill")),
            ),
            single,
        )
        self.pairs = _table(
            self.tr("Pairs of holes"),
            (
                (self.tr("Holes"), ""),
                (self.tr("Wood between"), self.tr("Over the wood from rim to rim, with the large jaws")),
                (self.tr("Far edges"), self.tr("From far rim to far rim, with the small jaws")),
            ),
            pairs,
        )
        words = self.tr(
            "Type what the calipers read, each from the rim of the hole. Two readings tell a hole, a third one shows a "
            "slip; leave the rest empty."
        )
        parts = remark(words), self.holes, heading(self.tr("Hole to hole")), self.pairs
        filled(QVBoxLayout(self), *parts, margins=(0, 0, 0, 0), spacing=GAP)
        for table in (self.holes, self.pairs):
            table.itemChanged.connect(lambda _: self.edited.emit())

    @property
    def meanings(self) -> tuple[str, ...]:
        """What each column to type in means, a sentence each."""
        heads = (
            table.horizontalHeaderItem(place)
            for table in (self.holes, self.pairs)
            for place in range(1, table.columnCount())
        )
        told = ((head.text(), head.toolTip()) for head in heads if head is not None)
        return tuple(f"{name}: {tip[:1].lower()}{tip[1:]}." for name, tip in told)

    @property
    def anything(self) -> bool:
        """Whether something is typed."""
        heads = (HOLE_COLUMNS, PAIR_COLUMNS)
        return any(any(line.cells[1:]) for line in self._lines() if line.cells not in heads)

    def lines(self) -> tuple[Line, ...]:
        """Both tables as the reader of tables takes them."""
        return tuple(self._lines())

    def _lines(self) -> Iterator[Line]:
        for table, columns in ((self.holes, HOLE_COLUMNS), (self.pairs, PAIR_COLUMNS)):
            yield Line(self.tr("The table"), columns)
            for row in range(table.rowCount()):
                cells = tuple(_text(table, row, place) for place in range(table.columnCount()))
                yield Line(self.tr("Hole {0}").format(cells[0]), cells)


def _text(table: QTableWidget, row: int, column: int) -> str:
    item = table.item(row, column)
    return "" if item is None else item.text().strip()


def fixed_item(words: str) -> QTableWidgetItem:
    """A cell that is not typed into."""
    item = QTableWidgetItem(words)
    item.setFlags(item.flags() & ~Qt.ItemFlag.ItemIsEditable)
    return item


def _table(name: str, heads: Sequence[tuple[str, str]], rows: Sequence[str]) -> QTableWidget:
    """An editable table with names and tips of its columns, as high as its rows, which have names of their own."""
    table = QTableWidget(len(rows), len(heads))
    table.setAccessibleName(name)
    table.setToolTip(name)
    for place, (words, tip) in enumerate(heads):
        head = QTableWidgetItem(words)
        head.setToolTip(tip)
        table.setHorizontalHeaderItem(place, head)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    table.verticalHeader().hide()
    table.setTabKeyNavigation(False)
    table.setEditTriggers(TYPED)
    for row, words in enumerate(rows):
        table.setItem(row, 0, fixed_item(words))
    high = sum(table.rowHeight(row) for row in range(len(rows)))
    table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    table.setFixedHeight(high + table.horizontalHeader().sizeHint().height() + 2 * table.frameWidth() + 2)
    return table
