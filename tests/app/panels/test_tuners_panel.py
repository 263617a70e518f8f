"""Rows, rules and posts in the panel."""

from __future__ import annotations

import pytest
from msgspec import UNSET
from msgspec.structs import replace
from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.selection import Item
from app.document.session import Session
from app.panels.hardware_form import HardwareForm
from app.panels.row_form import new_hardware
from app.panels.tuners_panel import TunersPanel
from geometry.document import edits, row_edits
from geometry.document.build import AlongEdge, Build, OnLine, OnPlate, Row, StraightPull
from geometry.document.codec import read_build, write_build
from geometry.document.twins import set_symmetric
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY, SPLIT_POST
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import eight_on_plates, plain_head, row, six_in_line, three_and_three, three_strings

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


class Panel(TunersPanel):
    """A panel whose form for measures is answered by the test."""

    answer: Hardware | None = None
    asked: Hardware | None = None

    def ask_measures(self, hardware: Hardware) -> Hardware | None:
        self.asked = hardware
        return self.answer


def panel_of(qtbot: QtBot, build: Build) -> Panel:
    return shown(qtbot, Panel(Session(build)), height=1400)


def apart() -> Build:
    """Three a side, each side for itself."""
    return set_symmetric(three_and_three(), on=False)


def select_post(panel: Panel, row: int, post: int) -> str:
    key = panel.session.build.rows[row].posts[post].key
    panel.session.select((Item("post", key),))
    return key


def cell(panel: Panel, place: int, column: int) -> str:
    item = panel.posts.item(place, column)
    assert item is not None
    return item.text()


# Rows


@pytest.mark.parametrize("field", ["start", "pitch", "inset"])
def test_a_rule_follows_its_numbers(qtbot: QtBot, field: str) -> None:
    before = apart()
    panel = panel_of(qtbot, before)
    type_in(panel.row_form.numbers.fields[field], "23.5")
    first = before.rows[0]
    assert panel.session.build.rows == (
        replace(first, rule=replace(first.rule, **{field: 23.5})),
        *before.rows[1:],
    )
    panel.session.undo()
    assert panel.session.build == before


def test_the_inset_of_the_last_post_may_be_left_out(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, six_in_line())
    field = panel.row_form.numbers.fields["inset_last"]
    type_in(field, "13")
    rule = panel.session.build.rows[0].rule
    assert isinstance(rule, OnLine)
    assert rule.inset_last == 13.0
    type_in(field, " ")
    rule = panel.session.build.rows[0].rule
    assert isinstance(rule, OnLine)
    assert rule.inset_last is None


@pytest.mark.parametrize(
    ("words", "rule"),
    [
        ("On a line", OnLine),
        ("On a plate", OnPlate),
        ("Straight pull", StraightPull),
        ("Along the edge", AlongEdge),
    ],
)
def test_every_rule_can_be_taken(qtbot: QtBot, words: str, rule: type) -> None:
    panel = panel_of(qtbot, three_and_three())
    pick(panel.row_form.rule, words)
    assert isinstance(panel.session.build.rows[0].rule, rule)
    fields = panel.row_form.numbers.fields
    assert fields["inset"].isVisible() == (rule is not StraightPull)
    assert fields["pitch"].isVisible() == (rule is not OnPlate)
    assert panel.row_form.exact.isVisible() == (rule is StraightPull)
    assert read_build(write_build(panel.session.build)) == panel.session.build


