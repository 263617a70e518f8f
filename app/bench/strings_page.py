"""What each string weighs and pulls, how near plain steel is to breaking, and where to cut it."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import UNSET
from PySide6.QtCore import Qt

from app.bench.page import Fold, Page
from app.bench.value_table import ValueTable
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers
from app.panels.part_table import PartTable
from app.panels.sentences import sentence, tell
from app.panels.strings_panel import change_string
from app.panels.words import change_words, kind_words
from app.widgets.fields import TextField
from app.widgets.kit import Form, capital
from export.sheets.strings import cut_table, cut_words, figures_of, load_sources, total_words
from geometry.document.build import Build, String
from geometry.layout.slots import trade_numbers
from geometry.layout.string_loads import StringLoad, string_cuts, string_load, string_loads
from geometry.trade.limits import rules_with
from geometry.trade.pitch import pitch_step, plain_pitch
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
        self.total = sentence(bold=True)
        self.add(self.table, self.total)
        self._add_string()
        self.cut_title = self.add_heading(self.tr("Where to cut"))
        self.cuts = ValueTable(self.tr("Where to cut each string"))
        tip = self.tr("Law, weights and strength of the strings")
        self.sources = Fold(self.tr("Where this is from"), tip)
        self.add(self.cuts, self.sources)

    def _add_string(self) -> None:
        self.form = form = Form()
        tr = self.tr
        self.pitch = PitchField(
            tr("Pitch"),
            tip=tr("Such as F#3; left empty, the name counts where it is a pitch"),
            told=lambda pitch: self._edit(tr("Change pitch"), "pitch", pitch or UNSET),
        )
        form.put(self.pitch)
        weight = tr("As the maker of the string tells it; left empty, it follows from the gauge")
        tension = tr(
            "As the maker of the string tells it at this pitch and scale; left empty, it is computed"
        )
        lines = (
            Line("unit_weight", tr("Unit weight"), weight, "unit weight", optional=True),
            Line("tension", tr("Tension"), tension, "force", optional=True),
        )
        self.numbers = Numbers(form, String, lines, self.units, self._edit_number)
        self.weight, self.tension = self.numbers.fields.values()
        self.about = form.put(sentence())
        self.string_title = self.add_heading("")
        self.add(form)

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """The strings with what they pull: cheap, and kept by string."""
        build = scene.build
        length = show_length(build.scale_length, self.units)
        self.title.setText(self.tr("Pull over {length}").format(length=length))
        numbers = trade_numbers(build.strings)
        loads = ((load.string.key, load) for load in string_loads(build))
        rows = [(key, self._cells(load, numbers[key], build)) for key, load in loads]
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
        string = next((each for each in build.strings if each.key == self.table.current), None)
        self.form.setVisible(string is not None)
        self.string_title.setVisible(string is not None)
        if string is None:
            return
        load = string_load(string, build.scale_length)
        number = trade_numbers(build.strings)[string.key]
        self.string_title.setText(self.tr("String {number}").format(number=number))
        self.pitch.set_value("" if string.pitch is UNSET else string.pitch)
        self.pitch.setPlaceholderText(load.pitch or self.tr("not known"))
        self.numbers.show(string)
        self.weight.setPlaceholderText(
            show_unit_weight(load.weight.value, self.units, figures_of(load.weight))
        )
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

    def _edit_number(self, line: Line, value: float | None) -> None:
        self._edit(change_words(line.text), line.field, UNSET if value is None else value)

    def _edit(self, label: str, field: str, value: object) -> None:
        change_string(self.session, self.table.current, label, **{field: value})


def _mark(percent: float, build: Build) -> str:
    """A sign behind a stress that its limits do not let pass without a word."""
    rule = rules_with(build.limits)["string stress"]
    over = any(limit is not None and percent > limit.least for limit in (rule.watch, rule.stop))
    return " ▲" if over else ""


_LONGEST = 20
"""Characters; enough for any pitch and the blanks around it."""


class PitchField(TextField):
    """A line to type a pitch in, such as E4, F#3 or Bb2; it may be taken away, and is empty then."""

    def __init__(self, name: str, *, tip: str, told: Callable[[str], object] | None = None) -> None:
        super().__init__(name, tip=tip, told=told)
        self.setMaxLength(_LONGEST)
        self.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)

    def read(self) -> str:
        """The pitch that stands there; ValueError, with a sentence, if it is none."""
        pitch = capital(plain_pitch(self.text()))
        if pitch and pitch_step(pitch) is None:
            words = self.tr("A pitch is a letter from A to G, # or b, and its octave, such as F#3.")
            raise ValueError(words)
        return pitch
