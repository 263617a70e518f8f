"""Reads what a page of the bench shows, and empties its fields."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit, QTableWidget


def cells(table: QTableWidget, row: int) -> list[str]:
    """The words of a row."""
    found = (table.item(row, column) for column in range(table.columnCount()))
    return [item.text() for item in found if item is not None]


def column(table: QTableWidget, place: int) -> list[str]:
    """The words of a column."""
    return [cells(table, row)[place] for row in range(table.rowCount())]


def heads(table: QTableWidget) -> list[str]:
    """The heads of a table, each on one line."""
    found = (table.horizontalHeaderItem(place) for place in range(table.columnCount()))
    return [" ".join(item.text().split()) for item in found if item is not None]


def empty(field: QLineEdit) -> None:
    """Take out what a field holds, and press Enter."""
    assert field.isVisible(), "nobody can type into a hidden field"
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Backspace)
    QTest.keyClick(field, Qt.Key.Key_Return)
