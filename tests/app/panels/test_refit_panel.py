"""The slider that refits a head: every step is shown, one act is kept, Esc restores."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QSlider, QStyle, QStyleOptionSlider
from pytestqt.qtbot import QtBot

from app.document.scene import Scene
from app.document.session import Session
from app.panels.refit_panel import RefitPanel, WidthSlider
from geometry.document.edits import free_outline, mirrored, rename
from geometry.layout.edge import edge_of
from tests.app.panels.hands import SCREENLESS, pick, shown, told, type_in
from tests.builds import change, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

LEFT = Qt.MouseButton.LeftButton
NO_BUTTON = Qt.MouseButton.NoButton
NO_KEYS = Qt.KeyboardModifier.NoModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
K = Qt.Key


@pytest.fixture
def session() -> Session:
    return Session(free_outline(three_and_three()))


@pytest.fixture
def panel(qtbot: QtBot, session: Session) -> RefitPanel:
    return shown(qtbot, RefitPanel(session))


@pytest.fixture
def scenes(session: Session) -> list[Scene]:
    """Every scene from now on."""
    found: list[Scene] = []
    session.changed.connect(found.append)
    return found


def handle(slider: WidthSlider) -> QPoint:
    option = QStyleOptionSlider()
    slider.initStyleOption(option)
    part = QStyle.SubControl.SC_SliderHandle
    control = QStyle.ComplexControl.CC_Slider
    return slider.style().subControlRect(control, option, part, slider).center()


def move(slider: WidthSlider, at: QPoint, step: int) -> None:
    """Move the pressed mouse by so many pixels from where it went down."""
    place = QPointF(at + QPoint(step, 0))
    event = QMouseEvent(QEvent.Type.MouseMove, place, slider.mapToGlobal(place), NO_BUTTON, LEFT, NO_KEYS)
    QApplication.sendEvent(slider, event)


def take(slider: WidthSlider) -> QPoint:
    at = handle(slider)
    slider.setFocus()
    QTest.mousePress(slider, LEFT, NO_KEYS, at)
    return at


def test_every_step_of_the_slider_is_shown_and_one_act_is_kept(
    session: Session, panel: RefitPanel, scenes: list[Scene]
) -> None:
    before = session.build
    at = take(panel.slider)
    for step in (10, 20, 30):
        move(panel.slider, at, step)
        assert session.build is before
        assert session.scene.gesture
        assert panel.width_field.value == session.scene.build.nut.width
        assert panel.changes.isVisible()
    widths = [scene.build.nut.width for scene in scenes]
    assert widths == sorted(widths)
    assert len(set(widths)) == 3
    assert all(scene.findings for scene in scenes)
    QTest.mouseRelease(panel.slider, LEFT, NO_KEYS, at + QPoint(30, 0))
    assert not session.scene.gesture
    assert session.build.nut.width == widths[-1] > before.nut.width
    assert len(session.history.undo_labels) == 1
    assert "Refit to a nut of" in session.history.undo_labels[0]
    edge = edge_of(session.build)
    assert edge is not None
    # What is drawn follows the nut: its ends are those of the edge.
    assert edge.right_end.x == pytest.approx(widths[-1] / 2, abs=1e-9)
    session.undo()
    assert session.build is before


def test_escape_restores_and_the_rest_of_the_drag_does_nothing(session: Session, panel: RefitPanel) -> None:
    before, width = session.build, panel.slider.value()
    at = take(panel.slider)
    move(panel.slider, at, 25)
    assert session.scene.build != before
    QTest.keyClick(panel.slider, K.Key_Escape)
    assert session.scene.build is before
    assert not session.scene.gesture
    assert panel.slider.value() == width
    assert not panel.changes.isVisible()
    move(panel.slider, at, 40)
    QTest.mouseRelease(panel.slider, LEFT, NO_KEYS, at + QPoint(40, 0))
    assert session.scene.build is before
    assert session.history.undo_labels == ()


def test_an_undo_in_the_middle_ends_the_drag(session: Session, panel: RefitPanel) -> None:
    session.act("Rename", lambda build: rename(build, "other"))
    at = take(panel.slider)
    move(panel.slider, at, 25)
    session.undo()
    before = session.build
    move(panel.slider, at, 40)
    assert session.scene.build is before
    QTest.mouseRelease(panel.slider, LEFT, NO_KEYS, at + QPoint(40, 0))
    assert session.build is before
    assert panel.slider.value() == round(before.nut.width * 10)


def test_keys_step_and_each_press_is_one_act(session: Session, panel: RefitPanel) -> None:
    before = session.build
    panel.slider.setFocus()
    QTest.keyClick(panel.slider, K.Key_Right)
    assert session.build.nut.width == pytest.approx(before.nut.width + 0.1)
    assert not session.scene.gesture
    QTest.keyPress(panel.slider, K.Key_Right)
    QTest.keyPress(panel.slider, K.Key_Right)
    QTest.keyRelease(panel.slider, K.Key_Right)
    assert session.build.nut.width == pytest.approx(before.nut.width + 0.3)
    assert len(session.history.undo_labels) == 2
    for _ in range(3):
        QTest.keyClick(panel.slider, K.Key_Left)
    # Nothing adds up: back at its width the head is what it was.
    assert session.build == before


def test_leaving_with_a_key_down_keeps_what_is_shown(session: Session, panel: RefitPanel) -> None:
    panel.slider.setFocus()
    QTest.keyPress(panel.slider, K.Key_Right)
    assert session.scene.gesture
    panel.width_field.setFocus()
    assert not session.scene.gesture
    assert len(session.history.undo_labels) == 1


def test_what_moves_the_slider_without_a_hand_is_an_act(session: Session, panel: RefitPanel) -> None:
    panel.slider.triggerAction(QSlider.SliderAction.SliderPageStepAdd)
    assert not session.scene.gesture
    assert len(session.history.undo_labels) == 1


def test_the_wheel_leaves_it_alone(session: Session, panel: RefitPanel) -> None:
    at = QPointF(panel.slider.rect().center())
    event = QWheelEvent(
        at, panel.slider.mapToGlobal(at), QPoint(), QPoint(0, 120), NO_BUTTON, NO_KEYS,
        Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(panel.slider, event)
    assert session.history.undo_labels == ()


def test_a_width_is_typed_in_any_notation(session: Session, panel: RefitPanel) -> None:
    type_in(panel.width_field, "1 11/16 in")
    assert session.build.nut.width == pytest.approx(27 * 25.4 / 16)
    assert len(session.history.undo_labels) == 1
    type_in(panel.width_field, "5")
    assert panel.width_field.fault
    assert len(session.history.undo_labels) == 1
    type_in(panel.width_field, "90")
    # The slider reaches as far as what was typed.
    assert panel.slider.value() == panel.slider.maximum() == 900


def test_the_outline_follows_as_chosen(session: Session, panel: RefitPanel) -> None:
    before = session.build
    half = before.nut.width / 2
    old, tip = edge_of(before), session.scene.layout.top
    assert old is not None

    def reach() -> float:
        """How far the head reaches to the right at its widest."""
        edge = edge_of(session.build)
        assert edge is not None
        return edge.contour.bounds.right

    was = reach()
    pick(panel.follow, "The whole head")
    assert session.build is before
    assert "tip" in panel.follow_remark.text()
    type_in(panel.width_field, f"{2 * half + 4}")
    assert reach() == pytest.approx(was + 2.0, abs=2e-3)
    # Another choice starts again from the head as it was.
    pick(panel.follow, "Only the shoulders")
    assert reach() == pytest.approx(was, abs=0.02)
    pick(panel.follow, "In proportion")
    assert reach() == pytest.approx(was * (half + 2) / half, abs=2e-3)
    assert session.scene.layout.top == pytest.approx(tip, abs=2e-3)
    assert session.build.nut.width == pytest.approx(2 * half + 4)
    assert len(session.history.undo_labels) == 3
    type_in(panel.width_field, f"{2 * half}")
    assert session.build == before


def test_another_act_is_a_new_beginning(session: Session, panel: RefitPanel) -> None:
    type_in(panel.width_field, "47")
    assert panel.changes.isVisible()
    assert "Nut: " in told(panel.changes)
    session.act("Other hand", mirrored)
    assert not panel.changes.isVisible()
    base = session.build
    type_in(panel.width_field, "40")
    type_in(panel.width_field, "47")
    assert session.build == base


def test_a_hidden_panel_leaves_no_gesture(session: Session, panel: RefitPanel) -> None:
    before = session.build
    at = take(panel.slider)
    move(panel.slider, at, 25)
    panel.hide()
    assert session.scene.build is before
    assert not session.scene.gesture
    panel.show()
    assert panel.slider.value() == round(before.nut.width * 10)


def test_lengths_are_in_the_makers_units(panel: RefitPanel) -> None:
    type_in(panel.width_field, "47")
    assert panel.ends[0].text().endswith("mm")
    panel.set_units("inch")
    assert panel.ends[0].text().endswith("in")
    assert " in" in told(panel.changes)
    assert panel.width_field.text().endswith("in")


def test_keys_that_do_nothing_here_leave_no_trace(session: Session, panel: RefitPanel) -> None:
    panel.slider.setFocus()
    for key in (K.Key_A, K.Key_Escape):
        QTest.keyClick(panel.slider, key)
    assert session.history.undo_labels == ()
    assert not session.scene.gesture


def test_what_another_nut_makes_worse_is_said_and_how_it_would_not(
    panel: RefitPanel, session: Session
) -> None:
    pick(panel.follow, "The whole head")
    type_in(panel.width_field, "20")
    assert "With this nut the head is worse than before. " in told(panel.changes)
    words = "Nothing is worse where the outline follows otherwise: Node by node, Only the shoulders."
    assert words in told(panel.changes)
    type_in(panel.width_field, "44")
    assert "worse" not in told(panel.changes)


def test_where_no_way_to_follow_is_harmless_that_is_said(qtbot: QtBot) -> None:
    # At 15 mm the margins of 3 mm leave 9 mm to six strings, the widest of 2 mm: they would lie upon each other.
    thick = tuple(change(each, diameter=2.0) for each in three_and_three().strings)
    panel = shown(qtbot, RefitPanel(Session(change(three_and_three(), strings=thick))))
    type_in(panel.width_field, "15")
    assert "No way for the outline to follow this nut was found that makes nothing worse." in told(
        panel.changes
    )
