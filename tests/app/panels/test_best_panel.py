"""Looking for the best placement: beside the window, shown before it counts, one act."""

from __future__ import annotations

from threading import Event
from typing import Any

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from app.document.selection import Item
from app.document.session import Session
from app.panels import best_offer
from app.panels.best_panel import BestPanel
from geometry.checks.facts import facts_of
from geometry.checks.judge import Level, findings, worst
from geometry.document.build import Build, OnLine
from geometry.document.edits import set_drilled
from geometry.layout.layout import lay_out
from geometry.search.placing.best import best
from geometry.search.placing.standing import Span, Wish
from geometry.search.rings.rings import exact, rows_of
from tests.app.panels.hands import SCREENLESS, pick, press, shown, told, type_in
from tests.builds import (
    REAR_TUNER,
    change,
    nodes,
    plain_head,
    rectangle,
    row,
    three_and_three,
    turns_too_low,
)

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

SOON = 20_000
"""Milliseconds that a busy machine may take."""


def crowded(**fields: Any) -> Build:
    """Two tuners so near to the edge that they can only gain by moving inwards."""
    return plain_head(row("treble", 2, rule=OnLine(start=60.0, pitch=40.0, inset=9.0)), **fields)


@pytest.fixture
def session() -> Session:
    return Session(crowded())


@pytest.fixture
def panel(session: Session, qtbot: QtBot) -> BestPanel:
    return shown(qtbot, BestPanel(session), height=900)


def find(panel: BestPanel, qtbot: QtBot) -> None:
    press(panel.find_button)
    qtbot.waitUntil(lambda: not panel.work.busy, timeout=SOON)


def smallest(build: Build) -> float:
    return float(exact(rows_of(facts_of(build, lay_out(build)))).min())


def test_nothing_is_looked_for_unasked(panel: BestPanel) -> None:
    assert not panel.work.busy
    assert not panel.result.isVisible()
    assert not panel.searching.stop.isVisible()


def test_a_proposal_is_shown_and_taken_as_one_act(session: Session, panel: BestPanel, qtbot: QtBot) -> None:
    before = session.build
    find(panel, qtbot)
    ghost = session.scene.ghost
    assert ghost is not None
    assert session.build is before
    assert smallest(ghost.build) > smallest(before)
    assert panel.result.take.hasFocus()
    assert panel.result.table.cell(0, 1) != panel.result.table.cell(0, 2)
    assert panel.result.table.cell(0, 2).endswith(" mm")
    assert "hole" in panel.result.limits.text()
    QTest.keyClick(panel.result.take, Qt.Key.Key_Space)
    assert session.build == ghost.build
    assert session.history.undo_labels == ("Best placement",)
    assert session.scene.ghost is None
    assert not panel.result.isVisible()
    session.undo()
    assert session.build == before


@pytest.mark.parametrize("how", ["dismiss", "esc", "edit", "undo", "hide"])
def test_a_proposal_goes_without_a_trace(session: Session, panel: BestPanel, qtbot: QtBot, how: str) -> None:
    session.act("Name", lambda build: change(build, name="other"))
    before, labels = session.build, session.history.undo_labels
    find(panel, qtbot)
    assert session.scene.ghost is not None
    if how == "dismiss":
        press(panel.result.leave)
    elif how == "esc":
        QTest.keyClick(panel.result.take, Qt.Key.Key_Escape)
    elif how == "edit":
        session.preview(change(before, name="third"))
        session.cancel()
    elif how == "undo":
        session.undo()
        session.redo()
    else:
        panel.hide()
        panel.show()
    assert session.scene.ghost is None
    assert session.build == before
    assert session.history.undo_labels == labels
    assert not panel.result.isVisible()


def test_esc_on_the_drawing_takes_the_words_away_too(
    session: Session, panel: BestPanel, qtbot: QtBot
) -> None:
    find(panel, qtbot)
    session.dismiss()
    assert not panel.result.isVisible()


