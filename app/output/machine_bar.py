"""Which drawing machines get, and the buttons that write it, always in view."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QPushButton, QVBoxLayout, QWidget

from app.output.choices import Choices
from app.output.pieces import sheet_title
from app.widgets.boxes import filled
from app.widgets.fields import Choice
from app.widgets.kit import button, remark, strong
from app.writing.export import MACHINE_SUFFIXES, Suffix
from export.catalogue import SHEETS
from export.sheets.guide import GUIDE, PILOT
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

_BESIDE = 3  # buttons in a row


class MachineBar(QWidget):
    """The one drawing that a DXF or SVG holds, and a button for each kind of file.

    Signals:
        wanted: a suffix; the maker wants such a file.
        picked: the name of another drawing.
    """

    wanted = Signal(str)
    picked = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.drawing = Choice(
            self.tr("Drawing"),
            [(kind.name, sheet_title(kind.machine_title)) for kind in SHEETS if kind.machine is not None],
            tip=self.tr("The one drawing that a DXF or SVG holds"),
        )
        self.drawing.picked.connect(self.picked)
        self.told = remark()
        self.buttons: dict[Suffix, QPushButton] = {}
        rows = QGridLayout()
        rows.setSpacing(6)
        parts = strong(self.tr("Files for machines")), self.drawing, self.told, rows
        filled(QVBoxLayout(self), *parts, margins=(16, 10, 16, 12), spacing=6)
        for number, suffix in enumerate(MACHINE_SUFFIXES):
            title, tip = self._words(suffix)
            writes = button(title, tip)
            writes.clicked.connect(lambda _, wanted=suffix: self.wanted.emit(wanted))
            self.buttons[suffix] = writes
            rows.addWidget(writes, number // _BESIDE, number % _BESIDE)

    def follow(self, choices: Choices, units: Units) -> None:
        """Show which drawing is chosen, and what the holes of a drill guide are made for."""
        self.drawing.set_value(choices.drawing)
        words = self.tr("Its holes of {size} take the guide bushing; kerf {kerf}.")
        if choices.guide_bushing is None:
            words = self.tr("Its holes of {size} lead a pilot drill; kerf {kerf}.")
        size, kerf = (show_length(each, units) for each in (choices.guide_bushing or PILOT, choices.kerf))
        self.told.setText(words.format(size=size, kerf=kerf))
        self.told.setVisible(choices.drawing == GUIDE.name)

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
