"""What cures a finding, in the list: worked out beside the window, taken as one act, reached by keys."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.session import Session
from app.panels import finding_cures
from app.panels.finding_delegate import ABOVE, SIDE, SIGN_GAP
from app.panels.finding_rows import CuresRow, FindingRow, bar_of
from app.panels.findings_panel import FindingsPanel
from geometry.checks.judge import Level
from geometry.curing.cures import say_outcome
from geometry.document.build import Build
from geometry.document.edits import rename, set_drilled
from tests.app.panels.hands import SCREENLESS, press, shown
from tests.builds import HALF, change, plain_head, post_at

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

NEAR = "Move post spare A by 1 mm inward"


def near_the_edge(**fields: object) -> Build:
    """A bore of 10 mm whose wall of 4 mm should be 5."""
    return plain_head(post_at(HALF - 9.0, 100.0), **fields)


def panel_of(qtbot: QtBot, build: Build, height: int = 700) -> FindingsPanel:
    return shown(qtbot, FindingsPanel(Session(build)), height=height)


def row_of(panel: FindingsPanel, check: str) -> int:
    return next(
        n
        for n, each in enumerate(panel.model.rows)
        if isinstance(each, FindingRow) and each.finding.check == check
    )


def click(panel: FindingsPanel, check: str) -> None:
    area = panel.list.visualRect(panel.model.index(row_of(panel, check)))
    QTest.mouseClick(
        panel.list.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(area.center().x(), area.top() + 12)
    )


def opened(qtbot: QtBot, panel: FindingsPanel, check: str) -> FindingsPanel:
    """The cures of a finding, worked out."""
    click(panel, check)
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    QApplication.processEvents()
    return panel


def acts(panel: FindingsPanel) -> list[str]:
    return [each.text() for each in panel.cures.box.buttons]


def test_a_cure_is_taken_by_a_click_and_undone_at_once(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    session, before = panel.session, panel.session.build
    assert isinstance(panel.model.rows[row_of(panel, "wall") + 1], CuresRow)
    made = next(each for each in panel.cures.box.buttons if each.text() == NEAR)
    assert made.accessibleName().startswith(f"{NEAR}: 1 problem left, smallest ring 1.0 mm")
    assert panel.list.viewport().rect().contains(made.mapTo(panel.list.viewport(), made.rect().center()))
    QTest.mouseClick(made, Qt.MouseButton.LeftButton)
    assert session.history.undo_label == NEAR
    assert all(each.level is Level.FINE for each in session.scene.findings if each.check == "wall")
    assert panel.model.row_place(CuresRow) is None
    assert panel.cures.box.isHidden()
    session.undo()
    assert session.build == before
    assert session.history.undo_label is None


def test_the_same_by_keys(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, near_the_edge())
    panel.list.setFocus()
    panel.list.setCurrentIndex(panel.model.index(row_of(panel, "wall")))
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    first, second = panel.cures.box.buttons[:2]
    QTest.keyClick(panel.list, Qt.Key.Key_Tab)
    assert first.hasFocus()
    QTest.keyClick(first, Qt.Key.Key_Down)
    assert second.hasFocus()
    QTest.keyClick(second, Qt.Key.Key_Escape)
    assert panel.list.hasFocus()
    second.setFocus()
    QTest.keyClick(second, Qt.Key.Key_Return)
    assert panel.session.history.undo_label == second.text()
    assert panel.list.hasFocus()


def test_the_first_one_is_done_by_a_key_of_the_list(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    first = acts(panel)[0]
    QTest.keyClick(panel.list, Qt.Key.Key_U)
    assert panel.session.history.undo_label == first


def test_what_nothing_cures_says_so(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, set_drilled(near_the_edge(), "one1", drilled=True)), "wall")
    assert acts(panel) == []
    assert panel.cures.box.words.text().startswith("No change of places clears this")
    assert panel.cures.box.words.isVisible()


def test_another_build_gives_up_what_is_worked_out(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, near_the_edge())
    click(panel, "wall")
    assert panel.cures.work.busy
    panel.session.act("name", lambda build: rename(build, "other"))
    assert acts(panel) == []
    qtbot.waitUntil(lambda: bool(acts(panel)), timeout=20_000)
    # They are those of the build in view.
    found = panel.cures.found
    assert found is not None
    assert {each.build.name for each in found.cures} == {"other"}
    panel.session.preview(rename(panel.session.build, "dragged"))
    assert acts(panel) == []
    assert panel.cures.box.words.text() == "Working out what helps…"
    panel.session.cancel()
    panel.hide()
    assert not panel.cures.work.busy
    assert panel.model.row_place(CuresRow) is None
    panel.show()
    assert panel.model.row_place(CuresRow) is not None
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    panel.hide()
    panel.session.act("Away from the edge", lambda _: plain_head(post_at(0.0, 100.0)))
    panel.show()
    assert panel.model.row_place(CuresRow) is None


def test_a_placement_is_looked_for_when_asked_and_taken_as_one_act(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    before = panel.session.build
    assert panel.cures.box.search is not None
    press(panel.cures.box.search)
    assert panel.cures.box.searching.isVisible()
    # It leaves something else at stop, and so is offered and not done.
    offered = "Take the placement with the largest rings"
    qtbot.waitUntil(lambda: acts(panel)[:1] == [offered], timeout=60_000)
    assert panel.session.build == before
    press(panel.cures.box.buttons[0])
    assert panel.session.build != before
    assert all(each.level is Level.FINE for each in panel.session.scene.findings if each.check == "wall")
    panel.session.undo()
    assert panel.session.build == before


def test_a_search_that_finds_nothing_changes_nothing(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(finding_cures, "placement_for", lambda *_: None)
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    before, told = panel.session.build, acts(panel)
    assert panel.cures.box.search is not None
    press(panel.cures.box.search)
    press(panel.cures.box.searching.stop)
    assert not panel.cures.work.busy
    assert panel.cures.box.search.isVisible()
    assert panel.cures.box.words.text() == "The search was stopped. Nothing was changed."
    press(panel.cures.box.search)
    qtbot.waitUntil(lambda: not panel.cures.work.busy, timeout=20_000)
    assert panel.cures.box.words.text().startswith("No placement was found that clears this")
    assert [each.text() for each in panel.cures.box.buttons if each.isVisible()] == told[:-1]
    assert panel.session.build == before


def test_a_placement_that_leaves_a_stop_is_offered_with_what_it_leaves(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    before, told = panel.session.build, acts(panel)
    assert panel.cures.found is not None
    left = replace(panel.cures.found.cures[0], act="take another placement", stops=1)
    monkeypatch.setattr(finding_cures, "placement_for", lambda *_: left)
    assert panel.cures.box.search is not None
    press(panel.cures.box.search)
    qtbot.waitUntil(
        lambda: not panel.cures.work.busy and panel.cures.box.searching.isHidden(), timeout=20_000
    )
    assert panel.session.build == before, "nothing is done unasked"
    assert acts(panel) == ["Take another placement", *told[:-1]]
    assert "1 problem left" in say_outcome(left)
    press(panel.cures.box.buttons[0])
    assert panel.session.build == left.build


@pytest.mark.parametrize("from_list", [False, True])
def test_esc_gives_a_search_up(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, *, from_list: bool) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    asked = threading.Event()

    def endless(_build: Build, _finding: object, _shop: object, progress: Callable[[int, int], None]) -> None:
        while True:
            asked.set()
            progress(0, 1)
            time.sleep(0.01)

    monkeypatch.setattr(finding_cures, "_placed", endless)
    search = panel.cures.box.search
    assert search is not None
    QTest.mouseClick(search, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(asked.is_set)
    QTest.keyClick(panel.list if from_list else panel.cures.box, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: not panel.cures.work.busy)
    assert panel.cures.box.searching.isHidden()
    assert panel.session.history.undo_label is None


def test_a_drag_that_is_given_up_brings_the_cures_back(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    known = acts(panel)
    panel.session.preview(rename(panel.session.build, "dragged"))
    assert acts(panel) == []
    panel.session.cancel()
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    assert acts(panel) == known


def test_the_model_goes_with_the_panel(qtbot: QtBot) -> None:
    # Qt deletes what has a parent after it; what Python alone holds may go before, while cures still close.
    panel = panel_of(qtbot, near_the_edge())
    assert panel.model.parent() is panel


def test_other_units_say_it_in_theirs(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    panel.set_units("inch")
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    assert "Move post spare A by 0.040 in inward" in acts(panel)


def test_buttons_and_sentences_have_their_room_in_any_width(qtbot: QtBot) -> None:
    """With a scroll bar, rows are as high as their words need beside it."""
    places = [post_at(HALF - 9.0, 30.0 + 12.0 * n, key=f"p{n}") for n in range(5)]
    panel = opened(qtbot, shown(qtbot, FindingsPanel(Session(plain_head(*places))), height=330), "wall")
    for width in (300, 260, 420):
        panel.resize(width, 330)
        QApplication.processEvents()
        assert panel.list.verticalScrollBar().isVisible()
        fonts = panel.list.fontMetrics()
        inner = panel.list.viewport().width() - 2 * SIDE - fonts.height() - SIGN_GAP
        for number, each in enumerate(panel.model.rows):
            if isinstance(each, FindingRow):
                room = panel.list.visualRect(panel.model.index(number))
                words = panel.list._painter._text_height(panel.model.words(each.finding), fonts, inner)
                # The line of the bar is there only where there is a bar.
                foot = 3 + fonts.height() if bar_of(each.finding) is not None else 0
                assert room.height() == fonts.height() + 3 + words + foot + 2 * ABOVE
        for made in panel.cures.box.buttons:
            assert made.height() >= made.heightForWidth(made.width())
        place = panel.model.row_place(CuresRow)
        assert place is not None
        assert panel.cures.box.geometry() == panel.list.visualRect(panel.model.index(place))


def test_the_way_back_is_offered_while_there_is_one(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, change(near_the_edge(), name="way"))
    assert not panel.shows_way_back
    panel.show_way_back(True)
    with qtbot.waitSignal(panel.back_wanted):
        press(panel.back)


def test_a_cured_finding_leaves_no_other_one_chosen_in_its_place(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    pointed: list[object] = []
    panel.hovered.connect(pointed.append)
    panel.cures.take_first()
    panel.list.setFocus()
    assert panel.list.selectedIndexes() == []
    assert pointed[-1] is None
    panel.session.undo()
    assert panel.list.selectedIndexes() == [], "nor is it chosen again when it is back"


def test_who_comes_by_a_key_sees_the_cursor(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, near_the_edge())
    panel.list.clearFocus()
    panel.list.setFocus(Qt.FocusReason.ShortcutFocusReason)
    assert [each.row() for each in panel.list.selectedIndexes()] == [0]


def test_the_keyboard_stays_with_the_findings_when_the_way_back_goes(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, near_the_edge())
    panel.show_way_back(True)
    panel.back.setFocus()
    panel.show_way_back(False)
    assert panel.list.hasFocus()


def test_of_another_build_nothing_is_chosen_and_what_is_fine_is_folded(qtbot: QtBot) -> None:
    panel = opened(qtbot, panel_of(qtbot, near_the_edge()), "wall")
    panel.model.open_fine(shown=True)
    panel.session.start(change(near_the_edge(), name="other"))
    assert panel.list.selectedIndexes() == []
    assert not panel.model.fine_shown


def test_what_was_cured_is_told_and_the_list_begins_at_its_top(qtbot: QtBot) -> None:
    places = [post_at(HALF - 9.0, 40.0 + 30.0 * n, key=f"p{n}") for n in range(4)]
    panel = panel_of(qtbot, plain_head(*places), height=330)
    walls = [
        each.finding
        for each in panel.model.rows
        if isinstance(each, FindingRow) and each.finding.check == "wall"
    ]
    last = walls[-1]
    before = panel.session.scene.layout
    panel.list.wanted.emit(last)
    qtbot.waitUntil(lambda: panel.cures.found is not None, timeout=20_000)
    panel.list.verticalScrollBar().setValue(panel.list.verticalScrollBar().maximum())
    assert panel.list.verticalScrollBar().value() > 0
    with qtbot.waitSignal(panel.cures.cured) as told:
        panel.cures.take_first()
    assert told.args == [before, last]
    assert panel.list.verticalScrollBar().value() == 0
