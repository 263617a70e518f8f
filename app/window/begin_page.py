"""What the pages before a new head have in common: a picture beside what is asked, and the way on or back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import get_args

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QSize, Qt
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QFormLayout,
    QHBoxLayout,
    QLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.canvas.picture import head_picture
from app.canvas.underlay import Underlay, underlay_of
from app.document.settings import Settings
from app.widgets.boxes import Part, filled
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Fault, PlainLabel
from app.widgets.number_field import NumberField
from app.widgets.shades import Shade
from app.widgets.sizes import room
from app.widgets.typed_line import TypedLine, all_reads
from app.window.start_screen import starter_words, suggested
from geometry.bench.bore_fit import begun
from geometry.document.build import Build
from geometry.document.outline import StarterShape
from geometry.intake.found import Found
from geometry.intake.into_build import Wishes, into_build
from geometry.layout.layout import Layout
from geometry.layout.trees import with_trees
from geometry.trade.sentence import say_note

_tr = partial(QCoreApplication.translate, "OwnHead")


def ask_file(parent: QWidget, folder: Path, suffixes: Iterable[str], title: str, kinds: str) -> Path | None:
    """Which file to begin from; `kinds` is the line of the list of kinds, with a place for the suffixes."""
    endings = " ".join(f"*{suffix} *{suffix.upper()}" for suffix in suffixes)
    name, _ = QFileDialog.getOpenFileName(parent, title, str(folder), kinds.format(kinds=endings))
    return Path(name) if name else None


class BeginPage(QDialog):
    """A page that ends with a new head on the bench, or with none.

    Whoever derives from it names in `typed` the fields of numbers, puts it together, and shows in `_follow` what comes
    of all that is asked.
    """

    create_button: QPushButton
    fault: Fault
    typed: tuple[NumberField, ...]

    def __init__(
        self,
        settings: Settings,
        shade: Shade,
        picture: str,
        sizes: tuple[QSize, QSize, int],
        parent: QWidget | None,
    ) -> None:
        """`picture`: what that of the head is called; `sizes`: as in NewBuildPage."""
        super().__init__(parent)
        self._settings, self._shade = settings, shade
        self.may_go_on: Callable[[], bool] = lambda: True
        """Whether the head may come to the bench; asked when all is typed, so that a no leads back to the page."""
        self._taken = False
        self.picture = PlainLabel()
        usual, small, low = sizes
        self.picture.setFixedSize(small if room(self).width() < 800 or room(self).height() < low else usual)
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setAccessibleName(picture)

    def _put_together(self, *asked: Part, spacing: int) -> None:
        """The picture at the left; what is asked beside it, and at its foot the buttons."""
        self.fault = Fault(self.tr("What does not read"))
        self.fault.hide()
        side = filled(QVBoxLayout(), *asked, self.fault, None, self._buttons(), spacing=spacing)
        filled(QHBoxLayout(self), self.picture, (side, 1), margins=(24, 24, 24, 20), spacing=28)
        for field in self.findChildren(TypedLine):
            field.refused.connect(partial(self._refused, field))
        # Wide enough for the longest names in the lists, where the screen is.
        wide = self.picture.width() + self.fontMetrics().averageCharWidth() * 92
        self.setMinimumWidth(min(wide, room(self).width()))

    @staticmethod
    def _form(*rows: QWidget | tuple[str, QLayout]) -> QFormLayout:
        """Each field under its own name, but for ticks, which say theirs."""
        form = QFormLayout()
        form.setHorizontalSpacing(16)
        form.setVerticalSpacing(10)
        for row in rows:
            if isinstance(row, QWidget):
                form.addRow("" if isinstance(row, Tick) else row.accessibleName(), row)
            else:
                form.addRow(*row)
        return form

    # What follows

    def _follow(self) -> None:
        """Show what comes of all that is asked."""
        raise NotImplementedError

    def _take(self) -> None:
        """A number was taken over: the next Enter goes on."""
        self._taken = True
        self._follow()

    def _show_head(self, build: Build, layout: Layout | None = None) -> None:
        size, ratio = self.picture.size(), self.devicePixelRatio()
        self.picture.setPixmap(head_picture(build, size.width(), size.height(), ratio, self._shade, layout))

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Enter in a field takes a new number over and shows what comes of it; a second one creates the build."""
        entered = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        taken, self._taken = self._taken, False
        typed = any(field.hasFocus() and (taken or field.isModified()) for field in self.typed)
        if not (entered and typed):
            super().keyPressEvent(event)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """The picture is painted for the screen that the page is on."""
        super().showEvent(event)
        self._follow()

    def accept(self) -> None:
        """Go on, once all that is typed reads and whoever asked for the page wants it to."""
        if all_reads(self, self._tell) and self.may_go_on():
            super().accept()

    def _refused(self, field: TypedLine, why: str) -> None:
        self._tell(why and f"{field.accessibleName()}: {why}")

    def _tell(self, words: str) -> None:
        """Say what does not read; without it the page has no room to give away."""
        self.fault.tell(words)
        self.fault.setVisible(bool(words))

    def _buttons(self) -> QDialogButtonBox:
        box = QDialogButtonBox()
        self.create_button = box.addButton(self.tr("Create"), QDialogButtonBox.ButtonRole.AcceptRole)
        self.create_button.setToolTip(self.tr("Put this head on the bench"))
        box.addButton(self.tr("Back"), QDialogButtonBox.ButtonRole.RejectRole)
        box.accepted.connect(self.accept)
        box.rejected.connect(self.reject)
        return box


# A head that was found in a file


class Begun(msgspec.Struct, frozen=True, eq=False):
    """A build with the outline and the holes of a head, what is to be said about it, and its face where it was seen."""

    build: Build
    words: tuple[str, ...]
    picture: Underlay | None


def starter_choice() -> Choice:
    """Whose rows, strings and tuners to begin with."""
    tip = _tr("The starter whose rows, strings and tuners to begin with; each can be changed later")
    shapes = [(shape, starter_words(shape)[0]) for shape in get_args(StarterShape)]
    choice = Choice(_tr("Strings and tuners"), shapes, tip=tip)
    choice.set_value("straight-taper")
    return choice


def alike_tick() -> Tick:
    """Whether both sides of a head are to be each other's mirror image."""
    return Tick(_tr("Make both halves alike"), tip=_tr("The mean of what was found of both"))


def starter_in(choice: Choice) -> Build:
    """The starter that is chosen, unnamed: it is called as its file, until the maker names it."""
    shape = next(each for each in get_args(StarterShape) if each == choice.value)
    return replace(suggested(shape), name="", retainers=())


def begun_with(found: Found, base: Build, wishes: Wishes, settings: Settings) -> Begun:
    """The build of a found head; a SentenceError where no build can hold it."""
    taken = into_build(found, base, wishes)
    words = tuple(say_note(note, settings.units) for note in taken.notes)
    picture = None if taken.picture is None else underlay_of(taken.picture)
    return Begun(begun(with_trees(taken.build), "", settings.shop), words, picture)
