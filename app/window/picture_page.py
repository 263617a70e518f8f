"""What the pages have in common that read a picture of a head: its fields, how it is taken, the sheet that it takes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from app.document.messages import Refusal
from app.document.settings import Settings
from app.intake.picture_told import PICTURES
from app.output.pieces import Foot
from app.output.work_dialog import WorkDialog
from app.widgets.boxes import Part, filled
from app.widgets.fields import Tick
from app.widgets.kit import button, heading, line, remark
from app.window.begin_page import ask_file
from app.window.picture_fields import PictureFields
from app.writing.pages import markers_pages, markers_pdf
from geometry.trade.sentence import say_note
from geometry.trade.units import Units


@contextmanager
def said_of(path: Path | None, units: Units) -> Iterator[None]:
    """What is refused meanwhile in the words of a page, which shows the name of the file and its units."""
    try:
        yield
    except (Refusal, ValueError) as error:
        raise Refusal(say_note(error, units).removeprefix(f"{path}: ")) from None


def titled(title: str, *parts: Part) -> QWidget:
    """A part that stands beside the fields: what it holds under its title."""
    page = QWidget()
    filled(QVBoxLayout(page), heading(title, first=True), *parts, margins=(18, 16, 18, 16), spacing=10)
    return page


class PicturePage(WorkDialog):
    """Fields of a picture; beside them how it is taken, or the picture itself to show two places in."""

    def __init__(self, settings: Settings, folder: Path, parent: QWidget | None = None) -> None:
        """`folder` is where pictures are looked for at first."""
        super().__init__("", folder, Foot(heed=False, prints=False), parent)
        self._settings = settings
        self.fields = PictureFields(settings.units, self)
        self.fields.ask_file = self._ask_picture
        self.beside = QStackedWidget()
        self.beside.addWidget(self._how())
        self.beside.addWidget(self._to_click())
        self.fields.kind_changed.connect(self._show_beside)
        self.fields.refused.connect(self._say)
        self.printing.refused.connect(self._say)
        self.making.refused.connect(self._say)
        self._hear(("Ctrl+O", self.fields.choose.click), ("Ctrl+S", self.sheet.click))
        self._hear(("Ctrl+P", self.print_sheet.click))
        self.foot.again.hide()
        self.foot.save.hide()

    def _ask_picture(self) -> Path | None:
        """Which photo or scan to read."""
        before = self.fields.path
        folder = self._folder if before is None else before.parent
        title, kinds = self.tr("Choose the picture of a head"), self.tr("Photos and scans ({kinds})")
        return ask_file(self, folder, PICTURES, title, kinds)

    def _how(self) -> QWidget:
        """How the picture is taken, and the sheet that it takes."""
        self.sheet = button(
            self.tr("&Save the sheet of markers…"),
            self.tr("Write the sheet as a PDF to print; its second page says how to use it (Ctrl+S)"),
            self._save_sheet,
        )
        self.print_sheet = button(
            self.tr("&Print it…"),
            self.tr("Print the sheet at true size, and how to use it (Ctrl+P)"),
            self._print_sheet,
        )
        self.pair = Tick(
            self.tr("Two sheets to tape together, for a long head"),
            tip=self.tr(
                "How they lie to each other is found out from the picture; the last page says how to tape them"
            ),
        )
        steps = (remark(f"{number}.  {words}") for number, words in enumerate(self._lines(), start=1))
        below = line(self.sheet, self.print_sheet)
        return titled(self.tr("How the picture is taken"), *steps, 6, self.pair, below, None)

    def _lines(self) -> tuple[str, ...]:
        return (
            self.tr("Print the sheet of markers at 100 %, and measure one of its rulers."),
            self.tr(
                "Lay the head on it, face up, its nut on the nut line and its middle on the centre line."
            ),
            self.tr("Photograph all of the sheet from half a metre above, slightly tilted, in even light."),
            self.tr("Measure how thick the head is at the nut and, where it gets thinner, at the tip."),
        )

    def _to_click(self) -> QWidget:
        """The picture to show two places in, and what it must be."""
        words = self.tr(
            "Only for a flat picture, such as a scan with the face on the glass, the head upright in it and its nut "
            "end down: in a photo of a head this is millimetres off. Click two places far apart whose distance you "
            "know, such as the ends of a rule beside the head."
        )
        return titled(self.tr("Two places of known distance"), remark(words), (self.fields.places, 1))

    def _all_told(self) -> Path | None:
        """The picture, if everything it takes is told; what is missing is said."""
        missing = self.fields.missing()
        if missing is not None:
            self._miss(*missing)
            return None
        return self.fields.path

    def _miss(self, field: QWidget, words: str) -> None:
        field.setFocus()
        self._say(words)

    def _show_beside(self) -> None:
        self.beside.setCurrentIndex(int(self.fields.is_flat))

    def _say(self, words: str) -> None:
        """Say why there is no head, to a screen reader too."""
        self.foot.say(words)
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))

    def _allow(self) -> None:
        super()._allow()
        self.sheet.setEnabled(not self.writing.busy)
        self.print_sheet.setEnabled(not self.printing.busy)

    # The sheet

    def _save_sheet(self) -> None:
        shop, pair = self._settings.shop, self.pair.isChecked()
        self._save(
            self.tr("Save the sheet of markers"),
            self.tr("sheet of markers"),
            ".pdf",
            lambda: markers_pdf(shop, shop.printers[0], None, pair=pair),
        )

    def _print_sheet(self) -> None:
        """Send the sheet to the printer that the maker chooses."""
        if not self.printing.busy:
            shop = self._settings.shop
            pages = markers_pages(shop, shop.printers[0], None, pair=self.pair.isChecked())
            self._print_pages(pages, shop.printers[0].name, self.tr("sheet of markers"))
