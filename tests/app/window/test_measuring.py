"""Numbers typed on the drawing: the field with the cursor lights its dimension up, a press on one takes its field."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QPoint, QRectF, QSize, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMessageBox
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from app.canvas.side_inset import SideInset
from app.document.scene import Side
from app.document.selection import Item
from app.document.settings import SettingsStore
from app.panels.head_panel import HeadPanel
from app.panels.selected_panel import SelectedPanel
from app.panels.tuners_panel import TunersPanel
from app.widgets.number_field import NumberField
from app.widgets.sizes import FRAME
from app.window.actions.acts import use_tool
from app.window.window import Window
from geometry.document.edits import free_outline, rename
from geometry.document.outline import Starter
from geometry.document.outline_nodes import nodes_of
from geometry.document.stretch import outline_bounds, shoulder_ends, tip_ends
from geometry.layout.head_dimensions import FROM_THE_SIDE, head_dimension, shown_measures
from geometry.layout.side_view import side_view
from geometry.shape.bounds import Bounds
from tests.amount import sampled
from tests.builds import three_and_three

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def bench(window: Window, qtbot: QtBot) -> Window:
    """The window in front, its drawing painted."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)
    window.side.show_panel("head")
    window.grab()
    return window


def head(window: Window) -> HeadPanel:
    panel = window.side.panel("head")
    assert isinstance(panel, HeadPanel)
    return panel


def press(window: Window, name: str) -> None:
    window.canvas.grab()
    box = next(box for box, each in window.canvas._painter.boxes if each == name)
    QTest.mouseClick(window.canvas, LEFT, pos=box.center().toPoint())


def test_the_cursor_in_a_field_lights_its_dimension_up(bench: Window) -> None:
    head(bench).starter.fields["length"].setFocus()
    assert bench.canvas._measures[1] == "Starter.length"
    head(bench).wood_numbers.fields["thickness_nut"].setFocus()
    assert bench.canvas._measures[1] == ""
    assert bench.side_inset._lit == "Head.thickness_nut"


def test_a_smaller_number_has_its_dimension_while_it_is_in_hand(bench: Window) -> None:
    for field, name in (("tip_rise", "Starter.tip_rise"), ("corner", "Starter.corner")):
        bench.canvas.grab()
        assert name not in [each for _, each in bench.canvas._painter.boxes]
        head(bench).starter.fields[field].setFocus()
        bench.canvas.grab()
        assert bench.canvas._measures[1] == name
        assert name in [each for _, each in bench.canvas._painter.boxes]


def test_a_dimension_is_pressed_and_typed_over(bench: Window) -> None:
    press(bench, "Starter.length")
    field = head(bench).starter.fields["length"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "171,5")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert isinstance(bench.session.build.outline, Starter)
    assert bench.session.build.outline.length == 171.5


def test_a_free_outline_is_stretched_by_its_dimensions(bench: Window) -> None:
    bench.session.act("Free the outline", free_outline)
    press(bench, "Free.width")
    field = head(bench).sizes.fields["width"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "90")
    QTest.keyClick(field, Qt.Key.Key_Return)
    bounds = outline_bounds(bench.session.build)
    assert bounds.right - bounds.left == pytest.approx(90.0, abs=0.2)
    assert bench.session.history.undo_label == "Change greatest width"


@pytest.mark.parametrize("by_key", [False, True])
def test_an_outline_is_freed_with_its_numbers_as_they_were_and_the_drawing_has_the_keyboard(
    bench: Window, by_key: bool
) -> None:
    panel = head(bench)
    starter = panel.starter.fields
    before = [starter[name].text() for name in ("length", "width_low", "width_high")]
    panel.free.setFocus(Qt.FocusReason.TabFocusReason)
    if by_key:
        QTest.keyClick(panel.free, Qt.Key.Key_Space)
    else:
        QTest.mouseClick(panel.free, LEFT)
    after = [panel.sizes.fields["length"], panel.sizes.fields["shoulder"], panel.sizes.fields["tip"]]
    assert [field.text() for field in after] == before
    assert all(field.isVisibleTo(panel) for field in after)
    assert QApplication.focusWidget() is bench.canvas
    assert bench.session.history.undo_label == "Free the outline"


def test_a_number_that_goes_leaves_the_keyboard_to_the_drawing(bench: Window) -> None:
    panel = head(bench)
    panel.starter.fields["waist"].setFocus()
    bench.made["free outline"].trigger()
    assert QApplication.focusWidget() is bench.canvas
    panel.sizes.fields["tip"].setFocus()
    bench.made["undo"].trigger()
    assert QApplication.focusWidget() is bench.canvas
    assert not bench.side_inset.isVisible(), "nobody asked for a number that is seen from the side"
    panel.starter.fields["length"].setFocus()
    bench.session.act("Name the build", lambda build: rename(build, "Heron"))
    assert QApplication.focusWidget() is panel.starter.fields["length"], "what stays keeps it"


