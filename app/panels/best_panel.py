"""Best placement: what is asked for, the search beside the window, and what it would change before it is taken."""

from __future__ import annotations

from functools import partial
from typing import get_args

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QHideEvent, QKeyEvent
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.selection import keys_of
from app.document.session import Session
from app.document.work import Work
from app.panels.best_offer import Offer, searched
from app.panels.best_result import BestResult
from app.panels.finding_rows import translated
from app.panels.panel import Panel
from app.panels.searching import Searching
from app.panels.spans import SpanFields
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, heading, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import MOST_STRAIGHT
from geometry.document.build import Build
from geometry.search.alike import Twins, Unlike
from geometry.search.alike_words import say_unlike
from geometry.search.stages import sides_of
from geometry.search.wish import Kind, Wish
from geometry.trade.units import Units

MOST_PITCH, MOST_INSET = 200.0, 200.0
"""No head asks for more, in mm."""

SETTLED = 50
"""Milliseconds after which lines that wrap have found their height beside a bar that has just come."""


class BestPanel(Panel):
    """What the search may do, its progress, and its proposal, which nothing but "take it" brings into the build."""

    def __init__(self, session: Session, units: Units = "mm", parent: QWidget | None = None) -> None:
        """Nothing is looked for before somebody asks."""
        super().__init__(session, "", units, parent)
        self.setAccessibleName(self.tr("Best placement"))
        self.setWindowTitle(self.tr("Best placement"))
        self._asked: Build | None = None
        self._offer: Offer | None = None
        self._picked: Kind | None = None
        self._sides: Twins | Unlike = ()
        self.work = Work(self)
        self._add_wish()
        self._add_search()
        self.result = BestResult(units)
        self.column.addWidget(self.result)
        self.column.addStretch(1)
        self.result.take.clicked.connect(self._take)
        self.result.leave.clicked.connect(self._leave)
        self.work.progressed.connect(self.searching.show_progress)
        self.work.done.connect(self._found)
        self.work.idle.connect(self._rest)
        self.refresh()
        self._rest()

    def _add_wish(self) -> None:
        form = Form()
        self.kind = Choice(
            self.tr("How the tuners may move"),
            tip=self.tr("Both sides stay alike, rows stay even, or each post moves by hand"),
        )
        self.kind.picked.connect(self._pick)
        self.kind_remark = remark("")
        self.pitch = SpanFields(
            self.tr("Pitch"), self.tr("from post to post in a row"), Range(0.0, MOST_PITCH), self.units
        )
        self.inset = SpanFields(
            self.tr("Inset"), self.tr("from post to edge"), Range(0.0, MOST_INSET), self.units
        )
        self.straight = NumberField(
            self.tr("A degree of straighter pull is worth"),
            units=self.units,
            within=Range(0.0, MOST_STRAIGHT),
            tip=self.tr(
                "So much of the smallest ring is given up for strings that turn a degree less at the nut"
            ),
        )
        self.straight.set_value(0.0)
        self.hold = Tick(
            self.tr("The selected tuners stay"),
            tip=self.tr("Tuners selected on the drawing stay where they are; the others move"),
        )
        self.hold_remark = remark("")
        form.add_below(self.tr("How the tuners may move"), self.kind)
        form.add_wide(self.kind_remark)
        for span in (self.pitch, self.inset):
            form.add(self.tr("{0}, at least").format(span.name), span.least)
            form.add(self.tr("{0}, at most").format(span.name), span.most)
        form.add(self.tr("A degree of straighter pull is worth"), self.straight)
        form.add_wide(self.hold)
        form.add_wide(self.hold_remark)
        self.column.addWidget(heading(self.tr("Where the holes forgive most"), first=True))
        self.column.addWidget(form)

    def _add_search(self) -> None:
        self.find_button = button(
            self.tr("Find the best placement"),
            self.tr("Look for it, and show it over today's; nothing changes yet"),
        )
        self.searching = Searching()
        self.column.addWidget(self.find_button, 0, Qt.AlignmentFlag.AlignLeft)
        self.column.addWidget(self.searching)
        self.find_button.clicked.connect(self.search)
        self.searching.stop.clicked.connect(self.work.cancel)

    def _pick(self, value: object) -> None:
        self._picked = next((kind for kind in get_args(Kind) if kind == value), None)
        self._explain()

    def _offer_kinds(self, scene: Scene) -> None:
        """Sides that are alike may stay so, and do unless the maker has picked something else."""
        self._sides = sides_of(scene.build, scene.layout)
        kinds: list[tuple[object, str]] = [
            ("mirrored", self.tr("Both sides alike")),
            ("even", self.tr("Even rows")),
            ("free", self.tr("Each tuner by itself")),
        ]
        offered = kinds[1:] if isinstance(self._sides, Unlike) else kinds
        self.kind.set_options(offered)
        self.kind.set_value(self._kind() or offered[0][0])
        self._explain()

    def _kind(self) -> Kind | None:
        """What the maker has picked, None where that is not to be had."""
        return None if self._picked == "mirrored" and isinstance(self._sides, Unlike) else self._picked

    def _explain(self) -> None:
        texts = {
            "mirrored": self.tr(
                "Both sides stay each other's mirror image, rows straight and even; what was moved by hand goes "
                "back to its row."
            ),
            "even": self.tr("Rows stay straight and even; what was moved by hand goes back to its row."),
            "free": self.tr("Each post moves by hand; the rules of the rows stay as they are."),
        }
        words = texts[str(self.kind.value)]
        if isinstance(self._sides, Unlike):
            why = say_unlike(self._sides, self.units, translated)
            words += "\n" + self.tr("The two sides are not alike: {0}").format(why)
        self.kind_remark.setText(words)

    # Showing

    def set_units(self, units: Units) -> None:
        """Show lengths in other units, those of the result too."""
        super().set_units(units)
        self.result.set_units(units)

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show which tuners are selected; what was found for another build is forgotten."""
        if self._asked is not None and (scene.build is not self._asked or self._lost(scene)):
            self._forget()
        if before is None or scene.build is not before.build:
            self._offer_kinds(scene)
        chosen = keys_of(scene.selection, "post")
        labels = ", ".join(post.label for post in scene.layout.posts if post.key in chosen)
        self.hold.setEnabled(bool(labels))
        self.hold_remark.setText(
            self.tr("Selected: {0}").format(labels) if labels else self.tr("Select them on the drawing.")
        )
        self.find_button.setEnabled(bool(scene.layout.posts))

    def _lost(self, scene: Scene) -> bool:
        """Whether somebody else took the proposal off the drawing."""
        offer = self._offer
        return offer is not None and not offer.nothing_better and scene.ghost is not offer.ghost

    def _forget(self) -> None:
        self.work.cancel()
        self._asked = self._offer = None
        self.result.show_offer(None)

    # Looking

    def wish(self) -> Wish:
        """What is asked for."""
        scene = self.session.scene
        fixed = keys_of(scene.selection, "post") if self.hold.isEnabled() and self.hold.isChecked() else ()
        return Wish(
            kind=self._kind(),
            fixed=fixed,
            pitch=self.pitch.span,
            inset=self.inset.span,
            straight=self.straight.value or 0.0,
        )

    def search(self) -> None:
        """Look for the best placement beside the window."""
        self.session.cancel()
        self.session.dismiss()
        self._forget()
        self._asked = self.session.build
        words = self.tr("best placement")
        self.work.start(partial(searched, self._asked, self.wish(), self.units, words))
        self.find_button.hide()
        self.searching.begin()
        self.searching.stop.setFocus()

    def _found(self, offer: Offer) -> None:
        self._offer = offer
        if not offer.nothing_better:
            self.session.propose(offer.ghost)
        self.result.show_offer(offer)
        waited = self.searching.stop.hasFocus()
        self._rest()
        if waited:
            self.result.set_focus()
        QTimer.singleShot(SETTLED, self, self._show_result)

    def _show_result(self) -> None:
        """Scroll to what was found: to its end, but not past its beginning."""
        self.ensureWidgetVisible(self.result.leave)
        self.ensureWidgetVisible(self.result.says)

    def _rest(self) -> None:
        had = self.searching.stop.hasFocus()
        self.searching.hide()
        self.find_button.show()
        if had:
            self.find_button.setFocus()

    # What becomes of it

    def _take(self) -> None:
        offer = self._offer
        if offer is not None and self.session.scene.ghost is offer.ghost:
            self.session.act(self.tr("Best placement"), lambda _: offer.proposed.build)
            self.find_button.setFocus()

    def _leave(self) -> None:
        self.session.dismiss()
        self._forget()
        self.find_button.setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc gives up the search, or else the proposal."""
        if event.key() != Qt.Key.Key_Escape or not (self.work.busy or self._offer is not None):
            super().keyPressEvent(event)
        elif self.work.busy:
            self._forget()
        else:
            self._leave()

    def hideEvent(self, event: QHideEvent) -> None:  # noqa: N802 - Qt's name
        """Nothing stays proposed or under way where nobody sees it."""
        mine = self._offer is not None and self.session.scene.ghost is self._offer.ghost
        self._forget()
        if mine:
            self.session.dismiss()
        super().hideEvent(event)
