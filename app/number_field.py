"""A line to type a number in: lengths in any notation of the trade, small sums, angles and plain numbers."""

from __future__ import annotations

import math
from typing import Literal

import msgspec
from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QWidget

from app.typed_line import TypedLine, field_width
from geometry.build.expression import read_expression
from geometry.build.lengths import LengthError, Units, show_length
from geometry.trade.strings import POUND_FORCE

Measure = Literal["length", "gauge", "degrees", "grams", "percent", "pull", "unit weight", "plain"]
"""What a field holds: a length, a string's diameter (a length shown to the thousandth of a mm), or no length.

A pull is in newtons, shown in pounds-force where lengths are in inches; a unit weight is in g/m.
"""


class Range(msgspec.Struct, frozen=True, gc=False):
    """Which numbers a field takes: `least` to `most` in mm or its own unit, the ends included unless `above`."""

    least: float = -math.inf
    most: float = math.inf
    above: bool = False
    """Whether the number must be more than `least`."""

    def holds(self, value: float) -> bool:
        """Whether the number is in the range."""
        return (self.least < value if self.above else self.least <= value) and value <= self.most


ANY = Range()

_SIGNS: dict[Measure, str] = {
    "degrees": "°",
    "grams": " g",
    "percent": " %",
    "pull": " N",
    "unit weight": " g/m",
    "plain": "",
    "length": " mm",
    "gauge": " mm",
}


class NumberField(TypedLine):
    """A number in mm (or degrees, grams, none), shown in the maker's units; an optional field may be emptied.

    Signals:
        edited: the number, after the maker typed another one.
        cleared: after the maker emptied an optional field.
    """

    edited = Signal(float)
    cleared = Signal()

    def __init__(
        self,
        name: str,
        *,
        units: Units = "mm",
        measure: Measure = "length",
        within: Range = ANY,
        optional: bool = False,
        tip: str = "",
        parent: QWidget | None = None,
    ) -> None:
        """`name` is what a screen reader says; `tip` what the tooltip says while all is well."""
        super().__init__(name, tip=tip, parent=parent)
        self.measure: Measure = measure
        self._within = within
        self._units: Units = units
        self._optional = optional
        self._value: float | None = None
        self._before: float | None = None
        self._typed = ""
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    @property
    def value(self) -> float | None:
        """The number that counts, None while there is none."""
        return self._value

    def set_value(self, value: float | None) -> None:
        """Show another number; what is being typed just now is left alone."""
        changed = value != self._value
        self._value = value
        self.follow(changed=changed)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self._units = units
        if not self.isModified():
            self.show_kept()

    def set_range(self, within: Range) -> None:
        """Take other numbers from now on."""
        self._within = within

    def refuse(self, reason: str) -> None:
        """The number just told cannot be used: it stays, marked with the reason, and the one before counts."""
        self._value = self._before
        self.setText(self._typed)
        self.setModified(True)
        self.mark_fault(reason)

    # Reading and showing

    def kept_text(self) -> str:
        """The number that counts, with its unit."""
        return "" if self._value is None else number_text(self._value, self.measure, self._units)

    def take_over(self) -> None:
        """What was typed becomes the number, if it reads and is another one."""
        if not self.isModified():
            return
        if self._optional and not self.text().strip():
            self._empty()
            return
        try:
            value = read_number(self.text(), self.measure, self._units)
        except ValueError as error:
            self.mark_fault(str(error))
            return
        if not self._within.holds(value):
            self.mark_fault(self._expected())
            return
        changed = value != self._value
        self._before, self._typed, self._value = self._value, self.text(), value
        self.show_kept()
        if changed:
            self.edited.emit(value)

    def _empty(self) -> None:
        changed, self._value = self._value is not None, None
        self.show_kept()
        if changed:
            self.cleared.emit()

    def _expected(self) -> str:
        low = number_text(self._within.least, self.measure, self._units)
        high = number_text(self._within.most, self.measure, self._units)
        if math.isinf(self._within.most):
            text = (
                self.tr("It must be more than {low}.") if self._within.above else self.tr("At least {low}.")
            )
        elif self._within.above:
            text = self.tr("It must be more than {low}, and {high} at most.")
        else:
            text = self.tr("It must be from {low} to {high}.")
        return text.format(low=low, high=high)

    # What Qt calls

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """As wide as it would like to be: a number cut short misleads."""
        return QSize(field_width(self), super().minimumSizeHint().height())

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """All of the number is selected, so that typing replaces it."""
        super().focusInEvent(event)
        if not self.isModified():
            self.selectAll()


def number_text(value: float, measure: Measure, units: Units) -> str:
    """The number with its unit."""
    if measure == "length" or (measure == "gauge" and units == "inch"):
        return show_length(value, units)
    if measure == "gauge":
        return f"{_trimmed(value, 3)} mm"
    if measure == "pull" and units == "inch":
        return f"{_trimmed(value / POUND_FORCE, 2)} lbf"
    return f"{_trimmed(value, 3)}{_SIGNS[measure]}"


def read_number(text: str, measure: Measure, units: Units) -> float:
    """The number that a text stands for; ValueError, with a sentence, for one that does not read."""
    if measure in ("length", "gauge"):
        return read_expression(text, units=units, negative=True)
    bare, factor = text.strip().lower(), 1.0
    if measure == "pull":
        bare, factor = _pull_unit(bare, units)
    for sign in ("degrees", "degree", "deg", "°", "g/m", "grams", "gram", "g", "%", "×"):
        bare = bare.removesuffix(sign).strip()
    try:
        return read_expression(bare, negative=True) * factor
    except LengthError as error:
        shown = text if len(text) < 40 else f"{text[:40]}…"
        expected = QCoreApplication.translate("NumberField", '"{text}" does not read as a number: {reason}.')
        raise ValueError(expected.format(text=shown, reason=error.reason)) from None


def _pull_unit(text: str, units: Units) -> tuple[str, float]:
    """A pull without its unit, and how many newtons make one of it; without a unit that of the shown lengths."""
    for sign, newtons in (("lbf", POUND_FORCE), ("lbs", POUND_FORCE), ("lb", POUND_FORCE), ("n", 1.0)):
        if text.endswith(sign):
            return text.removesuffix(sign).strip(), newtons
    return text, POUND_FORCE if units == "inch" else 1.0


def _trimmed(value: float, decimals: int) -> str:
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
