"""Preferences, the search for actions, pages to read, notices, the log."""

from __future__ import annotations

import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.document.crash import LARGEST_LOG, CrashLog
from app.document.settings import Settings, SettingsStore
from app.widgets.notice import MOST_OF_WINDOW, Answer, NoticeBar
from app.widgets.number_field import NumberField
from app.window.actions.table import ACTIONS
from app.window.command_search import CommandSearch, keys_html
from app.window.help import Page, about_html, how_html, log_page
from app.window.limits_page import RULES, shown_limit
from app.window.preferences import PreferencesDialog
from app.window.window import Window
from export.catalogue import PACKETS
from geometry.trade.limits import DEFAULT_RULES, ChangedLimit, rules_with
from geometry.trade.shop import PrinterProfile, Shop
from tests.app.bench.reading import empty
from tests.app.panels.hands import type_in

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

LEFT = Qt.MouseButton.LeftButton


# Preferences


@pytest.fixture
def preferences(qtbot: QtBot, store: SettingsStore) -> PreferencesDialog:
    shop = Shop(printers=(PrinterProfile(name="one"), PrinterProfile(name="two", factor_x=1.01)))
    store.keep_shop(shop)
    made = PreferencesDialog(store)
    qtbot.addWidget(made)
    made.show()
    return made


def named(dialog: QWidget, name: str) -> QWidget:
    """The field of a dialog with this accessible name."""
    return next(each for each in dialog.findChildren(QWidget) if each.accessibleName() == name)


def choose(dialog: QWidget, name: str, place: int) -> None:
    box = named(dialog, name)
    assert isinstance(box, QComboBox)
    box.setCurrentIndex(place)
    box.activated.emit(place)


def test_choices_count_at_once(preferences: PreferencesDialog, store: SettingsStore) -> None:
    choose(preferences, "Units", 1)
    assert store.settings.units == "inch"
    choose(preferences, "Colours", 2)
    assert store.settings.theme == "dark"
    choose(preferences, "Size of type", 4)
    assert store.settings.font_scale == 1.5
    choose(preferences, "Paper", 2)
    assert store.settings.shop.paper == "A3"
    choose(preferences, "Printer", 1)
    assert [each.name for each in store.settings.shop.printers] == ["two", "one"]


