"""A range of nut widths in one dialog: the range, the chart and the templates, and both files."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, cast

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.output import widths_dialog
from app.output.questions import Questions
from app.output.widths_dialog import WidthsDialog
from app.widgets.ranges import LEAST_NUT
from geometry.document.build import Build
from geometry.search.refitting.widths import Member, across_widths
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from tests.app.output.printed import DAY, SOON, Answers, rest
from tests.app.panels.hands import SCREENLESS, pick, type_in
from tests.builds import change, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

Open = Callable[..., WidthsDialog]


@pytest.fixture
def opened(qtbot: QtBot, shop: Shop, answers: Answers, monkeypatch: pytest.MonkeyPatch) -> Open:
    # Few widths, so that it takes no time.
    monkeypatch.setattr(widths_dialog, "REACH", 1.0)

    def open_it(build: Build | None = None, *, units: Units = "mm", wait: bool = True) -> WidthsDialog:
        dialog = WidthsDialog(
            build or three_and_three(name="Bench no. 7"),
            shop,
            units=units,
            folder=answers.folder,
            per_mm=4.0,
            today=DAY,
        )
        qtbot.addWidget(dialog, before_close_func=lambda widget: widget.close())
        dialog.ask = cast("Questions", answers)
        dialog.show()
        if wait:
            rest(qtbot, dialog)
        return dialog

    return open_it


def widths(dialog: WidthsDialog) -> list[float]:
    assert dialog.ready is not None
    return [member.width for member in dialog.ready.members]


def test_the_range_lies_round_the_nut_of_the_build(opened: Open) -> None:
    dialog = opened()
    usual = three_and_three().nut.width
    assert widths(dialog) == pytest.approx([usual - 1, usual, usual + 1])
    # The chart, and a template for each width.
    assert dialog.pages.list.count() == 4
    assert "Nut widths" in dialog.pages.list.item(0).toolTip()
    assert "at stop" in dialog.avoid.text()
    assert "ring" in dialog.best.text()


def test_another_range_is_another_family(opened: Open, qtbot: QtBot) -> None:
    dialog = opened()
    type_in(dialog.step, "0.5")
    rest(qtbot, dialog)
    assert len(widths(dialog)) == 5
    type_in(dialog.first, "44")
    type_in(dialog.last, "45")
    rest(qtbot, dialog)
    assert widths(dialog) == [44.0, 44.5, 45.0]
    before = dialog.ready
    pick(dialog.follow, "In proportion")
    rest(qtbot, dialog)
    assert dialog.ready is not None
    assert before is not None
    assert dialog.ready.members[0].build != before.members[0].build
    assert "across" in dialog.follow_remark.text()


def test_a_range_that_makes_no_sense_is_told(opened: Open, qtbot: QtBot) -> None:
    dialog = opened()
    type_in(dialog.last, "30")
    assert dialog.ready is None
    assert not dialog.making.busy
    assert "expected the narrower one first" in dialog.pages.preview.accessibleDescription()
    assert not dialog.foot.save.isEnabled()
    assert not dialog.table.isEnabled()
    assert not dialog.told.isVisible()
    dialog._save_pdf()
    dialog._save_table()
    assert not dialog.writing.busy
    type_in(dialog.first, "30")
    type_in(dialog.step, "0")
    assert dialog.step.fault
    rest(qtbot, dialog)
    assert widths(dialog) == [30.0]


def test_both_files_are_saved(opened: Open, qtbot: QtBot, answers: Answers, tmp_path: Path) -> None:
    dialog = opened()
    answers.place = None
    QTest.mouseClick(dialog.table, Qt.MouseButton.LeftButton)
    assert not dialog.writing.busy
    answers.place = tmp_path / "widths"
    for key in (Qt.Key.Key_S, Qt.Key.Key_T):
        QTest.keyClick(dialog, key, Qt.KeyboardModifier.ControlModifier)
        rest(qtbot, dialog)
        assert dialog.foot.message.text().startswith("Saved ")
    assert len(pypdfium2.PdfDocument(tmp_path / "widths.pdf")) == 4
    table = (tmp_path / "widths.csv").read_text().splitlines()
    assert len(table) == 4
    assert table[0].startswith("nut width")
    assert [each.split(": ")[1] for each in answers.asked] == [
        "Bench no. 7 nut widths.csv",
        "Bench no. 7 nut widths.pdf",
        "Bench no. 7 nut widths.csv",
    ]


def test_it_is_given_up_between_two_widths(
    opened: Open, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, go_on = across_widths, threading.Event()
    made: list[Member] = []

    def slow(*args: Any) -> Iterator[Member]:
        for member in whole(*args):
            made.append(member)
            yield member
            go_on.wait(SOON / 1000)

    monkeypatch.setattr(widths_dialog, "across_widths", slow)
    dialog = opened(wait=False)
    qtbot.waitUntil(lambda: dialog.foot.working and dialog.foot.progress.value() == 1, timeout=SOON)
    assert dialog.foot.progress.maximum() == 4
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    go_on.set()
    assert dialog.isVisible()
    assert not dialog.making.busy
    assert dialog.foot.message.text() == "Stopped."
    assert "not made" in dialog.pages.preview.accessibleDescription()
    monkeypatch.setattr(widths_dialog, "across_widths", whole)
    QTest.keyClick(dialog, Qt.Key.Key_F5)
    rest(qtbot, dialog)
    assert len(made) < 3
    assert len(widths(dialog)) == 3
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_what_is_made_stays_when_a_file_is_given_up(
    opened: Open, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    dialog, go_on = opened(), threading.Event()
    monkeypatch.setattr(widths_dialog, "widths_table", lambda _: go_on.wait(SOON / 1000))
    QTest.mouseClick(dialog.table, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: dialog.foot.working, timeout=SOON)
    QTest.mouseClick(dialog.foot.stop, Qt.MouseButton.LeftButton)
    go_on.set()
    assert not dialog.writing.busy
    assert dialog.ready is not None
    assert dialog.table.isEnabled()


def test_a_narrow_nut_and_inches(opened: Open, qtbot: QtBot) -> None:
    build = three_and_three()
    dialog = opened(change(build, nut=change(build.nut, width=LEAST_NUT + 0.5)), units="inch")
    assert dialog.first.value == LEAST_NUT
    assert dialog.first.text().endswith("in")
    assert dialog.avoid.text()
    assert " mm" not in f"{dialog.avoid.text()} {dialog.best.text()}"
    assert dialog.table.toolTip()
    assert dialog.follow.toolTip()
