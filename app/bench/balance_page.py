"""What the head weighs, how hard it pulls the neck down, and what other tuners and buttons save."""

from __future__ import annotations

from app.bench.page import Fold, Page
from app.bench.value_table import ValueTable, sizes_table
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import PLACES
from app.panels.sentences import sentence, tell
from app.widgets.kit import Form, remark
from app.widgets.number_field import number_text
from geometry.bench.balance import balance, usual_place
from geometry.bench.balance_words import NOTE, rival_row, say_balance, unweighed
from geometry.bench.rivals import Rival, rivals
from geometry.document.build import Build
from geometry.shape.point import Point
from geometry.trade.units import Units


class BalancePage(Page):
    """Sentences about this head, then a row for each set of tuners that would fit."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        form, tr = Form(), self.tr
        self.add_heading(tr("The head with its tuners"), first=True)
        self.words, self.missing = sentence(), sentence(bold=True)
        tip = tr(
            "The place to weigh about: its distance from the nut along the neck; left empty, it is the bridge"
        )
        self.place = self.ask_length(form, tr("Strap or knee, from the nut"), tip, PLACES)
        self.add(self.words, self.missing, form)
        self.rivals_title = self.add_heading(tr("Other buttons, other tuners"))
        self.rivals = ValueTable(tr("What other tuners and buttons weigh and save"), words=(0,))
        self.none = remark(tr("There are no tuners to compare yet."))
        self.note = Fold(tr("What this takes for granted"), tr("Masses, buttons, and which tuners fit"))
        self.note.tell((NOTE,))
        self.add(self.rivals, self.none, self.note)

    def place_of(self, build: Build) -> Point:
        """The place that the head is weighed about."""
        value = self.place.value
        return usual_place(build) if value is None else Point(0.0, -value)

    def show_values(self, scene: Scene) -> None:
        """Weigh the head, and once the hand has let go the others too."""
        build, layout, own = scene.build, scene.layout, self.shop.own_woods
        place = self.place_of(build)
        self.place.setPlaceholderText(number_text(-usual_place(build).y, "length", self.units))
        words = self.tr("The mass of {name} is not known: weigh one.")
        tell(self.missing, [words.format(name=name) for name in unweighed(layout)])
        weighed = balance(build, layout, own)
        tell(self.words, say_balance(weighed, place, self.units))
        # A dozen heads are laid out and judged for it: too much for every rest in the middle of a drag.
        self.rivals.setEnabled(not scene.gesture)
        if not scene.gesture:
            found = rivals(build, layout, own)
            self._show_rivals(found, place)
            self.none.setVisible(not found and weighed.wood.told)

    def _show_rivals(self, found: tuple[Rival, ...], place: Point) -> None:
        for part in (self.rivals_title, self.note):
            part.setVisible(bool(found))
        tr = self.tr
        heads = (tr("Tuners and buttons"), tr("Head"), tr("At the nut"), tr("At the place"), tr("Saves"))
        rows = (_cells(rival, found[0], place, self.units) for rival in found)
        self.rivals.show_table(sizes_table(heads, rows, bold=0) if found else None)


def _cells(rival: Rival, own: Rival, place: Point, units: Units) -> tuple[str, ...]:
    """The row of the sheet without what the tuners alone weigh, which the head's mass tells as well."""
    name, _, *others = rival_row(rival, own, place, units)
    return (name, *others)
