"""A page between the photo of a head and the bench: what a picture does not tell is asked, and it is read beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QFileDialog, QVBoxLayout, QWidget

from app.document.messages import Progress, Refusal
from app.document.settings import Settings
from app.intake.picture_told import COARSEST, FINEST, PICTURES, STEEPEST, THICKEST, THINNEST, PictureTold
from app.intake.readers import Told, read_head
from app.output.foot import Foot
from app.output.pieces import scrolled
from app.output.work_dialog import WorkDialog
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, heading, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.plain import PlainLabel
from app.widgets.sizes import fit
from app.window.own_head_begun import Begun, begun_with, starter_choice, starter_in
from geometry.document.build import Build
from geometry.intake.into_build import Wishes
from geometry.trade.sentence import SentenceError, say_note
from geometry.trade.shop import Shop

_LETTERS = 48

RULERS = Range(50.0, 300.0)
"""mm of what a steel rule may measure of a printed ruler; which of them it is, the reader finds."""


def ask_picture(parent: QWidget, folder: Path) -> Path | None:
    """Which photo or scan to begin from."""
    translate = QCoreApplication.translate
    kinds = " ".join(f"*{suffix} *{suffix.upper()}" for suffix in PICTURES)
    words = translate("PhotoPage", "Photos and scans ({kinds})").format(kinds=kinds)
    name, _ = QFileDialog.getOpenFileName(
        parent, translate("PhotoPage", "Choose the picture of a head"), str(folder), words
    )
    return Path(name) if name else None


class PhotoPage(WorkDialog):
    """What a picture leaves open at the left, how it is taken at the right; `begun` is None until one was read."""

    def __init__(self, settings: Settings, folder: Path, parent: QWidget | None = None) -> None:
        """`folder` is where pictures are looked for at first."""
        super().__init__("", folder, Foot(heed=False, prints=False), parent)
        self._settings = settings
        self.path: Path | None = None
        self.begun: Begun | None = None
        self.ask_file: Callable[[], Path | None] = lambda: ask_picture(self, self._folder)
        self.setWindowTitle(self.tr("From a photo of a head"))
        self._make_fields()
        self._put_together()
        self._connect()
        self._show_fields()
        fit(self, 940, 600)

    # How it is put together

    def _make_fields(self) -> None:
        self.choose = button(self.tr("&Choose…"), self.tr("Choose the picture: a photo or a scan (Ctrl+O)"))
        self.choose.setAccessibleName(self.tr("Choose the picture"))
        self.name = PlainLabel(self.tr("No picture is chosen yet."))
        self.name.setWordWrap(True)
        self.name.setAccessibleName(self.tr("The picture"))
        self.kind = Choice(
            self.tr("Kind of picture"),
            [("photo", self.tr("photo")), ("scan", self.tr("scan, face on the glass"))],
            tip=self.tr("A photo of the head on the sheet, or a scan with the face on the glass"),
        )
        self.kind.set_value("photo")
        self.thickness = self._number(
            self.tr("Thickness of the head"),
            self.tr("How far the face lies over the sheet; forgotten, it moves the edge by millimetres"),
            Range(THINNEST, THICKEST),
        )
        self.sides = Choice(
            self.tr("Sides"),
            [("square", self.tr("square")), ("tapered", self.tr("tapered"))],
            tip=self.tr("Square to the face, or leaning"),
        )
        self.sides.set_value("square")
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
        self.starter = starter_choice(
            self.tr("Strings and tuners"),
            self.tr("The starter whose rows, strings and tuners to begin with; each can be changed later"),
        )
        self.alike = Tick(
            self.tr("Make both halves alike"), tip=self.tr("The mean of what was found of both")
        )

    def _number(self, name: str, tip: str, within: Range) -> NumberField:
        return NumberField(name, units=self._settings.units, within=within, tip=tip, optional=True)

    def _put_together(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(8)
        self.form = Form()
        self.form.add(self.tr("Picture"), self.choose)
        self.form.add_wide(self.name)
        fields = (self.kind, self.thickness, self.sides, self.lean, self.ruler, self.dpi, self.starter)
        for field in fields:
            self.form.add(field.accessibleName(), field)
        self.form.add_wide(self.alike)
        column.addWidget(heading(self.tr("The picture"), first=True))
        column.addWidget(self.form)
        column.addStretch(1)
        self._fill(scrolled(body, _LETTERS), self._how())
        self.read = button(self.tr("&Read the picture"), self.tr("Find the head and put it on the bench"))
        self.read.setDefault(True)
        self.foot.add(self.read)
        self.foot.again.hide()
        self.foot.save.hide()

    def _how(self) -> QWidget:
        """How the picture is taken, and the sheet that it takes."""
        page = QWidget()
        column = QVBoxLayout(page)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(10)
        column.addWidget(heading(self.tr("How the picture is taken"), first=True))
        for number, line in enumerate(self._lines(), start=1):
            column.addWidget(remark(f"{number}.  {line}"))
        self.sheet = button(
            self.tr("&Save the sheet of markers…"),
            self.tr("Write the sheet as a PDF to print; its second page says how to use it (Ctrl+S)"),
        )
        column.addSpacing(6)
        column.addWidget(self.sheet, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch(1)
        return page

    def _lines(self) -> tuple[str, ...]:
        return (
            self.tr("Print the sheet of markers at 100 %, and measure one of its rulers."),
            self.tr(
                "Lay the head on it, face up, its nut on the nut line and its middle on the centre line."
            ),
            self.tr("Photograph all of the sheet from half a metre above, slightly tilted, in even light."),
            self.tr("Measure how thick the head is."),
        )

    def _connect(self) -> None:
        self.choose.clicked.connect(self._choose)
        self.kind.picked.connect(self._show_fields)
        self.sides.picked.connect(self._show_fields)
        self.sheet.clicked.connect(self._save_sheet)
        self.read.clicked.connect(self.begin)
        self.making.done.connect(self._take)
        self.making.refused.connect(self._say)
        self._hear(("Ctrl+O", self.choose.click), ("Ctrl+S", self.sheet.click))

    # What is asked

    @property
    def _is_scan(self) -> bool:
        return self.kind.value == "scan"

    def _show_fields(self) -> None:
        """Show what goes for the kind of picture."""
        for field in (self.thickness, self.sides):
            self.form.set_shown(field, not self._is_scan)
        self.form.set_shown(self.lean, not self._is_scan and self.sides.value == "tapered")
        self.form.set_shown(self.dpi, self._is_scan)

    def _choose(self) -> None:
        path = self.ask_file()
        if path is not None:
            self.show_picture(path)

    def show_picture(self, path: Path) -> None:
        """Read this picture from now on."""
        self.path, self._folder = path, path.parent
        self.name.setText(path.name)
        self.foot.say("")

    def told(self) -> PictureTold:
        """What the fields tell of the picture."""
        if self._is_scan:
            return PictureTold(measured_ruler=self.ruler.value, dpi=self.dpi.value, scan=True)
        lean = self.lean.value if self.sides.value == "tapered" else None
        return PictureTold(self.thickness.value, lean or 0.0, self.ruler.value)

    def _missing(self) -> tuple[QWidget, str] | None:
        """The first field that keeps the picture from being read, and what it wants."""
        if self.path is None:
            return self.choose, self.tr("Choose the picture of your head first.")
        for field in (self.thickness, self.lean, self.ruler, self.dpi):
            field.take_over()
            if field.fault and field.isVisibleTo(self):
                return field, f"{field.accessibleName()}: {field.fault}"
        if self.lean.isVisibleTo(self) and self.lean.value is None:
            return self.lean, self.tr("Say by how many degrees the sides lean.")
        if self.thickness.value is None and not self._is_scan:
            return self.thickness, self.tr(
                "Say how thick the head is: without that the edge is millimetres off."
            )
        return None

    # Reading

    def begin(self) -> None:
        """Read the picture beside the window, if everything it takes is told."""
        missing = self._missing()
        if missing is not None:
            missing[0].setFocus()
            self._say(missing[1])
            return
        assert self.path is not None, "or it would be missing"
        told = Told(units=self._settings.units, picture=self.told())
        wishes = Wishes(symmetric=self.alike.isChecked(), thickness=told.picture.thickness)
        self.foot.say("")
        work = _reader(self.path, told, starter_in(self.starter), wishes, self._settings)
        self._make(self.tr("Reading {name}…").format(name=self.path.name), work)

    def _take(self, begun: Begun) -> None:
        self.begun = begun
        self.accept()

    def _say(self, words: str) -> None:
        """Say why there is no head, to a screen reader too."""
        self.foot.say(words)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def _allow(self) -> None:
        super()._allow()
        self.read.setEnabled(not self.making.busy)
        self.sheet.setEnabled(not self.writing.busy)

    # The sheet

    def _save_sheet(self) -> None:
        shop = self._settings.shop
        self._save(
            self.tr("Save the sheet of markers"),
            self.tr("sheet of markers"),
            ".pdf",
            lambda: _sheet(shop),
        )


def _sheet(shop: Shop) -> bytes:
    """The sheet of markers as a PDF; what draws markers is loaded for it alone."""
    from app.writing.markers import markers_pdf

    return markers_pdf(shop, shop.printers[0], None)


def _reader(
    path: Path, told: Told, base: Build, wishes: Wishes, settings: Settings
) -> Callable[[Progress], Begun]:
    """What reads the picture and makes the build."""

    def read(progress: Progress) -> Begun:
        try:
            found = read_head(path, told, told.units)
            progress(3, 4)
            made = begun_with(found, base, wishes, settings)
        except Refusal as refusal:
            raise Refusal(str(refusal).removeprefix(f"{path}: ")) from None
        except SentenceError as error:
            raise Refusal(say_note(error, told.units)) from None
        progress(4, 4)
        return made

    return read
