"""Corrects a printer: print rulers, read them with a steel rule, keep what makes its lengths true."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from app.document.messages import Refusal
from app.output.choices import profile_of
from app.output.printer_correction import Axis, factor, rulers_of, with_printer, without_printer
from app.widgets.boxes import Part, filled
from app.widgets.fields import Combo
from app.widgets.kit import PlainLabel, button, strong
from app.widgets.number_field import NumberField, Range
from app.widgets.typed_line import all_reads, fault_colour, say_unread
from export.paper import paper_named
from geometry.trade.quantities import show_length
from geometry.trade.shop import PaperName, PrinterProfile, Shop

_READINGS = Range(0.0, 1000.0, above=True)
_LONGEST_NAME = 60


class PrinterDialog(QDialog):
    """Three steps: name the printer, print the rulers, type what the steel rule reads.

    `profile` is the correction that was found; the dialog only gives it to `keep` when it is accepted.

    Signals:
        rulers_wanted: the printer's name; its page of rulers is to be printed.
        rulers_file_wanted: the same as a PDF.
    """

    rulers_wanted = Signal(str)
    rulers_file_wanted = Signal(str)

    def __init__(
        self,
        shop: Shop,
        paper: PaperName,
        chosen: str,
        installed: Sequence[str],
        keep: Callable[[Shop, str], None],
        parent: QWidget | None = None,
    ) -> None:
        """`installed`: printers of this computer; `keep` takes the changed shop and the printer's name."""
        super().__init__(parent)
        self._shop, self._keep = shop, keep
        self._rulers = rulers_of(paper_named(paper), shop.units)
        self.setWindowTitle(self.tr("Correct a printer"))
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * 74)
        column = filled(QVBoxLayout(self), margins=(24, 20, 24, 20), spacing=10)
        self._add_name(column, chosen, installed)
        self._add_rulers(column, paper)
        self._add_readings(column)
        self._add_buttons(column)
        self._judge()

    @property
    def profile(self) -> PrinterProfile | None:
        """The correction that the readings come to; None while something is missing or cannot be."""
        name, x, y = self._name, self._factor("across"), self._factor("up")
        if not 0 < len(name) <= _LONGEST_NAME or x is None or y is None:
            return None
        return PrinterProfile(name=name, factor_x=x, factor_y=y)

    @property
    def _name(self) -> str:
        return self.name.currentText().strip()

    # How it is put together

    def _add_name(self, column: QVBoxLayout, chosen: str, installed: Sequence[str]) -> None:
        column.addWidget(_step("1", self.tr("Which printer?")))
        self.name = Combo()
        self.name.setEditable(True)
        self.name.setAccessibleName(self.tr("Name of the printer"))
        self.name.setToolTip(self.tr("A name of this computer's printers, or one of your own"))
        names = [profile.name for profile in self._shop.printers]
        self.name.addItems(list(dict.fromkeys([*installed, *names])))
        self.name.setCurrentText(self._first_name(chosen, installed))
        if line := self.name.lineEdit():
            line.setPlaceholderText(self.tr("a name, such as: the one in the office"))
        self.name.currentTextChanged.connect(self._judge)
        self.forget = button(self.tr("&Forget"), self.tr("Remove this printer's correction from the shop"))
        self.forget.clicked.connect(self._forget)
        column.addLayout(_indented((self.name, 1), self.forget))

    def _first_name(self, chosen: str, installed: Sequence[str]) -> str:
        """The chosen printer when it has a correction; else one of this computer's, or none."""
        profile = profile_of(self._shop, chosen)
        if (profile.factor_x, profile.factor_y) != (1.0, 1.0):
            return profile.name
        return installed[0] if installed else ""

    def _add_rulers(self, column: QVBoxLayout, paper: str) -> None:
        words = self.tr("Print the rulers on {paper}, at 100 % (actual size).").format(paper=paper)
        column.addWidget(_step("2", words))
        self.print_rulers = button(
            self.tr("&Print the rulers…"),
            self.tr("Print one page with two rulers, not corrected"),
            lambda: self.rulers_wanted.emit(self._name),
        )
        self.save_rulers = button(
            self.tr("&Save them as PDF…"),
            self.tr("For a printer of another computer"),
            lambda: self.rulers_file_wanted.emit(self._name),
        )
        column.addLayout(_indented(self.print_rulers, self.save_rulers, None))

    def _add_readings(self, column: QVBoxLayout) -> None:
        column.addWidget(_step("3", self.tr("What does a steel rule read at their last long lines?")))
        grid = QGridLayout()
        grid.setContentsMargins(28, 0, 0, 6)
        grid.setHorizontalSpacing(12)
        grid.setVerticalSpacing(8)
        self.readings: dict[Axis, NumberField] = {}
        self.factors: dict[Axis, QLabel] = {}
        titles: dict[Axis, str] = {
            "across": self.tr("Ruler across, 0 to {length}, reads"),
            "up": self.tr("Ruler up the page, 0 to {length}, reads"),
        }
        for line, (axis, title) in enumerate(titles.items()):
            length = show_length(self._rulers[axis], self._shop.units)
            words = title.format(length=length)
            field = NumberField(words, units=self._shop.units, within=_READINGS, optional=True)
            field.setPlaceholderText(length)
            for signal in (field.edited, field.cleared, field.refused, field.textEdited, field.returnPressed):
                signal.connect(self._judge)
            label, result = PlainLabel(words), PlainLabel()
            label.setBuddy(field)
            # The room of what they come to is there from the start: nothing is squeezed when it appears.
            result.setMinimumWidth(self.fontMetrics().horizontalAdvance("× 0.0000") + 4)
            self.readings[axis], self.factors[axis] = field, result
            for place, widget in enumerate((label, field, result)):
                grid.addWidget(widget, line, place)
        grid.setColumnStretch(2, 1)
        column.addLayout(grid)
        self.verdict = PlainLabel()
        self.verdict.setWordWrap(True)
        self.verdict.setContentsMargins(28, 0, 0, 0)
        self.verdict.setMinimumHeight(3 * self.fontMetrics().lineSpacing())
        self.verdict.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.verdict)

    def _add_buttons(self, column: QVBoxLayout) -> None:
        self.keep = button(
            self.tr("&Keep the correction"), self.tr("Apply it to every page for this printer from now on")
        )
        self.cancel = button(self.tr("Cancel"), self.tr("Change nothing (Esc)"))
        self.keep.clicked.connect(self.accept)
        self.cancel.clicked.connect(self.reject)
        filled(column, None, filled(QHBoxLayout(), None, self.cancel, self.keep, spacing=8))

    # Readings

    def _factor(self, axis: Axis) -> float | None:
        measured = self.readings[axis].value
        if measured is None:
            return None
        try:
            return factor(self._rulers[axis], measured, self._shop.units)
        except Refusal:
            return None

    def _judge(self, *_: object) -> None:
        """Show what the readings come to, and whether it can be kept."""
        for axis, label in self.factors.items():
            found = self._factor(axis)
            label.setText("" if found is None else self.tr("× {factor:.4f}").format(factor=found))
        words, wrong = self._verdict()
        self.verdict.setText(words)
        self.verdict.setStyleSheet(f"color: {fault_colour(self).name()}" if wrong else "")
        # What is being typed may be what was missing: it is looked at when it is to be kept.
        typed = any(field.isModified() and not field.fault for field in self.readings.values())
        self.keep.setEnabled(self.profile is not None or typed)
        known = {profile.name for profile in self._shop.printers}
        self.forget.setEnabled(self._name in known and len(known) > 1)

    def _verdict(self) -> tuple[str, bool]:
        for axis, field in self.readings.items():
            if field.fault:
                return say_unread(field), True
            if field.value is not None:
                try:
                    factor(self._rulers[axis], field.value, self._shop.units)
                except Refusal as refusal:
                    return str(refusal), True
        name = self._name
        if not name:
            return self.tr("The printer needs a name."), False
        if len(name) > _LONGEST_NAME:
            return self.tr("A name has {count} characters at most.").format(count=_LONGEST_NAME), True
        if self.profile is None:
            return self.tr(
                "Read both rulers to a tenth of a millimetre; the longer they are, the better."
            ), False
        return self.tr("With these factors both rulers come out true. Print them once more to see it."), False

    def _forget(self) -> None:
        name = self._name
        self._shop = without_printer(self._shop, name)
        self._keep(self._shop, self._shop.printers[0].name)
        self.name.removeItem(self.name.findText(name))
        self._judge()

    # What Qt calls

    def accept(self) -> None:
        """Keep the correction and close, once both readings read."""
        profile = self.profile if all_reads(self, self._judge) else None
        if profile is not None:
            self._keep(with_printer(self._shop, profile), profile.name)
            super().accept()
        self._judge()


def _step(number: str, words: str) -> QLabel:
    return strong(f"{number}.  {words}")


def _indented(*parts: Part) -> QHBoxLayout:
    return filled(QHBoxLayout(), *parts, margins=(28, 0, 0, 12), spacing=8)