@pytest.mark.parametrize("how", ["stop", "esc", "edit", "hide"])
def test_a_search_is_given_up(
    session: Session, panel: BestPanel, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, how: str
) -> None:
    going = Event()

    def endless(*args: Any) -> None:
        while True:
            going.set()
            args[2](0.5, 1.0)

    monkeypatch.setattr(best_offer, "best", endless)
    press(panel.find_button)
    qtbot.waitUntil(lambda: going.is_set() and panel.searching.bar.value() == 50, timeout=SOON)
    assert panel.searching.stop.hasFocus()
    assert not panel.find_button.isVisible()
    if how == "stop":
        press(panel.searching.stop)
    elif how == "esc":
        QTest.keyClick(panel.searching.stop, Qt.Key.Key_Escape)
    elif how == "edit":
        session.act("Name", lambda build: change(build, name="other"))
    else:
        panel.hide()
        panel.show()
    assert not panel.work.busy
    assert panel.find_button.isVisible()
    assert not panel.searching.stop.isVisible()
    assert not panel.result.isVisible()
    assert session.scene.ghost is None


def test_esc_with_nothing_under_way_is_left_to_the_window(panel: BestPanel, qtbot: QtBot) -> None:
    outer = QWidget()
    qtbot.addWidget(outer)
    told: list[QEvent] = []
    outer.keyPressEvent = told.append  # type: ignore[method-assign]
    panel.setParent(outer)
    outer.show()
    panel.show()
    QTest.keyClick(panel.find_button, Qt.Key.Key_Escape)
    assert len(told) == 1
    panel.setParent(None)


def test_what_is_asked_for(session: Session, panel: BestPanel) -> None:
    assert panel.wish() == Wish()
    key = session.build.rows[0].posts[1].key
    assert not panel.hold.isEnabled()
    session.select((Item("post", key),))
    assert panel.hold_remark.text() == "Selected: spare B"
    press(panel.hold)
    pick(panel.kind, "Each tuner by itself")
    assert "hand" in panel.kind_remark.text()
    type_in(panel.pitch.least, "30")
    type_in(panel.inset.most, "25")
    type_in(panel.straight, "0.2")
    assert panel.wish() == Wish("free", (key,), Span(30.0, 200.0), Span(0.0, 25.0), 0.2)
    type_in(panel.pitch.most, "20")
    assert panel.pitch.most.fault
    assert panel.wish().pitch == Span(30.0, 200.0)
    type_in(panel.pitch.most, "45")
    assert panel.wish().pitch == Span(30.0, 45.0)
    session.select(())
    assert panel.wish().fixed == ()


def test_the_wish_is_kept(qtbot: QtBot) -> None:
    # The two stand too near to each other, and one of them is free to go.
    session = Session(plain_head(row("treble", 2, rule=OnLine(start=60.0, pitch=20.0, inset=20.0))))
    panel = shown(qtbot, BestPanel(session), height=900)
    key = session.build.rows[0].posts[0].key
    at = lay_out(session.build).post(key).at
    session.select((Item("post", key),))
    press(panel.hold)
    pick(panel.kind, "Each tuner by itself")
    find(panel, qtbot)
    ghost = session.scene.ghost
    assert ghost is not None
    assert ghost.layout.post(key).at.distance(at) < 1e-6
    assert [new.key for _, new in ghost.moved(session.scene.layout)] == [session.build.rows[0].posts[1].key]


def test_where_nothing_is_better_the_tuners_stay(qtbot: QtBot) -> None:
    session = Session(best(crowded()).build)
    panel = shown(qtbot, BestPanel(session), height=900)
    find(panel, qtbot)
    assert session.scene.ghost is None
    assert "nothing better" in panel.result.says.text()
    assert not panel.result.take.isVisible()
    assert panel.result.leave.hasFocus()
    panel.set_units("inch")
    assert " in" in panel.result.says.text()
    QTest.keyClick(panel.result.leave, Qt.Key.Key_Escape)
    assert not panel.result.isVisible()


