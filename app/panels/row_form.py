"""A row of tuners: which ones, on which side, and by which rule they are placed."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal

from app.document.scene import Scene
from app.document.session import Session
from app.panels.numbers import PLACES, Line, Numbers, act_or_refuse
from app.panels.words import change_words, rule_words, side_words
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button
from geometry.document import edits, row_edits
from geometry.document.build import Build, OnLine, Row, SideName, StraightPull
from geometry.document.row_edits import RuleName, rule_name
from geometry.document.twins import with_twins
from geometry.layout.tuner_load import say_most
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.units import Units

OWN = "own"
"""Stands for tuners of the maker's own among the choices."""

RULES: tuple[RuleName, ...] = ("along the edge", "on a line", "on a plate", "straight pull")


class RowForm(Form):
    """Fields about one row of the session's build.

    Signals:
        measures_wanted: tuners to be measured in a form of their own, and whether they are to become new ones.
    """

    measures_wanted = Signal(object)

    def __init__(self, session: Session, units: Units) -> None:
        """Empty until a row is shown."""
        super().__init__()
        self._session = session
        self._key = ""
        self._offered: dict[str, Hardware] = {}
        self._units: Units = units
        tr = self.tr
        self.tuners = Choice(tr("Tuners"), tip=tr("The tuners of this row"), told=self._take_tuners)
        self.measures = button(
            tr("Measures…"),
            tr("See and change the measures of these tuners"),
            lambda: self.measures_wanted.emit(self._hardware()),
        )
        self.put(self.tuners, below=True)
        self.put(self.measures)
        self._add_rule(units)

    def _add_rule(self, units: Units) -> None:
        tr = self.tr
        sides: list[tuple[object, str]] = [(side, side_words(side)) for side in row_edits.OTHER_SIDE]
        self.side = self.put(Choice(tr("Side"), sides, told=self._take_side))
        rules: list[tuple[object, str]] = [(rule, rule_words(rule)) for rule in RULES]
        tip = tr("The rule that says where the posts of this row stand")
        self.rule = self.put(Choice(tr("Placed"), rules, tip=tip, told=self._take_rule), below=True)
        last = tr("Of the post nearest the tip; empty: as the first")
        lines = (
            Line("start", tr("First post at"), tr("From the nut line")),
            Line("pitch", tr("Pitch"), tr("Straight from post to post, as calipers read it")),
            Line("inset", tr("Inset"), tr("From the edge to the middle of the post")),
            Line("inset_last", tr("Inset of the last"), last, optional=True),
        )
        self.numbers = Numbers(self, OnLine, lines, units, self._edit_rule)
        tip = tr("How much further from the nut this row begins than the one facing it, which stays")
        ahead = Line("ahead", tr("Ahead of the other side"), tip, within=PLACES)
        (self.ahead,) = Numbers(self, Row, (ahead,), units, self._stagger).fields.values()
        tip = tr("No string turns at the nut; the posts stand a little out of line for that")
        self.exact = self.put(Tick(tr("Exactly straight"), tip=tip, told=self._set_exact))

    # Showing

    def show_row(self, scene: Scene, key: str | None) -> None:
        """Show a row of a scene; nothing for None."""
        row = next((each for each in scene.build.rows if each.key == key), None)
        self.setVisible(row is not None)
        if row is None:
            return
        self._key = row.key
        self._offer(scene.build)
        self.tuners.set_value(row.hardware)
        self.side.set_value(row.side)
        self.rule.set_value(rule_name(row.rule))
        self.numbers.show(row.rule)
        ahead = row_edits.ahead(scene.build, row.key) if row.posts else None
        self.set_shown(self.ahead, ahead is not None)
        if ahead is not None:
            self.ahead.set_value(round(ahead, 4))
        straight = isinstance(row.rule, StraightPull)
        self.set_shown(self.exact, straight)
        if isinstance(row.rule, StraightPull):
            self.exact.set_value(row.rule.exact)

    def _offer(self, build: Build) -> None:
        """The tuners of the build first, then those of the library that it does not have."""
        own = {each.key: each for each in build.hardware}
        self._offered = own | {each.key: each for each in LIBRARY if each.key not in own}
        options: list[tuple[object, str]] = [(key, each.name) for key, each in self._offered.items()]
        self.tuners.set_options([*options, (OWN, self.tr("My own tuner, measured…"))])
        for place, each in enumerate(self._offered.values()):
            self.tuners.setItemData(place, say_most(each, self._units), Qt.ItemDataRole.ToolTipRole)

    def _row(self) -> Row:
        return next(each for each in self._session.build.rows if each.key == self._key)

    def _hardware(self) -> Hardware:
        wanted = self._row().hardware
        return next(each for each in self._session.build.hardware if each.key == wanted)

    # Acts

    def _take_tuners(self, choice: object) -> None:
        key = self._key
        if choice == OWN:
            self.tuners.set_value(self._row().hardware)
            # A key in the closed list steps over it: only who opens the list and takes it there is asked.
            if not self.tuners.stepping:
                mine = new_hardware(self._session.build, self._hardware(), self.tr("My tuners"))
                self.measures_wanted.emit(mine)
            return
        hardware = self._offered[str(choice)]
        label = self.tr("Take tuners: {name}").format(name=hardware.name)
        self._session.act(label, with_twins(lambda build: edits.set_hardware(build, key, hardware)))

    def _take_side(self, side: object) -> None:
        key = self._key
        other: SideName = "bass" if side == "bass" else "treble"
        self._session.act(
            self.tr("Put the row on the other side"), lambda build: row_edits.set_side(build, key, other)
        )

    def _take_rule(self, choice: object) -> None:
        name = next(each for each in RULES if each == choice)
        rule = row_edits.rule_as(self._row().rule, name, self._hardware())
        self._set_rule(self.tr("Place the row: {rule}").format(rule=rule_words(name)), rule)

    def _edit_rule(self, line: Line, value: float | None) -> None:
        self._set_rule(change_words(line.text), replace(self._row().rule, **{line.field: value}))

    def _stagger(self, _: Line, distance: float | None) -> None:
        assert distance is not None, "the field is never empty"
        key = self._key
        # Its twin stays: what makes the two differ is the very thing that was typed.
        act_or_refuse(
            self._session,
            self.tr("Stagger the row"),
            lambda build: row_edits.set_ahead(build, key, distance),
            self.ahead,
        )

    def _set_exact(self, exact: bool) -> None:  # noqa: FBT001 - a slot
        rule = self._row().rule
        if isinstance(rule, StraightPull):
            self._set_rule(self.tr("Change straight pull"), replace(rule, exact=exact))

    def _set_rule(self, label: str, rule: edits.Rule) -> None:
        key = self._key
        self._session.act(label, with_twins(lambda build: edits.set_rule(build, key, rule)))


def new_hardware(build: Build, like: Hardware, name: str) -> Hardware:
    """Tuners of the maker's own to begin with: measured like others, under a key of their own."""
    used = {each.key for each in build.hardware} | {each.key for each in LIBRARY}
    return replace(like, key=edits.fresh_key("h", used), name=name, source="")