def test_the_shoulder_of_a_free_outline_is_typed_on_the_drawing(bench: Window) -> None:
    bench.session.act("Free the outline", free_outline)
    press(bench, "Free.shoulder")
    field = head(bench).sizes.fields["shoulder"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "80")
    QTest.keyClick(field, Qt.Key.Key_Return)
    ends = shoulder_ends(bench.session.build)
    assert ends is not None
    assert ends[1].x - ends[0].x == pytest.approx(80.0)
    assert bench.session.history.undo_label == "Change width at the shoulder"


def test_a_node_is_taken_hold_of_where_a_dimension_ends(bench: Window) -> None:
    """The width at the shoulder ends in the nodes there, and its line runs on from them."""
    bench.session.act("Free the outline", free_outline)
    canvas = bench.canvas
    canvas.setFocus()
    canvas.grab()
    ends = next(each.ends for each in canvas._dimensions() if each.name == "Free.shoulder")
    node = next(each for each in nodes_of(bench.session.build) if each.at.distance(ends[1]) < 1e-6)
    for step in (QPoint(0, 0), QPoint(-6, 0), QPoint(5, 4)):
        QTest.mousePress(canvas, LEFT, pos=canvas.view.to_screen(node.at).toPoint() + step)
        QTest.mouseRelease(canvas, LEFT, pos=canvas.view.to_screen(node.at).toPoint() + step)
        assert bench.session.selection == (Item("node", node.key),)
        assert QApplication.focusWidget() is canvas
        bench.session.select(())


def test_a_dimension_pressed_twice_keeps_its_field(bench: Window) -> None:
    bench.canvas.grab()
    box = next(box for box, each in bench.canvas._painter.boxes if each == "Starter.length")
    place = box.center().toPoint()
    QTest.mouseClick(bench.canvas, LEFT, pos=place)
    QTest.mouseDClick(bench.canvas, LEFT, pos=place)
    field = head(bench).starter.fields["length"]
    assert QApplication.focusWidget() is field
    before = bench.session.build
    QTest.keyClicks(field, "172")
    assert bench.session.build == before, "no key of the drawing"
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert isinstance(bench.session.build.outline, Starter)
    assert bench.session.build.outline.length == 172.0


def test_the_tuners_have_theirs_for_the_row_in_hand(bench: Window) -> None:
    bench.show_panel("tuners")
    panel = bench.side.panel("tuners")
    assert isinstance(panel, TunersPanel)
    press(bench, "OnLine.pitch")
    assert QApplication.focusWidget() is panel.row_form.numbers.fields["pitch"]
    assert bench.canvas._measures[2] == bench.session.build.rows[0].key
    bench.show_panel("best")
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()


def test_a_row_is_staggered_on_the_drawing(bench: Window) -> None:
    bench.show_panel("tuners")
    panel = bench.side.panel("tuners")
    assert isinstance(panel, TunersPanel)
    field = panel.row_form.ahead
    assert field.value == 0.0
    field.setFocus()
    QTest.keyClicks(field, "8")
    QTest.keyClick(field, Qt.Key.Key_Return)
    rows = bench.session.build.rows
    assert rows[0].rule.start - rows[1].rule.start == pytest.approx(8.0)
    assert bench.session.history.undo_label == "Stagger the row"
    bench.canvas.setFocus()
    press(bench, "Row.ahead")
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "-1999")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert "expected a number from" in field.fault
    assert bench.session.build.rows == rows


def test_the_tip_of_a_free_outline_is_typed_on_the_drawing(bench: Window) -> None:
    bench.session.act("Free the outline", free_outline)
    press(bench, "Free.tip")
    field = head(bench).sizes.fields["tip"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "51")
    QTest.keyClick(field, Qt.Key.Key_Return)
    ends = tip_ends(bench.session.build)
    assert ends is not None
    assert ends[1].x - ends[0].x == pytest.approx(51.0)


def test_a_dimension_out_of_view_leaves_no_words_behind(bench: Window) -> None:
    bench.canvas.grab()
    assert any(name == "Starter.length" for _, name in bench.canvas._painter.boxes)
    bench.canvas.zoom_to(Bounds(-5.0, 60.0, 5.0, 70.0))
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()


def test_other_tools_and_drags_have_no_dimensions_in_their_way(bench: Window) -> None:
    bench.canvas.grab()
    box, _ = bench.canvas._painter.boxes[0]
    use_tool(bench, "region")
    QTest.mouseClick(bench.canvas, LEFT, pos=box.center().toPoint())
    assert bench.canvas.tool.busy
    use_tool(bench, "select")
    bench.session.preview(free_outline(bench.session.build))
    bench.canvas.grab()
    assert bench.canvas._painter.boxes == ()


