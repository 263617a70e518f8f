"""Nut and strings in the panel."""

from __future__ import annotations

from typing import Any

import pytest
from msgspec import UNSET
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.selection import Item
from app.document.session import Session
from app.panels.strings_panel import StringsPanel
from geometry.document.build import Build
from geometry.document.fresh import strings_of
from geometry.trade.string_sets import find_string_set
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import plain_head, three_and_three, twelve_strings

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def panel_of(qtbot: QtBot, build: Build) -> StringsPanel:
    return shown(qtbot, StringsPanel(Session(build)), height=1200)


def words(panel: StringsPanel, row: int) -> list[str]:
    cells = (panel.table.item(row, column) for column in range(panel.table.columnCount()))
    return [cell.text() for cell in cells if cell is not None]


@pytest.mark.parametrize(
    "field", ["width", "margin_treble", "margin_bass", "course_gap", "slot_floor", "thickness"]
)
def test_the_nut_follows_its_numbers(qtbot: QtBot, field: str) -> None:
    before = twelve_strings()
    panel = panel_of(qtbot, before)
    type_in(panel.nut.fields[field], "3.25")
    assert panel.session.build == replace(before, nut=replace(before.nut, **{field: 3.25}))
    panel.session.undo()
    assert panel.session.build == before


def test_spacing_and_margins(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    assert panel.margin_to.value is UNSET
    pick(panel.spacing, "Equal gaps")
    pick(panel.margin_to, "Edge")
    assert panel.session.build.nut.spacing == "equal gaps"
    assert panel.session.build.nut.margin_to == "edge"
    pick(panel.margin_to, "Usual")
    assert panel.session.build == replace(
        three_and_three(), nut=replace(three_and_three().nut, spacing="equal gaps")
    )
    assert not panel.nut.fields["course_gap"].isVisible()


def test_the_neck_follows_its_numbers(qtbot: QtBot) -> None:
    before = three_and_three()
    panel = panel_of(qtbot, before)
    type_in(panel.neck.fields["scale_length"], "25 1/2 in")
    assert panel.session.build == replace(before, scale_length=647.7)
    assert panel.session.history.undo_label == "Change scale length"


def test_the_table_names_every_string(qtbot: QtBot) -> None:
    build = twelve_strings()
    panel = panel_of(qtbot, build)
    first = build.strings[0]
    assert words(panel, 0) == ["1a", first.name, f"{first.diameter:.3f}".rstrip("0"), first.kind]
    assert panel.table.rowCount() == 12
    panel.set_units("inch")
    assert words(panel, 0)[2] == f"{first.diameter / 25.4:.3f}"


def test_a_string_is_changed_in_exact_numbers(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    panel.table.setFocus()
    QTest.keyClick(panel.table, Qt.Key.Key_Down)
    second = build.strings[1]
    assert panel.session.selection == (Item("string", second.key),)
    type_in(panel.gauge, "0.013 in")
    type_in(panel.name, "B")
    pick(panel.kind, "nylon")
    type_in(panel.course, "c")
    wanted = replace(second, diameter=0.3302, name="B", kind="nylon", course="c")
    assert panel.session.build.strings[1] == replace(wanted, diameter=pytest.approx(0.3302))
    assert panel.session.history.undo_label == "Change course 2"
    assert panel.session.build.strings[2:] == build.strings[2:]


@pytest.mark.parametrize(
    ("typed", "units"), [("0", "mm"), ("0.099", "mm"), ("10.1", "mm"), (".0039", "inch")]
)
def test_no_string_is_thinner_or_thicker_than_a_file_takes(qtbot: QtBot, typed: str, units: Any) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    panel.set_units(units)
    panel.session.select((Item("string", build.strings[1].key),))
    type_in(panel.gauge, typed)
    assert panel.gauge.fault.startswith(
        "It must be from 0.1 mm to 10 mm" if units == "mm" else "It must be from 0.0"
    )
    assert panel.session.build == build


def test_strings_are_added_moved_and_removed(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    press(panel.add)
    added = panel.session.build.strings[1]
    assert added == replace(build.strings[0], key="s7")
    assert panel.table.current == "s7"
    press(panel.up)
    assert panel.session.build.strings[0].key == "s7"
    assert not panel.up.isEnabled()
    press(panel.down)
    assert panel.session.build.strings[1].key == "s7"
    press(panel.remove)
    assert panel.session.build == build
    panel.session.select((Item("string", build.strings[-1].key),))
    assert not panel.down.isEnabled()


def test_a_build_without_strings_gets_its_first(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, plain_head())
    assert panel.none.isVisible()
    assert not panel.remove.isVisible()
    press(panel.add)
    assert [each.key for each in panel.session.build.strings] == ["s1"]
    assert not panel.none.isVisible()
    panel.gauge.edited.emit(0.5)
    press(panel.remove)
    assert panel.session.build.strings == ()
    panel._edit_string("late", "name", "x")
    panel._shift(1)
    assert panel.session.build.strings == ()


def test_a_whole_set_is_taken(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    chosen = find_string_set("bass-four")
    assert chosen is not None
    pick(panel.sets, chosen.name)
    assert panel.session.build.strings == strings_of(chosen)
    assert panel.session.history.undo_label == f"Take the strings of {chosen.name}"
    assert panel.sets.currentIndex() == -1
    panel.session.undo()
    assert panel.session.build == three_and_three()


def test_what_is_selected_on_the_head_is_current_in_the_table(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    panel.session.select((Item("string", build.strings[4].key),))
    assert panel.table.currentRow() == 4
    assert panel.name.text() == build.strings[4].name
    panel.session.select(())
    assert panel.table.currentRow() == 4


def test_no_more_strings_than_a_file_holds(qtbot: QtBot) -> None:
    build = three_and_three()
    many = tuple(replace(build.strings[0], key=f"s{number}") for number in range(40))
    panel = panel_of(qtbot, replace(build, strings=many))
    assert not panel.add.isEnabled()


def test_the_least_width_leaves_room_for_every_heading_and_name(qtbot: QtBot) -> None:
    wound = tuple(replace(each, kind="bronze wound") for each in three_and_three().strings)
    panel = panel_of(qtbot, replace(three_and_three(), strings=wound))
    body = panel.widget()
    assert body is not None
    panel.resize(body.minimumSizeHint().width() + panel.verticalScrollBar().sizeHint().width(), 700)
    QApplication.processEvents()
    table, metrics = panel.table, panel.fontMetrics()
    assert table.horizontalHeader().length() <= table.viewport().width()
    for column in range(table.columnCount()):
        title = table.horizontalHeaderItem(column)
        assert title is not None
        heading = title.text()
        below = [words(panel, row)[column] for row in range(table.rowCount())]
        wanted = max(metrics.horizontalAdvance(each) for each in (heading, *below))
        assert table.columnWidth(column) >= wanted, heading
