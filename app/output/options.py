"""The choices of an output as controls, in the order in which a maker thinks of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import get_args

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.output.choices import Choices, profile_of
from app.output.pieces import button, heading, remark
from app.widgets.number_field import NumberField, Range
from app.writing.export import MACHINE_SUFFIXES, DxfVersion, LeftOut, Suffix
from export.catalogue import SHEETS
from geometry.trade.measures import LEAST
from geometry.trade.shop import PaperName, Shop

_KERFS = Range(0.0, 10.0)
_BUSHINGS = Range(LEAST, 100.0)


MACHINE_SHEETS = tuple(kind for kind in SHEETS if kind.machine is not None)
"""Sheets that a machine can do something with."""


class OptionsPanel(QWidget):
    """Sheets, paper and printer, drill guide, files for machines.

    Signals:
        changed: the new Choices.
        correction_wanted: the maker wants to correct a printer.
        file_wanted: a suffix; the maker wants such a file for a machine.
    """

    changed = Signal(object)
    correction_wanted = Signal()
    file_wanted = Signal(str)

    def __init__(self, shop: Shop, choices: Choices, today: date, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._choices = choices
        self._today = today
        self.sheets: dict[str, QCheckBox] = {}
        self.reasons: dict[str, QLabel] = {}
        self.machine_buttons: dict[Suffix, QPushButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 16, 16, 16)
        column.setSpacing(8)
        self._add_sheets(column)
        self._add_paper(column, shop)
        self._add_guide(column, shop)
        self._add_machines(column)
        column.addStretch(1)

    @property
    def choices(self) -> Choices:
        """What is chosen."""
        return self._choices

    def show_left_out(self, left_out: Iterable[LeftOut]) -> None:
        """Say under each sheet that is wanted and not there why it is not."""
        reasons = {each.name: each.why for each in left_out}
        for name, label in self.reasons.items():
            reason = reasons.get(name, "")
            label.setText(reason[:1].upper() + reason[1:])
            label.setVisible(bool(reason))
            self.sheets[name].setAccessibleDescription(reason)

    def show_printers(self, shop: Shop, chosen: str) -> None:
        """Offer the printers that the shop has now, one of them chosen."""
        self.printer.blockSignals(True)
        self.printer.clear()
        for profile in shop.printers:
            self.printer.addItem(profile.name)
        self.printer.setCurrentText(profile_of(shop, chosen).name)
        self.printer.blockSignals(False)
        self._say_correction(shop)
        self._printers = shop
        self._set(printer=self.printer.currentText())

    def _say_correction(self, shop: Shop) -> None:
        profile = profile_of(shop, self.printer.currentText())
        words = self.tr("Lengths × {x:.4f} across, × {y:.4f} up.")
        if profile.factor_x == profile.factor_y == 1.0:
            words = self.tr("Lengths as they are.")
        self.correction.setText(words.format(x=profile.factor_x, y=profile.factor_y))

    # How it is put together

    def _add_sheets(self, column: QVBoxLayout) -> None:
        column.addWidget(heading(self.tr("Sheets")))
        for kind in SHEETS:
            name = kind.name
            box = QCheckBox(QCoreApplication.translate("Output", kind.title))
            box.setToolTip(self.tr("Print this sheet"))
            box.setChecked(name in self._choices.names)
            box.toggled.connect(self._take_sheets)
            reason = remark()
            reason.setContentsMargins(24, 0, 0, 2)
            reason.hide()
            self.sheets[name], self.reasons[name] = box, reason
            column.addWidget(box)
            column.addWidget(reason)
        self.dated = QCheckBox(self.tr("With the date, {day}").format(day=self._today.isoformat()))
        self.dated.setToolTip(self.tr("Print today's date in the title block of every page"))
        self.dated.setChecked(self._choices.day is not None)
        self.dated.toggled.connect(lambda on: self._set(day=self._today if on else None))
        column.addSpacing(4)
        column.addWidget(self.dated)

    def _add_paper(self, column: QVBoxLayout, shop: Shop) -> None:
        form = _form(column, self.tr("Paper and printer"))
        self.paper = _combo(self.tr("Paper"), self.tr("Size of the paper"))
        for paper in get_args(PaperName):
            self.paper.addItem(paper)
        self.paper.setCurrentText(self._choices.paper)
        self.paper.currentTextChanged.connect(lambda paper: self._set(paper=paper))
        form.addRow(self.tr("&Paper"), self.paper)
        self.printer = _combo(self.tr("Printer"), self.tr("Whose correction the pages carry"))
        self.correction = remark()
        self.correct = button(
            self.tr("&Correct a printer…"),
            self.tr("Print rulers, read them with a steel rule, keep the correction"),
        )
        self.correct.clicked.connect(self.correction_wanted)
        form.addRow(self.tr("P&rinter"), self.printer)
        form.addRow("", self.correction)
        form.addRow("", self.correct)
        self._printers = shop
        for profile in shop.printers:
            self.printer.addItem(profile.name)
        self.printer.setCurrentText(self._choices.printer)
        self._say_correction(shop)
        self.printer.currentTextChanged.connect(self._take_printer)

    def _add_guide(self, column: QVBoxLayout, shop: Shop) -> None:
        form = _form(column, self.tr("Drill guide"))
        self.bushing = NumberField(
            self.tr("Guide bushing"),
            units=shop.units,
            within=_BUSHINGS,
            optional=True,
            tip=self.tr(
                "Outside diameter of the bushings that sit in the guide; empty: holes for a pilot drill"
            ),
        )
        self.bushing.setPlaceholderText(self.tr("none"))
        self.bushing.set_value(self._choices.guide_bushing)
        self.bushing.edited.connect(lambda value: self._set(guide_bushing=value))
        self.bushing.cleared.connect(lambda: self._set(guide_bushing=None))
        self.kerf = NumberField(
            self.tr("Kerf"),
            units=shop.units,
            within=_KERFS,
            tip=self.tr("Width that the laser or saw takes away; it moves cut lines, never holes"),
        )
        self.kerf.set_value(self._choices.kerf)
        self.kerf.edited.connect(lambda value: self._set(kerf=value))
        form.addRow(self.tr("Guide &bushing"), self.bushing)
        form.addRow(self.tr("&Kerf"), self.kerf)

    def _add_machines(self, column: QVBoxLayout) -> None:
        form = _form(column, self.tr("For machines"))
        self.drawing = _combo(self.tr("Drawing"), self.tr("The one drawing that a DXF or SVG holds"))
        for kind in MACHINE_SHEETS:
            self.drawing.addItem(QCoreApplication.translate("Output", kind.machine_title), kind.name)
        self.drawing.setCurrentIndex(self.drawing.findData(self._choices.drawing))
        self.drawing.currentIndexChanged.connect(
            lambda index: self._set(drawing=self.drawing.itemData(index))
        )
        self.version = _combo(
            self.tr("Kind of DXF"), self.tr("R12 is for old machines; its curves are the same")
        )
        versions: tuple[DxfVersion, ...] = get_args(DxfVersion)
        self.version.addItems(versions)
        self.version.setCurrentText(self._choices.dxf_version)
        self.version.currentTextChanged.connect(lambda version: self._set(dxf_version=version))
        form.addRow(self.tr("&Drawing"), self.drawing)
        form.addRow(self.tr("Kind o&f DXF"), self.version)
        row = QHBoxLayout()
        row.setSpacing(6)
        titles = {".dxf": self.tr("DXF…"), ".svg": self.tr("SVG…"), ".csv": self.tr("Hole list…")}
        tips = {
            ".dxf": self.tr("Write the drawing for a laser or router"),
            ".svg": self.tr("Write the drawing for a laser or a drawing program"),
            ".csv": self.tr("Write the places and sizes of all holes as a table (CSV)"),
        }
        for suffix in MACHINE_SUFFIXES:
            writes = button(titles[suffix], tips[suffix])
            writes.clicked.connect(lambda _, wanted=suffix: self.file_wanted.emit(wanted))
            self.machine_buttons[suffix] = writes
            row.addWidget(writes)
        column.addLayout(row)

    # What the maker does

    def _take_sheets(self) -> None:
        self._set(names=tuple(name for name, box in self.sheets.items() if box.isChecked()))

    def _take_printer(self, name: str) -> None:
        self._say_correction(self._printers)
        self._set(printer=name)

    def _set(self, **fields: object) -> None:
        self._choices = replace(self._choices, **fields)
        self.changed.emit(self._choices)


def _form(column: QVBoxLayout, title: str) -> QFormLayout:
    column.addSpacing(12)
    column.addWidget(heading(title))
    form = QFormLayout()
    form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
    form.setLabelAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    form.setHorizontalSpacing(12)
    form.setVerticalSpacing(8)
    column.addLayout(form)
    return form


def _combo(name: str, tip: str) -> QComboBox:
    combo = QComboBox()
    combo.setAccessibleName(name)
    combo.setToolTip(tip)
    combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    combo.setMinimumContentsLength(8)
    return combo
