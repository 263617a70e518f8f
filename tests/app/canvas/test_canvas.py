"""Pointer, keys and wheels on the canvas, through real events."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QContextMenuEvent, QFont, QInputDevice, QNativeGestureEvent, QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from app.canvas.canvas import REACH, Canvas
from app.document.selection import NOTHING, Item
from app.document.session import Session
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import node_of
from geometry.document.twins import set_symmetric
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import Layout
from geometry.layout.pick import Picked
from geometry.shape.point import Point, Vector
from tests.app.canvas.surroundings import LEFT, MIDDLE, Notes, canvas_of, colours, holds, move, pixel, wheel

SHIFT, CONTROL, ALT = (
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.AltModifier,
)


# Tools


def test_another_build_ends_the_gesture(canvas: Canvas, notes: Notes, laden: Session) -> None:
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    canvas.session.start(laden.build)
    assert notes.names[-1] == "cancel"
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(300, 300))
    assert notes.names[-1] == "cancel"
    assert canvas.session.build == laden.build


def test_the_tool_hears_of_press_move_and_release(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    at = Point(5.0, 60.0)
    QTest.mousePress(canvas, LEFT, SHIFT, pixel(canvas, at))
    move(canvas, QPointF(pixel(canvas, Point(8.0, 66.0))), LEFT)
    QTest.mouseRelease(canvas, LEFT, pos=pixel(canvas, Point(8.0, 66.0)))
    assert notes.names == ["press", "release"]
    pressed = notes.last("press")
    near = 1.0 / canvas.view.scale
    assert pressed.at.distance(at) <= near
    assert (pressed.shift, pressed.control, pressed.alt) == (True, False, False)
    assert pressed.reach == pytest.approx(REACH / canvas.view.scale)
    assert notes.last("move").at.distance(Point(8.0, 66.0)) <= near


@pytest.mark.parametrize("keys", [CONTROL, ALT])
def test_the_tool_hears_of_keys_that_are_held(
    qtbot: QtBot, canvas: Canvas, notes: Notes, keys: Qt.KeyboardModifier
) -> None:
    QTest.mousePress(canvas, LEFT, keys, QPoint(300, 300))
    pressed = notes.last("press")
    assert (pressed.control, pressed.alt) == (keys == CONTROL, keys == ALT)


def test_a_double_click_is_a_press_of_its_own(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    QTest.mouseDClick(canvas, LEFT, pos=QPoint(300, 300))
    assert notes.last("double").double


def test_a_drag_is_one_act_and_escape_restores_exactly(qtbot: QtBot, canvas: Canvas) -> None:
    session = canvas.session
    before = session.build
    assert isinstance(before.outline, Nodes)
    node = before.outline.nodes[2]
    canvas.tool = Notes(canvas, node.key)
    QTest.mousePress(canvas, LEFT, pos=pixel(canvas, node.at))
    for step in (4, 9, 15):
        move(canvas, QPointF(pixel(canvas, node.at)) + QPointF(step, 0), LEFT)
    assert session.scene.gesture
    assert session.build == before
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert not session.scene.gesture
    assert session.scene.build == before
    assert session.history.undo_label is None
    QTest.mousePress(canvas, LEFT, pos=pixel(canvas, node.at))
    move(canvas, QPointF(pixel(canvas, node.at)) + QPointF(12, 0), LEFT)
    QTest.mouseRelease(canvas, LEFT, pos=pixel(canvas, node.at))
    moved = node_of(session.build, node.key).at
    assert moved.x - node.at.x == pytest.approx(12 / canvas.view.scale, abs=1 / canvas.view.scale)
    assert session.history.undo_labels == ("Move node",)
    session.undo()
    assert session.build == before


def test_a_release_after_escape_is_not_the_tools(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(300, 300))
    assert notes.names[-1] == "cancel"


def test_keys_go_to_the_tool_first(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    notes.takes = {Qt.Key.Key_Left}
    before = canvas.view
    QTest.keyClick(canvas, Qt.Key.Key_Left)
    assert canvas.view == before
    notes.takes = set()
    QTest.keyClick(canvas, Qt.Key.Key_Left)
    assert canvas.view == before.panned(40.0, 0.0)


def test_another_tool_gives_up_what_is_under_way(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    other = Notes(canvas)
    canvas.tool = other
    assert canvas.tool is other
    assert notes.names[-1] == "cancel"
    assert canvas.cursor().shape() == Qt.CursorShape.CrossCursor


def test_the_hint_is_told_when_it_changes(qtbot: QtBot, canvas: Canvas) -> None:
    told: list[str] = []
    canvas.hint.connect(told.append)
    canvas.tool = Notes(canvas)
    QTest.mouseClick(canvas, LEFT, pos=QPoint(300, 300))
    move(canvas, QPointF(200, 200))
    assert told == ["up", "down", "up"]


def test_the_tool_paints_over_the_drawing(canvas: Canvas, notes: Notes) -> None:
    assert holds(colours(canvas), "#ff00ff", QPointF(canvas.width() / 2 + 2, canvas.height() / 2 + 2), 1)


def test_tools_are_told_how_the_maker_wants_to_draw(canvas: Canvas) -> None:
    changed: list[int] = []
    canvas.aids_changed.connect(lambda: changed.append(1))
    canvas.snap, canvas.units = False, "inch"
    canvas.set_side("back")
    aids = canvas.aids()
    assert (aids.side, aids.units, aids.snap, aids.symmetric) == ("back", "inch", False, True)
    assert aids.grid == min(canvas.grid_step, 25.4 / 32)
    canvas.grid = False
    assert canvas.aids().grid is None
    canvas.session.act("Let the sides differ", lambda build: set_symmetric(build, on=False))
    assert not canvas.aids().symmetric
    assert (canvas.snap, canvas.grid, canvas.units) == (False, False, "inch")
    assert len(changed) == 3


# The view


def test_the_wheel_zooms_at_the_pointer(canvas: Canvas) -> None:
    at = QPointF(200.0, 150.0)
    held, scale = canvas.view.to_head(at), canvas.view.scale
    wheel(canvas, at, QPoint(0, 240))
    assert canvas.view.scale == pytest.approx(scale * 1.2**2)
    assert canvas.view.to_head(at).distance(held) < 1e-9


def test_shift_and_a_sideways_wheel_push(canvas: Canvas) -> None:
    before = canvas.view
    wheel(canvas, QPointF(200, 150), QPoint(0, 120), keys=SHIFT)
    assert canvas.view == before.panned(60.0, 0.0)
    wheel(canvas, QPointF(200, 150), QPoint(-120, 0))
    assert canvas.view.centre.distance(before.centre) < 1e-9


def test_two_fingers_push_and_with_control_zoom(canvas: Canvas) -> None:
    before, update = canvas.view, Qt.ScrollPhase.ScrollUpdate
    wheel(canvas, QPointF(200, 150), QPoint(14, 60), pixels=QPoint(7, 30), phase=update)
    assert canvas.view == before.panned(7.0, 30.0)
    wheel(canvas, QPointF(200, 150), QPoint(0, 60), pixels=QPoint(0, 100), phase=update, keys=CONTROL)
    assert canvas.view.scale == pytest.approx(before.scale * 1.2)


def test_two_fingers_push_where_the_system_tells_no_pixels(canvas: Canvas) -> None:
    before = canvas.view
    touchpad = QPointingDevice(
        "pad",
        7,
        QInputDevice.DeviceType.TouchPad,
        QPointingDevice.PointerType.Finger,
        QInputDevice.Capability.Scroll,
        2,
        0,
    )
    wheel(canvas, QPointF(200, 150), QPoint(-8, 20), device=touchpad)
    assert canvas.view == before.panned(-4.0, 10.0)


def gesture(canvas: Canvas, kind: Qt.NativeGestureType, value: float, delta: QPointF) -> bool:
    at = QPointF(250.0, 200.0)
    device = QPointingDevice.primaryPointingDevice()
    event = QNativeGestureEvent(kind, device, 2, at, at, canvas.mapToGlobal(at), value, delta)
    return QApplication.sendEvent(canvas, event)


def test_pinching(canvas: Canvas) -> None:
    held, scale = canvas.view.to_head(QPointF(250.0, 200.0)), canvas.view.scale
    assert gesture(canvas, Qt.NativeGestureType.ZoomNativeGesture, 0.25, QPointF())
    assert canvas.view.scale == pytest.approx(scale * 1.25)
    assert canvas.view.to_head(QPointF(250.0, 200.0)).distance(held) < 1e-9
    before = canvas.view
    gesture(canvas, Qt.NativeGestureType.PanNativeGesture, 0.0, QPointF(5.0, -6.0))
    assert canvas.view == before.panned(5.0, -6.0)
    gesture(canvas, Qt.NativeGestureType.RotateNativeGesture, 10.0, QPointF())
    assert canvas.view == before.panned(5.0, -6.0)


def test_the_middle_button_pushes(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    before = canvas.view
    QTest.mousePress(canvas, MIDDLE, pos=QPoint(300, 300))
    assert canvas.cursor().shape() == Qt.CursorShape.ClosedHandCursor
    move(canvas, QPointF(320.0, 290.0), MIDDLE)
    QTest.mouseRelease(canvas, MIDDLE, pos=QPoint(320, 290))
    assert canvas.view == before.panned(20.0, -10.0)
    assert "press" not in notes.names
    assert canvas.cursor().shape() == Qt.CursorShape.CrossCursor


def test_space_and_drag_push(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    before = canvas.view
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    assert canvas.cursor().shape() == Qt.CursorShape.OpenHandCursor
    QTest.mouseDClick(canvas, LEFT, pos=QPoint(300, 300))
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    move(canvas, QPointF(310.0, 300.0), LEFT)
    QTest.mouseRelease(canvas, LEFT, pos=QPoint(310, 300))
    QTest.keyRelease(canvas, Qt.Key.Key_Space)
    assert canvas.view == before.panned(10.0, 0.0)
    assert "press" not in notes.names
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    assert "press" in notes.names


@pytest.mark.parametrize(
    ("key", "factor"), [(Qt.Key.Key_Plus, 1.25), (Qt.Key.Key_Equal, 1.25), (Qt.Key.Key_Minus, 0.8)]
)
def test_plus_and_minus_zoom(qtbot: QtBot, canvas: Canvas, key: Qt.Key, factor: float) -> None:
    scale, centre = canvas.view.scale, canvas.view.centre
    QTest.keyClick(canvas, key)
    assert canvas.view.scale == pytest.approx(scale * factor)
    assert canvas.view.centre.distance(centre) < 1e-9


def test_a_fitted_head_stays_fitted(canvas: Canvas) -> None:
    scale = canvas.view.scale
    canvas.resize(1280, 1120)
    QApplication.processEvents()
    assert canvas.view.scale > 1.8 * scale
    canvas.zoom_by(2.0)
    centre, scale = canvas.view.centre, canvas.view.scale
    canvas.resize(640, 560)
    QApplication.processEvents()
    assert (canvas.view.centre, canvas.view.scale) == (centre, scale)


def test_larger_type_makes_wider_rulers(canvas: Canvas) -> None:
    before = canvas.view
    font = canvas.font()
    font.setPointSizeF(font.pointSizeF() * 2)
    canvas.setFont(font)
    assert canvas.view.ruler > before.ruler + 10
    assert canvas.view.scale < before.scale
    canvas.zoom_by(2.0)
    canvas.setFont(QFont())
    assert canvas.view.ruler < before.ruler + 10
    assert holds(colours(canvas), canvas.look.desk, QPointF(canvas.view.ruler + 3, canvas.height() - 3), 1)


def test_everything_drawn_is_in_the_room_when_fitted(canvas: Canvas) -> None:
    canvas.set_side("both")
    for post in canvas.session.scene.layout.posts:
        for corner in post.button.bounds.centre, post.at:
            at = canvas.view.to_screen(corner)
            assert canvas.view.ruler < at.x() < canvas.width()
            assert canvas.view.ruler < at.y() < canvas.height()


def test_another_build_is_fitted_in(canvas: Canvas, laden: Session) -> None:
    canvas.zoom_by(9.0)
    canvas.highlight(canvas.session.scene.findings[0])
    canvas.session.start(laden.build)
    shown = canvas.view
    canvas.fit()
    assert canvas.view == shown


def test_the_back_is_seen_in_the_mirror(canvas: Canvas) -> None:
    at = Point(20.0, 50.0)
    face = canvas.view.to_screen(at)
    canvas.set_side("back")
    assert canvas.view.mirrored
    assert canvas.view.to_screen(at).x() < canvas.view.middle.x() < face.x()
    canvas.zoom_by(1.5)
    canvas.set_side("face")
    assert not canvas.view.mirrored


def test_actual_size(canvas: Canvas) -> None:
    canvas.per_mm = 5.0
    canvas.actual_size()
    assert canvas.view.scale == pytest.approx(5.0)
    assert canvas.zoom == pytest.approx(1.0)


def test_zoom_to_what_is_selected(canvas: Canvas) -> None:
    post = canvas.session.scene.layout.posts[0]
    canvas.session.select((Item("post", post.key),))
    canvas.zoom_to_selection()
    assert canvas.view.centre.distance(post.at) < 1e-9
    canvas.session.select(NOTHING)
    fitted = canvas.view.scale
    canvas.zoom_to_selection()
    assert canvas.view.scale < fitted


def test_zoom_to_a_finding_shows_it(canvas: Canvas) -> None:
    finding = next(each for each in canvas.session.scene.findings if each.where and each.check == "wall")
    assert finding.where is not None
    canvas.fit()
    fitted = canvas.view.scale
    canvas.zoom_to_finding(finding)
    middle = finding.where[0].toward(finding.where[1], 0.5)
    assert fitted < canvas.view.scale <= 3 * fitted
    assert all(canvas.view.shown.contains(end) for end in finding.where)
    colour = canvas.look.level(finding.level)
    assert holds(colours(canvas), colour, canvas.view.to_screen(middle))
    assert canvas.session.selection == (Item("post", finding.about[0].key),)


def test_a_finding_on_the_other_side_shows_both_and_the_way_back(canvas: Canvas) -> None:
    scene = canvas.session.scene
    finding = next(each for each in scene.findings if each.check == "button to edge")
    washer = next(each for each in scene.findings if each.check == "first washer")
    canvas.set_side("face")
    canvas.zoom_by(1.7)
    before = canvas.view
    assert not canvas.has_left
    sides: list[str] = []
    for each in (washer, finding):
        canvas.zoom_to_finding(each)
        sides.append(canvas.side)
    assert sides == ["face", "both"]
    assert canvas.has_left
    canvas.go_back()
    assert (canvas.view, canvas.side, canvas.has_left) == (before, "face", False)
    canvas.go_back()
    assert canvas.view == before
    canvas.set_side("back")
    canvas.fit()
    for each in (finding, washer):
        canvas.zoom_to_finding(each)
        sides.append(canvas.side)
    assert sides[2:] == ["back", "both"]
    canvas.fit()
    assert not canvas.has_left


def test_a_finding_that_is_looked_at_stays_shown_until_the_way_back(canvas: Canvas) -> None:
    """The mouse leaves the list on its way to the drawing; what was asked for does not vanish with that."""
    scene = canvas.session.scene
    finding = next(each for each in scene.findings if each.where and each.check == "wall")
    other = next(each for each in scene.findings if each.where and each.check == "web")
    canvas.zoom_to_finding(finding)
    for pointed, shown in ((other, other), (None, finding)):
        canvas.highlight(pointed)
        assert canvas._finding == shown
    canvas.go_back()
    assert canvas._finding is None
    canvas.highlight(other)
    canvas.highlight(None)
    assert canvas._finding is None


# What lies where


def test_hovering_shows_what_a_press_would_take(canvas: Canvas) -> None:
    post = canvas.session.scene.layout.posts[0]
    at = canvas.view.to_screen(post.at)
    plain = colours(canvas)
    ring = at + QPointF(max(post.bore, post.hardware.collar_diameter) / 2 * canvas.view.scale + 2.5, 0)
    assert not holds(plain, canvas.look.accent, ring)
    seen: list[object] = []
    canvas.pointer_moved.connect(seen.append)
    move(canvas, at)
    assert holds(colours(canvas), canvas.look.accent, ring)
    assert isinstance(seen[0], Point)
    assert seen[0].distance(post.at) < 1e-6
    QApplication.sendEvent(canvas, QEvent(QEvent.Type.Leave))
    assert seen[-1] is None
    assert not holds(colours(canvas), canvas.look.accent, ring)


def test_a_hovered_node_grows(canvas: Canvas) -> None:
    node = node_of(canvas.session.build, "n3")
    at = canvas.view.to_screen(node.at)
    corner = at + QPointF(-6.0, 0.0)
    assert not holds(colours(canvas), canvas.look.accent, corner, 0)
    move(canvas, at)
    assert canvas.picked(at) == Picked("node", "n3")
    assert holds(colours(canvas), canvas.look.accent, corner, 0)


def test_the_rulers_mark_the_pointer(canvas: Canvas) -> None:
    mark = QPointF(300.0, canvas.view.ruler - 4)
    assert not holds(colours(canvas), canvas.look.accent, mark, 1)
    move(canvas, QPointF(300.0, 200.0))
    assert holds(colours(canvas), canvas.look.accent, mark, 1)


def test_a_menu_is_asked_for_by_mouse_and_keys(canvas: Canvas) -> None:
    asked: list[tuple[QPoint, object]] = []
    canvas.context_menu.connect(lambda at, what: asked.append((at, what)))
    post = canvas.session.scene.layout.posts[0]
    at = pixel(canvas, post.at)
    by_mouse, by_keys = QContextMenuEvent.Reason.Mouse, QContextMenuEvent.Reason.Keyboard
    QApplication.sendEvent(canvas, QContextMenuEvent(by_mouse, at, canvas.mapToGlobal(at)))
    canvas.session.select((Item("post", post.key),))
    QApplication.sendEvent(canvas, QContextMenuEvent(by_keys, QPoint(0, 0), QPoint(0, 0)))
    assert asked == [(canvas.mapToGlobal(at), Picked("post", post.key))] * 2
    canvas.session.select(NOTHING)
    QApplication.sendEvent(canvas, QContextMenuEvent(by_keys, QPoint(0, 0), QPoint(0, 0)))
    assert asked[-1][0] == canvas.mapToGlobal(canvas.view.middle.toPoint())


def test_no_menu_in_the_middle_of_a_gesture(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    asked: list[object] = []
    canvas.context_menu.connect(lambda at, what: asked.append(what))
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    event = QContextMenuEvent(QContextMenuEvent.Reason.Mouse, QPoint(9, 9), QPoint(9, 9))
    QApplication.sendEvent(canvas, event)
    assert asked == []


# Keys alone


@pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only
def test_tab_goes_from_part_to_part_and_out(qtbot: QtBot, session: Session) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    canvas, field = Canvas(session), QLineEdit()
    layout = QVBoxLayout(window)
    layout.addWidget(canvas)
    layout.addWidget(field)
    window.resize(600, 600)
    with qtbot.waitActive(window):
        window.show()
        window.activateWindow()
    field.setFocus()
    canvas.setFocus(Qt.FocusReason.TabFocusReason)
    assert holds(colours(canvas), canvas.look.accent, QPointF(1, 200), 1)
    seen: list[Item] = []
    while canvas.hasFocus() and len(seen) < 40:
        QTest.keyClick(canvas, Qt.Key.Key_Tab)
        seen += session.selection
    assert isinstance(session.build.outline, Nodes)
    nodes = [Item("node", node.key) for node in session.build.outline.nodes]
    posts = [Item("post", post.key) for post in session.scene.layout.posts]
    assert seen == nodes + posts
    assert field.hasFocus()
    assert session.selection == NOTHING
    canvas.setFocus(Qt.FocusReason.BacktabFocusReason)
    QTest.keyClick(canvas, Qt.Key.Key_Backtab)
    assert session.selection == (posts[-1],)
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert session.selection == NOTHING


def test_tab_brings_into_view(qtbot: QtBot, canvas: Canvas) -> None:
    canvas.setFocus()
    canvas.zoom_to_selection()
    canvas._show(canvas.view.panned(5000.0, 0.0))
    assert canvas.focusNextPrevChild(True)
    (item,) = canvas.session.selection
    assert canvas.view.shown.contains(node_of(canvas.session.build, item.key).at)


def test_tab_waits_for_a_gesture(qtbot: QtBot, canvas: Canvas, notes: Notes) -> None:
    QTest.mousePress(canvas, LEFT, pos=QPoint(300, 300))
    assert canvas.focusNextPrevChild(True)
    assert canvas.session.selection == NOTHING


def test_other_keys_go_on_to_the_window(qtbot: QtBot, canvas: Canvas) -> None:
    before = canvas.view
    QTest.keyClick(canvas, Qt.Key.Key_F9)
    QTest.keyRelease(canvas, Qt.Key.Key_F9)
    assert canvas.view == before


def test_those_who_cannot_see_it_are_told(canvas: Canvas) -> None:
    assert canvas.accessibleName()
    post = canvas.session.scene.layout.posts[0]
    canvas.session.select((Item("post", post.key),))
    assert canvas.accessibleDescription() == f"Selected: post {post.label}"
    canvas.session.select(NOTHING)
    assert canvas.accessibleDescription() == "Nothing selected"


def test_losing_the_focus_lets_go_of_space(qtbot: QtBot, session: Session) -> None:
    canvas = canvas_of(session)
    qtbot.addWidget(canvas)
    canvas.setFocus()
    QTest.keyPress(canvas, Qt.Key.Key_Space)
    canvas.clearFocus()
    assert canvas.cursor().shape() == Qt.CursorShape.ArrowCursor


UNPAINTED = """
from PySide6.QtGui import QColor, QPixmap
from PySide6.QtWidgets import QApplication, QLabel, QVBoxLayout, QWidget
from app.canvas.canvas import Canvas
from app.document.session import Session
from tests.builds import three_and_three

