"""A page between the photo of a head and the bench: what a picture does not tell is asked, and it is read beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.messages import Progress, Refusal
from app.document.settings import Settings
from app.intake.readers import Told, read_head
from app.output.pieces import scrolled
from app.widgets.fields import Tick
from app.widgets.kit import Form, button, heading
from app.widgets.sizes import fit
from app.window.own_head_begun import Begun, begun_with, starter_choice, starter_in
from app.window.picture_page import PicturePage
from geometry.document.build import Build
from geometry.intake.into_build import Wishes
from geometry.trade.sentence import SentenceError, say_note

_LETTERS = 48


class PhotoPage(PicturePage):
    """What a picture leaves open at the left, how it is taken at the right; `begun` is None until one was read."""

    def __init__(self, settings: Settings, folder: Path, parent: QWidget | None = None) -> None:
        """`folder` is where pictures are looked for at first."""
        super().__init__(settings, folder, parent)
        self.begun: Begun | None = None
        self.setWindowTitle(self.tr("From a photo of a head"))
        self._put_together()
        self.read.clicked.connect(self.begin)
        self.making.done.connect(self._take)
        fit(self, 940, 600)

    def _put_together(self) -> None:
        self.starter = starter_choice(
            self.tr("Strings and tuners"),
            self.tr("The starter whose rows, strings and tuners to begin with; each can be changed later"),
        )
        self.alike = Tick(
            self.tr("Make both halves alike"), tip=self.tr("The mean of what was found of both")
        )
        body, form = QWidget(), Form()
        column = QVBoxLayout(body)
        column.setContentsMargins(18, 16, 18, 16)
        column.setSpacing(8)
        self.fields.put_into(form)
        form.add_below(self.starter.accessibleName(), self.starter)
        form.add_wide(self.alike)
        column.addWidget(heading(self.tr("The picture"), first=True))
        column.addWidget(form)
        column.addStretch(1)
        self._fill(scrolled(body, _LETTERS), self.beside)
        self.read = button(self.tr("&Read the picture"), self.tr("Find the head and put it on the bench"))
        self.read.setDefault(True)
        self.foot.add(self.read)

    # Reading

    def begin(self) -> None:
        """Read the picture beside the window, if everything it takes is told."""
        missing, path = self.fields.missing(), self.fields.path
        if missing is not None or path is None:
            field, words = missing or (self.fields.choose, "")
            field.setFocus()
            self._say(words)
            return
        told = Told(units=self._settings.units, picture=self.fields.told())
        picture = told.picture
        wishes = Wishes(
            symmetric=self.alike.isChecked(),
            thickness=picture.thickness,
            thickness_at_tip=picture.thickness_at_tip,
        )
        self.foot.say("")
        work = _reader(path, told, starter_in(self.starter), wishes, self._settings)
        self._make(self.tr("Reading {name}…").format(name=path.name), work)

    def _take(self, begun: Begun) -> None:
        self.begun = begun
        self.accept()

    def _allow(self) -> None:
        super()._allow()
        self.read.setEnabled(not self.making.busy)


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
