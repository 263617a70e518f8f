"""A hole beside its mark: shown at once, told in words, taken over as one act."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.selection import Item
from app.document.session import Session
from app.panels import missed_answer
from app.panels.missed_panel import MissedPanel
from app.panels.readings_form import MOST, ReadingFields
from geometry.document.build import Build, OnLine
from geometry.document.edits import move_post, set_drilled
from geometry.search.rings.rings import drilled_posts
from geometry.shape.point import Vector
from tests.app.panels.hands import SCREENLESS, pick, press, shown, told, type_in
from tests.builds import change, nodes, plain_head, row, three_and_three, turns_too_low

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

SOON = 20_000
"""Milliseconds that a busy machine may take."""


def head(count: int = 3, **fields: Any) -> Build:
    """Posts without strings on the treble side of a plain head, 20 mm from its edge and 40 mm from each other."""
    return plain_head(row("treble", count), **fields)


@pytest.fixture
def session() -> Session:
    return Session(three_and_three())


@pytest.fixture
def plain(qtbot: QtBot) -> MissedPanel:
    """On a plain head, where every place has a closed form."""
    return shown(qtbot, MissedPanel(Session(head())), height=1400)


@pytest.fixture
def panel(session: Session, qtbot: QtBot) -> MissedPanel:
    return shown(qtbot, MissedPanel(session), height=1400)


def rested(panel: MissedPanel) -> Callable[[], bool]:
    return lambda: not panel.work.busy


def miss(panel: MissedPanel, qtbot: QtBot, x: str = "0.6", y: str = "-0.4") -> None:
    """Type how far the hole is from its mark, and wait for the answer."""
    type_in(panel.right, x)
    type_in(panel.tipward, y)
    qtbot.waitUntil(rested(panel), timeout=SOON)


def key(session: Session, number: int) -> str:
    return session.build.rows[0].posts[number].key


def test_holes_are_offered_as_they_are_counted(panel: MissedPanel) -> None:
    assert [panel.hole.itemText(place) for place in range(panel.hole.count())] == [
        "1",
        "2",
        "3",
        "4",
        "5",
        "6",
    ]


def test_at_first_it_asks(panel: MissedPanel) -> None:
    assert "from its mark" in panel.hint.text()
    assert not panel.take.isEnabled()
    assert not panel.leave.isEnabled()
    assert not panel.result.isVisible()


def test_the_hole_is_shown_at_once_and_told_soon(session: Session, panel: MissedPanel, qtbot: QtBot) -> None:
    before, mark = session.build, session.scene.layout.post(key(session, 0)).at
    type_in(panel.right, "0.6")
    ghost = session.scene.ghost
    assert ghost is not None
    assert ghost.layout.post(key(session, 0)).at.distance(mark + Vector(0.6, 0.0)) < 1e-6
    assert not panel.hint.isVisible()
    type_in(panel.tipward, "-0.4")
    qtbot.waitUntil(rested(panel), timeout=SOON)
    ghost = session.scene.ghost
    assert ghost is not None
    assert ghost.joint is not None
    assert [ring.drilled for ring in ghost.joint.rings] == [True, *[False] * 5]
    assert panel.result.verdict.words.text().startswith("With hole 1 as drilled, the head still works")
    assert "0.6 mm right, 0.4 mm towards the nut" in told(panel.result.says)
    assert "stay at their marks" in told(panel.result.others)
    assert "plug" in told(panel.result.ways)
    assert session.build is before
    press(panel.take)
    assert session.history.undo_labels == ("Hole 1 where it is",)
    there = session.scene.layout.post(key(session, 0)).at
    assert there.distance(mark + Vector(0.6, -0.4)) < 1e-6
    assert drilled_posts(session.build) == (key(session, 0),)
    assert session.scene.ghost is None
    assert panel.right.text() == ""
    session.undo()
    assert session.build == before


def test_a_hole_out_of_the_wood_does_not_work(qtbot: QtBot) -> None:
    # The bore of 10 mm stands 12 mm from the edge: moved by 6.5 mm it leaves half a millimetre of wood.
    near = row("treble", 2, rule=OnLine(start=60.0, pitch=40.0, inset=12.0))
    panel = shown(qtbot, MissedPanel(Session(plain_head(near))), height=1400)
    miss(panel, qtbot, "6.5", "0")
    assert panel.result.verdict.words.text() == "With hole spare A as drilled, the head does not work."
    assert "hole spare A as drilled. The findings are of the plan." in panel.result.about.text()
    assert panel.result.ways_title.text() == "What else would help with hole spare A as drilled"
    assert "STOP" in told(panel.result.says)
    assert panel.take.isEnabled()


def test_the_rest_is_placed_best(qtbot: QtBot) -> None:
    # The second one is too near to the first, which is in the wood, and has room to go away from it.
    close = row("treble", 2, rule=OnLine(start=60.0, pitch=20.0, inset=20.0))
    session = Session(plain_head(close))
    panel = shown(qtbot, MissedPanel(session), height=1400)
    old = [post.at for post in session.scene.layout.posts]
    miss(panel, qtbot, "0", "1")
    assert "stay at their marks" in told(panel.result.others)
    pick(panel.rest, "Best places, in its row")
    assert panel.searching.stop.isVisible()
    qtbot.waitUntil(rested(panel), timeout=SOON)
    assert not panel.searching.stop.isVisible()
    assert "Move the mark of hole spare B" in told(panel.result.others)
    assert "With these marks moved, the head works." in told(panel.result.others)
    press(panel.take)
    new = [post.at for post in session.scene.layout.posts]
    assert new[0].distance(old[0] + Vector(0.0, 1.0)) < 1e-6
    assert new[1].y > old[1].y + 1.0
    assert len(session.history.undo_labels) == 1


def test_a_search_for_the_rest_is_given_up(
    session: Session, panel: MissedPanel, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def endless(*args: Any) -> None:
        while True:
            args[3](0.5, 1.0)

    monkeypatch.setattr(missed_answer, "best_of_rest", endless)
    for by_key in (False, True):
        miss(panel, qtbot)
        pick(panel.rest, "Best places, on the whole head")
        qtbot.waitUntil(lambda: panel.searching.bar.value() == 50, timeout=SOON)
        if by_key:
            QTest.keyClick(panel.rest, Qt.Key.Key_Escape)
        else:
            press(panel.searching.stop)
            assert panel.window().focusWidget() is panel.rest
        assert not panel.searching.stop.isVisible()
        assert panel.rest.currentText() == "Stay at their marks"
        qtbot.waitUntil(rested(panel), timeout=SOON)
        assert "stay at their marks" in told(panel.result.others)
        assert panel.right.value == 0.6


@pytest.mark.parametrize("how", ["dismiss", "esc", "moved", "drawing", "another hole"])
def test_it_goes_without_a_trace(session: Session, panel: MissedPanel, qtbot: QtBot, how: str) -> None:
    before = session.build
    miss(panel, qtbot)
    if how == "dismiss":
        press(panel.leave)
        assert panel.hole.hasFocus(), "the button goes grey, and the keyboard stays in the panel"
    elif how == "esc":
        QTest.keyClick(panel.tipward, Qt.Key.Key_Escape)
    elif how == "moved":
        session.act("Move", lambda build: move_post(build, key(session, 0), 1.0, 0.0))
        before = session.build
    elif how == "drawing":
        session.dismiss()
    else:
        pick(panel.hole, "2")
    assert session.scene.ghost is None
    assert session.build is before
    assert panel.right.value is None
    assert panel.tipward.value is None
    assert not panel.result.isVisible()
    assert not panel.take.isEnabled()


def test_what_was_measured_stays_while_something_else_is_looked_at(
    session: Session, panel: MissedPanel, qtbot: QtBot
) -> None:
    miss(panel, qtbot)
    before = told(panel.result.says)
    panel.hide()
    assert session.scene.ghost is None
    session.act("Name", lambda build: change(build, name="other"))
    session.select((Item("post", key(session, 1)),))
    assert "of hole 1 is not accepted yet" in panel.kept_nowhere
    panel.show()
    assert panel.hole.currentText() == "1"
    qtbot.waitUntil(rested(panel), timeout=SOON)
    assert (panel.right.value, panel.tipward.value) == (0.6, -0.4)
    assert told(panel.result.says) == before
    assert session.scene.ghost is not None
    press(panel.take)
    assert panel.right.value is None
    assert panel.kept_nowhere == ""


@pytest.mark.parametrize("given_up", [False, True])
def test_an_edit_beside_it_is_answered_anew_and_a_drag_waits(
    session: Session, panel: MissedPanel, qtbot: QtBot, *, given_up: bool
) -> None:
    miss(panel, qtbot)
    session.preview(change(session.build, name="other"))
    assert session.scene.ghost is None
    assert not panel.work.busy
    session.cancel() if given_up else session.commit("Drag")
    qtbot.waitUntil(rested(panel), timeout=SOON)
    assert panel.right.value == 0.6
    assert session.scene.ghost is not None


def test_esc_with_nothing_shown_is_left_to_the_window(panel: MissedPanel) -> None:
    QTest.keyClick(panel.take, Qt.Key.Key_Escape)
    QTest.keyClick(panel.hole, Qt.Key.Key_Escape)
    assert panel.isVisible()


def test_the_selected_post_is_meant(session: Session, panel: MissedPanel, qtbot: QtBot) -> None:
    session.select((Item("post", key(session, 1)),))
    assert panel.hole.currentText() == "2"
    miss(panel, qtbot)
    session.select((Item("post", key(session, 1)), Item("post", key(session, 2))))
    assert session.scene.ghost is not None
    session.select((Item("post", key(session, 2)),))
    assert panel.hole.currentText() == "3"
    assert session.scene.ghost is None


def test_too_far_is_no_miss(session: Session, panel: MissedPanel) -> None:
    type_in(panel.right, "9")
    assert session.scene.ghost is not None
    type_in(panel.tipward, "9")
    assert "the most" in panel.hint.text()
    assert session.scene.ghost is None


# Readings


def read(fields: ReadingFields, kind: str, length: float, other: str = "") -> None:
    pick(fields.kind, kind)
    if other:
        pick(fields.other, other)
    type_in(fields.length, f"{length:.4f}")


def test_calipers_tell_the_place(plain: MissedPanel, qtbot: QtBot) -> None:
    panel, session = plain, plain.session
    pick(panel.hole, "spare B")
    pick(panel.how, "Caliper readings")
    assert not panel.right.isVisible()
    assert "two readings" in panel.hint.text()
    layout = session.scene.layout
    mark, other = layout.post(key(session, 1)), layout.post(key(session, 2))
    at = mark.at + Vector(0.5, 0.3)
    first, second = panel.readings.rows
    read(first, "Rim to the nut line", at.y - mark.bore / 2)
    assert "two readings" in panel.hint.text()
    # The right edge of the plain head is at x = 40.
    read(second, "Rim to the side", 40.0 - at.x - mark.bore / 2)
    qtbot.waitUntil(rested(panel), timeout=SOON)
    ghost = session.scene.ghost
    assert ghost is not None
    assert ghost.layout.post(key(session, 1)).at.distance(at) < 1e-3
    assert "a third would" in told(panel.result.says)
    press(panel.readings.more)
    third = panel.readings.rows[2]
    assert panel.window().focusWidget() is third.kind
    read(third, "Far rims, to hole", at.distance(other.at) + mark.bore, "spare C")
    qtbot.waitUntil(rested(panel), timeout=SOON)
    assert "fits them best" in told(panel.result.says)
    assert "far rims, to hole spare C" in told(panel.result.says)
    press(panel.take)
    # The hole that was read to must be there already.
    assert drilled_posts(session.build) == (key(session, 1), key(session, 2))
    assert len(panel.readings.rows) == 2


def test_readings_along_one_line_are_too_few(plain: MissedPanel) -> None:
    panel, session = plain, plain.session
    pick(panel.how, "Caliper readings")
    layout = session.scene.layout
    first, second = panel.readings.rows
    at = layout.post(key(session, 0)).at
    read(first, "Rim to the nut line", at.y - 5.0)
    read(second, "Over the wood to hole", 30.0, "spare B")
    assert panel.hint.text().startswith("The readings do not tell")
    assert session.scene.ghost is None


def test_readings_come_and_go(plain: MissedPanel) -> None:
    panel = plain
    pick(panel.how, "Caliper readings")
    rows = panel.readings.rows
    assert not rows[0].drop.isEnabled()
    while panel.readings.more.isEnabled():
        press(panel.readings.more)
    assert len(rows) == MOST
    for _ in range(MOST - 2):
        press(rows[0].drop)
    assert len(rows) == 2
    assert not rows[0].drop.isEnabled()
    assert rows[0].other.isVisible()
    assert rows[0].other.count() == 2


def test_a_diameter_may_be_told(panel: MissedPanel, qtbot: QtBot) -> None:
    miss(panel, qtbot, "1", "0")
    before = told(panel.result.ways)
    type_in(panel.diameter, "12")
    qtbot.waitUntil(rested(panel), timeout=SOON)
    # The plug takes in a wider hole: one millimetre more to both sides.
    assert told(panel.result.ways) != before
    panel.diameter.setFocus()
    panel.diameter.selectAll()
    QTest.keyClick(panel.diameter, Qt.Key.Key_Backspace)
    QTest.keyClick(panel.diameter, Qt.Key.Key_Return)
    qtbot.waitUntil(rested(panel), timeout=SOON)
    assert told(panel.result.ways) == before


# Odd heads


def test_the_last_hole_leaves_nothing_to_place(qtbot: QtBot) -> None:
    build = head(2)
    session = Session(set_drilled(build, build.rows[0].posts[1].key, drilled=True))
    panel = shown(qtbot, MissedPanel(session), height=1400)
    miss(panel, qtbot)
    assert "No hole is left" in told(panel.result.others)


def test_without_holes_or_outline_nothing_can_be_asked(
    session: Session, panel: MissedPanel, qtbot: QtBot
) -> None:
    bare = shown(qtbot, MissedPanel(Session(plain_head())))
    assert bare.hint.text() == "There are no holes yet."
    assert not bare.hole.isEnabled()
    crossing = nodes((40, 0), (40, 200), (-40, 200), (0, 190), (0, 210), (-40, 150), (-40, 0))
    session.act("Cross", lambda _: head(outline=crossing))
    assert session.scene.layout.posts
    assert not panel.right.isEnabled()
    crossed = shown(qtbot, MissedPanel(session))
    assert "crosses itself" in crossed.hint.text()


def test_lengths_follow_the_units(panel: MissedPanel, qtbot: QtBot) -> None:
    miss(panel, qtbot, "1", "0")
    panel.set_units("inch")
    assert " in right" in told(panel.result.says)
    pick(panel.how, "Caliper readings")
    press(panel.readings.more)
    type_in(panel.readings.rows[2].length, "1")
    assert panel.readings.rows[2].length.value == pytest.approx(25.4)


def test_everything_has_a_name_and_a_tip(panel: MissedPanel, qtbot: QtBot) -> None:
    from PySide6.QtWidgets import QWidget

    pick(panel.how, "Caliper readings")
    for each in panel.findChildren(QWidget):
        if each.isVisible() and each.focusPolicy() & Qt.FocusPolicy.TabFocus and each.isEnabled():
            assert each.accessibleName() or not hasattr(each, "toolTip"), each
            assert each.toolTip(), each


def test_what_cures_a_height_is_said_with_the_other_ways_out(qtbot: QtBot) -> None:
    panel = shown(qtbot, MissedPanel(Session(turns_too_low())), height=1400)
    miss(panel, qtbot, "0.2", "0.1")
    assert "What cures the lowest turn of string 1: a head 0.8" in told(panel.result.ways)


def test_what_does_not_read_is_not_answered(plain: MissedPanel, qtbot: QtBot) -> None:
    miss(plain, qtbot)
    assert plain.take.isEnabled()
    type_in(plain.tipward, "0,4x")
    qtbot.waitUntil(rested(plain), timeout=SOON)
    assert not plain.take.isEnabled()
    assert "0,4x" in plain.hint.text()
    QTest.keyClick(plain.tipward, Qt.Key.Key_Escape)
    qtbot.waitUntil(rested(plain), timeout=SOON)
    assert plain.take.isEnabled()
    assert plain.hint.text() == ""