application = QApplication([])
holder, canvas, below = QWidget(), Canvas(Session(three_and_three())), QLabel("below")
column = QVBoxLayout(holder)
column.setContentsMargins(0, 0, 0, 0)
column.setSpacing(0)
column.addWidget(canvas)
column.addWidget(below)
below.setFixedHeight(32)
holder.show()
for height in (300, 301, 302, 303):
    holder.resize(200, height)
    application.processEvents()
    picture = QPixmap(holder.size() * holder.devicePixelRatio())
    picture.setDevicePixelRatio(holder.devicePixelRatio())
    picture.fill(QColor("red"))
    holder.render(picture)
    image = picture.toImage()
    rows = [y for y in range(image.height()) if image.pixelColor(100, y) == QColor("red")]
    print(holder.devicePixelRatio(), height, rows)
"""


def test_no_row_of_pixels_is_left_unpainted_where_the_canvas_ends_within_one() -> None:
    """On a screen at 1.5 what was there before would show through; the scale is set before Qt starts."""
    there = {**os.environ, "QT_SCALE_FACTOR": "1.5", "QT_QPA_PLATFORM": "offscreen"}
    done = subprocess.run(
        [sys.executable, "-c", UNPAINTED], env=there, capture_output=True, text=True, check=True, timeout=120
    )
    assert done.stdout.splitlines() == [f"1.5 {height} []" for height in (300, 301, 302, 303)]


# After a cure


def nudged(canvas: Canvas, step: Vector) -> Layout:
    """All posts moved by so much; how they lay before."""
    before = canvas.session.scene.layout
    places = {post.key: post.at + step for post in before.posts}
    canvas.session.act("move", lambda build: move_posts(build, before, places))
    return before


def test_posts_that_moved_out_of_view_are_shown_and_the_way_back(canvas: Canvas) -> None:
    finding = next(each for each in canvas.session.scene.findings if each.check == "wall")
    canvas.fit()
    canvas.zoom_by(8.0, QPointF(canvas.width() / 2, canvas.height() - 40.0))
    seen = canvas.view
    canvas.show_moved(nudged(canvas, Vector(0.0, 0.5)), finding)
    posts = canvas.session.scene.layout.posts
    assert not all(seen.room.contains(seen.to_screen(post.at)) for post in posts)
    assert all(canvas.view.room.contains(canvas.view.to_screen(post.at)) for post in posts)
    canvas.go_back()
    assert canvas.view == seen


def test_the_view_stays_where_what_moved_is_in_sight_or_nothing_moved(canvas: Canvas) -> None:
    finding = next(each for each in canvas.session.scene.findings if each.check == "wall")
    canvas.fit()
    canvas.zoom_by(0.9)
    seen = canvas.view
    canvas.show_moved(nudged(canvas, Vector(0.0, 0.5)), finding)
    assert (canvas.view, canvas.has_left) == (seen, False)
    canvas.zoom_by(8.0, QPointF(canvas.width() / 2, canvas.height() - 40.0))
    seen = canvas.view
    canvas.show_moved(canvas.session.scene.layout, finding)
    assert (canvas.view, canvas.has_left) == (seen, False)
