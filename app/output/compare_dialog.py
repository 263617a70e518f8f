"""Two placements, or two sets of tuners on one head, side by side: both drawn in one scale, and all that differs."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from app.document.files import load_build
from app.document.messages import Progress
from app.output.cells import Cells
from app.output.heads_view import HeadPicture, HeadsView, picture_of
from app.output.pieces import Foot, Scrolled, level_line
from app.output.work_dialog import WorkDialog
from app.widgets.boxes import filled
from app.widgets.fields import Choice
from app.widgets.kit import PlainLabel, remark, strong
from app.widgets.sizes import fit, room
from app.writing.pages import comparison_pdf
from geometry.document.build import Build
from geometry.layout.tuner_load import too_much
from geometry.search.answers.compare import SHOWN, Comparison, HoleLine, compared, side_of, with_hardware
from geometry.search.answers.compare_words import (
    CHECK_HEADS,
    HOLE_HEADS,
    NUMBER_HEADS,
    check_cells,
    differing,
    hole_cells,
    number_cells,
    say_verdicts,
)
from geometry.trade.escapes import on_one_line
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.shop import Shop
from geometry.trade.units import Units

FILE, SAVED = "file", "saved"
"""Stand for a file and for what was saved last among the models of the library."""

_LETTERS = 92  # the width of the tables
_ARROW = 40  # pixels round the words of a choice


class Compared(msgspec.Struct, frozen=True):
    """A comparison and both heads, ready to be painted."""

    found: Comparison
    pictures: tuple[HeadPicture, HeadPicture]


class CompareDialog(WorkDialog):
    """Today's head is A; B is chosen. Nothing of the build changes here."""

    def __init__(
        self,
        build: Build,
        shop: Shop,
        *,
        units: Units,
        saved: Path | None,
        folder: Path,
        ask_file: Callable[[], Path | None],
        parent: QWidget | None = None,
    ) -> None:
        """`saved` is the file in which the last state lies, if any; `ask_file` asks for another one."""
        super().__init__(build.name, folder, Foot(heed=False, prints=False), parent)
        self._build, self._shop, self._units = build, shop, units
        self._saved, self._ask_file = saved, ask_file
        self._models = tuple(model for model in LIBRARY if not too_much(build, model))
        self._compared: Compared | None = None
        self._before: object = None
        self._path: Path | None = None
        self.setWindowTitle(self.tr("Compare — {name}").format(name=on_one_line(build.name)))
        self._put_together()
        self._connect()
        fit(self, 1240, 780)
        self._take(SAVED if saved is not None else _others(build.hardware, self._models))

    @property
    def found(self) -> Comparison | None:
        """The comparison in view; None while there is none."""
        return None if self._compared is None else self._compared.found

    # How it is put together

    def _put_together(self) -> None:
        self.heads = HeadsView()
        self._fill(self.heads, Scrolled(self._tables(), _LETTERS), (self._top(), level_line()))

    def _top(self) -> QHBoxLayout:
        label = PlainLabel(self.tr("Compare today's head with"))
        self.other = Choice(
            self.tr("Compare with"),
            self._options(),
            tip=self.tr("The second head, B: a file, or this head otherwise"),
        )
        widest = max(self.fontMetrics().horizontalAdvance(words) for _, words in self._options())
        label.setBuddy(self.other)
        beside = label.sizeHint().width() + 2 * _ARROW
        self.other.setMinimumWidth(min(widest + _ARROW, room(self).width() - beside))
        return filled(QHBoxLayout(), label, self.other, None, margins=(16, 10, 16, 10), spacing=8)

    def _options(self) -> list[tuple[object, str]]:
        saved: list[tuple[object, str]] = [(SAVED, self.tr("What was saved last"))] if self._saved else []
        models = [(model.key, self.tr("Other tuners: {0}").format(model.name)) for model in self._models]
        return [*saved, (FILE, self.tr("A file…")), *models]

    def _tables(self) -> QWidget:
        self.verdict = PlainLabel()
        self.verdict.setWordWrap(True)
        self.verdict.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.numbers = Cells(self.tr("The heads as a whole"), NUMBER_HEADS)
        self.checks = Cells(self.tr("Checks that differ, or are not fine"), CHECK_HEADS)
        self.holes = Cells(self.tr("Hole by hole"), HOLE_HEADS)
        self._all = self.numbers, self.checks, self.holes
        tables = (part for table in self._all for part in (strong(table.accessibleName()), table))
        words = self.tr("Bold lines differ; the last column names the better head. ■ stop, ▲ watch, ✓ fine.")
        body = QWidget()
        parts = self.verdict, *tables, remark(words), None
        filled(QVBoxLayout(body), *parts, margins=(14, 10, 14, 14), spacing=8)
        return body

    def _connect(self) -> None:
        self.other.picked.connect(self._take)
        self.making.done.connect(self._show)
        self.making.refused.connect(self._refuse)
        self.foot.again.clicked.connect(self._compare)
        self.foot.save.clicked.connect(self._save_pdf)
        self.foot.save.setToolTip(self.tr("Write the comparison as a PDF (Ctrl+S)"))
        self.foot.again.setText(self.tr("&Again"))
        self.foot.again.setToolTip(self.tr("Compare again (F5)"))
        self._hear(("Ctrl+S", self.foot.save.click), ("F5", self._compare))

    # What is compared

    def _take(self, other: object) -> None:
        """Compare with something else; whoever asks for a file and gives none keeps what was there."""
        path = self._saved if other == SAVED else None
        if other == FILE:
            path = self._ask_file()
            if path is None:
                self.other.set_value(self._before)
                return
        self._before, self._path = other, path
        self.other.set_value(other)
        self._compare()

    def _compare(self) -> None:
        """Compare with what was taken last."""
        other, path = self._before, self._path
        self._compared = None
        if path is not None:
            named = self.tr("saved") if other == SAVED else path.stem
            self._start(lambda: load_build(path), self.tr("now"), named)
        else:
            model = next(each for each in LIBRARY if each.key == other)
            build = self._build
            today = ", ".join(dict.fromkeys(each.name or each.key for each in build.hardware)) or "–"
            self._start(lambda: with_hardware(build, model), today, model.name)

    def _start(self, other: Callable[[], Build], one: str, two: str) -> None:
        build = self._build

        def work(progress: Progress) -> Compared:
            progress(0, 2)
            first = side_of(build, one)
            progress(1, 2)
            second = side_of(other(), two)
            return Compared(compared(first, second), (picture_of(first), picture_of(second)))

        self._make(self.tr("Comparing…"), work)

    def _show(self, ready: Compared) -> None:
        self._compared = ready
        found, units = ready.found, self._units
        self.foot.say("")
        self.heads.show_heads(ready.pictures)
        self.verdict.setText(" ".join(say_verdicts(found)))
        self.numbers.show_lines(
            [(number_cells(each, units), each.better != "same") for each in found.numbers]
        )
        self.checks.show_lines(
            [(check_cells(each, units), each.better != "same") for each in differing(found.checks)]
        )
        self.holes.show_lines([(hole_cells(each, units), _differs(each)) for each in found.holes])

    def _refuse(self, why: str) -> None:
        self.foot.say(why)
        self._show_nothing()

    def _show_nothing(self) -> None:
        self.heads.show_heads(None)
        self.verdict.setText("")
        for table in self._all:
            table.show_lines(())

    # Onto paper

    def _save_pdf(self) -> None:
        found, shop, units = self.found, self._shop, self._units
        if found is not None:
            self._save(
                self.tr("Save the comparison"),
                self.tr("compared"),
                ".pdf",
                lambda: comparison_pdf(found, shop, shop.printers[0], date.today(), units),
            )

    # What is under way

    def give_up(self) -> None:
        """End what is under way."""
        super().give_up()
        if self._compared is None:
            self._show_nothing()

    def _allow(self) -> None:
        super()._allow()
        self.foot.again.setVisible(self.found is None and not self.making.busy)
        self.foot.save.setEnabled(self.found is not None and not self.writing.busy)


def _others(hardware: tuple[Hardware, ...], models: tuple[Hardware, ...]) -> str:
    """The key of the first model that is not on the head today; a file where there is no model at all."""
    today = {each.name for each in hardware}
    return next((model.key for model in models if model.name not in today), models[0].key if models else FILE)


def _differs(line: HoleLine) -> bool:
    """Whether the hole lies elsewhere, or one of its numbers is better in one of the heads."""
    numbers = (line.ring, line.splay, line.break_angle)
    return line.apart is None or line.apart >= SHOWN["mm"] or any(each.better != "same" for each in numbers)
