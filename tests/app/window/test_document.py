"""The file side of the window: nothing is lost without a question."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog, QMessageBox
from pytestqt.qtbot import QtBot

from app.document.document import Document
from app.document.files import Stamp, load_build, stamp_of
from app.document.recovery import SUFFIX, Leftover, Recovery
from app.document.settings import SettingsStore
from app.widgets.notice import MOST_SHOWN
from app.window.actions.acts import toggle, toggle_units
from app.window.window import Window
from geometry.document.codec import write_build
from geometry.document.edits import rename
from tests.app.window.conftest import Opener
from tests.builds import eight_on_plates, three_and_three

CONTROL = Qt.KeyboardModifier.ControlModifier


def name_it(window: Window, name: str = "Other") -> None:
    window.session.act("Name the build", lambda build: rename(build, name))


def answer(monkeypatch: pytest.MonkeyPatch, question: str, given: object) -> list[str]:
    """Answer a question of the document; the list grows each time it is asked."""
    asked: list[str] = []

    def reply(self: Document) -> object:
        asked.append(question)
        return given

    monkeypatch.setattr(Document, question, reply)
    return asked


def full_disk(monkeypatch: pytest.MonkeyPatch) -> None:
    """From now on nothing reaches the disk."""

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)


def wrote_outside(file: Path) -> None:
    """Another program writes another build into the file."""
    file.write_bytes(write_build(eight_on_plates()))
    os.utime(file, (2_000_000_000, 2_000_000_000))


# Saving


def test_saving_writes_the_file_and_keeps_what_was_there(window: Window, file: Path, qtbot: QtBot) -> None:
    first = file.read_bytes()
    name_it(window)
    QTest.keyClick(window, Qt.Key.Key_S, CONTROL)
    assert load_build(file).name == "Other"
    assert file.with_name("three.pegwright~").read_bytes() == first
    assert not window.isWindowModified()
    name_it(window, "Third")
    window.document.save()
    assert file.with_name("three.pegwright~").read_bytes() == first
    assert window.store.desk.recent == (str(file),)


def test_a_build_that_took_work_is_unsaved_from_the_start(opened: Opener, qtbot: QtBot) -> None:
    window = opened(start=True)
    window.document.start(eight_on_plates())
    assert not window.session.modified
    assert window.document.start(eight_on_plates(), unsaved=True)
    assert window.session.modified
    qtbot.waitUntil(lambda: bool(list(window.store.state.rglob(f"*{SUFFIX}"))), timeout=10_000)


def test_a_new_build_asks_where_to(opened: Opener, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    window = opened(start=True)
    window.document.start(eight_on_plates())
    asked = answer(monkeypatch, "ask_where_to_save", None)
    assert not window.document.save()
    answer(monkeypatch, "ask_where_to_save", tmp_path / "new.pegwright")
    assert window.document.save()
    assert asked == ["ask_where_to_save"]
    assert load_build(tmp_path / "new.pegwright") == eight_on_plates()
    assert not (tmp_path / "new.pegwright~").exists()


def test_what_cannot_be_written_is_said(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answer(monkeypatch, "ask_where_to_save", tmp_path / "nowhere" / "new.pegwright")
    name_it(window)
    window.made["save as"].trigger()
    assert "nowhere" in window.notice.words
    assert window.session.modified


def test_a_file_that_another_program_wrote_is_asked_about(
    window: Window, file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_it(window)
    file.write_bytes(write_build(eight_on_plates()))
    os.utime(file, (2_000_000_000, 2_000_000_000))
    answer(monkeypatch, "ask_about_changed", "cancel")
    assert not window.document.save()
    assert load_build(file) == eight_on_plates()
    answer(monkeypatch, "ask_about_changed", "save as")
    answer(monkeypatch, "ask_where_to_save", tmp_path / "mine.pegwright")
    assert window.document.save()
    assert load_build(file) == eight_on_plates()
    assert window.session.path == tmp_path / "mine.pegwright"


def test_writing_over_another_programs_work_keeps_a_copy(
    window: Window, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_it(window)
    file.write_bytes(write_build(eight_on_plates()))
    os.utime(file, (2_000_000_000, 2_000_000_000))
    answer(monkeypatch, "ask_about_changed", "write over")
    assert window.document.save()
    assert load_build(file).name == "Other"
    assert load_build(Path(f"{file}~")) == eight_on_plates()


def test_coming_back_to_a_changed_file_offers_it(window: Window, file: Path, qtbot: QtBot) -> None:
    window.document.look_outside()
    assert window.notice.words == ""
    file.write_bytes(write_build(eight_on_plates()))
    os.utime(file, (2_000_000_000, 2_000_000_000))
    window.document.look_outside()
    assert str(file) in window.notice.words
    take, keep = window.notice.buttons
    assert keep.text() == "Keep mine"
    QTest.mouseClick(take, Qt.MouseButton.LeftButton)
    assert window.session.build == eight_on_plates()
    assert window.notice.words == ""


def test_a_notice_is_no_answer_so_saving_still_asks(
    window: Window, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_it(window)
    wrote_outside(file)
    window.document.look_outside()
    assert str(file) in window.notice.words
    asked = answer(monkeypatch, "ask_about_changed", "cancel")
    assert not window.document.save()
    window.notice.shown[0].gone.emit()
    window.document.look_outside()
    assert window.notice.words == ""
    assert not window.document.save()
    assert len(asked) == 2
    assert load_build(file) == eight_on_plates()


def test_who_keeps_his_own_is_not_asked_again_and_loses_nothing_of_the_other(
    window: Window, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_it(window)
    window.document.save()
    name_it(window, "Mine")
    wrote_outside(file)
    window.document.look_outside()
    QTest.mouseClick(window.notice.buttons[1], Qt.MouseButton.LeftButton)
    asked = answer(monkeypatch, "ask_about_changed", "cancel")
    assert window.document.save()
    assert asked == []
    assert load_build(file).name == "Mine"
    assert load_build(Path(f"{file}~")) == eight_on_plates()


def test_of_two_windows_on_one_file_the_second_is_asked(
    opened: Opener, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    one, two = opened(), opened()
    name_it(one, "One")
    name_it(two, "Two")
    assert one.document.save()
    two.document.look_outside()
    asked = answer(monkeypatch, "ask_about_changed", "cancel")
    assert not two.document.save()
    assert asked == ["ask_about_changed"]
    assert load_build(file).name == "One"


def test_a_copy_that_cannot_be_kept_is_told_and_the_build_is_saved(window: Window, file: Path) -> None:
    Path(f"{file}~").mkdir()
    name_it(window)
    assert window.document.save()
    assert load_build(file).name == "Other"
    assert "no copy is kept" in window.notice.words
    assert f"{file}~" in window.notice.words


def test_a_changed_file_that_cannot_be_read_is_said(window: Window, file: Path) -> None:
    file.write_text("{")
    window.document.reload()
    assert "three.pegwright" in window.notice.words
    assert window.session.build == three_and_three()


# Leaving


@pytest.mark.parametrize(("given", "left"), [("save", True), ("discard", True), ("cancel", False)])
def test_closing_asks_about_unsaved_changes(
    window: Window, file: Path, given: str, left: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    name_it(window)
    asked = answer(monkeypatch, "ask_about_unsaved", given)
    assert window.close() == left
    assert len(asked) == 1
    assert load_build(file).name == ("Other" if given == "save" else "Three a side")


def test_nothing_is_asked_when_nothing_would_be_lost(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answer(monkeypatch, "ask_about_unsaved", "cancel")
    name_it(window)
    window.session.undo()
    assert window.close()
    assert asked == []


def test_another_build_is_opened_only_when_this_one_may_go(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "other.pegwright"
    other.write_bytes(write_build(eight_on_plates()))
    name_it(window)
    answer(monkeypatch, "ask_about_unsaved", "cancel")
    answer(monkeypatch, "ask_what_to_open", other)
    assert not window.document.choose_and_open()
    assert not window.document.start(eight_on_plates())
    assert not window.document.open_sample(other)
    assert window.session.build.name == "Other"
    answer(monkeypatch, "ask_about_unsaved", "discard")
    assert window.document.choose_and_open()
    assert window.session.build == eight_on_plates()


def test_files_that_cannot_be_read_change_nothing(window: Window, tmp_path: Path) -> None:
    assert not window.document.open(tmp_path / "missing.pegwright")
    assert "missing.pegwright" in window.notice.words
    assert not window.document.open_sample(tmp_path / "missing.pegwright")
    assert window.session.build == three_and_three()


# Recovery


def kept(window: Window) -> list[Path]:
    return list((window.store.state / "recovery").glob(f"*{SUFFIX}"))


def test_unsaved_work_is_kept_two_seconds_after_the_last_edit(
    window: Window, file: Path, qtbot: QtBot
) -> None:
    window.document._timer.setInterval(30)
    before = file.read_bytes()
    name_it(window)
    assert kept(window) == []
    qtbot.waitUntil(lambda: len(kept(window)) == 1, timeout=3000)
    assert b"Other" in kept(window)[0].read_bytes()
    assert file.read_bytes() == before
    window.document.save()
    assert kept(window) == []


def test_undoing_everything_leaves_nothing_to_keep(window: Window) -> None:
    name_it(window)
    window.document.keep_unsaved()
    assert len(kept(window)) == 1
    window.session.undo()
    assert kept(window) == []
    window.document.keep_unsaved()
    assert kept(window) == []


def leave_behind(
    window: Window, path: Path | None = None, stamp: Stamp | None = None, name: str = "Left behind"
) -> Leftover:
    """What a window that was killed leaves: a file, and nobody who holds its lock."""
    build = rename(three_and_three(), name)
    recovery = Recovery(window.store.state / "recovery")
    recovery.keep(build, path, stamp)
    assert recovery._lock is not None
    recovery._lock.unlock()
    return next(each for each in window.document.recovery.left_behind() if each.build == build)


def test_work_left_behind_is_offered_and_restored_as_unsaved(window: Window, file: Path) -> None:
    left = leave_behind(window, file, stamp_of(file))
    window.notices.offer_leftovers()
    assert "Left behind" in window.notice.words
    assert str(file) in window.notice.words
    restore, _ = window.notice.buttons
    QTest.mouseClick(restore, Qt.MouseButton.LeftButton)
    assert window.session.build == left.build
    assert window.session.path == file
    assert window.isWindowModified()
    assert window.notice.words == ""
    assert load_build(file).name == "Three a side"
    assert kept(window) == [left.kept_in]
    assert window.document.save()
    assert load_build(file) == left.build
    assert kept(window) == []


def test_on_a_full_disk_restored_work_stays_where_it_is(
    window: Window, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left = leave_behind(window, file, stamp_of(file))
    full_disk(monkeypatch)
    assert window.document.restore(left)
    assert kept(window) == [left.kept_in]
    assert "no space left on device" in window.notice.words
    assert not window.document.save()
    assert kept(window) == [left.kept_in]
    monkeypatch.undo()
    assert left.build.name.encode() in left.kept_in.read_bytes()
    assert window.document.save()
    assert kept(window) == []
    assert window.notice.words == "" or "no space" in window.notice.words


def test_work_restored_in_one_window_is_not_restored_in_another(opened: Opener) -> None:
    one, two = opened(), opened()
    left = leave_behind(one)
    assert one.document.restore(left)
    before = two.session.build
    two.document.restore(left)
    assert "Another window has restored" in two.notice.words
    assert two.session.build == before
    two.document.recovery.discard(left)
    assert left.kept_in.exists()


def test_restored_work_is_not_saved_over_a_newer_file_without_a_question(
    window: Window, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    left = leave_behind(window, file, stamp_of(file))
    wrote_outside(file)
    assert window.document.restore(left)
    assert "has written" in window.notice.words
    asked = answer(monkeypatch, "ask_about_changed", "cancel")
    assert not window.document.save()
    assert asked == ["ask_about_changed"]
    assert load_build(file) == eight_on_plates()


def test_offers_wait_for_each_other_and_for_their_answers(window: Window, file: Path, tmp_path: Path) -> None:
    for name in ("One", "Two", "Three", "Four"):
        leave_behind(window, name=name)
    window.notices.offer_leftovers()
    assert len(window.notice.shown) == MOST_SHOWN
    window.say("What was just refused.")
    assert "What was just refused." in window.notice.words
    other = tmp_path / "other.pegwright"
    other.write_bytes(write_build(eight_on_plates()))
    assert window.document.open(other)
    offered = len(window.notice.buttons)
    assert offered == 2 * MOST_SHOWN
    for left in range(4, 0, -1):
        assert len(kept(window)) == left
        QTest.mouseClick(window.notice.buttons[1], Qt.MouseButton.LeftButton)
    assert (window.notice.words, kept(window)) == ("", [])


def test_an_offer_that_was_closed_is_found_in_the_menu(window: Window) -> None:
    leave_behind(window)
    window.notices.offer_leftovers()
    window.notice.shown[0].gone.emit()
    assert window.notice.words == ""
    window.made["recovered"].trigger()
    assert "Left behind" in window.notice.words
    QTest.mouseClick(window.notice.buttons[1], Qt.MouseButton.LeftButton)
    window.made["recovered"].trigger()
    assert "no work to recover" in window.notice.words


def test_an_offer_stays_while_the_bench_may_not_go(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    leave_behind(window)
    window.notices.offer_leftovers()
    name_it(window)
    answer(monkeypatch, "ask_about_unsaved", "cancel")
    QTest.mouseClick(window.notice.buttons[0], Qt.MouseButton.LeftButton)
    assert "Left behind" in window.notice.words
    assert window.session.build.name == "Other"


def test_work_that_cannot_be_kept_is_told_until_it_can(
    window: Window, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    window.document._again.setInterval(20)
    with monkeypatch.context() as patch:
        full_disk(patch)
        name_it(window)
        window.document.keep_unsaved()
        assert str(window.store.state / "recovery") in window.notice.words
        assert "no space left on device" in window.notice.words
        assert window.notice.buttons == ()
        window.say("Something else.")
        assert "no space left on device" in window.notice.words
    qtbot.waitUntil(lambda: "no space" not in window.notice.words, timeout=3000)
    assert len(kept(window)) == 1


def test_in_a_home_that_takes_nothing_the_window_works_and_says_what_it_does_not_keep(
    opened: Opener, qtbot: QtBot
) -> None:
    nowhere = Path("/proc/pegwright")
    window = opened(using=SettingsStore(nowhere / "config", nowhere / "state"))
    assert window.notice.words == ""
    toggle(window, "grid")
    name_it(window)
    window.document.keep_unsaved()
    assert str(nowhere / "config" / "settings.json") in window.notice.words
    assert str(nowhere / "state" / "recovery") in window.notice.words
    assert window.document.save()
    assert "recovery" not in window.notice.words


def test_settings_that_cannot_be_written_are_told_until_they_can(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        full_disk(patch)
        toggle_units(window)
        assert str(window.store.shop_path) in window.notice.words
    window.store.write_waiting()
    assert window.notice.words == ""
    assert SettingsStore(window.store.config, window.store.state).settings.units == "inch"


def test_work_left_behind_can_be_discarded(window: Window) -> None:
    left = leave_behind(window)
    window.notices.offer_leftovers()
    QTest.mouseClick(window.notice.buttons[1], Qt.MouseButton.LeftButton)
    assert not left.kept_in.exists()
    assert window.notice.words == ""
    assert window.session.build == three_and_three()


def test_restoring_asks_about_the_build_on_the_bench(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    left = leave_behind(window)
    name_it(window)
    answer(monkeypatch, "ask_about_unsaved", "cancel")
    assert not window.document.restore(left)
    assert left.kept_in.exists()


# The questions themselves


@pytest.mark.parametrize("place", [0, 1, 2])
def test_the_question_about_unsaved_changes(
    window: Window, place: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def click(box: QMessageBox) -> int:
        words = ["Save", "Discard", "Cancel"][place]
        next(button for button in box.buttons() if button.text() == words).click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", click)
    assert window.document.ask_about_unsaved() == ["save", "discard", "cancel"][place]


@pytest.mark.parametrize("place", [0, 1, 2])
def test_the_question_about_a_changed_file(
    window: Window, place: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    def click(box: QMessageBox) -> int:
        words = ["Save under another name…", "Write over it", "Cancel"][place]
        next(button for button in box.buttons() if button.text() == words).click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", click)
    assert window.document.ask_about_changed() == ["save as", "write over", "cancel"][place]


@pytest.mark.parametrize("go_on", [False, True])
def test_the_question_about_what_is_not_accepted(
    window: Window, monkeypatch: pytest.MonkeyPatch, *, go_on: bool
) -> None:
    def click(box: QMessageBox) -> int:
        assert box.text() == "What you measured"
        next(button for button in box.buttons() if (button.text() == "&Go on") is go_on).click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", click)
    assert window.document.ask_to_let_go("What you measured") is go_on


def test_names_get_their_suffix_and_a_safe_proposal(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    proposed: list[str] = []

    def chosen(parent: object, title: str, proposal: str, kinds: str) -> tuple[str, str]:
        proposed.append(proposal)
        return str(tmp_path / "bare"), kinds

    monkeypatch.setattr(QFileDialog, "getSaveFileName", chosen)
    monkeypatch.setattr(QFileDialog, "getOpenFileName", chosen)
    assert window.document.ask_where_to_save() == tmp_path / "bare.pegwright"
    assert window.document.ask_what_to_open() == tmp_path / "bare"
    window.session.start(rename(three_and_three(), 'A/B: "C"?'))
    window.document.ask_where_to_save()
    assert Path(proposed[-1]).name == "A-B- -C.pegwright"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "old bass v1.2"), ""))
    assert window.document.ask_where_to_save() == tmp_path / "old bass v1.2.pegwright"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: ("", ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_: ("", ""))
    assert window.document.ask_where_to_save() is None
    assert window.document.ask_what_to_open() is None


def test_a_build_without_a_file_is_asked_about_as_one(
    opened: Opener, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[tuple[str, str]] = []

    def read(box: QMessageBox) -> int:
        asked.append((box.text(), box.informativeText()))
        return 0

    monkeypatch.setattr(QMessageBox, "exec", read)
    window = opened()
    window.document.ask_about_unsaved()
    assert "since the last save" in asked[0][1]
    window.session.start(eight_on_plates())
    window.document.ask_about_unsaved()
    assert asked[1][0].startswith('Save "')
    assert asked[1][1] == "Without saving, it is lost."