# From the side


def inset_boxes(window: Window) -> dict[str, QRectF]:
    window.side_inset.grab()
    return {name: box for box, name in window.side_inset.boxes}


def press_beside(window: Window, name: str) -> None:
    QTest.mouseClick(window.side_inset, LEFT, pos=inset_boxes(window)[name].center().toPoint())


def test_every_number_of_the_three_panels_has_its_dimension(bench: Window) -> None:
    for panel in ("head", "strings", "tuners"):
        bench.show_panel(panel)
        shown = bench.side.panel(panel)
        for field in shown.findChildren(NumberField):
            if not field.isVisibleTo(shown):
                continue
            name = field.property("measure")
            assert name, field.accessibleName()
            field.setFocus()
            beside = FROM_THE_SIDE.get(panel, ())
            assert name in (*beside, *shown_measures(panel, name)), name
            assert bench.side_inset.isVisible() == (name in beside), name


def test_the_side_is_seen_while_one_of_its_numbers_is_in_hand(bench: Window) -> None:
    inset, numbers = bench.side_inset, head(bench).wood_numbers.fields
    assert not inset.isVisible()
    numbers["angle_deg"].setFocus()
    assert inset.isVisible()
    boxes = inset_boxes(bench)
    assert {"Head.angle_deg", "Head.thickness_nut", "Head.thickness_tip", "Head.neck_depth"} <= set(boxes)
    assert "Head.volute_height" not in boxes, "there is none"
    assert "Head angle 14°" in inset.accessibleDescription()
    numbers["volute_height"].setFocus()
    assert "Head.volute_height" in inset_boxes(bench)
    numbers["edge_face"].setFocus()
    assert not inset.isVisible()


@pytest.mark.parametrize("side", ["face", "back", "both"])
def test_it_stands_beside_a_fitted_head_and_no_words_lie_under_it(bench: Window, side: Side) -> None:
    canvas, inset = bench.canvas, bench.side_inset
    bench.canvas.set_side(side)
    before = canvas.view
    head(bench).wood_numbers.fields["angle_deg"].setFocus()
    assert inset.isVisible()
    extent = canvas._painter.extent(bench.session.scene, canvas.side)
    canvas.grab()
    assert canvas.view.box_to_screen(extent).right() < inset.x()
    assert not any(box.intersects(QRectF(inset.geometry())) for box, _ in canvas._painter.boxes)
    assert canvas.rect().contains(inset.geometry())
    canvas.setFocus()
    assert canvas.view == before


def test_over_a_drawing_that_was_pushed_along_it_comes_up_where_the_head_is_not(bench: Window) -> None:
    canvas, inset = bench.canvas, bench.side_inset
    canvas.zoom_by(0.7)
    canvas._show(canvas.view.panned(canvas.width() * 0.3, 0.0))
    head(bench).wood_numbers.fields["angle_deg"].setFocus()
    assert inset.isVisible()
    assert not canvas.head_on_screen.intersects(QRectF(inset.geometry()))
    assert inset.geometry().center().x() < canvas.width() / 2
    canvas.fit()
    assert inset.geometry().center().x() > canvas.width() / 2
    assert canvas.head_on_screen.right() < inset.x(), "a fitted head keeps clear of it as ever"


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1024, 600), (900, 600), (853, 533), (640, 400)])
def test_nothing_of_it_is_clipped_at_any_size(bench: Window, width: int, height: int) -> None:
    bench.resize(width - FRAME.width(), height - FRAME.height())
    bench.show_panel("head")
    head(bench).wood_numbers.fields["volute_height"].setFocus()
    QApplication.processEvents()
    inset, canvas = bench.side_inset, bench.canvas
    assert canvas.rect().contains(inset.geometry())
    boxes = inset_boxes(bench)
    assert set(boxes) >= {"Head.thickness_nut", "Head.thickness_tip", "Head.angle_deg", "Head.neck_depth"}
    room = QRectF(inset.rect())
    assert all(room.contains(box) for box in boxes.values())
    assert not any(one.intersects(other) for one, other in combinations(boxes.values(), 2))
    assert not any(box.intersects(QRectF(inset.close_button.geometry())) for box in boxes.values())
    side = side_view(bench.session.build, bench.session.scene.layout)
    assert room.contains(inset.view_of(side).box_to_screen(side.bounds))
    # Beside the drawing, or in its place where both have no room.
    view = canvas.view
    extent = view.box_to_screen(canvas._painter.extent(bench.session.scene, canvas.side))
    assert extent.right() < inset.x() or inset.x() <= view.ruler + 1


