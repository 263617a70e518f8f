"""Best placement: what is asked for, the search beside the window, and what it would change before it is taken."""

from __future__ import annotations

from functools import partial
from typing import get_args

from PySide6.QtCore import QCoreApplication, Qt, QTimer

from app.document.scene import Scene
from app.document.selection import keys_of
from app.document.session import Session
from app.panels.best_offer import BestResult, Offer, searched
from app.panels.finding_rows import translated
from app.panels.panel import ProposingPanel
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, heading, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import MOST_STRAIGHT
from app.widgets.typed_line import all_reads
from geometry.search.placing.alike import Twins, Unlike, say_unlike
from geometry.search.placing.best import sides_of
from geometry.search.placing.standing import Kind, Span, Wish
from geometry.trade.units import Units

MOST_PITCH, MOST_INSET = 200.0, 200.0
"""No head asks for more, in mm."""

SETTLED = 50
"""Milliseconds after which lines that wrap have found their height beside a bar that has just come."""


class BestPanel(ProposingPanel[Offer]):
    """What the search may do, its progress, and its proposal, which nothing but "take it" brings into the build."""

    result: BestResult

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Nothing is looked for before somebody asks."""
        super().__init__(session, units, BestResult(units))
        self.set_title(self.tr("Best placement"))
        self._picked: Kind | None = None
        self._sides: Twins | Unlike = ()
        self._add_wish()
        self.find_button = button(
            self.tr("Find the best placement"),
            self.tr("Look for it, and show it over today's; nothing changes yet"),
            self.search,
        )
        self.column.addWidget(self.find_button, 0, Qt.AlignmentFlag.AlignLeft)
        self.put(self.searching, self.result)
        self.column.addStretch(1)
        self.result.take.clicked.connect(self._take)
        self.result.leave.clicked.connect(self._clear)
        self.refresh()
        self._rest()

    def _add_wish(self) -> None:
        form, tr = Form(), self.tr
        tip = tr("Both sides stay alike, rows stay even, or each post moves by hand")
        self.kind = form.put(Choice(tr("How the tuners may move"), tip=tip, told=self._pick), below=True)
        self.kind_remark = form.put(remark(""))
        what, within = tr("from post to post in a row"), Range(0.0, MOST_PITCH)
        self.pitch = SpanFields(form, tr("Pitch"), what, within, self.units)
        what, within = tr("from post to edge"), Range(0.0, MOST_INSET)
        self.inset = SpanFields(form, tr("Inset"), what, within, self.units)
        self.straight = NumberField(
            tr("Ring size to give up per degree straighter"),
            units=self.units,
            within=Range(0.0, MOST_STRAIGHT),
            tip=tr("So much of the smallest ring is given up for strings that turn a degree less at the nut"),
        )
        self.straight.set_value(0.0)
        form.put(self.straight)
        tip = tr("Tuners selected on the drawing stay where they are; the others move")
        self.hold = form.put(Tick(tr("The selected tuners stay"), tip=tip))
        self.hold_remark = form.put(remark(""))
        self.put(heading(tr("Where the holes forgive most"), first=True), form)

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

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show which tuners are selected; what was found for another build is forgotten."""
        if self._stale(scene):
            self._drop()
        if before is None or scene.build is not before.build:
            self._offer_kinds(scene)
        chosen = keys_of(scene.selection, "post")
        labels = ", ".join(post.label for post in scene.layout.posts if post.key in chosen)
        self.hold.setEnabled(bool(labels))
        self.hold_remark.setText(
            self.tr("Selected: {0}").format(labels) if labels else self.tr("Select them on the drawing.")
        )
        self.find_button.setEnabled(bool(scene.layout.posts))

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
        if not all_reads(self, lambda _: None):  # it says why beneath itself
            return
        self.session.cancel()
        self.session.dismiss()
        self._drop()
        words = self.tr("best placement")
        self._start(partial(searched, self.session.build, self.wish(), self.units, words))
        self.find_button.hide()
        self.searching.begin()
        self.searching.stop.setFocus()

    def _found(self, found: Offer) -> None:
        self._proposal = found
        if not found.nothing_better:
            self._lay_over(found.ghost)
        self.result.show_found(found)
        waited = self.searching.stop.hasFocus()
        self._rest()
        if waited:
            (self.result.take if self.result.take.isVisible() else self.result.leave).setFocus()
        QTimer.singleShot(SETTLED, self, self._show_result)

    def _show_result(self) -> None:
        """Scroll to what was found: to its end, but not past its beginning."""
        self.ensureWidgetVisible(self.result.leave)
        self.ensureWidgetVisible(self.result.says)

    def _rest(self) -> None:
        had = self.searching.stop.hasFocus()
        super()._rest()
        self.find_button.show()
        if had:
            self.find_button.setFocus()

    # What becomes of it

    def _take(self) -> None:
        if self._take_over(self.tr("Best placement")):
            self.find_button.setFocus()

    def _clear(self) -> None:
        self._drop()
        if self.isVisible():
            self.find_button.setFocus()


class SpanFields:
    """The least and the most of a length; an empty one bounds nothing, the one typed last must fit the other."""

    def __init__(self, form: Form, name: str, what: str, within: Range, units: Units) -> None:
        """Two fields in a form; `what` says which length it is."""
        tr = partial(QCoreApplication.translate, "Spans")
        self._within = within

        def bound(words: str, tip: str) -> NumberField:
            tip = tip.format(what)
            made = NumberField(words.format(name), units=units, within=within, optional=True, tip=tip)
            made.setPlaceholderText(tr("any"))
            made.edited.connect(lambda _: self._edited(made))
            return form.put(made)

        self.least = bound(tr("{0}, at least"), tr("The least length {0}; empty for any"))
        self.most = bound(tr("{0}, at most"), tr("The greatest length {0}; empty for any"))

    @property
    def span(self) -> Span | None:
        """The bounds in mm, None while both are empty."""
        least, most = self.least.value, self.most.value
        if least is None and most is None:
            return None
        within = self._within
        return Span(within.least if least is None else least, within.most if most is None else most)

    def _edited(self, field: NumberField) -> None:
        least, most = self.least.value, self.most.value
        if least is not None and most is not None and least > most:
            words = "The least length must not be more than the greatest."
            field.refuse(QCoreApplication.translate("Spans", words))
