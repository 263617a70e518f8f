"""One head for a range of nut widths: which of them to avoid, as a chart, and a template for each."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

import msgspec
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.messages import Progress
from app.output.pages_view import PagesView
from app.output.pieces import Foot, Scrolled
from app.output.work_dialog import WorkDialog
from app.panels.words import widen_remark, widen_words
from app.widgets.boxes import filled
from app.widgets.fields import Choice
from app.widgets.kit import Form, PlainLabel, button, capital, heading, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import LEAST_NUT, MOST_NUT
from app.widgets.sizes import fit, letters_across
from app.writing.widths import pages_of_widths, widths_pages, widths_table
from export.page import Page
from geometry.document.build import Build
from geometry.search.refitting.refit import WIDEN, Widen
from geometry.search.refitting.widths import Member, across_widths, say_avoid, say_best, widths_between
from geometry.trade.escapes import on_one_line
from geometry.trade.sentence import say_note
from geometry.trade.shop import Shop
from geometry.trade.units import Units

OWN = "own"
"""Stands for the nodes' own shares among the choices."""

REACH, STEP = 4.0, 1.0
"""The range at first: so many mm to both sides of the nut's width, in steps of so many."""

LARGEST_STEP = 20.0
_LETTERS = 44


class WidthsOnPaper(msgspec.Struct, frozen=True):
    """All members, and their pages: the chart first, then the templates."""

    members: tuple[Member, ...]
    pages: tuple[Page, ...]