def test_drilled_holes_and_crossing_outlines_keep_the_tuners(qtbot: QtBot) -> None:
    drilled = crowded()
    for post in drilled.rows[0].posts:
        drilled = set_drilled(drilled, post.key, drilled=True)
    crossing = nodes((40, 0), (40, 200), (-40, 200), (0, 190), (0, 210), (-40, 150), (-40, 0))
    for build, words in ((drilled, "drilled already"), (crowded(outline=crossing), "crosses itself")):
        panel = shown(qtbot, BestPanel(Session(build)), height=900)
        find(panel, qtbot)
        assert words in panel.result.says.text()
        assert not panel.result.take.isVisible()


def test_where_nothing_else_is_feasible_the_tuners_stay_and_it_says_why(qtbot: QtBot) -> None:
    # With its middle 2 mm from the edge at most, no bore keeps a wall; where they are, they all do.
    session = Session(three_and_three())
    panel = shown(qtbot, BestPanel(session), height=900)
    type_in(panel.inset.most, "2")
    find(panel, qtbot)
    assert session.scene.ghost is None
    assert "nothing better was found" in panel.result.says.text()
    assert "Another one would break what this one keeps, or break it further: " in panel.result.says.text()
    assert not panel.result.take.isVisible()
    assert not panel.result.verdict.isVisible()


def test_the_least_bad_is_shown_with_what_it_breaks(qtbot: QtBot) -> None:
    # The seat is 18 mm across and the head 14 wide.
    rule = OnLine(start=60.0, pitch=40.0, inset=4.0)
    one = row("treble", 1, rule=rule, hardware="rear")
    session = Session(plain_head(one, outline=rectangle(14.0, 200.0), hardware=(REAR_TUNER,)))
    panel = shown(qtbot, BestPanel(session), height=900)
    find(panel, qtbot)
    ghost = session.scene.ghost
    assert ghost is not None
    assert worst(findings(ghost.build)) is Level.STOP
    assert panel.result.verdict.isVisible()
    assert "No placement was found" in panel.result.verdict.words.text()
    assert panel.result.table.cell(2, 2) not in ("nothing", "0")


def test_what_cures_what_no_placement_does_is_said(qtbot: QtBot) -> None:
    session = Session(turns_too_low())
    panel = shown(qtbot, BestPanel(session), height=900)
    find(panel, qtbot)
    assert session.scene.ghost is None
    assert panel.result.cures.isVisible()
    assert "What cures the lowest turn of string 1: a head 0.8" in told(panel.result.cures)
    assert told(panel.result.cures).endswith("thinner, or one turn less.")
    session.act(
        "Thinner", lambda build: change(build, hardware=(change(build.hardware[0], hole_height=20.0),))
    )
    find(panel, qtbot)
    assert not panel.result.cures.isVisible()


def test_a_low_window_scrolls_to_what_was_found(session: Session, qtbot: QtBot) -> None:
    panel = shown(qtbot, BestPanel(session), height=360)
    find(panel, qtbot)
    room = panel.viewport().rect()
    take = panel.result.take
    qtbot.waitUntil(lambda: room.contains(take.mapTo(panel.viewport(), take.rect().center())), timeout=SOON)


def test_a_head_without_tuners_has_nothing_to_place(qtbot: QtBot) -> None:
    panel = shown(qtbot, BestPanel(Session(plain_head())))
    assert not panel.find_button.isEnabled()


def test_lengths_follow_the_units(panel: BestPanel, qtbot: QtBot) -> None:
    find(panel, qtbot)
    panel.set_units("inch")
    assert panel.result.table.cell(0, 1).endswith(" in")
    assert panel.straight.text().endswith("in")


def test_everything_has_a_name_and_a_tip(panel: BestPanel, qtbot: QtBot) -> None:
    find(panel, qtbot)
    for each in panel.findChildren(QWidget):
        if each.isVisible() and each.focusPolicy() & Qt.FocusPolicy.TabFocus:
            assert each.accessibleName(), each
            assert each.toolTip(), each
