"""Tables of values: as high as their rows, as wide as there is room."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from app.bench.value_table import ValueTable
from export.flow import Column, Row, Table
from tests.app.bench.reading import cells
from tests.app.panels.hands import SCREENLESS, shown

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

NUMBERS = Table(
    (Column("Slot over the frets"), Column("mm", anchor="end")),
    (Row(("a", "0.1")), Row(("b", "12.25"), bold=True)),
)
WORDS = Table(
    (Column("Name"), Column("Saves", anchor="end")),
    (Row(("a sealed tuner with a plastic button and a long name", "9 g")), Row(("short", "10 g"))),
)


def heights(table: ValueTable) -> list[int]:
    return [table.rowHeight(row) for row in range(table.rowCount())]


def test_columns_share_the_room_and_numbers_stand_at_the_right(qtbot: QtBot) -> None:
    table = shown(qtbot, ValueTable("Slots"), width=300)
    table.show_table(NUMBERS)
    assert [cells(table, row) for row in (0, 1)] == [["a", "0.1"], ["b", "12.25"]]
    assert sum(table.columnWidth(place) for place in (0, 1)) == table.viewport().width()
    number = table.item(1, 1)
    assert number is not None
    assert number.textAlignment() & Qt.AlignmentFlag.AlignRight
    assert number.font().bold()
    head = table.horizontalHeaderItem(0)
    assert head is not None
    assert head.text() == "Slot\nover\nthe\nfrets"


def test_it_is_as_high_as_its_rows(qtbot: QtBot) -> None:
    table = shown(qtbot, ValueTable("Slots"), width=300)
    table.show_table(NUMBERS)
    two = table.height()
    assert table.verticalScrollBar().maximum() == 0
    table.show_table(Table(NUMBERS.columns, NUMBERS.rows[:1]))
    assert two - table.height() == table.rowHeight(0)
    table.show_table(Table(NUMBERS.columns, ()))
    assert table.isHidden()
    table.show_table(NUMBERS)
    assert not table.isHidden()
    table.show_table(None)
    assert table.isHidden()


def test_long_words_run_over_lines_and_follow_the_width(qtbot: QtBot) -> None:
    table = shown(qtbot, ValueTable("Tuners", words=(0,)), width=220)
    table.show_table(WORDS)
    first, second = heights(table)
    assert first > 1.5 * second
    assert table.verticalScrollBar().maximum() == 0
    table.resize(700, table.height())
    assert len(set(heights(table))) == 1


def test_a_narrow_room_gets_a_bar(qtbot: QtBot) -> None:
    table = shown(qtbot, ValueTable("Tuners", words=(0,)), width=120)
    table.show_table(WORDS)
    assert table.horizontalScrollBar().maximum() > 0
    assert table.verticalScrollBar().maximum() == 0
    assert table.minimumSizeHint().width() == 120
