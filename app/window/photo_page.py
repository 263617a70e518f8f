"""A page between the photo of a head and the bench: what a picture does not tell is asked, and it is read beside it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from msgspec.structs import replace
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.messages import Progress
from app.document.settings import Settings
from app.intake.face_shown import FaceShown
from app.intake.picture_told import PictureTold
from app.intake.readers import Told, read_head
from app.output.pieces import Scrolled
from app.widgets.boxes import filled
from app.widgets.kit import Form, button, heading, line, remark
from app.widgets.sizes import fit
from app.window.begin_page import Begun, alike_tick, begun_with, starter_choice, starter_in
from app.window.nut_lines import NutLines
from app.window.picture_page import PicturePage, said_of, titled
from geometry.document.build import Build
from geometry.intake.into_build import Wishes
from geometry.trade.units import Units

_LETTERS = 48


class PhotoPage(PicturePage):
    """What a picture leaves open at the left, how it is taken at the right; `begun` is None until one was read."""

    def __init__(self, settings: Settings, folder: Path, parent: QWidget | None = None) -> None:
        """`folder` is where pictures are looked for at first."""
        super().__init__(settings, folder, parent)
        self.begun: Begun | None = None
        self.may_go_on: Callable[[], bool] = lambda: True
        """Whether the head may come to the bench; a no leads back to the page."""
        self.setWindowTitle(self.tr("From a photo of a head"))
        self.lines = NutLines()
        self.forget = button(
            self.tr("Do &without them"),
            self.tr("Let the lines be found again when the picture is read"),
            self._forget_lines,
        )
        self._put_together()
        self.fields.kind_changed.connect(self._forget_lines)
        self.fields.chosen.connect(self._forget_lines)
        self.making.done.connect(self._take)
        fit(self, 940, 600)

    def _put_together(self) -> None:
        self.starter = starter_choice()
        self.alike = alike_tick()
        self.show_lines = button(
            self.tr("Nut and centre &line…"),
            self.tr(
                "Where the lines of the sheet do not fit the head, or there is none: show them over the picture"
            ),
            self.look,
        )
        body, form = QWidget(), Form()
        self.fields.put_into(form)
        form.add_below(self.starter.accessibleName(), self.starter)
        form.add_wide(self.alike)
        parts = heading(self.tr("The picture"), first=True), form, line(self.show_lines), None
        filled(QVBoxLayout(body), *parts, margins=(18, 16, 18, 16), spacing=8)
        self.beside.addWidget(self._over_picture())
        self._fill(Scrolled(body, _LETTERS), self.beside)
        tip = self.tr("Find the head and put it on the bench")
        self.read = button(self.tr("&Read the picture"), tip, self.begin)
        self.read.setDefault(True)
        self.foot.add(self.read)

    def _over_picture(self) -> QWidget:
        """The face with its lines to drag."""
        words = self.tr(
            "Drag the red line onto the head's side of the nut and the blue one onto the middle of the head; the knob "
            "at its upper end turns both. Then read the picture."
        )
        below = line(self.forget)
        return titled(self.tr("Nut line and centre line"), remark(words), (self.lines, 1), below)

    def _forget_lines(self) -> None:
        """Lines that were shown go for one picture, and for one kind of it."""
        self.lines.show_face(None)
        self._show_beside()

    # Reading

    def look(self) -> None:
        """Show the face beside the fields, for its lines to be dragged."""
        path = self._all_told()
        if path is not None:
            self.foot.say("")
            work = partial(_looked, path, self.fields.told(), self._settings.units)
            self._make(self.tr("Looking at {name}…").format(name=path.name), work)

    def begin(self) -> None:
        """Read the picture beside the window, if everything it takes is told."""
        path = self._all_told()
        if path is None:
            return
        picture = replace(self.fields.told(), lines=self.lines.lines)
        told = Told(units=self._settings.units, picture=picture)
        wishes = Wishes(
            symmetric=self.alike.isChecked(),
            thickness=picture.thickness,
            thickness_at_tip=picture.thickness_at_tip,
        )
        self.foot.say("")
        work = partial(_read, path, told, starter_in(self.starter), wishes, self._settings)
        self._make(self.tr("Reading {name}…").format(name=path.name), work)

    def _take(self, made: Begun | FaceShown) -> None:
        if isinstance(made, FaceShown):
            self.lines.show_face(made)
            self.beside.setCurrentIndex(self.beside.count() - 1)
            self.lines.setFocus()
            self.foot.say("")
            return
        self.begun = made
        if self.may_go_on():
            self.accept()

    def _allow(self) -> None:
        super()._allow()
        self.read.setEnabled(not self.making.busy)
        self.show_lines.setEnabled(not self.making.busy)


def _looked(path: Path, told: PictureTold, units: Units, progress: Progress) -> FaceShown:
    """The face in the picture."""
    from app.intake.photo import face_shown

    progress(0, 1)
    with said_of(path, units):
        return face_shown(path, told)


def _read(
    path: Path, told: Told, base: Build, wishes: Wishes, settings: Settings, progress: Progress
) -> Begun:
    """The build of the head in the picture."""
    with said_of(path, told.units):
        found = read_head(path, told, told.units)
        progress(3, 4)
        made = begun_with(found, base, wishes, settings)
    progress(4, 4)
    return made
