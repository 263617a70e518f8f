"""What is typed and not entered yet counts for whoever saves, prints or closes; undo is the window's beside it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from app.document.files import load_build
from app.widgets.number_field import NumberField
from app.window.window import Window

CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def length(window: Window, qtbot: QtBot) -> NumberField:
    """The field of the head's length, with the cursor in it and 177 typed over what it was."""
    with qtbot.waitActive(window):
        window.activateWindow()
    window.show_panel("head")
    field = next(each for each in window.side.findChildren(NumberField) if each.accessibleName() == "Length")
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "177")
    return field


def saved_length(window: Window) -> float:
    path = window.session.path
    assert path is not None
    outline = load_build(path).outline
    return float(getattr(outline, "length", 0.0))


def by_keys(window: Window) -> None:
    QTest.keyClick(QApplication.focusWidget() or window, Qt.Key.Key_S, CONTROL)


def by_menu(window: Window) -> None:
    window.made["save"].trigger()


@pytest.mark.parametrize("save", [by_keys, by_menu])
def test_what_is_typed_is_saved(window: Window, length: NumberField, save: Callable[[Window], None]) -> None:
    save(window)
    assert saved_length(window) == 177.0
    assert not window.isWindowModified()


def test_closing_asks_about_what_is_typed(
    window: Window, length: NumberField, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []

    def stays() -> bool:
        asked.append("asked")
        return False

    monkeypatch.setattr(window.document, "may_leave", stays)
    assert not window.close()
    assert asked == ["asked"]
    assert window.session.modified


def test_closing_asks_about_what_was_measured_and_not_accepted(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    window.show_panel("missed")
    panel = window.side.panel("missed")
    field = next(each for each in panel.findChildren(NumberField) if each.accessibleName() == "To the right")
    field.setFocus()
    QTest.keyClicks(field, "0.4")
    QTest.keyClick(field, Qt.Key.Key_Return)
    window.show_panel("head")
    assert not window.session.modified
    asked: list[str] = []

    def answer(words: str) -> bool:
        asked.append(words)
        return len(asked) == 2

    monkeypatch.setattr(window.document, "ask_to_let_go", answer)
    assert not window.close()
    assert window.close()
    assert asked == ["What you measured of hole 1 is not accepted yet: the build does not hold it."] * 2


def test_what_does_not_read_is_neither_saved_nor_lost(window: Window, length: NumberField) -> None:
    before = saved_length(window)
    QTest.keyClicks(length, "xyz")
    for key in ("save", "output", "quit"):
        window.made[key].trigger()
        assert length.fault
        assert window.isVisible()
        assert window.notice.isVisible()
    assert saved_length(window) == before
    assert length.text() == "177xyz"
    # What has nothing to do with the file goes on.
    window.made["back"].trigger()
    assert str(window.canvas.side) == "back"
    QTest.keyClick(length, Qt.Key.Key_Escape)
    window.made["save"].trigger()
    assert saved_length(window) == before


def test_undo_in_a_field_is_the_windows_once_the_number_is_entered(
    window: Window, length: NumberField
) -> None:
    start = window.session.build
    QTest.keyClick(length, Qt.Key.Key_Return)
    assert window.session.build != start
    length.setFocus()
    QTest.keyClick(length, Qt.Key.Key_Z, CONTROL)
    assert window.session.build == start
    QTest.keyClicks(length, "19")
    QTest.keyClick(length, Qt.Key.Key_Z, CONTROL)
    assert window.session.build == start
    assert not window.session.modified


def test_undo_in_a_field_takes_a_refused_number_back_before_the_last_act(
    window: Window, length: NumberField
) -> None:
    QTest.keyClick(length, Qt.Key.Key_Return)
    free = next(each for each in window.side.findChildren(QPushButton) if each.text() == "Free the outline")
    free.click()
    length = next(
        each
        for each in window.side.findChildren(NumberField)
        if each.accessibleName() == "Length" and each.isVisible()
    )
    made = window.session.build
    length.setFocus()
    length.selectAll()
    QTest.keyClicks(length, "20")
    QTest.keyClick(length, Qt.Key.Key_Return)
    assert length.fault, "the head does not get as short as that"
    assert length.text() == "20"
    QTest.keyClick(length, Qt.Key.Key_Z, CONTROL)
    assert (length.text(), length.fault) == ("177 mm", "")
    assert window.session.build == made
    QTest.keyClick(length, Qt.Key.Key_Z, CONTROL)
    assert window.session.build != made


def test_a_field_that_was_left_without_reading_holds_the_build_back_too(
    window: Window, length: NumberField
) -> None:
    before = saved_length(window)
    QTest.keyClicks(length, "xyz")
    window.canvas.setFocus()
    window.made["save"].trigger()
    assert saved_length(window) == before
    assert length.hasFocus()
    assert "Nothing was done" in window.notice.words
    QTest.keyClick(length, Qt.Key.Key_Escape)
    assert window.notice.words == "", "what was said is no longer so"


def test_that_nothing_was_written_is_said_until_something_is(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(window.document, "ask_where_to_save", lambda: tmp_path / "none" / "head.pegwright")
    assert not window.document.save_as()
    assert "cannot be written" in window.notice.words
    monkeypatch.setattr(window.document, "ask_where_to_save", lambda: tmp_path / "head.pegwright")
    assert window.document.save_as()
    assert window.notice.words == ""


def test_undo_beside_a_wrong_entry_does_not_say_that_nothing_was_done(
    window: Window, length: NumberField
) -> None:
    start = window.session.build
    QTest.keyClick(length, Qt.Key.Key_Return)
    length.selectAll()
    QTest.keyClicks(length, "abc")
    QTest.keyClick(length, Qt.Key.Key_Tab)
    window.made["undo"].trigger()
    assert window.session.build == start
    assert window.notice.words == ""
    assert (length.text(), length.fault) == ("178 mm", ""), "the field shows what counts"
