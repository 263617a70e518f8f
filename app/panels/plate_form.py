"""The pitch of a plate: nobody measures it well between two posts, so it comes from the whole row."""

from __future__ import annotations

from collections.abc import Callable

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from app.panels.numbers import while_typing
from app.widgets.kit import Form, remark
from app.widgets.number_field import NumberField, Range
from geometry.trade.hardware import Plate
from geometry.trade.measures import LARGEST, LEAST
from geometry.trade.units import Units

WHOLE = "plate.first to last"
"""The path of what the drawing shows of the row of posts; the file has its pitch."""

MOST_POSTS = 12
"""No plate carries more."""


class PlateForm(Form):
    """How many posts a plate has, and how far apart: measured first to last and divided.

    Signals:
        edited: the plate, after the maker typed another number.
        typed: the plate with the number that is being typed.
    """

    edited = Signal(object)
    typed = Signal(object)

    def __init__(self, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a plate is shown."""
        super().__init__(parent)
        self._plate: Plate | None = None
        within = Range(LEAST, LARGEST)
        self.posts = NumberField(
            self.tr("Posts on the plate"), measure="plain", within=Range(least=1, most=MOST_POSTS)
        )
        self.first_to_last = NumberField(
            self.tr("First to last post"),
            units=units,
            within=within,
            tip=self.tr("Measure over the whole row, middle to middle; the pitch is worked out from it"),
        )
        self.pitch = NumberField(self.tr("Pitch"), units=units, within=within)
        self._listen(self.posts, lambda value: self._with(posts=round(value)))
        self._listen(self.first_to_last, self._divided)
        self._listen(self.pitch, lambda value: self._with(pitch=value))
        for field in (self.posts, self.first_to_last, self.pitch):
            self.add(field.accessibleName(), field)
        self.add_wide(remark(self.tr("Measure from the first to the last post: the pitch follows.")))
        self.paths: dict[QObject, str] = {
            self.posts: WHOLE,
            self.first_to_last: WHOLE,
            self.pitch: "plate.pitch",
        }

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
