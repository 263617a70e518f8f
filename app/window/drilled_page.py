"""A page that finds the drilled holes of the head on the bench, by a picture or by calipers, and says what they do."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import get_args

from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from app.document.messages import Progress
from app.document.settings import Settings
from app.intake.drilled_answer import DrilledAnswer, Rest, by_calipers, by_picture, say_answer
from app.intake.hole_table import readings_in
from app.intake.picture_told import PictureTold
from app.output.pieces import Scrolled
from app.panels.level_sign import Verdict
from app.panels.panel import in_steps
from app.panels.sentences import sentence, tell
from app.widgets.boxes import filled
from app.widgets.fields import Choice
from app.widgets.kit import Form, button, heading, remark
from app.widgets.sizes import fit
from app.window.picture_page import PicturePage, said_of, titled
from app.window.reading_tables import ReadingTables
from geometry.checks.judge import worst
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.search.answers.all_read import ReadHole
from geometry.search.answers.missed_words import say_head
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

_LETTERS, _ANSWER_LETTERS = 58, 42
_PICTURE, _ANSWER, _CALIPERS = 0, 1, 2
"""What stands at the right: how the picture is taken, what was found, how calipers are held."""


class DrilledPage(PicturePage):
    """How the holes were measured at the left, what they do to the head at the right.

    `answer` is what was found, None before; accepting the page takes it over.
    """

    def __init__(
        self, build: Build, layout: Layout, settings: Settings, folder: Path, parent: QWidget | None = None
    ) -> None:
        """`layout` is that of the build, whose edge must be sound; `folder` is where pictures are looked for."""
        super().__init__(settings, folder, parent)
        self._build, self._layout = build, layout
        self.answer: DrilledAnswer | None = None
        self.setWindowTitle(self.tr("Holes as drilled"))
        self._make_fields()
        self._put_together()
        self._connect()
        self.fields.thickness.set_value(build.head.thickness_nut)
        if build.head.thickness_tip != build.head.thickness_nut:
            self.fields.at_tip.set_value(build.head.thickness_tip)
        self._show_way()
        self._show(None)
        fit(self, 1060, 680)

    # How it is put together

    def _make_fields(self) -> None:
        self.way = Choice(
            self.tr("Measured by"),
            [("picture", self.tr("a photo or a scan")), ("calipers", self.tr("caliper readings"))],
            tip=self.tr("How you know where the holes are"),
        )
        self.way.set_value("picture")
        self.rest = Choice(
            self.tr("Holes still to drill"),
            [
                (None, self.tr("move where the head needs it")),
                ("keep", self.tr("stay at their marks")),
                ("all", self.tr("best places")),
            ],
            tip=self.tr("Whether the marks of the other holes are placed anew"),
        )
        self.rest.set_value(None)
        self.tables = ReadingTables(self._layout)
        self.verdict, self.says = Verdict(), sentence()
        self.take = button(
            self.tr("&Accept"),
            self.tr("Keep the holes where they are, drilled, in the build: one act"),
            self.accept,
        )
        tip = self.tr("Hold the drilled holes against their plan")
        self.look = button(self.tr("&Find the holes"), tip, self.begin)

    def _put_together(self) -> None:
        body, form = QWidget(), Form()
        form.add_below(self.way.accessibleName(), self.way)
        form.add_below(self.rest.accessibleName(), self.rest)
        self.fields.put_into(form)
        parts = heading(self.tr("The drilled holes"), first=True), form, self.tables, None
        filled(QVBoxLayout(body), *parts, margins=(18, 16, 18, 16), spacing=8)
        self.right = QStackedWidget()
        meanings = titled(self.tr("How the holes are measured"), *map(remark, self.tables.meanings), None)
        for page in (self.beside, self._told(), meanings):
            self.right.addWidget(page)
        self._fill(Scrolled(body, _LETTERS), self.right)
        self.look.setDefault(True)
        self.foot.add(self.look)
        self.foot.add(self.take)

    def _told(self) -> QWidget:
        """What was found."""
        self.hint = remark(self.tr("Accept keeps the holes in the build; undo takes it back."))
        page = titled(self.tr("As drilled"), self.verdict, self.says, self.hint, None)
        return Scrolled(page, _ANSWER_LETTERS)

    def _connect(self) -> None:
        self.way.picked.connect(self._show_way)
        self.rest.picked.connect(self._forget)
        self.tables.edited.connect(self._forget)
        self.fields.kind_changed.connect(self._forget)
        self.fields.places.moved.connect(self._forget)
        fields = self.fields
        for field in (fields.thickness, fields.at_tip, fields.ruler, fields.height, fields.lean):
            field.edited.connect(self._forget)
        self.making.done.connect(self._show)

    # What is asked

    @property
    def by_calipers(self) -> bool:
        """Whether readings are typed."""
        return self.way.value == "calipers"

    def _show_way(self, *_: object) -> None:
        self.fields.set_shown(not self.by_calipers)
        self.tables.setVisible(self.by_calipers)
        self._show(None)

    def _forget(self, *_: object) -> None:
        """What was found is of something else."""
        if self.answer is not None:
            self._show(None)

    def begin(self) -> None:
        """Find the holes beside the window, if everything it takes is told."""
        self._show(None)
        try:
            work = self._work()
        except ValueError as error:
            self._say(say_note(error, self._settings.units))
            return
        if work is not None:
            self.foot.say("")
            self._make(self.tr("Finding the holes…"), work)

    def _work(self) -> Callable[[Progress], DrilledAnswer] | None:
        """What finds the holes; None, and said, while something is missing for it."""
        rest = next((each for each in get_args(Rest) if each == self.rest.value), None)
        units = self._settings.units
        if not self.by_calipers:
            path = self._all_told()
            told = self.fields.told()
            return None if path is None else partial(_seen, path, told, self._build, rest, units)
        if not self.tables.anything:
            self._miss(self.tables.holes, self.tr("Type what the calipers read."))
            return None
        holes = readings_in(self.tables.lines(), self._layout, units)
        return partial(_read, holes, self._build, self._layout, rest, units)

    # What was found

    def _show(self, answer: DrilledAnswer | None) -> None:
        self.answer = answer
        beside = _CALIPERS if self.by_calipers else _PICTURE
        self.right.setCurrentIndex(beside if answer is None else _ANSWER)
        if answer is not None:
            units = self._settings.units
            verdict = next(say_head(answer.head, units))
            self.verdict.say(worst(answer.head.found), verdict)
            tell(self.says, [words for words in say_answer(answer, units) if words != verdict])
            self.foot.say("")
            self._bring(self.right)
        self._allow()

    def _allow(self) -> None:
        super()._allow()
        self.look.setEnabled(not self.making.busy)
        self.take.setEnabled(self.answer is not None and not self.making.busy)


def _read(
    holes: tuple[ReadHole, ...],
    build: Build,
    layout: Layout,
    rest: Rest | None,
    units: Units,
    progress: Progress,
) -> DrilledAnswer:
    with said_of(None, units):
        return by_calipers(holes, build, layout, rest, units, in_steps(progress))


def _seen(
    path: Path, told: PictureTold, build: Build, rest: Rest | None, units: Units, progress: Progress
) -> DrilledAnswer:
    with said_of(path, units):
        return by_picture(path, told, build, rest, units, in_steps(progress))
