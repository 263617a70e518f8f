"""Parts of tuners in forms of their own: screws or pins, one at a time, and the pitch of a plate."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec.structs import replace
from PySide6.QtCore import Signal

from app.panels.numbers import Line, Numbers, while_typing
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, line, remark, small_button
from app.widgets.number_field import NumberField, Range
from geometry.document.references import MOST_FIXINGS
from geometry.trade.hardware import Pin, Plate, Screw
from geometry.trade.measures import LARGEST, LEAST
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

    def __init__(self, words: str, fresh: Fixing, lines: Sequence[Line], units: Units) -> None:
        """`words` name one with its number, as in "Screw {number}"; `fresh` is added first, all are of its kind."""
        super().__init__()
        self._parts: tuple[Fixing, ...] = ()
        self._words = words
        self._fresh = fresh
        self.place = 0
        self.which = self.put(Choice(words.format(number="").strip(), told=self._choose))
        self.more = small_button(self.tr("Add"), self.tr("Add one more"), self._add)
        self.less = small_button(self.tr("Remove"), self.tr("Take this one away"), self._remove)
        self.add_wide(line(self.more, self.less))
        self.numbers = Numbers(
            self,
            type(fresh),
            lines,
            units,
            lambda line, value: self.edited.emit(self._with(line.field, value)),
            lambda line, value: self.typed.emit(self._with(line.field, value)),
        )
        self.shared = Tick(
            self.tr("Shared with the neighbour"),
            tip=self.tr("It stands half-way between two tuners of the row"),
            told=lambda value: self.edited.emit(self._with("shared", value)),
        )
        self.put(self.shared)

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
        self.numbers.show(current)
        self.set_shown(self.shared, isinstance(current, Screw))
        if isinstance(current, Screw):
            self.shared.set_value(current.shared)

    def _choose(self, place: object) -> None:
        assert isinstance(place, int), "an option"
        self.place = place
        self.show_parts(self._parts)

    def _with(self, field: str, value: object) -> tuple[Fixing, ...]:
        part = replace(self._parts[self.place], **{field: value})
        return (*self._parts[: self.place], part, *self._parts[self.place + 1 :])

    def _add(self) -> None:
        like = self._parts[self.place] if self._parts else self._fresh
        self.place = len(self._parts)
        self.edited.emit((*self._parts, like))

    def _remove(self) -> None:
        self.edited.emit((*self._parts[: self.place], *self._parts[self.place + 1 :]))


WHOLE = "plate.first to last"
"""The path of what the drawing shows of the row of posts; the file has its pitch."""

MOST_POSTS = 12
"""No plate carries more."""


class PlateForm(Form):
    """How many posts a plate has, and how far apart: measured first to last and divided.

    Nobody measures it well between two posts, so it comes from the whole row.

    Signals:
        edited: the plate, after the maker typed another number.
        typed: the plate with the number that is being typed.
    """

    edited = Signal(object)
    typed = Signal(object)

    def __init__(self, units: Units) -> None:
        """Empty until a plate is shown."""
        super().__init__()
        self._plate: Plate | None = None
        tr, within = self.tr, Range(LEAST, LARGEST)
        count = Range(least=1, most=MOST_POSTS)
        self.posts = self.put(NumberField(tr("Posts on the plate"), measure="plain", within=count))
        tip = tr("Measure over the whole row, middle to middle; the pitch is worked out from it")
        self.first_to_last = self.put(
            NumberField(tr("First to last post"), units=units, within=within, tip=tip)
        )
        self.pitch = self.put(NumberField(tr("Pitch"), units=units, within=within))
        self._listen(self.posts, lambda value: self._with(posts=round(value)))
        self._listen(self.first_to_last, self._divided)
        self._listen(self.pitch, lambda value: self._with(pitch=value))
        self.put(remark(tr("Measure from the first to the last post: the pitch follows.")))
        self.paths = {self.posts: WHOLE, self.first_to_last: WHOLE, self.pitch: "plate.pitch"}

    def show_plate(self, plate: Plate) -> None:
        """Show a plate."""
        self._plate = plate
        self.posts.set_value(float(plate.posts))
        self.pitch.set_value(plate.pitch)
        self.first_to_last.set_value(plate.pitch * (plate.posts - 1))
        self.first_to_last.setEnabled(plate.posts > 1)
        spaces = max(1, plate.posts - 1)
        # Whatever is typed must give a pitch that can be saved and read again.
        self.first_to_last.set_range(Range(LEAST * spaces, LARGEST * spaces))

    def _listen(self, field: NumberField, plate_with: Callable[[float], Plate]) -> None:
        field.edited.connect(lambda value: self.edited.emit(plate_with(value)))
        while_typing(field, lambda value: None if value is None else self.typed.emit(plate_with(value)))

    def _divided(self, whole: float) -> Plate:
        assert self._plate is not None, "a plate is shown"
        spaces = self._plate.posts - 1
        return self._with(pitch=whole / spaces) if spaces else self._plate

    def _with(self, **fields: float) -> Plate:
        assert self._plate is not None, "a plate is shown"
        return replace(self._plate, **fields)
