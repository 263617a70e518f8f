"""Screws or pins of a tuner, one at a time."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import Signal

from app.panels.numbers import Line, Numbers
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, line, small_button
from geometry.document.references import MOST_FIXINGS
from geometry.trade.hardware import Pin, Screw
from geometry.trade.units import Units

Fixing = Screw | Pin


class FixingsForm(Form):
    """Fields about a tuple of screws or pins.

    Signals:
        edited: the whole tuple, after the maker changed one.
        typed: the whole tuple with the number that is being typed.
    """

    edited = Signal(object)
    typed = Signal(object)

    def __init__(
        self, record: type[Fixing], words: str, fresh: Fixing, lines: Sequence[Line], units: Units
    ) -> None:
        """`words` name one with its number, as in "Screw {number}"; `fresh` is what is added first."""
        super().__init__()
        self._parts: tuple[Fixing, ...] = ()
        self._words = words
        self._fresh = fresh
        self.place = 0
        self.which = Choice(words.format(number="").strip())
        self.which.picked.connect(self._choose)
        self.more = small_button(self.tr("Add"), self.tr("Add one more"))
        self.less = small_button(self.tr("Remove"), self.tr("Take this one away"))
        self.more.clicked.connect(self._add)
        self.less.clicked.connect(self._remove)
        self.add(words.format(number="").strip(), self.which)
        self.add_wide(line(self.more, self.less))
        self.numbers = Numbers(self, record, lines, units, self._edit, self._type)
        self.shared = Tick(
            self.tr("Shared with the neighbour"),
            tip=self.tr("It stands half-way between two tuners of the row"),
        )
        self.shared.ticked.connect(lambda value: self._change("shared", value))
        self.add_wide(self.shared)

    def show_parts(self, parts: Sequence[Fixing]) -> None:
        """Show screws or pins."""
        self._parts = tuple(parts)
        self.place = max(0, min(self.place, len(parts) - 1))
        names = [(number, self._words.format(number=number + 1)) for number in range(len(parts))]
        self.which.set_options(names)
        self.which.set_value(self.place)
        self.which.setEnabled(bool(parts))
        self.less.setEnabled(bool(parts))
        self.more.setEnabled(len(parts) < MOST_FIXINGS)
        current = parts[self.place] if parts else None
        for field in self.numbers.fields.values():
            self.set_shown(field, current is not None)
        self.set_shown(self.shared, isinstance(current, Screw))
        if current is not None:
            self.numbers.show(current)
        if isinstance(current, Screw):
            self.shared.set_value(current.shared)

    def _choose(self, place: object) -> None:
        assert isinstance(place, int), "an option"
        self.place = place
        self.show_parts(self._parts)

    def _edit(self, line: Line, value: float | None) -> None:
        self._change(line.field, value)

    def _type(self, line: Line, value: float | None) -> None:
        self.typed.emit(self._with(line.field, value))

    def _change(self, field: str, value: object) -> None:
        self.edited.emit(self._with(field, value))

    def _with(self, field: str, value: object) -> tuple[Fixing, ...]:
        part = replace(self._parts[self.place], **{field: value})
        return (*self._parts[: self.place], part, *self._parts[self.place + 1 :])

    def _add(self) -> None:
        like: msgspec.Struct = self._parts[self.place] if self._parts else self._fresh
        self.place = len(self._parts)
        self.edited.emit((*self._parts, like))

    def _remove(self) -> None:
        place = self.place
        self.edited.emit((*self._parts[:place], *self._parts[place + 1 :]))
