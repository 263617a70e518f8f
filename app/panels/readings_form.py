"""Caliper readings of a hole: what each was taken to, and its length."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QSizePolicy, QWidget

from app.widgets.fields import Choice
from app.widgets.kit import GAP, column, small_button
from app.widgets.number_field import NumberField, Range
from app.widgets.typed_line import when_in_doubt
from geometry.search.answers.readings import LONGEST, Kind, Reading
from geometry.trade.units import Units

MOST = 6
"""More readings than this tell nothing new."""


class ReadingFields(QWidget):
    """One reading.

    Signals:
        edited: something of it is another.
        dropped: it is to go.
    """

    edited = Signal()
    dropped = Signal()

    def __init__(self, kind: Kind, units: Units) -> None:
        super().__init__()
        tr = self.tr
        kinds: list[tuple[object, str]] = [
            ("nut", tr("Rim to the nut line")),
            ("side", tr("Rim to the side")),
            ("left", tr("Rim to the left side")),
            ("right", tr("Rim to the right side")),
            ("centre", tr("Rim to the centre line")),
            ("between", tr("Over the wood to hole")),
            ("across", tr("Far rims, to hole")),
        ]
        tip = tr("What the calipers span: over the wood from rim to rim, or from far rim to far rim")
        self.kind = Choice(tr("Reading"), kinds, tip=tip, told=self._tell)
        self.kind.set_value(kind)
        tip = tr("The other hole; it counts as drilled, where its mark is")
        self.other = Choice(tr("To hole"), tip=tip, told=self._tell)
        within, tip = Range(0.0, LONGEST), tr("What the calipers show")
        self.length = NumberField(tr("Length read"), units=units, within=within, optional=True, tip=tip)
        self.drop = small_button("×", tr("Leave this reading out"))
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, GAP)
        grid.setSpacing(GAP)
        grid.addWidget(self.kind, 0, 0, 1, 3)
        grid.addWidget(self.other, 1, 0)
        grid.addWidget(self.length, 1, 1)
        grid.addWidget(self.drop, 1, 2)
        grid.setColumnStretch(0, 1)
        self.length.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.length.edited.connect(self._tell)
        self.length.cleared.connect(self._tell)
        when_in_doubt(self.length, self.edited.emit)
        self.drop.clicked.connect(self.dropped)
        self._show_other()

    def show_holes(self, holes: Sequence[tuple[str, str]]) -> None:
        """Offer these holes, keys and labels, to read to."""
        before = self.other.value
        self.other.set_options([(key, label) for key, label in holes])
        self.other.set_value(
            before if before in [key for key, _ in holes] else holes[0][0] if holes else None
        )

    @property
    def reading(self) -> Reading | None:
        """What is read, None while it is not complete."""
        kind, length, other = self.kind.value, self.length.value, self.other.value
        if length is None:
            return None
        if kind == "between" or kind == "across":
            return Reading(kind, length, other) if isinstance(other, str) else None
        return next((Reading(each, length) for each in get_args(Kind) if each == kind), None)

    @property
    def name(self) -> str:
        """What it is called in words."""
        words = self.kind.currentText().lower()
        return f"{words} {self.other.currentText()}" if self.other.isVisibleTo(self) else words

    def _tell(self, *_: object) -> None:
        self._show_other()
        self.edited.emit()

    def _show_other(self) -> None:
        self.other.setVisible(self.kind.value in ("between", "across"))


class ReadingsForm(QWidget):
    """Two readings at first; more of them prove each other.

    Signals:
        edited: something of them is another.
    """

    edited = Signal()

    def __init__(self, units: Callable[[], Units]) -> None:
        """`units` tells those of a new reading."""
        super().__init__()
        self._units = units
        self._holes: Sequence[tuple[str, str]] = ()
        self.rows: list[ReadingFields] = []
        tip = self.tr("A third reading shows whether the others are right")
        self.more = small_button(self.tr("Add a reading"), tip, self.add)
        self._column = column(self, self.more)
        self.empty()

    def empty(self) -> None:
        """Begin again with two empty readings."""
        for row in tuple(self.rows):
            self._remove(row)
        self._add("nut")
        self._add("side")

    def show_holes(self, holes: Sequence[tuple[str, str]]) -> None:
        """Offer these holes, keys and labels, to read to."""
        self._holes = holes
        for row in self.rows:
            row.show_holes(holes)

    @property
    def taken(self) -> tuple[tuple[Reading, str], ...]:
        """All complete readings with their names."""
        return tuple((row.reading, row.name) for row in self.rows if row.reading is not None)

    def add(self) -> None:
        """One more, to another hole where there is one."""
        self._add("between" if self._holes else "side").kind.setFocus()

    def _add(self, kind: Kind) -> ReadingFields:
        row = ReadingFields(kind, self._units())
        row.show_holes(self._holes)
        row.edited.connect(self.edited)
        row.dropped.connect(lambda: self._drop(row))
        self._column.insertWidget(len(self.rows), row)
        row.show()
        self.rows.append(row)
        self._allow()
        return row

    def _drop(self, row: ReadingFields) -> None:
        self.more.setFocus()
        self._remove(row)
        self._allow()
        self.edited.emit()

    def _remove(self, row: ReadingFields) -> None:
        self.rows.remove(row)
        self._column.removeWidget(row)
        row.hide()
        row.deleteLater()

    def _allow(self) -> None:
        self.more.setEnabled(len(self.rows) < MOST)
        for row in self.rows:
            row.drop.setEnabled(len(self.rows) > 2)
