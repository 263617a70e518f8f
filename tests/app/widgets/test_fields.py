"""Choices, texts, ticks and notes tell of what the maker does, never of what they are shown."""

from __future__ import annotations

from itertools import pairwise

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.panels.numbers import most_of, range_of
from app.widgets import fields
from app.widgets.fields import Choice, Combo, Notes, TextField, Tick, whole_characters
from app.widgets.kit import Form, ShortenedLabel
from app.widgets.number_field import ANY, Range
from geometry.document.build import Build, Head, OnLine, Post, Row, String
from geometry.trade.hardware import Plate
from tests.app.panels.hands import SCREENLESS, pick, press, shown, turned_down, type_in

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

OPTIONS = ((1, "one"), (None, "none"), ("two", "two"))


def test_a_choice_tells_what_was_picked(qtbot: QtBot) -> None:
    choice = shown(qtbot, Choice("Number", OPTIONS))
    with qtbot.assertNotEmitted(choice.picked):
        choice.set_value("two")
    assert choice.value == "two"
    with qtbot.waitSignal(choice.picked) as told:
        pick(choice, "one")
    assert told.args == [1]
    choice.set_value("three")
    assert choice.value is None
    assert choice.currentIndex() == -1


def test_the_wheel_over_a_choice_changes_nothing(qtbot: QtBot) -> None:
    choice = shown(qtbot, Choice("Number", OPTIONS))
    turn = turned_down()
    with qtbot.assertNotEmitted(choice.picked):
        QApplication.sendEvent(choice, turn)
    assert choice.value == 1
    assert not turn.isAccepted()


def test_the_wheel_over_any_list_changes_nothing(qtbot: QtBot) -> None:
    listed = Combo()
    listed.addItems(["ash", "maple"])
    shown(qtbot, listed)
    QApplication.sendEvent(listed, turned_down())
    assert listed.currentText() == "ash"
    with qtbot.waitSignal(listed.activated):
        QTest.keyClick(listed, Qt.Key.Key_Down)
    assert listed.currentText() == "maple"


def test_a_list_says_what_it_is_for_while_nothing_is_chosen(qtbot: QtBot) -> None:
    choice = shown(qtbot, Choice("Number", OPTIONS))
    choice.setPlaceholderText("take")
    choice.set_value(None)
    assert choice.shown_words == "none"
    choice.set_value("three")
    assert choice.shown_words == "take"
    chosen = choice.grab().toImage()
    choice.setPlaceholderText("")
    assert choice.grab().toImage() != chosen, "the words are painted"


def test_a_list_among_numbers_is_wide_enough_for_somewhat_longer_words(qtbot: QtBot) -> None:
    short, longer = Choice("Side", [(1, "one")]), Choice("Side", [(1, "Treble side x")])
    longest = Choice("Tuners", [(1, "Enclosed gear, screw-in bushing, one screw")])
    for each in (short, longer, longest):
        shown(qtbot, each)
    assert short.sizeHint().width() == longest.sizeHint().width() <= longer.sizeHint().width()
    longer.resize(longer.sizeHint())
    assert longer.shown_words == "Treble side x"
    longest.resize(longest.sizeHint())
    assert longest.shown_words.endswith("…")


def test_words_that_do_not_fit_go_over_several_lines(qtbot: QtBot) -> None:
    words = "Enclosed gear, screw-in bushing, one screw"
    form, choice = Form(), Choice("Tuners", [(1, words), (2, "none")])
    form.add_below("Tuners", choice)
    choice.set_value(2)
    shown(qtbot, form).resize(190, 300)
    qtbot.waitUntil(lambda: choice.width() == 190)
    single = choice.height()
    choice.set_value(1)
    qtbot.waitUntil(lambda: choice.height() > single)
    assert choice.shown_words == words
    lines = choice.grab().toImage().convertToFormat(QImage.Format.Format_Grayscale8)
    dark = [
        any(lines.pixelColor(x, y).lightness() < 90 for x in range(8, lines.width() - 40))
        for y in range(4, lines.height() - 4)
    ]
    # Letters, the gap between two lines, letters again.
    assert sum(1 for before, now in pairwise(dark) if now and not before) >= 2
    form.resize(500, 300)
    qtbot.waitUntil(lambda: choice.height() == single)
    assert choice.shown_words == words


