"""The pitch of a plate: nobody measures it well between two posts, so it comes from the whole row."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

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
    """

    edited = Signal(object)

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
        self.posts.edited.connect(lambda value: self._change(posts=round(value)))
        self.first_to_last.edited.connect(self._divide)
        self.pitch.edited.connect(lambda value: self._change(pitch=value))
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

    def _divide(self, whole: float) -> None:
        if self._plate is not None and self._plate.posts > 1:
            self._change(pitch=whole / (self._plate.posts - 1))

    def _change(self, **fields: float) -> None:
        assert self._plate is not None, "a plate is shown"
        self.edited.emit(replace(self._plate, **fields))
