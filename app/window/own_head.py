"""A page between the drawing of a head and the bench: what the file does not tell is asked, and the fit is said."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from app.document.messages import Refusal
from app.document.settings import Settings
from app.intake.readers import DRAWINGS, Told, read_head
from app.widgets.cards import Heading
from app.widgets.fields import Choice, Tick
from app.widgets.kit import PlainLabel, capital
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from app.widgets.shades import Shade
from app.window.begin_page import BeginPage, alike_tick, ask_file, begun_with, starter_choice, starter_in
from geometry.document.build import Build
from geometry.intake.drawn import Side
from geometry.intake.from_drawing import LONGEST, SHORTEST
from geometry.intake.into_build import Wishes
from geometry.trade.sentence import say_note

SIZES = QSize(300, 400), QSize(170, 220), 520
"""Of the picture of the head: usual, on small screens, and the height in pixels below which a screen is small."""


def ask_drawing(parent: QWidget, folder: Path) -> Path | None:
    """Which drawing or table to begin from."""
    translate = QCoreApplication.translate
    title = translate("OwnHead", "Choose the drawing of a head")
    return ask_file(
        parent, folder, DRAWINGS, title, translate("OwnHead", "Drawings and offset tables ({kinds})")
    )


class OwnHeadPage(BeginPage):
    """What a file of a head leaves open, its picture, how its outline fits; `build` is None while it cannot be read."""

    def __init__(self, path: Path, settings: Settings, shade: Shade, parent: QWidget | None = None) -> None:
        super().__init__(settings, shade, self.tr("The head as it was found"), SIZES, parent)
        self._path = path
        self.build: Build | None = None
        self.setWindowTitle(self.tr("From a drawing of a head"))
        self.words = PlainLabel()
        self.words.setWordWrap(True)
        self.words.setAccessibleName(self.tr("How it fits"))
        self._make_fields()
        form = self._form(self.starter, self.length, self.nut, self.side, self.alike, self.back)
        self._put_together(Heading(path.name, 1.4), 10, form, 14, self.words, spacing=8)

    def _make_fields(self) -> None:
        self.starter = starter_choice()
        self.length = self._size(
            self.tr("Length of the head"),
            self.tr("From nut line to tip, where the file does not tell its size or tells a wrong one"),
            Range(SHORTEST, LONGEST),
        )
        self.nut = self._size(
            self.tr("Width of the nut"),
            self.tr("How wide the head is at the nut, which tells its size as well"),
            Range(LEAST_NUT, MOST_NUT),
        )
        self.side = Choice(
            self.tr("The nut in the drawing"),
            [
                (None, self.tr("find it")),
                ("bottom", self.tr("at the bottom")),
                ("top", self.tr("at the top")),
                ("left", self.tr("at the left")),
                ("right", self.tr("at the right")),
            ],
            tip=self.tr("At which side of the drawing the nut is, where that is not plain"),
        )
        self.side.set_value(None)
        self.alike = alike_tick()
        self.back = Tick(self.tr("Seen from the back"), tip=self.tr("What was drawn or measured is the back"))
        self.starter.picked.connect(self._follow)
        self.side.picked.connect(self._follow)
        self.typed = self.length, self.nut
        for field in self.typed:
            field.edited.connect(self._take)
            field.cleared.connect(self._take)
        self.alike.ticked.connect(self._follow)
        self.back.ticked.connect(self._follow)

    def _size(self, name: str, tip: str, within: Range) -> NumberField:
        return NumberField(name, units=self._settings.units, within=within, tip=tip, optional=True)

    # What follows

    def _follow(self) -> None:
        """Read the file with what is told now, and show what comes of it or why nothing does."""
        QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
        try:
            self.build, words = self._made()
        except (Refusal, ValueError) as error:
            self.build, words = None, say_note(error, self._settings.units).removeprefix(f"{self._path}: ")
        finally:
            QGuiApplication.restoreOverrideCursor()
        self.words.setText(capital(words))
        self.create_button.setEnabled(self.build is not None)
        self.picture.clear()
        if self.build is not None:
            self._show_head(self.build)

    def _made(self) -> tuple[Build, str]:
        """The build of the file, and the sentences about it."""
        units, nut = self._settings.units, self.nut.value
        side = self.side.value
        told = Told(
            length=self.length.value,
            nut_width=nut,
            nut_end=next((each for each in get_args(Side) if each == side), None),
            from_back=self.back.isChecked(),
            units=units,
        )
        found = read_head(self._path, told, units)
        wishes = Wishes(nut_width=nut, symmetric=self.alike.isChecked())
        made = begun_with(found, starter_in(self.starter), wishes, self._settings)
        return made.build, "\n".join(made.words)
