"""The nut and the strings: how wide, how spread, how thick."""

from __future__ import annotations

from typing import get_args

from msgspec import UNSET
from msgspec.structs import replace
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.selection import Item
from app.document.session import Edit, Session
from app.panels.numbers import MEASURE, Line, Numbers, most_of, range_of
from app.panels.panel import Panel
from app.panels.part_table import PartTable
from app.panels.words import kind_words
from app.widgets.fields import Choice, TextField
from app.widgets.kit import Form, heading, line, remark, small_button
from app.widgets.number_field import NumberField
from geometry.document import edits
from geometry.document.build import Build, Nut, String
from geometry.document.fresh import strings_of
from geometry.layout.slots import trade_numbers
from geometry.trade.quantities import bare_gauge
from geometry.trade.string_sets import STRING_SETS, StringKind, find_string_set
from geometry.trade.units import Units

NEW_DIAMETER = 0.3
"""Of the first string of a build without any, mm."""


class StringsPanel(Panel):
    """Measures of the nut, and the strings from the treble side."""

    def __init__(self, session: Session, units: Units = "mm", parent: QWidget | None = None) -> None:
        """Show nut and strings of the session's build."""
        super().__init__(session, "", units, parent)
        self.setAccessibleName(self.tr("Nut and strings"))
        self.setWindowTitle(self.tr("Nut and strings"))
        self._add_nut()
        self._add_table()
        self._add_string()
        self._add_neck()
        self.column.addStretch(1)
        self.refresh()

    def _add_nut(self) -> None:
        self.nut_form = form = Form()
        lines = (
            Line("width", self.tr("Nut width")),
            Line(
                "margin_treble",
                self.tr("Margin, treble"),
                tip=self.tr("From the end of the nut to the first string"),
            ),
            Line(
                "margin_bass",
                self.tr("Margin, bass"),
                tip=self.tr("From the end of the nut to the last string"),
            ),
            Line("course_gap", self.tr("Gap in a course"), tip=self.tr("Between the strings of one course")),
            Line("slot_floor", self.tr("Slot floor"), tip=self.tr("Height of the slot floors over the face")),
            Line("thickness", self.tr("Nut thickness"), tip=self.tr("Along the strings")),
        )
        self.nut = Numbers(form, Nut, lines, self.units, self._edit_nut)
        self.spacing = Choice(
            self.tr("Spacing"),
            (("equal centres", self.tr("Equal centres")), ("equal gaps", self.tr("Equal gaps"))),
            tip=self.tr("Equal distances between string centres, or between string edges"),
        )
        self.spacing.picked.connect(
            lambda value: self._set_nut(self.tr("Change the spacing"), "spacing", value)
        )
        self.margin_to = Choice(
            self.tr("Margins to"),
            ((UNSET, self.tr("Usual")), ("centre", self.tr("Centre")), ("edge", self.tr("Edge"))),
            tip=self.tr("Whether margins end at the string's centre or at its outer edge"),
        )
        self.margin_to.picked.connect(
            lambda value: self._set_nut(self.tr("Change the margins"), "margin_to", value)
        )
        form.add(self.tr("Spacing"), self.spacing)
        form.add(self.tr("Margins to"), self.margin_to)
        self.column.addWidget(heading(self.tr("Nut"), first=True))
        self.column.addWidget(form)

    def _add_table(self) -> None:
        self.column.addWidget(heading(self.tr("Strings")))
        self.sets = Choice(
            self.tr("Take a set"), tip=self.tr("All strings of a common set, instead of these")
        )
        self.sets.set_options([(each.key, each.name) for each in STRING_SETS])
        self.sets.setPlaceholderText(self.tr("Take a set…"))
        self.sets.set_value(None)
        self.sets.picked.connect(self._take_set)
        columns = (self.tr("No."), self.tr("Name"), self.tr("Gauge"), self.tr("Kind"))
        name = self.tr("Strings, from the treble side")
        self.table = PartTable(self.session, "string", name, columns)
        self.table.current_changed.connect(self._show_string)
        self.add = small_button(self.tr("Add"), self.tr("Add a string like this one, on its bass side"))
        self.remove = small_button(self.tr("Remove"), self.tr("Take this string away"))
        self.up = small_button("↑", self.tr("Towards the treble side"))
        self.down = small_button("↓", self.tr("Towards the bass side"))
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        self.up.clicked.connect(lambda: self._shift(-1))
        self.down.clicked.connect(lambda: self._shift(1))
        self.column.addWidget(self.sets)
        self.column.addWidget(self.table)
        self.column.addWidget(line(self.add, self.remove, self.up, self.down))

    def _add_string(self) -> None:
        self.string_form = form = Form()
        self.name = TextField(self.tr("Name"), tip=self.tr("What the string is called, such as its pitch"))
        self.gauge = NumberField(
            self.tr("Gauge"),
            units=self.units,
            measure="gauge",
            within=range_of(String, "diameter"),
            tip=self.tr("Diameter: 0.25 mm, or 0.010 in as sets are marked"),
        )
        self.gauge.setProperty(MEASURE, "String.diameter")
        kinds = [(kind, kind_words(kind)) for kind in get_args(StringKind)]
        self.kind = Choice(self.tr("Kind"), kinds)
        self.course = TextField(
            self.tr("Course"), tip=self.tr("Neighbours with the same word here make a course")
        )
        form.add(self.tr("Name"), self.name)
        form.add(self.tr("Gauge"), self.gauge)
        form.add(self.tr("Kind"), self.kind)
        form.add(self.tr("Course"), self.course)
        self.name.edited.connect(lambda value: self._edit_string(self.tr("Rename string"), "name", value))
        self.gauge.edited.connect(lambda value: self._edit_string(self.tr("Change gauge"), "diameter", value))
        self.kind.picked.connect(lambda value: self._edit_string(self.tr("Change kind"), "kind", value))
        self.course.edited.connect(lambda value: self._edit_string(self.tr("Change course"), "course", value))
        self.column.addWidget(form)
        self.none = remark(self.tr("There are no strings yet."))
        self.column.addWidget(self.none)

    def _add_neck(self) -> None:
        form = Form()
        lines = (
            Line("scale_length", self.tr("Scale length"), tip=self.tr("From nut to bridge")),
            Line("bridge_spread", self.tr("Spread at the bridge"), tip=self.tr("Between the outer strings")),
        )
        self.neck = Numbers(form, Build, lines, self.units, self._edit_neck)
        self.column.addWidget(heading(self.tr("Neck")))
        self.column.addWidget(form)

    # Showing

    @property
    def part_in_hand(self) -> str | None:
        """The key of the string that is shown."""
        return self.table.current

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Show nut and strings of a scene."""
        build = scene.build
        self.nut.show(build.nut)
        self.spacing.set_value(build.nut.spacing)
        self.margin_to.set_value(build.nut.margin_to)
        courses = any(string.course for string in build.strings)
        self.nut_form.set_shown(self.nut.fields["course_gap"], courses)
        self.neck.show(build)
        if before is None or before.build.strings is not build.strings or before.selection != scene.selection:
            numbers = trade_numbers(build.strings)
            rows = [(each.key, self._words(each, numbers[each.key])) for each in build.strings]
            self.table.show_rows(rows, scene)
            self._show_string()

    def _words(self, string: String, number: str) -> tuple[str, ...]:
        gauge = bare_gauge(string.diameter, self.units)
        return number, string.name, gauge, kind_words(string.kind)

    def _show_string(self) -> None:
        build = self.session.scene.build
        string = self._current(build)
        for part in (self.string_form, self.remove, self.up, self.down):
            part.setVisible(string is not None)
        self.none.setVisible(string is None)
        self.add.setEnabled(len(build.strings) < most_of(Build, "strings"))
        if string is None:
            return
        place = build.strings.index(string)
        self.up.setEnabled(place > 0)
        self.down.setEnabled(place < len(build.strings) - 1)
        self.name.set_value(string.name)
        self.gauge.set_value(string.diameter)
        self.kind.set_value(string.kind)
        self.course.set_value(string.course)

    def _current(self, build: Build) -> String | None:
        return next((each for each in build.strings if each.key == self.table.current), None)

    # Acts

    def _set_nut(self, label: str, field: str, value: object) -> None:
        self.session.act(label, lambda build: edits.set_nut(build, replace(build.nut, **{field: value})))

    def _edit_nut(self, line: Line, value: float | None) -> None:
        self._set_nut(_change(self, line), line.field, value)

    def _edit_neck(self, line: Line, value: float | None) -> None:
        self.session.act(_change(self, line), lambda build: replace(build, **{line.field: value}))

    def _edit_string(self, label: str, field: str, value: object) -> None:
        string = self._current(self.session.build)
        if string is not None:
            changed = replace(string, **{field: value})
            number = trade_numbers(self.session.build.strings)[string.key]
            self.session.act(f"{label} {number}", lambda build: edits.set_string(build, changed))

    def _take_set(self, key: object) -> None:
        self.sets.set_value(None)
        chosen = find_string_set(str(key))
        assert chosen is not None, "only sets that there are can be taken"
        label = self.tr("Take the strings of {name}").format(name=chosen.name)
        self.session.act(label, lambda build: edits.set_strings(build, strings_of(chosen)))

    def _add(self) -> None:
        strings = self.session.build.strings
        like = self._current(self.session.build)
        key = edits.fresh_key("s", {each.key for each in strings})
        place = strings.index(like) + 1 if like is not None else 0
        added = replace(like, key=key) if like else String(key=key, name="", diameter=NEW_DIAMETER)
        self._take(self.tr("Add a string"), (*strings[:place], added, *strings[place:]), added)

    def _remove(self) -> None:
        strings, gone = self.session.build.strings, self._current(self.session.build)
        self._take(self.tr("Remove a string"), tuple(each for each in strings if each != gone), None)

    def _shift(self, step: int) -> None:
        strings = list(self.session.build.strings)
        moved = self._current(self.session.build)
        if moved is not None:
            place = strings.index(moved)
            strings.insert(place + step, strings.pop(place))
            self._take(self.tr("Move a string"), tuple(strings), moved)

    def _take(self, label: str, strings: tuple[String, ...], chosen: String | None) -> None:
        edit: Edit = lambda build: edits.set_strings(build, strings)  # noqa: E731 - it needs its type
        self.session.act(label, edit, (Item("string", chosen.key),) if chosen is not None else None)


def _change(panel: Panel, line: Line) -> str:
    return panel.tr("Change {what}").format(what=line.text[:1].lower() + line.text[1:])
