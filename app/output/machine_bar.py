"""The buttons that write files for machines, always in view."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QVBoxLayout, QWidget

from app.widgets.kit import button, strong
from app.writing.export import MACHINE_SUFFIXES, Suffix

_BESIDE = 3  # buttons in a row


class MachineBar(QWidget):
    """A button for each kind of file.

    Signals:
        wanted: a suffix; the maker wants such a file.
    """

    wanted = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.buttons: dict[Suffix, QPushButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 10, 16, 12)
        column.setSpacing(6)
        column.addWidget(strong(self.tr("Files for machines")))
        rows = QGridLayout()
        rows.setSpacing(6)
        column.addLayout(rows)
        for number, suffix in enumerate(MACHINE_SUFFIXES):
            title, tip = self._words(suffix)
            writes = button(title, tip)
            writes.clicked.connect(lambda _, wanted=suffix: self.wanted.emit(wanted))
            self.buttons[suffix] = writes
            rows.addWidget(writes, number // _BESIDE, number % _BESIDE)

    def _words(self, suffix: Suffix) -> tuple[str, str]:
        """What a button is called, and its tip."""
        words = {
            ".dxf": (self.tr("DXF…"), self.tr("Write the drawing for a laser or router")),
            ".svg": (self.tr("SVG…"), self.tr("Write the drawing for a laser or a drawing program")),
            ".csv": (
                self.tr("Hole list…"),
                self.tr("Write the places and sizes of all holes as a table (CSV)"),
            ),
            ".3mf": (
                self.tr("3MF guide…"),
                self.tr("Write a drill guide to print in plastic, with its unit and name"),
            ),
            ".stl": (
                self.tr("STL guide…"),
                self.tr("Write the same for printers that read STL; its unit is the millimetre"),
            ),
        }
        return words[suffix]