def test_straight_pull_may_be_exact(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    panel.row_form.exact.ticked.emit(True)
    assert isinstance(panel.session.build.rows[0].rule, AlongEdge)
    pick(panel.row_form.rule, "Straight pull")
    press(panel.row_form.exact)
    rule = panel.session.build.rows[0].rule
    assert isinstance(rule, StraightPull)
    assert rule.exact


def test_a_row_goes_over_and_is_copied_across(qtbot: QtBot) -> None:
    build = six_in_line()
    panel = panel_of(qtbot, build)
    press(panel.across)
    assert panel.session.build == row_edits.copy_across(build, build.rows[0].key)
    assert panel.rows.rowCount() == 2
    panel.session.undo()
    pick(panel.row_form.side, "Treble side")
    assert panel.session.build.rows[0].side == "treble"
    pick(panel.row_form.side, "Bass side")
    assert panel.session.build == build


def test_rows_are_added_and_removed(qtbot: QtBot) -> None:
    build = six_in_line()
    panel = panel_of(qtbot, build)
    press(panel.add_row)
    added = panel.session.build.rows[1]
    assert (added.side, len(added.posts)) == ("treble", 6)
    assert panel.rows.current == added.key
    press(panel.remove_row)
    assert panel.session.build == build


def test_a_build_without_tuners_gets_its_first_row(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, replace(plain_head(), hardware=()))
    assert panel.no_rows.isVisible()
    assert not panel.posts.isVisible()
    for act in (panel._remove_row, panel._copy_across, panel._add_post, panel._remove_post):
        act()
    panel.answer = SPLIT_POST
    panel._measure(SPLIT_POST)
    assert not panel.session.build.rows
    press(panel.add_row)
    assert [len(each.posts) for each in panel.session.build.rows] == [3]
    assert panel.session.build.hardware == (LIBRARY[0],)
    with_own = panel_of(qtbot, plain_head())
    press(with_own.add_row)
    assert with_own.session.build.hardware == plain_head().hardware


# Tuners


def test_tuners_come_from_the_library(qtbot: QtBot) -> None:
    build = apart()
    panel = panel_of(qtbot, build)
    pick(panel.row_form.tuners, SPLIT_POST.name)
    assert panel.session.build == edits.set_hardware(build, build.rows[0].key, SPLIT_POST)
    assert panel.session.history.undo_label == f"Take tuners: {SPLIT_POST.name}"


def test_tuners_are_measured_wherever_they_are_used(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    own = replace(build.hardware[0], post_diameter=6.2)
    panel.answer = own
    press(panel.row_form.measures)
    assert panel.asked == build.hardware[0]
    assert panel.session.build.hardware == (own,)
    assert panel.session.build.rows == build.rows


def test_tuners_of_ones_own_serve_one_row(qtbot: QtBot) -> None:
    build = apart()
    panel = panel_of(qtbot, build)
    panel.answer = None
    pick(panel.row_form.tuners, "My own tuner, measured…")
    assert panel.session.build == build
    assert panel.row_form.tuners.currentText() == build.hardware[0].name
    begun = panel.asked
    assert begun == new_hardware(build, build.hardware[0], "My tuners")
    panel.answer = begun
    pick(panel.row_form.tuners, "My own tuner, measured…")
    assert panel.session.build.rows[0].hardware == begun.key
    assert panel.session.build.rows[1] == build.rows[1]
    assert read_build(write_build(panel.session.build)) == panel.session.build


def test_stepping_through_the_tuners_asks_for_no_measures(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, apart())
    choice = panel.row_form.tuners
    before = panel.session.build
    choice.setCurrentIndex(choice.count() - 2)
    choice.setFocus()
    QTest.keyClick(choice, Qt.Key.Key_Down)
    assert panel.asked is None
    assert panel.session.build == before
    assert choice.currentText() == panel.row_form._hardware().name


def test_the_form_for_measures_opens(qtbot: QtBot) -> None:
    panel = shown(qtbot, TunersPanel(Session(three_and_three())), height=1400)

    def answer() -> None:
        form = QApplication.activeModalWidget()
        assert isinstance(form, HardwareForm)
        type_in(form.name, "measured ones")
        press(form.take)

    QTimer.singleShot(0, answer)
    press(panel.row_form.measures)
    assert panel.session.build.hardware[0].name == "measured ones"
    assert panel.session.history.undo_label == "Measure tuners: measured ones"


# Posts


def test_posts_are_added_and_removed(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    press(panel.add_post)
    assert len(panel.session.build.rows[0].posts) == 4
    assert panel.posts.rowCount() == 4
    select_post(panel, 0, 3)
    press(panel.remove_post)
    assert panel.session.build == build


def test_a_post_selected_on_the_head_shows_its_row(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    key = select_post(panel, 1, 2)
    assert panel.rows.current == panel.session.build.rows[1].key
    assert panel.posts.current == key
    panel.rows.setFocus()
    QTest.keyClick(panel.rows, Qt.Key.Key_Up)
    assert panel.session.selection == (Item("row", panel.session.build.rows[0].key),)
    assert panel.posts.rowCount() == 3
    panel.posts.setFocus()
    QTest.keyClick(panel.posts, Qt.Key.Key_Down)
    assert panel.session.selection == (Item("post", panel.session.build.rows[0].posts[1].key),)


def test_a_post_by_hand_says_so_and_is_given_back(qtbot: QtBot) -> None:
    build = apart()
    panel = panel_of(qtbot, build)
    form = panel.post_form
    select_post(panel, 0, 1)
    assert form.placed.text() == "Placed by its row's rule"
    assert not form.give_back.isVisible()
    type_in(form.along, "1.5")
    type_in(form.inward, "-0.5")
    post = build.rows[0].posts[1].key
    assert panel.session.build == edits.move_post(build, post, 1.5, -0.5)
    assert form.placed.text() == "Placed by hand"
    assert [cell(panel, place, 2) for place in range(3)] == ["", "by hand", ""]
    press(form.give_back)
    assert panel.session.build == build


def test_the_other_side_follows_what_is_typed(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    type_in(panel.row_form.numbers.fields["pitch"], "38")
    treble, bass = panel.session.build.rows
    assert treble.rule == bass.rule == replace(three_and_three().rows[0].rule, pitch=38.0)
    select_post(panel, 0, 1)
    type_in(panel.post_form.across, "20")
    type_in(panel.post_form.turned, "5")
    posts = panel.session.scene.layout.posts
    one, other = (next(each for each in posts if each.key == row.posts[1].key) for row in (treble, bass))
    assert one.at.x == pytest.approx(20.0, abs=1e-6)
    assert other.at.distance(one.at.mirrored) < 1e-6
    assert [row.posts[1].turned_deg for row in panel.session.build.rows] == [5.0, -5.0]
    press(panel.post_form.give_back)
    assert [row.moved for row in panel.session.build.rows] == [(), ()]
    pick(panel.row_form.tuners, SPLIT_POST.name)
    assert [row.hardware for row in panel.session.build.rows] == [SPLIT_POST.key] * 2
    assert panel.session.build.hardware == (SPLIT_POST,)


def test_a_post_is_put_at_exact_numbers(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    key = select_post(panel, 0, 1)
    before = panel.session.scene.layout.post(key).at
    type_in(panel.post_form.up, "80.25")
    type_in(panel.post_form.across, "21.37")
    at = panel.session.scene.layout.post(key).at
    assert at.x == pytest.approx(21.37, abs=1e-6)
    assert at.y == pytest.approx(80.25, abs=1e-6)
    panel.session.undo()
    panel.session.undo()
    assert panel.session.scene.layout.post(key).at == before


def test_strings_change_over(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    form = panel.post_form
    first, second = (post.key for post in build.rows[0].posts[:2])
    strings = {each.key: each.string for each in panel.session.scene.layout.posts}
    select_post(panel, 0, 0)
    labels = panel.session.scene.layout.labels
    assert form.string.currentText().startswith("By rule: 1")
    names = {each.key: each.name for each in build.strings}
    wanted = strings[second]
    assert wanted is not None
    pick(form.string, f"{labels[wanted]}  {names[wanted]}")
    now = {each.key: each.string for each in panel.session.scene.layout.posts}
    assert (now[first], now[second]) == (strings[second], strings[first])
    assert panel.session.history.undo_label == "Change over strings 1 and 2"


def test_a_post_may_carry_no_string(qtbot: QtBot) -> None:
    build = three_and_three()
    panel = panel_of(qtbot, build)
    key = select_post(panel, 0, 0)
    pick(panel.post_form.string, "None")
    assert panel.session.build == edits.set_string_of(build, key, None)
    assert panel.post_form.string.currentText() == "None"
    pick(panel.post_form.string, "By rule")
    assert panel.session.build == build


def test_turns_turning_winding_and_piece(qtbot: QtBot) -> None:
    build = apart()
    panel = panel_of(qtbot, build)
    form, key = panel.post_form, select_post(panel, 0, 0)
    assert form.turns.placeholderText() == "4"
    type_in(form.turns, "3")
    type_in(form.turned, "10°")
    press(form.flip)
    pick(form.piece, "Left piece")
    wanted = edits.set_turns(build, key, 3.0)
    wanted = edits.flip_wound_side(edits.turn_tuner(wanted, key, 10.0), key)
    assert panel.session.build == edits.set_piece(wanted, key, "left")
    pick(form.piece, "Right piece")
    assert panel.session.build.rows[0].posts[0].piece == "right"
    pick(form.piece, "For its side")
    type_in(form.turns, " ")
    post = panel.session.build.rows[0].posts[0]
    assert (post.turns, post.piece) == (UNSET, UNSET)
    assert panel.session.history.undo_label == "Change turns on post 1"


def test_a_post_that_has_no_place_can_still_be_changed(qtbot: QtBot) -> None:
    build = eight_on_plates()
    broken = row_edits.remove_post(build, build.rows[0].posts[0].key)
    panel = panel_of(qtbot, broken)
    select_post(panel, 0, 0)
    assert not panel.post_form.across.isVisible()
    assert not panel.post_form.piece.isVisible()
    assert panel.post_form.along.isVisible()


def test_a_row_without_posts_has_nothing_to_remove(qtbot: QtBot) -> None:
    empty: Row = replace(row("treble", 1), posts=())
    panel = panel_of(qtbot, plain_head(empty))
    assert not panel.remove_post.isVisible()
    assert not panel.post_form.isVisible()
    press(panel.add_post)
    assert panel.post_form.isVisible()


def test_spare_posts_have_names_of_their_own(qtbot: QtBot) -> None:
    build = replace(three_strings(), strings=())
    panel = panel_of(qtbot, build)
    assert cell(panel, 0, 0) == "spare A"


def test_units_reach_the_forms_inside(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, three_and_three())
    type_in(panel.row_form.numbers.fields["inset"], "12.7")
    panel.set_units("inch")
    assert panel.row_form.numbers.fields["inset"].text() == "1/2 in"