def test_a_line_without_room_ends_in_an_ellipsis(qtbot: QtBot) -> None:
    label = shown(qtbot, ShortenedLabel("Click to select, Shift adds"))
    label.resize(60, 20)
    cut = label.grab().toImage()
    assert label.toolTip() == "Click to select, Shift adds"
    assert label.text() == "Click to select, Shift adds", "whoever has it read hears it whole"
    label.resize(400, 20)
    label.grab()
    assert label.toolTip() == ""
    label.resize(60, 20)
    label.setText(label.fontMetrics().elidedText(label.text(), Qt.TextElideMode.ElideRight, 60))
    assert label.grab().toImage() == cut


def test_a_text_is_told_on_enter_and_brought_back_by_esc(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(fields, "LONGEST_NAME", 8)
    field = shown(qtbot, TextField("Name"))
    field.set_value("before")
    with qtbot.waitSignal(field.edited) as told:
        type_in(field, "something long")
    assert told.args == ["somethin"]
    with qtbot.assertNotEmitted(field.edited):
        QTest.keyClick(field, Qt.Key.Key_Backspace)
        assert field.text() == "somethi"
        QTest.keyClick(field, Qt.Key.Key_Escape)
        QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == "somethin"


def test_a_text_being_typed_is_left_alone(qtbot: QtBot) -> None:
    field = shown(qtbot, TextField("Name"))
    field.setFocus()
    QTest.keyClicks(field, "mine")
    field.set_value("theirs")
    assert field.text() == "mine"


def test_halves_of_characters_never_reach_the_build() -> None:
    assert whole_characters("a\ud83d") == "a"
    assert whole_characters("a\U0001f3b8") == "a\U0001f3b8"


def test_a_tick_tells_of_clicks_only(qtbot: QtBot) -> None:
    tick = shown(qtbot, Tick("Flat"))
    with qtbot.assertNotEmitted(tick.ticked):
        tick.set_value(True)
    with qtbot.waitSignal(tick.ticked) as told:
        press(tick)
    assert told.args == [False]


def test_notes_are_told_when_left(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(fields, "LONGEST_NOTES", 10)
    notes = shown(qtbot, Notes("Notes"))
    notes.set_value("old")
    notes.setFocus()
    with qtbot.assertNotEmitted(notes.edited):
        QTest.keyClicks(notes, "x")
        notes.set_value("newer")
        QTest.keyClick(notes, Qt.Key.Key_Escape)
        QTest.keyClick(notes, Qt.Key.Key_Escape)
        notes.clearFocus()
    assert notes.toPlainText() == "newer"
    notes.setFocus()
    notes.selectAll()
    QTest.keyClicks(notes, "one two three")
    with qtbot.waitSignal(notes.edited) as told:
        notes.clearFocus()
    assert told.args == ["one two th"]


def test_ranges_are_those_of_the_file() -> None:
    assert range_of(Head, "angle_deg") == Range(least=0.0, most=60.0)
    assert range_of(Head, "thickness_nut") == Range(least=0.1, most=2000.0)
    assert range_of(Post, "turns") == Range(least=0.0, most=20.0)
    assert range_of(OnLine, "inset_last") == Range(least=0.1, most=2000.0)
    assert range_of(String, "diameter") == Range(least=0.1, most=10.0)
    assert range_of(Build, "scale_length") == Range(least=50.0, most=2000.0)
    assert range_of(Plate, "posts") == ANY
    assert most_of(Build, "strings") == 40
    assert most_of(Row, "posts") == 40
