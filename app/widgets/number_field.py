"""A line to type a number in: lengths in any notation of the trade, small sums, angles and plain numbers."""

from __future__ import annotations

import math
import re
from typing import Literal

import msgspec
from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QMouseEvent

from app.widgets.typed_line import TypedLine
from geometry.document.expression import read_expression, read_sum
from geometry.document.lengths import LengthError
from geometry.trade.quantities import figures, show_gauge, show_length, typed_number
from geometry.trade.units import OUNCE, POUND_FORCE, POUND_PER_INCH, PSI, Units

Measure = Literal["length", "gauge", "degrees", "mass", "percent", "force", "stress", "unit weight", "plain"]
"""What a field holds: a length, a string's diameter (a length shown to the thousandth of a mm), or no length.

Masses are in g, forces in N, stresses in MPa, unit weights in g/m, each shown in the unit that goes with the lengths.
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


class _Shown(msgspec.Struct, frozen=True, gc=False):
    """A unit that numbers are shown in: its sign, what one is worth, whether numbers in it are `small` fractions."""

    sign: str
    worth: float = 1.0
    small: bool = False


_SHOWN: dict[Measure, dict[Units, _Shown]] = {
    "degrees": dict.fromkeys(("mm", "inch"), _Shown("°")),
    "percent": dict.fromkeys(("mm", "inch"), _Shown(" %")),
    "plain": dict.fromkeys(("mm", "inch"), _Shown("")),
    "mass": {"mm": _Shown(" g"), "inch": _Shown(" oz", OUNCE)},
    "force": {"mm": _Shown(" N"), "inch": _Shown(" lbf", POUND_FORCE)},
    "stress": {"mm": _Shown(" MPa"), "inch": _Shown(" psi", PSI)},
    "unit weight": {"mm": _Shown(" g/m"), "inch": _Shown(" lb/in", POUND_PER_INCH, small=True)},
}
_TYPED: dict[Measure, tuple[tuple[str, float], ...]] = {
    "degrees": tuple((sign, 1.0) for sign in ("degrees", "degree", "deg", "°")),
    "percent": (("%", 1.0),),
    "plain": (("×", 1.0),),
    "mass": (("ounces", OUNCE), ("ounce", OUNCE), ("oz", OUNCE), ("grams", 1.0), ("gram", 1.0), ("g", 1.0)),
    "force": (("lbf", POUND_FORCE), ("lbs", POUND_FORCE), ("lb", POUND_FORCE), ("n", 1.0)),
    "stress": (("ksi", 1000 * PSI), ("psi", PSI), ("mpa", 1.0)),
    "unit weight": (("lb/in", POUND_PER_INCH), ("g/m", 1.0)),
}
"""How units may be written behind a number, and what one is worth."""


class NumberField(TypedLine):
    """A number in mm (or degrees, grams, none), shown in the maker's units; an optional field may be emptied.

    Signals:
        edited: the number, after the maker typed another one.
        confirmed: after the maker typed the number that was there.
        cleared: after the maker emptied an optional field.
    """

    edited = Signal(float)
    confirmed = Signal()
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
    ) -> None:
        """`name` is what a screen reader says; `tip` what the tooltip says while all is well."""
        super().__init__(name, tip=tip)
        self.measure: Measure = measure
        self._within = within
        self.units: Units = units
        """The units that lengths are shown in."""
        self.optional = optional
        """Whether it may be emptied."""
        self.value: float | None = None
        """The number that counts, None while there is none."""
        self._before: float | None = None
        self._typed = ""
        self._clicked_into = False
        self.returnPressed.connect(self._ready_for_the_next)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def set_value(self, value: float | None) -> None:
        """Show another number; what is being typed just now is left alone."""
        changed = value != self.value
        self.value = value
        self.follow(changed=changed)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self.units = units
        if not self.isModified():
            self.show_kept()

    def set_range(self, within: Range) -> None:
        """Take other numbers from now on."""
        self._within = within

    def set_typical(self, typical: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Show in italics, and tell a screen reader, that nobody has measured this number."""
        font = self.font()
        if font.italic() == typical:
            return
        font.setItalic(typical)
        self.setFont(font)
        told = self.tr("typical, not measured")
        plain = self.accessibleDescription().removesuffix(f"; {told}")
        self.setAccessibleDescription(f"{plain}; {told}" if typical else plain)

    def refuse(self, reason: str) -> None:
        """The number just told cannot be used: it stays, marked with the reason, and the one before counts."""
        self.value = self._before
        self.setText(self._typed)
        self.setModified(True)
        self.mark_fault(reason)

    # Reading and showing

    def kept_text(self) -> str:
        """The number that counts, with its unit."""
        return "" if self.value is None else number_text(self.value, self.measure, self.units)

    @property
    def would_be(self) -> float | None:
        """The number that would count if what is typed were taken over now; what counts where it does not read."""
        if not self.isModified():
            return self.value
        try:
            return self._read()
        except ValueError:
            return self.value

    def _read(self) -> float | None:
        """What the text says, None for an empty one that may be; ValueError, with a sentence, if it does not read."""
        if self.optional and not self.text().strip():
            return None
        value = read_number(self.text(), self.measure, self.units)
        if not self._within.holds(value):
            raise ValueError(self._expected())
        return value

    def take_over(self) -> None:
        """What was typed becomes the number, if it reads and is another one."""
        if not self.isModified():
            return
        try:
            value = self._read()
        except ValueError as error:
            self.mark_fault(str(error))
            return
        if value is None:
            self._empty()
            return
        changed = value != self.value
        self._before, self._typed, self.value = self.value, self.text(), value
        self.show_kept()
        if changed:
            self.edited.emit(value)
        else:
            self.confirmed.emit()

    def _ready_for_the_next(self) -> None:
        """After Enter, what is typed next replaces the number."""
        if not self.isModified():
            self.selectAll()

    def _empty(self) -> None:
        changed, self.value = self.value is not None, None
        self.show_kept()
        if changed:
            self.cleared.emit()

    def _expected(self) -> str:
        low = number_text(self._within.least, self.measure, self.units)
        high = number_text(self._within.most, self.measure, self.units)
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
        return QSize(self._width(), super().minimumSizeHint().height())

    def _width(self) -> int:
        """As all fields, or wider where small fractions are shown."""
        usual = super()._width()
        if self.measure not in _SHOWN or not _SHOWN[self.measure][self.units].small:
            return usual
        return max(usual, self.fontMetrics().horizontalAdvance("0.00002215 lb/in") + 20)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802 - Qt's name
        """All of the number is selected, so that typing replaces it."""
        super().focusInEvent(event)
        self._clicked_into = event.reason() == Qt.FocusReason.MouseFocusReason
        if not self.isModified():
            self.selectAll()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """So it is after the click that brought the cursor here, unless it was dragged over a part."""
        super().mouseReleaseEvent(event)
        if self._clicked_into and not self.hasSelectedText() and not self.isModified():
            self.selectAll()
        self._clicked_into = False

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802 - Qt's name
        """Whole numbers are meant, not what stands before or after the decimal point."""
        super().mouseDoubleClickEvent(event)
        self.selectAll()


