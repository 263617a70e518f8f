"""The nut and the strings: how wide, how spread, how thick."""

from __future__ import annotations

from functools import partial
from typing import get_args

from msgspec import UNSET
from msgspec.structs import replace

from app.document.scene import Scene
from app.document.selection import Item
from app.document.session import Edit, Session
from app.panels.numbers import Line, Numbers, acts_on, most_of
from app.panels.panel import Panel
from app.panels.part_table import PartTable
from app.panels.words import change_words, kind_words
from app.widgets.fields import Choice, TextField
from app.widgets.kit import Form, heading, line, remark, small_button
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

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show nut and strings of the session's build."""
        super().__init__(session, units)
        self.set_title(self.tr("Nut and strings"))
        self._add_nut()
        self._add_table()
        self._add_string()
        self._add_neck()
        self.column.addStretch(1)
        self.refresh()

    def _add_nut(self) -> None:
        self.nut_form = form = Form()
        tr = self.tr
        first, last = (
            tr("From the end of the nut to the first string"),
            tr("From the end of the nut to the last string"),
        )
        lines = (
            Line("width", tr("Nut width")),
            Line("margin_treble", tr("Margin, treble"), first),
            Line("margin_bass", tr("Margin, bass"), last),
            Line("course_gap", tr("Gap in a course"), tr("Between the strings of one course")),
            Line("slot_floor", tr("Slot floor"), tr("Height of the slot floors over the face")),
            Line("thickness", tr("Nut thickness"), tr("Along the strings")),
        )
        of_nut = acts_on(self.session, lambda build: build.nut, edits.set_nut)
        self.nut = Numbers(form, Nut, lines, self.units, of_nut)
        spacings = (("equal centres", tr("Equal centres")), ("equal gaps", tr("Equal gaps")))
        tip = tr("Equal distances between string centres, or between string edges")
        told = partial(self._set_nut, tr("Change the spacing"), "spacing")
        self.spacing = form.put(Choice(tr("Spacing"), spacings, tip=tip, told=told))
        ends = ((UNSET, tr("Usual")), ("centre", tr("Centre")), ("edge", tr("Edge")))
        tip = tr("Whether margins end at the string's centre or at its outer edge")
        told = partial(self._set_nut, tr("Change the margins"), "margin_to")
        self.margin_to = form.put(Choice(tr("Margins to"), ends, tip=tip, told=told))
        self.put(heading(tr("Nut"), first=True), form)

    def _add_table(self) -> None:
        tr = self.tr
        tip = tr("All strings of a common set, instead of these")
        sets = [(each.key, each.name) for each in STRING_SETS]
        self.sets = Choice(tr("Take a set"), sets, tip=tip, told=self._take_set)
        self.sets.setPlaceholderText(tr("Take a set…"))
        self.sets.set_value(None)
        columns = (tr("No."), tr("Name"), tr("Gauge"), tr("Kind"))
        self.table = PartTable(self.session, "string", tr("Strings, from the treble side"), columns)
        self.table.current_changed.connect(self._show_string)
        self.add = small_button(tr("Add"), tr("Add a string like this one, on its bass side"), self._add)
        self.remove = small_button(tr("Remove"), tr("Take this string away"), self._remove)
        self.up = small_button("↑", tr("Towards the treble side"), lambda: self._shift(-1))
        self.down = small_button("↓", tr("Towards the bass side"), lambda: self._shift(1))
        buttons = line(self.add, self.remove, self.up, self.down)
        self.put(heading(tr("Strings")), self.sets, self.table, buttons)

    def _add_string(self) -> None:
        self.string_form = form = Form()
        tr = self.tr
        tip = tr("What the string is called, such as its pitch")
        told = partial(self._edit_string, tr("Rename string"), "name")
        self.name = form.put(TextField(tr("Name"), tip=tip, told=told))
        tip = tr("Diameter: 0.25 mm, or 0.010 in as sets are marked")
        gauge = Line("diameter", tr("Gauge"), tip, "gauge")
        numbers = Numbers(
            form,
            String,
            (gauge,),
            self.units,
            lambda line, value: self._edit_string(change_words(line.text), line.field, value),
        )
        (self.gauge,) = numbers.fields.values()
        kinds = [(kind, kind_words(kind)) for kind in get_args(StringKind)]
        told = partial(self._edit_string, tr("Change kind"), "kind")
        self.kind = form.put(Choice(tr("Kind"), kinds, told=told))
        tip = tr("Neighbours with the same word here make a course")
        told = partial(self._edit_string, tr("Change course"), "course")
        self.course = form.put(TextField(tr("Course"), tip=tip, told=told))
        self.none = remark(tr("There are no strings yet."))
        self.put(form, self.none)

    def _add_neck(self) -> None:
        form, tr = Form(), self.tr
        lines = (
            Line("scale_length", tr("Scale length"), tr("From nut to bridge")),
            Line("bridge_spread", tr("Spread at the bridge"), tr("Between the outer strings")),
        )
        of_build = acts_on(self.session, lambda build: build, lambda _, changed: changed)
        self.neck = Numbers(form, Build, lines, self.units, of_build)
        self.put(heading(tr("Neck")), form)

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

    def _edit_string(self, label: str, field: str, value: object) -> None:
        change_string(self.session, self.table.current, label, **{field: value})

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


def change_string(session: Session, key: str | None, label: str, **fields: object) -> None:
    """Change something of a string as one act, called after its number; nothing for a key that no string has."""
    strings = session.build.strings
    string = next((each for each in strings if each.key == key), None)
    if string is not None:
        changed = replace(string, **fields)
        act = f"{label} {trade_numbers(strings)[string.key]}"
        session.act(act, lambda build: edits.set_string(build, changed))
