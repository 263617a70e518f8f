"""Two heads side by side in one dialog: what is compared, what is told, and the sheet."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import cast

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.qtbot import QtBot

from app.canvas.look import look_in
from app.output import compare_dialog
from app.output.compare_dialog import CompareDialog
from app.output.questions import Questions
from geometry.checks.judge import Level
from geometry.document.build import Build
from geometry.document.codec import write_build
from geometry.document.edits import move_post
from geometry.search.answers.compare import with_hardware
from geometry.trade.hardware_library import LIBRARY, OPEN_GEAR
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from tests.app.canvas.surroundings import colours, holds
from tests.app.output.printed import SOON, Answers, rest
from tests.app.panels.hands import SCREENLESS, pick
from tests.builds import change, plain_head, six_in_line, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

Open = Callable[..., CompareDialog]


@pytest.fixture
def asked() -> list[Path | None]:
    """What the maker answers when asked for a file, the last answer first."""
    return []


@pytest.fixture
def opened(qtbot: QtBot, shop: Shop, answers: Answers, asked: list[Path | None]) -> Open:
    def open_it(
        build: Build, saved: Path | None = None, *, units: Units = "mm", wait: bool = True
    ) -> CompareDialog:
        dialog = CompareDialog(
            build, shop, units=units, saved=saved, folder=answers.folder, ask_file=asked.pop
        )
        qtbot.addWidget(dialog, before_close_func=lambda widget: widget.close())
        dialog.ask = cast("Questions", answers)
        dialog.show()
        if wait:
            rest(qtbot, dialog)
        return dialog

    return open_it


def kept(folder: Path, build: Build, name: str = "saved") -> Path:
    path = folder / f"{name}.pegwright"
    path.write_bytes(write_build(build))
    return path


def moved(build: Build, along: float) -> Build:
    return move_post(build, build.rows[0].posts[1].key, along, 0.0)


def test_today_is_held_against_what_was_saved(opened: Open, tmp_path: Path) -> None:
    build = three_and_three()
    dialog = opened(moved(build, 3.0), kept(tmp_path, build))
    assert dialog.other.currentText() == "What was saved last"
    found = dialog.found
    assert found is not None
    assert (found.one.name, found.two.name) == ("now", "saved")
    assert "checks A is better on" in dialog.verdict.text()
    # Hole 2 was moved by 3 mm along its row and no other was.
    assert [dialog.holes.cells(row)[1] for row in range(6)] == ["=", "3.0 mm", *["="] * 4]
    weights = [dialog.holes.item(row, 0).font().weight() for row in range(6)]  # type: ignore[union-attr]
    differ = [row == 1 or dialog.holes.cells(row)[-1] != "" for row in range(6)]
    assert [each == QFont.Weight.DemiBold for each in weights] == differ
    assert not all(differ)


def test_nothing_differs_between_a_head_and_itself(opened: Open, tmp_path: Path) -> None:
    build = three_and_three()
    dialog = opened(build, kept(tmp_path, build))
    assert dialog.checks.rowCount() == 0
    assert all(dialog.numbers.cells(row)[-1] == "" for row in range(dialog.numbers.rowCount()))


def test_without_a_file_other_tuners_come_first(opened: Open, qtbot: QtBot) -> None:
    # Those that the head has already tell nothing.
    for today, first in ((0, 1), (1, 0)):
        dialog = opened(with_hardware(three_and_three(), LIBRARY[today]))
        assert dialog.other.currentText() == f"Other tuners: {LIBRARY[first].name}"
    # A geared peg does not take such strings.
    assert dialog.other.findText(f"Other tuners: {LIBRARY[-1].name}") == -1
    pick(dialog.other, f"Other tuners: {OPEN_GEAR.name}")
    rest(qtbot, dialog)
    assert dialog.found is not None
    assert {post.hardware.name for post in dialog.found.two.layout.posts} == {OPEN_GEAR.name}
    # They have the same places or others; the table tells of every hole on both.
    assert dialog.holes.rowCount() >= 6


def test_a_file_is_asked_for(opened: Open, qtbot: QtBot, tmp_path: Path, asked: list[Path | None]) -> None:
    dialog = opened(three_and_three())
    before = dialog.other.currentText()
    asked[:] = [kept(tmp_path, six_in_line(), "line"), None]
    pick(dialog.other, "A file…")
    assert dialog.other.currentText() == before
    pick(dialog.other, "A file…")
    rest(qtbot, dialog)
    assert dialog.found is not None
    assert dialog.found.two.name == "line"
    broken = tmp_path / "broken.pegwright"
    broken.write_text("{}")
    asked[:] = [broken]
    pick(dialog.other, "A file…")
    rest(qtbot, dialog)
    assert "broken.pegwright" in dialog.foot.message.text()
    assert dialog.found is None
    assert dialog.numbers.rowCount() == 0
    assert not dialog.foot.save.isEnabled()
    # The file is mended, and read again without being asked for.
    broken.write_bytes(write_build(three_and_three()))
    QTest.mouseClick(dialog.foot.again, Qt.MouseButton.LeftButton)
    rest(qtbot, dialog)
    assert dialog.found is not None


def test_both_heads_are_drawn_in_one_scale_at_one_height(opened: Open, tmp_path: Path) -> None:
    dialog = opened(three_and_three(), kept(tmp_path, six_in_line()))
    one, two = dialog.heads.views()
    assert one.scale == two.scale
    assert one.centre.y == two.centre.y
    image = colours(dialog.heads)
    found = dialog.found
    assert found is not None
    dashed = two.to_screen(found.one.layout.posts[0].at)
    dashed.setX(dashed.x() + dialog.heads.width() / 2)
    radius = found.one.layout.posts[0].bore / 2 * two.scale
    look = look_in(dialog.heads.palette())
    assert holds(image, look.proposed, dashed, round(radius) + 2)
    assert dialog.heads.accessibleDescription() == "A: now (Fine); B: saved (Watch)"


def test_a_head_without_anything_is_drawn_too(opened: Open, tmp_path: Path) -> None:
    dialog = opened(change(three_and_three(), rows=()), kept(tmp_path, plain_head()))
    assert dialog.found is not None
    assert dialog.found.two.level is Level.STOP
    dialog.heads.grab()
    assert dialog.holes.rowCount() == 0


def test_the_sheet_is_saved(opened: Open, qtbot: QtBot, answers: Answers, tmp_path: Path) -> None:
    build = three_and_three(name="Bench no. 7")
    dialog = opened(moved(build, 3.0), kept(tmp_path, build))
    answers.place = None
    QTest.keyClick(dialog, Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
    assert not dialog.writing.busy
    answers.place = tmp_path / "both"
    QTest.mouseClick(dialog.foot.save, Qt.MouseButton.LeftButton)
    rest(qtbot, dialog)
    assert answers.asked[-1].startswith("Save the comparison: Bench no. 7 compared.pdf")
    assert dialog.foot.message.text() == f"Saved {tmp_path / 'both.pdf'}"
    text = pypdfium2.PdfDocument(tmp_path / "both.pdf")[0].get_textpage().get_text_bounded()
    assert "Comparison of two heads" in text
    answers.place = tmp_path / "no such folder" / "both.pdf"
    QTest.mouseClick(dialog.foot.save, Qt.MouseButton.LeftButton)
    rest(qtbot, dialog)
    assert "no such folder" in dialog.foot.message.text()


def test_esc_gives_up_and_then_closes(opened: Open, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    go_on = threading.Event()

    def slow(*_: object) -> None:
        go_on.wait(SOON / 1000)

    monkeypatch.setattr(compare_dialog, "side_of", slow)
    dialog = opened(three_and_three(), wait=False)
    qtbot.waitUntil(lambda: dialog.foot.working, timeout=SOON)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    go_on.set()
    assert dialog.isVisible()
    assert not dialog.making.busy
    assert dialog.foot.again.isVisible()
    assert dialog.foot.message.text() == "Stopped."
    dialog._save_pdf()
    assert not dialog.writing.busy
    monkeypatch.undo()
    QTest.keyClick(dialog, Qt.Key.Key_F5)
    rest(qtbot, dialog)
    assert dialog.found is not None
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_what_was_given_up_leaves_nothing_of_the_last(
    opened: Open, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on, build = threading.Event(), three_and_three()
    dialog = opened(moved(build, 3.0), kept(tmp_path, build))
    assert dialog.holes.rowCount() == 6
    with monkeypatch.context() as slowly:
        slowly.setattr(compare_dialog, "side_of", lambda *_: go_on.wait(SOON / 1000))
        pick(dialog.other, f"Other tuners: {LIBRARY[0].name}")
        qtbot.waitUntil(lambda: dialog.foot.working, timeout=SOON)
        QTest.mouseClick(dialog.foot.stop, Qt.MouseButton.LeftButton)
        go_on.set()
    assert dialog.found is None
    assert dialog.holes.rowCount() == 0
    assert dialog.verdict.text() == ""
    QTest.mouseClick(dialog.foot.again, Qt.MouseButton.LeftButton)
    rest(qtbot, dialog)
    assert dialog.found is not None
    assert dialog.found.two.name == LIBRARY[0].name


def test_lengths_are_in_the_makers_units(opened: Open, tmp_path: Path) -> None:
    build = three_and_three()
    dialog = opened(moved(build, 25.4), kept(tmp_path, build), units="inch")
    assert dialog.holes.cells(1)[1].endswith(" in")


def test_another_size_of_type_makes_other_lines(opened: Open, tmp_path: Path) -> None:
    build = three_and_three()
    dialog = opened(moved(build, 3.0), kept(tmp_path, build))
    before = dialog.numbers.height()
    font = dialog.numbers.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    dialog.numbers.setFont(font)
    assert dialog.numbers.height() > before
    dialog.holes.setFont(font)
    dialog.resize(900, 600)
    assert dialog.holes.horizontalScrollBar().maximum() > 0


def test_everything_has_a_name_and_a_tip(opened: Open) -> None:
    dialog = opened(three_and_three())
    for each in dialog.findChildren(QWidget):
        if each.isVisible() and each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.toolTip() == "":
            assert not isinstance(each, QAbstractButton), each