@pytest.mark.parametrize(
    ("name", "page"),
    [
        ("Show the grid", 0),
        ("Show the rings", 0),
        ("Snap while dragging", 0),
        ("Number drills", 1),
        ("Metric drills", 1),
    ],
)
def test_ticks_switch(preferences: PreferencesDialog, store: SettingsStore, name: str, page: int) -> None:
    preferences.pages.setCurrentIndex(page)
    box = named(preferences, name)
    assert isinstance(box, QCheckBox)
    before, was = store.settings, box.isChecked()
    QTest.mouseClick(box, LEFT, pos=QPoint(8, box.height() // 2))
    assert box.isChecked() != was
    assert store.settings != before
    QTest.keyClick(box, Qt.Key.Key_Space)
    assert set(store.settings.shop.drill_sets) == set(before.shop.drill_sets)
    assert (store.settings.grid, store.settings.snap) == (before.grid, before.snap)


def test_the_finish_of_new_builds(preferences: PreferencesDialog, store: SettingsStore) -> None:
    preferences.pages.setCurrentIndex(1)
    field = named(preferences, "Finish in bores")
    assert isinstance(field, NumberField)
    type_in(field, "0.2")
    assert store.settings.shop.finish_build_up == pytest.approx(0.2)
    choose(preferences, "Units", 1)
    assert field.text().endswith(" in")


def test_sizes_are_typed_in_any_notation_and_a_slip_is_told(
    preferences: PreferencesDialog, store: SettingsStore
) -> None:
    preferences.pages.setCurrentIndex(1)
    field = named(preferences, "Router bits")
    assert isinstance(field, QLineEdit)
    field.setText("3; 1/4 in")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert store.settings.shop.cutters == (3.0, 6.35)
    assert preferences.isVisible()
    for slip, words in (("three", "three"), ("0", "between 0 and 100")):
        field.setText(slip)
        QTest.keyClick(field, Qt.Key.Key_Return)
        assert any(words in label.text() for label in preferences.findChildren(QLabel) if label.isVisible())
        assert store.settings.shop.cutters == (3.0, 6.35)
    field.setText("")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert not store.settings.shop.cutters


def test_the_press_may_be_measured_or_not(preferences: PreferencesDialog, store: SettingsStore) -> None:
    preferences.pages.setCurrentIndex(1)
    fields = {each.accessibleName(): each for each in preferences.findChildren(NumberField)}
    throat, table = fields["Throat of the drill press"], fields["Table of the drill press"]
    type_in(throat, "152")
    type_in(table, "10 in")
    assert (store.settings.shop.press_throat, store.settings.shop.press_table) == (152.0, 254.0)
    store.keep(store.settings.in_units("inch"))
    assert (throat.text(), table.text()) == ("5.984 in", "10 in")
    empty(table)
    assert store.settings.shop.press_table is None


def test_a_number_that_does_not_read_is_told_before_closing(preferences: PreferencesDialog) -> None:
    preferences.pages.setCurrentIndex(1)
    kerf = named(preferences, "Kerf")
    assert isinstance(kerf, NumberField)
    type_in(kerf, "0.2x")
    preferences.pages.setCurrentIndex(0)
    preferences.reject()
    assert preferences.isVisible()
    assert preferences.fault.text().startswith("Kerf: ")
    assert kerf.isVisible()
    QTest.keyClick(kerf, Qt.Key.Key_Escape)
    assert not preferences.fault.isVisible()
    preferences.reject()
    assert not preferences.isVisible()


def test_all_is_set_back_but_what_was_measured(preferences: PreferencesDialog, store: SettingsStore) -> None:
    store.keep(Settings(theme="dark", grid=False, shop=store.settings.shop).measured("DP-1", 4.0))
    choose(preferences, "Units", 1)
    QTest.mouseClick(preferences.reset_button, LEFT)
    assert store.settings.theme == "system"
    assert store.settings.units == "mm"
    assert store.settings.per_mm("DP-1") == 4.0
    assert len(store.settings.shop.printers) == 2


def test_limits_of_new_builds_are_changed_and_set_back(
    preferences: PreferencesDialog, store: SettingsStore
) -> None:
    table = preferences.limits.table
    names = [rule.name for rule in RULES]
    wall, splay = names.index("wall"), names.index("splay")
    table.item(wall, 2).setText("3.5 or 0.3")  # type: ignore[union-attr]
    assert store.settings.limits == (ChangedLimit("wall", "stop", 3.5, 0.3),)
    assert table.item(wall, 2).text() == "3.5 mm or 0.3 D"  # type: ignore[union-attr]
    assert table.item(wall, 2).font().bold()  # type: ignore[union-attr]
    table.item(splay, 1).setText("15°")  # type: ignore[union-attr]
    assert ChangedLimit("splay", "watch", 15.0) in store.settings.limits
    stress = names.index("string stress")
    table.item(stress, 1).setText("70 %")  # type: ignore[union-attr]
    assert ChangedLimit("string stress", "watch", 70.0) in store.settings.limits
    table.item(stress, 1).setText("")  # type: ignore[union-attr]
    table.item(wall, 2).setText("much")  # type: ignore[union-attr]
    assert "much" in preferences.limits.note.text()
    assert ChangedLimit("wall", "stop", 3.5, 0.3) in store.settings.limits
    table.item(wall, 2).setText("")  # type: ignore[union-attr]
    assert store.settings.limits == (ChangedLimit("splay", "watch", 15.0),)
    assert preferences.limits.note.text() == ""
    assert not table.item(wall, 2).font().bold()  # type: ignore[union-attr]


def test_the_page_of_limits_says_which_of_two_counts(preferences: PreferencesDialog) -> None:
    page = preferences.limits
    assert "Stop alone is told" in page.about.text()
    assert "a bore to Wall, a screw or pin to Screw to edge" in page.about.text()
    names = [rule.name for rule in RULES]
    told = {name: page.table.item(row, 0) for row, name in enumerate(names)}
    assert told["wall"].text() == "Wall"  # type: ignore[union-attr]
    assert told["splay"].text() == "Splay, at most"  # type: ignore[union-attr]
    assert "Screw to edge" in told["wall"].toolTip()  # type: ignore[union-attr]
    # Every check of the program whose limit is a measure can be found here.
    assert {rule.name for rule in DEFAULT_RULES if rule.unit} == set(names)
    assert {"hardest pull", "thickest string", "tuner measures"} <= set(names)


def test_limits_are_shown_in_the_makers_units() -> None:
    rules = rules_with(())
    wall, splay = rules["wall"], rules["splay"]
    assert wall.stop is not None
    assert splay.watch is not None
    assert shown_limit(wall.stop, wall, "mm") == "3 mm or 0.25 D"
    assert shown_limit(splay.watch, splay, "inch") == "13°"
    stress = rules["string stress"]
    assert stress.stop is not None
    assert shown_limit(stress.stop, stress, "inch") == "95 %"


# The search


@pytest.fixture
def search(window: Window, qtbot: QtBot) -> Iterator[CommandSearch]:
    made = CommandSearch(window.made, window)
    made.show()
    yield made
    made.close()


def test_typing_finds_and_enter_does(search: CommandSearch, window: Window) -> None:
    assert search.list.count() == len(ACTIONS)
    QTest.keyClicks(search.field, "back side")
    assert search.list.count() >= 1
    search.field.clear()
    QTest.keyClicks(search.field, "look bodies")
    assert [search.list.item(row).text() for row in range(search.list.count())] == ["Back"]
    QTest.keyClick(search.field, Qt.Key.Key_Return)
    assert window.canvas.side == "back"
    assert not search.isVisible()


def test_arrows_choose_while_typing_goes_on(search: CommandSearch) -> None:
    QTest.keyClicks(search.field, "zoom")
    QTest.keyClick(search.field, Qt.Key.Key_Down)
    # What cannot be done now, such as the zoom to a selection of nothing, is passed over.
    usable = [
        row for row in range(search.list.count()) if search.list.item(row).flags() & Qt.ItemFlag.ItemIsEnabled
    ]
    assert search.list.currentRow() == usable[1]
    assert search.field.text() == "zoom"


def test_what_cannot_be_done_now_is_faded_and_not_done(search: CommandSearch, window: Window) -> None:
    QTest.keyClicks(search.field, "redo")
    assert search.list.currentRow() == -1
    QTest.keyClick(search.field, Qt.Key.Key_Return)
    assert search.isVisible()
    search.grab()


def test_words_that_no_action_has(search: CommandSearch) -> None:
    QTest.keyClicks(search.field, "umbrella")
    assert search.list.isHidden()
    assert search.none.isVisible()
    QTest.keyClick(search.field, Qt.Key.Key_Return)
    assert search.isVisible()


# Pages to read


def test_pages_say_what_they_should(qtbot: QtBot) -> None:
    page = Page("Keys", keys_html())
    qtbot.addWidget(page)
    words = page.text.toPlainText()
    for action in ACTIONS:
        if action.shortcut:
            assert action.name in words
            assert action.keys in words
    assert "Pegwright" in about_html()
    assert "calipers" in how_html()
    assert all(packet.title in how_html() for packet in PACKETS)
    assert "pilot bit" in how_html()
    page.show()
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert not page.isVisible()


def test_the_log_can_be_copied(window: Window, qtbot: QtBot) -> None:
    page = log_page("it <broke>", "/somewhere/log.txt", window)
    assert "it <broke>" in page.text.toPlainText()
    copy = next(button for button in page.findChildren(QPushButton) if button.text() == "Copy")
    page.show()
    QTest.mouseClick(copy, LEFT)
    assert QApplication.clipboard().text() == "it <broke>"
    assert "Nothing went wrong" in log_page("", "log.txt", window).text.toPlainText()


# Notices


def test_a_notice_offers_answers_and_goes(qtbot: QtBot) -> None:
    bar = NoticeBar()
    qtbot.addWidget(bar)
    assert bar.words == ""
    done: list[str] = []
    bar.say("First", Answer("Yes", lambda: done.append("yes")))
    bar.say("Second", Answer("A", lambda: done.append("a")), Answer("B", lambda: done.append("b")))
    assert bar.words == "Second"
    assert [button.text() for button in bar.buttons] == ["A", "B"]
    QTest.mouseClick(bar.buttons[1], LEFT)
    assert done == ["b"]
    assert bar.words == ""


def test_answers_stand_below_the_words_of_a_narrow_notice_and_all_is_seen(
    window: Window, qtbot: QtBot
) -> None:
    words = "Three a side, in the folder of the maker, was not saved when the program ended on 2026-11-30 at 00:03."
    for width in (1280, 853, 700, 853, 760):
        window.resize(width, 533)
        window.notice.say(words, Answer("Restore", lambda: None), Answer("Discard", lambda: None), key="x")
        qtbot.waitUntil(lambda: window.notice.verticalScrollBar().maximum() == 0)
        bar = window.notice.viewport()
        for button in window.notice.buttons:
            place = QRect(button.mapTo(bar, QPoint(0, 0)), button.size())
            assert bar.rect().contains(place), (width, button.text())
        assert window.canvas.height() > window.notice.height()


def test_longer_words_of_a_notice_scroll_and_leave_the_drawing_its_room(window: Window, qtbot: QtBot) -> None:
    window.resize(640, 400)
    window.say("The head is 178.0 mm long and 44.7 mm wide at the nut, with 11 nodes and 4 holes. " * 8)
    qtbot.waitUntil(lambda: window.notice.verticalScrollBar().maximum() > 0)
    assert window.notice.height() <= window.height() * MOST_OF_WINDOW + 1
    assert window.canvas.height() >= 120


def test_notices_of_other_keys_stand_beside_each_other(qtbot: QtBot) -> None:
    bar = NoticeBar()
    qtbot.addWidget(bar)
    bar.resize(600, 300)
    bar.say("Cannot be kept", key="unkept", stays=True)
    bar.say("Offer", Answer("No", lambda: False), Answer("Yes", lambda: None), key="offer")
    bar.say("First")
    bar.say("Second")
    assert bar.words == "Cannot be kept\nOffer\nSecond"
    QTest.mouseClick(bar.buttons[0], LEFT)
    assert bar.words == "Cannot be kept\nOffer\nSecond"
    QTest.mouseClick(bar.buttons[1], LEFT)
    assert bar.words == "Cannot be kept\nSecond"
    staying, going = bar.shown
    assert staying.findChildren(QToolButton) == []
    QTest.mouseClick(going.findChildren(QToolButton)[0], LEFT)
    bar.drop("unkept", "nothing")
    assert bar.words == ""
    assert bar.isHidden()


# The log


def caught(log: CrashLog, words: str) -> None:
    error = ValueError(words)
    log.caught(ValueError, error)


def test_exceptions_are_written_down_and_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = CrashLog(tmp_path / "state" / "log.txt", "9.9")
    assert log.read() == ""
    told: list[str] = []
    before = sys.excepthook, threading.excepthook
    log.install(told.append)
    assert sys.excepthook == log.caught
    caught(log, "first")
    thread = threading.Thread(target=lambda: 1 / 0)
    thread.start()
    thread.join()
    log.remove()
    assert told == ["ValueError: first"]
    assert "Pegwright 9.9" in log.read()
    assert "ZeroDivisionError" in log.read()
    caught(log, "after")
    assert told == ["ValueError: first"]
    assert "ValueError: after" in capsys.readouterr().err
    sys.excepthook, threading.excepthook = before


def test_an_error_while_telling_does_not_go_round(tmp_path: Path) -> None:
    log = CrashLog(tmp_path / "log.txt", "9.9")
    rounds: list[str] = []

    def tell(line: str) -> None:
        rounds.append(line)
        caught(log, "again")

    before = sys.excepthook, threading.excepthook
    log.install(tell)
    caught(log, "first")
    log.remove()
    sys.excepthook, threading.excepthook = before
    assert rounds == ["ValueError: first"]
    assert "again" in log.read()


def test_a_long_log_begins_anew(tmp_path: Path) -> None:
    log = CrashLog(tmp_path / "log.txt", "9.9")
    log.path.write_text("x" * (LARGEST_LOG + 1))
    caught(log, "new")
    assert log.path.stat().st_size < LARGEST_LOG
    assert (tmp_path / "log.txt~").stat().st_size == LARGEST_LOG + 1


def test_the_end_by_the_keyboard_stays_an_end(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = CrashLog(tmp_path / "log.txt", "9.9")
    log.caught(KeyboardInterrupt, KeyboardInterrupt())
    assert not log.path.exists()


def test_without_a_place_for_the_log_the_window_still_goes_on(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    log = CrashLog(tmp_path / "file" / "log.txt", "9.9")
    caught(log, "lost")
    assert log.read() == ""