FINEST = 2
"""Decimals of a mm that fields show: no length of a head is known, or cut, more finely."""


def number_text(value: float, measure: Measure, units: Units) -> str:
    """The number with its unit, as it was typed, a length in mm to a hundredth at most."""
    if measure == "length":
        return show_length(round(value, FINEST) if units == "mm" else value, units)
    if measure == "gauge":
        return show_gauge(value, units)
    shown = _SHOWN[measure][units]
    number = figures(value / shown.worth, 4) if shown.small else typed_number(value / shown.worth)
    return f"{number}{shown.sign}"


def read_number(text: str, measure: Measure, units: Units) -> float:
    """The number that a text stands for; ValueError, with a sentence, for one that does not read."""
    if measure in ("length", "gauge"):
        return read_expression(text, units=units, negative=True)
    bare, worth = text.strip().lower(), _SHOWN[measure][units].worth
    for sign, of_sign in _TYPED[measure]:
        if bare.endswith(sign):
            bare, worth = bare.removesuffix(sign).strip(), of_sign
            break
    try:
        return read_sum(_ungrouped(bare) if measure == "stress" else bare) * worth
    except LengthError as error:
        shown = text if len(text) < 40 else f"{text[:40]}…"
        expected = QCoreApplication.translate("NumberField", '"{text}" does not read as a number: {reason}.')
        raise ValueError(expected.format(text=shown, reason=error.reason)) from None


def _ungrouped(text: str) -> str:
    """Thousands without the commas that part them where strengths are shown."""
    return re.sub(r"(?<=[0-9]),(?=[0-9]{3}\b)", "", text)