def test_where_there_is_no_room_the_drawing_comes_back_when_it_is_put_away(bench: Window) -> None:
    bench.resize(QSize(640, 400) - FRAME)
    bench.show_panel("head")
    head(bench).wood_numbers.fields["angle_deg"].setFocus()
    inset = bench.side_inset
    assert inset.width() > bench.canvas.width() / 2
    inset.close_button.click()
    assert not inset.isVisible()
    head(bench).wood_numbers.fields["thickness_tip"].setFocus()
    assert inset.isVisible(), "another number is another wish"
    bench.canvas.setFocus()
    assert not inset.isVisible()


def test_the_menu_keeps_it_in_sight_and_remembers(bench: Window) -> None:
    action, inset = bench.made["from side"], bench.side_inset
    bench.canvas.setFocus()
    action.trigger()
    assert inset.isVisible()
    assert action.isChecked()
    assert SettingsStore(bench.store.config, bench.store.state).settings.from_side
    bench.show_panel("keep clear")
    assert inset.isVisible()
    assert inset_boxes(bench) == {}
    inset.close_button.click()
    assert not inset.isVisible()
    assert not bench.store.settings.from_side
    assert not action.isChecked()


def test_a_number_of_the_side_is_pressed_and_typed_over(bench: Window) -> None:
    head(bench).wood_numbers.fields["angle_deg"].setFocus()
    press_beside(bench, "Head.thickness_tip")
    field = head(bench).wood_numbers.fields["thickness_tip"]
    assert QApplication.focusWidget() is field
    QTest.keyClicks(field, "12,5")
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert bench.session.build.head.thickness_tip == 12.5


SIDE_FIELDS = [
    ("head", "Head.thickness_nut", 8.0, 25.0),
    ("head", "Head.neck_depth", 8.0, 25.0),
    ("head", "Head.angle_deg", 0.0, 25.0),
    ("head", "Head.volute_height", 0.0, 5.0),
    ("strings", "Nut.slot_floor", 1.0, 9.0),
    ("strings", "Build.scale_length", 300.0, 900.0),
]


@pytest.mark.parametrize(("panel", "name", "least", "most"), SIDE_FIELDS)
@given(data=st.data())
@settings(max_examples=sampled(2, of=10), suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_what_is_typed_is_the_build_and_undo_gives_the_old(
    bench: Window, panel: str, name: str, least: float, most: float, data: st.DataObject
) -> None:
    bench.session.start(three_and_three())
    bench.side_inset.always = True
    bench.show_panel(panel)
    head(bench).wood_numbers.fields["volute_height"].setFocus()  # there is none yet: seen while it is in hand
    before = bench.session.build
    value = data.draw(st.integers(int(least * 10), int(most * 10))) / 10
    press_beside(bench, name)
    field = QApplication.focusWidget()
    assert isinstance(field, NumberField)
    assert field.property("measure") == name
    QTest.keyClicks(field, f"{value}")
    QTest.keyClick(field, Qt.Key.Key_Return)
    record, _, attribute = name.partition(".")
    holder = {"Head": bench.session.build.head, "Nut": bench.session.build.nut, "Build": bench.session.build}
    assert getattr(holder[record], attribute) == value
    found = head_dimension(bench.session.build, bench.session.scene.layout, name)
    assert found is not None
    assert found.length == pytest.approx(value)
    if bench.session.build != before:
        bench.session.undo()
    assert bench.session.build == before


def test_a_drag_does_not_paint_the_side(bench: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.side_inset.always = True
    QApplication.processEvents()
    painted = []
    monkeypatch.setattr(SideInset, "update", lambda _: painted.append(1))
    bench.session.preview(free_outline(bench.session.build))
    assert painted == []
    bench.session.cancel()
    assert painted


def test_a_selected_post_has_its_place_on_the_drawing(bench: Window) -> None:
    post = bench.session.build.rows[0].posts[1].key
    bench.session.select((Item("post", post),))
    bench.show_panel("selected")
    panel = bench.side.panel("selected")
    assert isinstance(panel, SelectedPanel)
    for field, name in ((panel.post.across, "Post.x"), (panel.post.inward, "Moved.inward")):
        field.setFocus()
        bench.canvas.grab()
        assert name in [each for _, each in bench.canvas._painter.boxes]
    panel.post.turns.setFocus()
    assert bench.side_inset.isVisible()
    assert "Post.turns" in inset_boxes(bench)


def test_a_box_over_a_panel_may_go_with_the_cursor_in_it(bench: Window) -> None:
    """Looking for fields among widgets that are half gone ended the program."""
    bench.made["from side"].trigger()
    box = QMessageBox(bench.side.panel("head"))
    focused = box.addButton(QMessageBox.StandardButton.Cancel)
    QTimer.singleShot(0, focused.click)
    box.exec()
    focused.setFocus()
    delete(box)
    assert bench.isVisible()
