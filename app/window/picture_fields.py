"""What a picture of a head leaves open, as fields: which file, of what kind, how thick the head is, how large it is."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from app.document.messages import Refusal
from app.intake.picture_told import (
    COARSEST,
    FINEST,
    HIGHEST,
    LONGEST_KNOWN,
    LOWEST,
    SHORTEST_KNOWN,
    STEEPEST,
    THICKEST,
    THINNEST,
    PictureTold,
)
from app.intake.pictures import Opened, open_picture_at
from app.widgets.fields import Choice
from app.widgets.kit import Form, PlainLabel, button
from app.widgets.number_field import NumberField, Range
from app.window.two_places import TwoPlaces
from geometry.intake.lines import KnownPoints
from geometry.trade.sentence import SentenceError, say_note
from geometry.trade.units import Units

RULERS = Range(50.0, 300.0)
"""mm of what a steel rule may measure of a printed ruler; which of them it is, the reader finds."""


class PictureFields(QObject):
    """The fields, and the picture in which two places can be shown; a page puts them into its form.

    Signals:
        kind_changed: other fields are asked now.
        chosen: another picture is read from now on.
        refused: why a picture cannot be shown, a sentence.
    """

    kind_changed = Signal()
    chosen = Signal()
    refused = Signal(str)

    def __init__(self, units: Units, parent: QWidget) -> None:
        super().__init__(parent)
        self._units: Units = units
        self.path: Path | None = None
        self.ask_file: Callable[[], Path | None] = lambda: None
        self.places = TwoPlaces()
        self._shown: Path | None = None
        self._make()
        self._make_measures()
        self.choose.clicked.connect(self._choose)
        self.kind.picked.connect(self._change)
        self.sides.picked.connect(self._change)

    def _make(self) -> None:
        self.choose = button(self.tr("&Choose…"), self.tr("Choose the picture: a photo or a scan (Ctrl+O)"))
        self.choose.setAccessibleName(self.tr("Choose the picture"))
        self.name = PlainLabel(self.tr("No picture is chosen yet."))
        self.name.setWordWrap(True)
        self.name.setAccessibleName(self.tr("The picture"))
        self.kind = Choice(
            self.tr("Kind of picture"),
            [
                ("photo", self.tr("photo")),
                ("scan", self.tr("scan, face on the glass")),
                ("flat", self.tr("flat, two places known")),
            ],
            tip=self.tr(
                "A photo of the head on the sheet; a scan with the face on the glass; or a flat picture without the "
                "sheet, in which you show two places whose distance you know"
            ),
        )
        self.kind.set_value("photo")
        self.sides = Choice(
            self.tr("Sides"),
            [("square", self.tr("square")), ("tapered", self.tr("tapered"))],
            tip=self.tr("Square to the face, or leaning"),
        )
        self.sides.set_value("square")

    def _make_measures(self) -> None:
        thick = Range(THINNEST, THICKEST)
        self.thickness = self._number(
            self.tr("Thickness at the nut"),
            self.tr("How far the face lies over the sheet; forgotten, it moves the edge by millimetres"),
            thick,
        )
        self.at_tip = self._number(
            self.tr("Thickness at the tip"), self.tr("Where it is another one; empty: as at the nut"), thick
        )
        self.height = self._number(
            self.tr("Camera height"),
            self.tr(
                "How high the camera was over the sheet, to about a finger's breadth; needed where it was held level, "
                "for the picture does not tell it then"
            ),
            Range(LOWEST, HIGHEST),
        )
        self.lean = NumberField(
            self.tr("They lean by"),
            measure="degrees",
            within=Range(-STEEPEST, STEEPEST),
            optional=True,
            tip=self.tr("More than 0 where the back is wider than the face"),
        )
        self.ruler = self._number(
            self.tr("A printed ruler measures"),
            self.tr("What a steel rule says of the longest ruler on the sheet; empty: printed at 100 %"),
            RULERS,
        )
        self.dpi = NumberField(
            self.tr("Dots per inch"),
            measure="plain",
            within=Range(COARSEST, FINEST),
            optional=True,
            tip=self.tr("Only for a scan without the sheet; what a file says of itself is often wrong"),
        )
        self.apart = self._number(
            self.tr("Between both places"),
            self.tr("What a rule says between the two places that you show in the picture"),
            Range(SHORTEST_KNOWN, LONGEST_KNOWN),
        )

    def _number(self, name: str, tip: str, within: Range) -> NumberField:
        return NumberField(name, units=self._units, within=within, tip=tip, optional=True)

    def put_into(self, form: Form) -> None:
        """Add all fields to a form, which hides those that do not go for the kind of picture."""
        self._form = form
        form.add(self.tr("Picture"), self.choose)
        form.add_wide(self.name)
        form.add_below(self.kind.accessibleName(), self.kind)
        photo = self.thickness, self.at_tip, self.sides, self.lean, self.ruler, self.height
        for field in (*photo, self.dpi, self.apart):
            form.add(field.accessibleName(), field)
        self._change()

    def set_shown(self, shown: bool) -> None:  # noqa: FBT001 - reads as Qt's setVisible
        """Show the fields of the kind that is chosen, or none."""
        self._form.set_shown(self.choose, shown)
        self._form.set_shown(self.kind, shown)
        self.name.setVisible(shown)
        kind = self.kind.value if shown else None
        for field in (self.thickness, self.at_tip, self.sides, self.height):
            self._form.set_shown(field, kind == "photo")
        self._form.set_shown(self.lean, kind == "photo" and self.sides.value == "tapered")
        self._form.set_shown(self.ruler, kind in ("photo", "scan"))
        self._form.set_shown(self.dpi, kind == "scan")
        self._form.set_shown(self.apart, kind == "flat")

    # What is told

    @property
    def is_flat(self) -> bool:
        """Whether two places tell the scale of the picture."""
        return self.kind.value == "flat"

    def _change(self, *_: object) -> None:
        self.set_shown(True)
        self._show_places()
        self.kind_changed.emit()

    def _choose(self) -> None:
        path = self.ask_file()
        if path is not None:
            self.show_picture(path)

    def show_picture(self, path: Path) -> None:
        """Read this picture from now on."""
        self.path = path
        self.name.setText(path.name)
        self.refused.emit("")
        self.chosen.emit()
        self._show_places()

    def _show_places(self) -> None:
        """Open the picture where places are to be shown in it, once."""
        if not self.is_flat or self.path is None or self._shown == self.path:
            return
        self._shown = self.path
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self.places.show_picture(self._opened(self.path))
        finally:
            QGuiApplication.restoreOverrideCursor()

    def _opened(self, path: Path) -> Opened | None:
        try:
            return open_picture_at(path)
        except (Refusal, SentenceError) as error:
            self.refused.emit(say_note(error, self._units).removeprefix(f"{path}: "))
            return None

    def told(self) -> PictureTold:
        """What the fields tell of the picture."""
        if self.is_flat:
            places, apart = self.places.places, self.apart.value
            return PictureTold(known=None if places is None or apart is None else KnownPoints(*places, apart))
        if self.kind.value == "scan":
            return PictureTold(measured_ruler=self.ruler.value, dpi=self.dpi.value, scan=True)
        lean = self.lean.value if self.sides.value == "tapered" else None
        return PictureTold(
            self.thickness.value,
            lean or 0.0,
            self.ruler.value,
            thickness_at_tip=self.at_tip.value,
            camera_height=self.height.value,
        )

    def missing(self) -> tuple[QWidget, str] | None:
        """The first field that keeps the picture from being read, and what it wants."""
        if self.path is None:
            return self.choose, self.tr("Choose the picture of your head first.")
        lengths = self.thickness, self.at_tip, self.ruler, self.height, self.apart
        for field in (*lengths, self.lean, self.dpi):
            field.take_over()
            if field.fault and field.isVisibleTo(self._form):
                return field, f"{field.accessibleName()}: {field.fault}"
        if self.lean.isVisibleTo(self._form) and self.lean.value is None:
            return self.lean, self.tr("Say by how many degrees the sides lean.")
        if self.kind.value == "photo" and self.thickness.value is None:
            return self.thickness, self.tr(
                "Say how thick the head is: without that the edge is millimetres off."
            )
        if self.is_flat and self.places.places is None:
            return self.places, self.tr("Click two places in the picture whose distance you know.")
        if self.is_flat and self.apart.value is None:
            return self.apart, self.tr("Say how far both places are apart.")
        return None
