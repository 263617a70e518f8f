"""What each string weighs and pulls, how near plain steel is to breaking, and where to cut it."""

from __future__ import annotations

from msgspec import UNSET
from msgspec.structs import replace

from app.bench.page import Fold, Page
from app.bench.pitch_field import PitchField
from app.bench.value_table import ValueTable
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import range_of
from app.panels.part_table import PartTable
from app.panels.sentences import sentence, tell
from app.panels.words import kind_words
from app.widgets.kit import Form
from app.widgets.number_field import Measure, NumberField
from export.sheets.strings import cut_table, cut_words, figures_of, load_sources, total_words
from geometry.document import edits
from geometry.document.build import Build, String
from geometry.layout.slots import trade_numbers
from geometry.layout.string_loads import StringLoad, string_cuts, string_load, string_loads
from geometry.trade.limits import rules_with
from geometry.trade.quantities import (
    UNKNOWN,
    bare_force,
    bare_unit_weight,
    force_unit,
    show_force,
    show_gauge,
    show_length,
    show_stress,
    show_unit_weight,
    unit_weight_unit,
)
from geometry.trade.units import Units


class StringsPage(Page):
    """A row for each string, the fields of the one that is chosen, and the lengths to cut."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        self.title = self.add_heading("", first=True)
        self.table = PartTable(
            session, "string", self.tr("Pull of the strings, from the treble side"), self._heads()
        )
        self.table.current_changed.connect(self._show_string)
        self.add(self.table)
        self.total = sentence(bold=True)
        self.add(self.total)
        self._add_string()
        self.cut_title = self.add_heading(self.tr("Where to cut"))
        self.cuts = ValueTable(self.tr("Where to cut each string"))
        self.add(self.cuts)
        self.sources = Fold(
            self.tr("Where this is from"), self.tr("Law, weights and strength of the strings")
        )
        self.add(self.sources)

    def _add_string(self) -> None:
        self.form = form = Form()
        self.pitch = PitchField(
            self.tr("Pitch"), self.tr("Such as F#3; left empty, the name counts where it is a pitch")
        )
        self.weight = self._number(
            self.tr("Unit weight"),
            "unit weight",
            "unit_weight",
            self.tr("As the maker of the string tells it; left empty, it follows from the gauge"),
        )
        self.tension = self._number(
            self.tr("Tension"),
            "force",
            "tension",
            self.tr(
                "As the maker of the string tells it at this pitch and scale; left empty, it is computed"
            ),
        )
        self.pitch.edited.connect(lambda pitch: self._edit(self.tr("Change pitch"), "pitch", pitch or UNSET))
        form.add(self.tr("Pitch"), self.pitch)
        form.add(self.tr("Unit weight"), self.weight)
        form.add(self.tr("Tension"), self.tension)
        self.about = sentence()
        form.add_wide(self.about)
        self.string_title = self.add_heading("")
        self.add(form)

    def _number(self, name: str, measure: Measure, field: str, tip: str) -> NumberField:
        made = NumberField(
            name,
            units=self.units,
            measure=measure,
            within=range_of(String, field),
            optional=True,
            tip=tip,
        )
        label = self.tr("Change {what}").format(what=name.lower())
        made.edited.connect(lambda value: self._edit(label, field, value))
        made.cleared.connect(lambda: self._edit(label, field, UNSET))
        return made

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """The strings with what they pull: cheap, and kept by string."""
        build = scene.build
        length = show_length(build.scale_length, self.units)
        self.title.setText(self.tr("Pull over {length}").format(length=length))
        numbers = trade_numbers(build.strings)
        rows = [
            (load.string.key, self._cells(load, numbers[load.string.key], build))
            for load in string_loads(build)
        ]
        self.table.setHorizontalHeaderLabels(self._heads())
        self.table.show_rows(rows, scene)
        self._show_string()

    def _heads(self) -> list[str]:
        """Units stand in the heads, for a narrow panel has no room for them in every row."""
        return [
            self.tr("No."),
            self.tr("Pitch"),
            self.tr("Weight\n{unit}").format(unit=unit_weight_unit(self.units)),
            self.tr("Pull\n{unit}").format(unit=force_unit(self.units)),
            self.tr("Stress\n%"),
        ]

    def _cells(self, load: StringLoad, number: str, build: Build) -> tuple[str, ...]:
        about = "≈ " if load.weight.estimate else ""
        roughly = "≈ " if load.estimate else ""
        return (
            number,
            load.pitch or "–",
            f"{about}{bare_unit_weight(load.weight.value, self.units, figures_of(load.weight))}",
            UNKNOWN
            if load.pull is None
            else f"{roughly}{bare_force(load.pull, self.units, figures_of(load))}",
            UNKNOWN if load.percent is None else f"{load.percent:.0f}{_mark(load.percent, build)}",
        )

    def show_values(self, scene: Scene) -> None:
        """The sum, the lengths to cut, and where all of it is from."""
        loads, cuts = string_loads(scene.build), string_cuts(scene.layout)
        tell(self.total, total_words(loads, self.units) if loads else self.tr("There are no strings yet."))
        self.cut_title.setVisible(bool(cuts))
        self.cuts.show_table(cut_table(cuts, scene.layout, self.units) if cuts else None)
        words = [*load_sources(scene.build, loads)] if loads else []
        self.sources.tell([*words, cut_words(self.units)] if cuts else words)

    def _show_string(self) -> None:
        build = self.session.scene.build
        string = self._current(build)
        self.form.setVisible(string is not None)
        self.string_title.setVisible(string is not None)
        if string is None:
            return
        load = string_load(string, build.scale_length)
        number = trade_numbers(build.strings)[string.key]
        self.string_title.setText(self.tr("String {number}").format(number=number))
        self.pitch.set_value("" if string.pitch is UNSET else string.pitch)
        self.pitch.setPlaceholderText(load.pitch or self.tr("not known"))
        self.weight.set_value(None if string.unit_weight is UNSET else string.unit_weight)
        self.weight.setPlaceholderText(
            show_unit_weight(load.weight.value, self.units, figures_of(load.weight))
        )
        self.tension.set_value(None if string.tension is UNSET else string.tension)
        pull = "" if load.pull is None else show_force(load.pull, self.units, figures_of(load))
        self.tension.setPlaceholderText(pull)
        tell(self.about, self._about(load))

    def _about(self, load: StringLoad) -> list[str]:
        """What the row has no room for."""
        string = load.string
        words = [f"{show_gauge(string.diameter, self.units)} {kind_words(string.kind)}"]
        if load.hertz is not None:
            words.append(f"{load.hertz:.2f} Hz")
        if load.stress is not None:
            words.append(show_stress(load.stress, self.units))
        said = [", ".join(words)]
        if load.weight.estimate:
            said.append(self.tr("Its weight is an estimate: type in what its maker tells."))
        return said

    # Acts

    def _current(self, build: Build) -> String | None:
        return next((each for each in build.strings if each.key == self.table.current), None)

    def _edit(self, label: str, field: str, value: object) -> None:
        string = self._current(self.session.build)
        if string is not None:
            changed = replace(string, **{field: value})
            number = trade_numbers(self.session.build.strings)[string.key]
            self.session.act(f"{label} {number}", lambda build: edits.set_string(build, changed))


def _mark(percent: float, build: Build) -> str:
    """A sign behind a stress that its limits do not let pass without a word."""
    rule = rules_with(build.limits)["string stress"]
    over = any(limit is not None and percent > limit.least for limit in (rule.watch, rule.stop))
    return " ▲" if over else ""