class WidthsDialog(WorkDialog):
    """The range at the left, the pages at the right; nothing of the build changes here."""

    def __init__(
        self,
        build: Build,
        shop: Shop,
        *,
        units: Units,
        folder: Path,
        per_mm: float,
        today: date | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """`per_mm`: how many pixels of this screen make a mm, for the true size of pages."""
        super().__init__(build.name, folder, Foot(prints=False), parent)
        self._build, self._units = build, units
        self._shop = msgspec.structs.replace(shop, units=units)
        self._today = today or date.today()
        self.ready: WidthsOnPaper | None = None
        """The sheet, None while it is not made."""
        self.setWindowTitle(self.tr("Nut widths — {name}").format(name=on_one_line(build.name)))
        self.pages = PagesView(per_mm, letters_across(self))
        self._put_together()
        self._connect()
        fit(self, 1180, 780)
        self.make()

    @property
    def widen(self) -> Widen | None:
        """How the outline follows; None by its nodes' own shares."""
        return next((each for each in WIDEN if each == self.follow.value), None)

    # How it is put together

    def _put_together(self) -> None:
        self._fill(Scrolled(self._range(), _LETTERS), self.pages)
        self.table = button(self.tr("Save &table…"), self.tr("Write all numbers as a table, in mm (Ctrl+T)"))
        self.foot.add(self.table)

    def _range(self) -> QWidget:
        form = Form()
        usual, within = self._build.nut.width, Range(LEAST_NUT, MOST_NUT)
        steps = Range(0.0, LARGEST_STEP, above=True)
        self.first, self.last, self.step = self._range_fields = [
            NumberField(name, units=self._units, within=range_, tip=tip)
            for name, range_, tip in (
                (self.tr("From"), within, self.tr("The narrowest nut")),
                (self.tr("To"), within, self.tr("The widest nut")),
                (self.tr("In steps of"), steps, self.tr("From one width to the next")),
            )
        ]
        at_first = max(LEAST_NUT, usual - REACH), min(MOST_NUT, usual + REACH), STEP
        for field, value in zip(self._range_fields, at_first, strict=True):
            field.set_value(value)
            form.add(field.accessibleName(), field)
        options: list[tuple[object, str]] = [(OWN, widen_words(None))]
        options += [(each, widen_words(each)) for each in WIDEN]
        self.follow = Choice(
            self.tr("The outline follows"), options, tip=self.tr("Which places move when the nut gets wider")
        )
        self.follow.set_value(OWN)
        self.follow_remark = remark(widen_remark(None))
        form.add_below(self.tr("The outline follows"), self.follow)
        form.add_wide(self.follow_remark)
        self.avoid, self.best = PlainLabel(), PlainLabel()
        self.told = heading(self.tr("Which widths"))
        for label in (self.avoid, self.best):
            label.setWordWrap(True)
        body = QWidget()
        title = heading(self.tr("Nut widths"), first=True)
        parts = title, form, self.told, self.avoid, self.best, None
        filled(QVBoxLayout(body), *parts, margins=(16, 14, 16, 14), spacing=6)
        return body

    def _connect(self) -> None:
        for field in self._range_fields:
            field.edited.connect(self._change)
        self.follow.picked.connect(self._change)
        self.making.done.connect(self._show)
        self.making.refused.connect(self._refuse)
        foot = self.foot
        foot.again.clicked.connect(self.make)
        foot.save.clicked.connect(self._save_pdf)
        self.table.clicked.connect(self._save_table)
        self._hear(("Ctrl+S", foot.save.click), ("Ctrl+T", self.table.click), ("F5", self.make))

    # The heads

    def _change(self, _: object) -> None:
        self.follow_remark.setText(widen_remark(self.widen))
        self.make()

    def make(self) -> None:
        """Refit the head to every width and draw the pages, beside the window."""
        self.ready = None
        self.making.cancel()
        try:
            widths = widths_between(self.first.value or 0.0, self.last.value or 0.0, self.step.value or 0.0)
        except ValueError as error:
            self._refuse(f"{capital(say_note(error, self._units))}.")
            self._allow()
            return
        work = partial(_made, self._build, widths, self.widen, self._shop, self._today)
        self._make(self.tr("Refitting the head…"), work)

    def _show(self, ready: WidthsOnPaper) -> None:
        self.ready = ready
        self.foot.say("")
        self._tell(say_avoid(ready.members, self._units), say_best(ready.members, self._units))
        self.pages.show_pages(ready.pages)

    def _refuse(self, why: str) -> None:
        self.foot.say("")
        self._show_nothing(why)

    def _show_nothing(self, why: str) -> None:
        self._tell("", "")
        self.pages.show_nothing(why)

    def _tell(self, avoid: str, best: str) -> None:
        self.told.setVisible(bool(avoid or best))
        for label, words in ((self.avoid, avoid), (self.best, best)):
            label.setText(words)
            label.setVisible(bool(words))

    # Files

    def _save_pdf(self) -> None:
        ready, shop, day = self.ready, self._shop, self._today
        if ready is not None:
            name = self._build.name
            self._save(
                self.tr("Save PDF"),
                self.tr("nut widths"),
                ".pdf",
                lambda: widths_pages(ready.members, name, shop, shop.printers[0], day),
            )

    def _save_table(self) -> None:
        ready = self.ready
        if ready is not None:
            part = self.tr("nut widths")
            self._save(self.tr("Save the table"), part, ".csv", lambda: widths_table(ready.members))

    # What is under way

    def give_up(self) -> None:
        """End what is under way."""
        super().give_up()
        if self.ready is None:
            self._show_nothing(self.tr("The heads are not made. Change a width, or begin again with F5."))

    def _allow(self) -> None:
        super()._allow()
        self.foot.again.setVisible(self.ready is None and not self.making.busy)
        for each in (self.foot.save, self.table):
            each.setEnabled(self.ready is not None and not self.writing.busy)


def _made(
    build: Build, widths: tuple[float, ...], widen: Widen | None, shop: Shop, day: date, progress: Progress
) -> WidthsOnPaper:
    """The head refitted width by width; it can be ended between two of them."""
    steps = len(widths) + 1
    progress(0, steps)
    members = []
    for member in across_widths(build, widths, widen):
        members.append(member)
        progress(len(members), steps)
    return WidthsOnPaper(tuple(members), pages_of_widths(members, shop, shop.printers[0], day))
