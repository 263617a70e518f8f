"""The window through its menus, keys and questions."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QGuiApplication, QKeySequence, QMouseEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QInputDialog, QMenu, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from app.document.crash import CrashLog
from app.document.files import load_build
from app.document.selection import Item
from app.document.settings import Settings, SettingsStore
from app.window.actions.acts import free_outline
from app.window.actions.table import ACTIONS, find
from app.window.context_menu import context_menu
from app.window.opening import opened_window
from app.window.side import PANELS, panel_words
from app.window.start_screen import failing_samples
from app.window.window import Window
from geometry.checks.judge import Finding, Level
from geometry.document.edits import mirrored, move_post, rename
from geometry.document.outline import Nodes
from geometry.layout.pick import Picked
from geometry.shape.bounds import Bounds
from tests.app.window.conftest import Opener

LEFT, NO_BUTTON = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
NO_KEYS = Qt.KeyboardModifier.NoModifier
CONTROL = Qt.KeyboardModifier.ControlModifier
SHIFT = Qt.KeyboardModifier.ShiftModifier


def name_it(window: Window, name: str) -> None:
    window.session.act("Name the build", lambda build: rename(build, name))


# Pages


def test_a_file_opens_on_the_drawing(window: Window, file: Path) -> None:
    assert window.drawing
    assert window.windowTitle() == "Three a side (three)[*] – Pegwright"
    assert window.side.name == "head"
    assert window.status.saved.text() == "Saved"
    assert window.store.desk.recent == ()


def test_without_a_file_the_first_page_is_shown_and_the_rest_is_put_away(opened: Opener) -> None:
    window = opened(start=True)
    assert not window.drawing
    assert window.windowTitle() == "Pegwright"
    assert not window.toolbar.isVisible()  # type: ignore[union-attr]
    assert not window.side_dock.isVisible()
    assert window.start.back.isHidden()
    assert not window.made["save"].isEnabled()
    assert window.made["open"].isEnabled()


def test_from_the_drawing_to_the_first_page_and_back(window: Window, qtbot: QtBot) -> None:
    window.findings_dock.hide()
    QTest.keyClick(window, Qt.Key.Key_N, CONTROL)
    assert not window.drawing
    assert QApplication.focusWidget() is window.start.starters.cards[0]
    QTest.mouseClick(window.start.back, Qt.MouseButton.LeftButton)
    assert window.drawing
    assert window.side_dock.isVisible()
    assert not window.findings_dock.isVisible()


def test_the_first_page_opens_at_its_top(opened: Opener, qtbot: QtBot) -> None:
    window = opened(start=True)
    window.resize(900, 420)
    bar = window.start.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 200)
    bar.setValue(bar.maximum())
    window.show_drawing()
    window.show_start()
    QApplication.processEvents()
    assert bar.value() == 0
    assert QApplication.focusWidget() is window.start.starters.cards[0]


def test_a_finding_is_shown_where_it_is_and_the_way_back_is_one_key(window: Window) -> None:
    QApplication.processEvents()
    before = window.canvas.view
    finding = next(each for each in window.session.scene.findings if each.check == "button gap")
    assert not window.made["back to view"].isEnabled()
    window.findings.chosen.emit(finding)
    assert window.canvas.side == "both"
    assert {item.key for item in window.session.selection} == {part.key for part in finding.about}
    assert window.findings.shows_way_back
    assert window.made["back to view"].isEnabled()
    window.made["back to view"].trigger()
    assert (window.canvas.view, str(window.canvas.side)) == (before, "face")
    assert not window.findings.shows_way_back


def test_a_starter_is_asked_about_and_put_on_the_bench(
    opened: Opener, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened(start=True)
    monkeypatch.setattr(Window, "ask", lambda self, dialog: True)
    QTest.mouseClick(window.start.starters.cards[2], Qt.MouseButton.LeftButton)
    assert window.drawing
    assert len(window.session.build.rows) == 1
    assert window.windowTitle() == "Unnamed[*] – Pegwright"
    assert window.status.saved.text() == "New"


def test_a_starter_that_is_turned_down_leaves_the_first_page(
    opened: Opener, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened(start=True)
    monkeypatch.setattr(Window, "ask", lambda self, dialog: False)
    QTest.keyClick(window.start.starters.cards[0], Qt.Key.Key_Return)
    assert not window.drawing


def test_a_sample_opens_as_a_new_build(opened: Opener, qtbot: QtBot) -> None:
    window = opened(start=True)
    QTest.mouseClick(window.start.samples.cards[0], Qt.MouseButton.LeftButton)
    assert window.drawing
    assert window.session.path is None
    assert not window.session.modified


# What follows from a change


def test_title_status_and_menus_follow_the_build(window: Window) -> None:
    assert not window.made["undo"].isEnabled()
    name_it(window, "Other")
    assert window.isWindowModified()
    assert window.status.saved.text() == "Not saved"
    assert window.made["undo"].text() == "&Undo name the build"
    window.made["undo"].trigger()
    assert not window.isWindowModified()
    assert window.made["redo"].text() == "&Redo name the build"
    assert window.session.build.name == "Three a side"


@pytest.mark.parametrize("keys", ["Ctrl+Shift+Z", "Ctrl+Y"])
def test_an_act_is_done_again_by_either_key(window: Window, qtbot: QtBot, keys: str) -> None:
    with qtbot.waitActive(window):
        window.activateWindow()
    name_it(window, "Other")
    window.made["undo"].trigger()
    QTest.keySequence(window, QKeySequence(keys))
    assert window.session.build.name == "Other"


def test_the_selection_is_told(window: Window) -> None:
    window.session.select((Item("post", "t1"),))
    assert window.status.selected.text() == "Post 1"
    assert window.made["delete"].isEnabled()
    window.session.select((Item("post", "t1"), Item("post", "t2")))
    assert window.status.selected.text().startswith("2")
    window.session.select(())
    assert window.status.selected.text() == ""
    assert not window.made["delete"].isEnabled()


def test_the_pointer_is_told_in_the_makers_units(window: Window, qtbot: QtBot) -> None:
    QTest.mouseMove(window.canvas, window.canvas.rect().center())
    window.canvas.pointer_moved.emit(window.canvas.view.centre)
    assert "mm" in window.status.place.text()
    QTest.mouseClick(window.status.units, Qt.MouseButton.LeftButton)
    assert "in" in window.status.place.text()
    assert window.canvas.units == "inch"
    assert window.side.panel("head").units == "inch"
    window.canvas.pointer_moved.emit(None)
    assert window.status.place.text() == ""


@pytest.mark.parametrize(
    ("key", "read"),
    [
        ("grid", lambda window: window.canvas.grid),
        ("snap", lambda window: window.canvas.snap),
        ("rings", lambda window: window.canvas.rings_shown),
        ("from side", lambda window: window.side_inset.always),
        ("symmetric", lambda window: window.canvas.symmetric),
    ],
)
def test_switches_switch_and_switch_back(window: Window, key: str, read: object) -> None:
    before = read(window)  # type: ignore[operator]
    assert window.made[key].isChecked() == before
    window.made[key].trigger()
    assert read(window) != before  # type: ignore[operator]
    assert window.made[key].isChecked() != before
    window.made[key].trigger()
    assert read(window) == before  # type: ignore[operator]


def test_sides_and_tools_are_chosen_by_keys(window: Window, qtbot: QtBot) -> None:
    QTest.keyClick(window, Qt.Key.Key_F8)
    assert window.canvas.side == "back"
    assert window.made["back"].isChecked()
    assert not window.made["face"].isChecked()
    window.canvas.setFocus()
    QTest.keyClick(window.canvas, Qt.Key.Key_R)
    assert window.tool_name == "round"
    assert window.made["round tool"].isChecked()
    window.side.panel("head").findChildren(QWidget)
    field = next(
        each
        for each in window.side.panel("head").findChildren(QWidget)
        if each.focusPolicy() & Qt.FocusPolicy.TabFocus
    )
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_S)
    assert window.tool_name == "round"


def test_letters_are_the_open_menus_and_not_the_tools(window: Window, qtbot: QtBot) -> None:
    window.canvas.setFocus()
    item = next(each for each in window.menuBar().actions() if each.text() == "&View")
    menu = item.menu()
    assert isinstance(menu, QMenu)
    window.menuBar().setActiveAction(item)
    qtbot.waitUntil(menu.isVisible)
    for key in (Qt.Key.Key_N, Qt.Key.Key_Y):  # keys of the drawing that are no access keys here
        QTest.keyClick(menu, key)
    assert window.tool_name == "select"
    assert window.session.history.undo_label is None
    QTest.keyClick(menu, Qt.Key.Key_B)
    assert window.canvas.side == "back"
    assert not menu.isVisible()
    QTest.keyClick(window.canvas, Qt.Key.Key_N)
    assert window.made["node tool"].isChecked(), "they are the drawing's again once the menu is closed"


def test_letters_are_those_of_an_open_context_menu(window: Window, qtbot: QtBot) -> None:
    """The item with that access key is done, and no shortcut of the drawing under the menu."""
    window.canvas.setFocus()
    done: list[str] = []
    menu = context_menu(window, None)
    menu.addAction("&Nothing else", lambda: done.append("menu"))
    window.pop_up(menu, window.mapToGlobal(QPoint(40, 40)))
    qtbot.waitUntil(menu.isVisible)
    QTest.keyClick(menu, Qt.Key.Key_R)
    assert window.tool_name == "select"
    QTest.keyClick(menu, Qt.Key.Key_N)
    assert done == ["menu"]
    assert window.tool_name == "select"


def test_a_click_on_a_tool_that_is_in_hand_keeps_it(window: Window) -> None:
    window.made["select tool"].trigger()
    assert window.made["select tool"].isChecked()


# From part to part


def test_the_keyboard_goes_round_the_parts(window: Window, qtbot: QtBot) -> None:
    window.canvas.setFocus()
    seen = []
    for _ in range(4):
        QTest.keyClick(window, Qt.Key.Key_F6)
        focus = QApplication.focusWidget()
        seen.append(
            next(
                name
                for name in ("findings", "status", "side", "canvas")
                if holds(getattr(window, name), focus)
            )
        )
    assert seen == ["findings", "status", "side", "canvas"]
    QTest.keyClick(window, Qt.Key.Key_F6, SHIFT)
    assert holds(window.side, QApplication.focusWidget())


def holds(part: QWidget, focus: QWidget | None) -> bool:
    return focus is not None and (part is focus or part.isAncestorOf(focus))


@pytest.mark.parametrize(("key", "name"), list(zip("12345789B", PANELS, strict=True)))
def test_panels_are_reached_by_keys(window: Window, key: str, name: str) -> None:
    # The sixth key leads to the findings on the other side.
    window.side_dock.hide()
    window.made[f"panel {name}"].trigger()
    assert window.side.name == name
    assert window.side_dock.isVisible()
    assert find(f"panel {name}").shortcut == f"Ctrl+Shift+{key}"


def test_a_low_window_keeps_every_panel_within_reach(window: Window, qtbot: QtBot) -> None:
    window.resize(640, 480)
    qtbot.waitUntil(lambda: window.height() == 480)
    foot = window.status.mapTo(window, QPoint(0, 0)).y()
    for name in PANELS:
        window.made[f"panel {name}"].trigger()
        QApplication.processEvents()
        button = next(
            each
            for each in window.side.findChildren(QToolButton)
            if each.accessibleName() == panel_words(name)
        )
        assert button.visibleRegion().boundingRect().height() == button.height()
        assert button.mapTo(window, QPoint(0, button.height())).y() <= foot


def test_findings_are_reached_by_keys(window: Window) -> None:
    window.findings_dock.hide()
    window.made["panel findings"].trigger()
    assert window.findings_dock.isVisible()
    assert holds(window.findings, QApplication.focusWidget())


# Acts


def test_the_name_is_asked_for(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(window, "ask_name", lambda: "Lark")
    window.made["rename"].trigger()
    assert window.session.build.name == "Lark"
    monkeypatch.setattr(window, "ask_name", lambda: None)
    window.made["rename"].trigger()
    assert window.session.build.name == "Lark"


def test_other_hand_and_free_outline_are_acts(window: Window) -> None:
    before = window.session.build
    window.made["other hand"].trigger()
    assert window.session.build == mirrored(before)
    window.session.undo()
    window.made["free outline"].trigger()
    assert isinstance(window.session.build.outline, Nodes)
    assert not window.made["free outline"].isEnabled()


def test_the_menu_of_a_part_selects_it_and_acts_on_it(window: Window) -> None:
    moved = window.session.build.rows[0].posts[0].key
    window.session.act("Move post 1", lambda build: move_post(build, moved, 1.0, 0.0))
    menu = context_menu(window, Picked("post", moved))
    assert window.session.selection == (Item("post", moved),)
    words = {action.text(): action for action in menu.actions()}
    words["Put back in its row"].trigger()
    assert window.session.build.rows[0].moved == ()
    words["Wind on the other side"].trigger()
    assert window.session.build.rows[0].posts[0].flip_wound_side


def test_the_menu_of_runs_and_nodes_shapes_the_outline(window: Window) -> None:
    free_outline(window)
    outline = window.session.build.outline
    assert isinstance(outline, Nodes)
    key = outline.nodes[1].key
    menu = context_menu(window, Picked("run", key, t=0.5))
    words = [action.text() for action in menu.actions()]
    assert words[:4] == ["Make straight", "Make an arc", "Make a curve", "Add a node here"]
    menu.actions()[3].trigger()
    grown = window.session.build.outline
    assert isinstance(grown, Nodes)
    assert len(grown.nodes) == len(outline.nodes) + 2
    first = context_menu(window, Picked("node", key)).actions()[0].text()
    assert first in ("Make a corner", "Make smooth")
    ends = [action.text() for action in context_menu(window, Picked("node", outline.nodes[0].key)).actions()]
    assert not {"Make a corner", "Make smooth"} & set(ends)


def test_the_menu_of_empty_ground_has_what_can_always_be_done(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[list[str]] = []
    monkeypatch.setattr(
        window, "pop_up", lambda menu, at: shown.append([each.text() for each in menu.actions()])
    )
    window.canvas.context_menu.emit(QPoint(5, 5), None)
    assert "Cu&t" in shown[0]
    assert "F&it the head" in shown[0]


# Views


def test_zoom_is_told_and_true_size_measures_the_screen_first(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[QDialog] = []

    def answer(self: Window, dialog: QDialog) -> bool:
        asked.append(dialog)
        dialog.set_per_mm(5.0)  # type: ignore[attr-defined]
        return True

    monkeypatch.setattr(Window, "ask", answer)
    window.made["actual size"].trigger()
    assert len(asked) == 1
    assert window.canvas.view.scale == pytest.approx(5.0)
    assert window.status.zoom.text() == "100 %"
    window.made["closer"].trigger()
    assert window.status.zoom.text() == "125 %"
    window.made["further"].trigger()
    window.made["actual size"].trigger()
    assert len(asked) == 1
    window.made["fit"].trigger()
    assert window.status.zoom.text() != "100 %"


def test_a_finding_is_lit_up_and_zoomed_to(window: Window) -> None:
    finding = window.session.scene.findings[0]
    scale = window.canvas.view.scale
    window.findings.chosen.emit(finding)
    assert window.canvas.view.scale > scale


# Findings that are looked at


@pytest.fixture
def thin(window: Window, qtbot: QtBot) -> Window:
    """A window on a head with walls too thin at two of its holes."""
    window.session.start(load_build(failing_samples()[0]))
    window.show_findings()
    window.canvas.setFocus()
    return window


def press_finding(window: Window, row: int) -> Finding:
    """Click on a row, then take the mouse away."""
    rows = window.findings.list
    index = rows.model().index(row, 0)
    found = rows.finding_at(index)
    assert found is not None
    QTest.mouseClick(rows.viewport(), LEFT, pos=rows.visualRect(index).topLeft() + QPoint(60, 8))
    QApplication.sendEvent(rows, QEvent(QEvent.Type.Leave))
    return found


def cured_first(window: Window, qtbot: QtBot) -> None:
    cures = window.findings.cures
    qtbot.waitUntil(lambda: cures.found is not None, timeout=20_000)
    QTest.mouseClick(cures.box.buttons[0], LEFT)


def test_the_finding_that_the_keyboard_comes_to_is_shown_at_once(thin: Window) -> None:
    rows = thin.findings.list
    rows.setFocus(Qt.FocusReason.TabFocusReason)
    first = rows.finding_at(rows.currentIndex())
    assert thin.canvas._finding == first, "also the first one, on which Qt has put the cursor already"
    whole = thin.canvas.view
    QTest.keyClick(rows, Qt.Key.Key_Down)
    assert thin.canvas._finding == rows.finding_at(rows.currentIndex()) != first
    assert thin.canvas.view == whole, "nothing was looked at more closely"


def test_a_closer_look_follows_the_keyboard(thin: Window) -> None:
    rows, canvas = thin.findings.list, thin.canvas
    rows.setFocus(Qt.FocusReason.TabFocusReason)
    whole = canvas.view
    QTest.keyClick(rows, Qt.Key.Key_Return)
    for _ in range(3):
        QTest.keyClick(rows, Qt.Key.Key_Down)
        lit = rows.finding_at(rows.currentIndex())
        assert lit is not None
        assert lit.where is not None
        assert canvas._finding == lit
        assert {item.key for item in thin.session.selection} <= {part.key for part in lit.about}
        assert all(canvas.view.room.contains(canvas.view.to_screen(place)) for place in lit.where)
    thin.findings.back.click()
    assert canvas.view == whole


def test_a_cured_finding_leaves_nothing_red_and_the_way_back(thin: Window, qtbot: QtBot) -> None:
    canvas = thin.canvas
    whole = canvas.view
    looked = press_finding(thin, 0)
    assert canvas._finding == looked
    cured_first(thin, qtbot)
    shown = canvas._finding
    assert shown is not None
    assert (shown.check, shown.about, shown.level) == (looked.check, looked.about, Level.FINE)
    assert thin.findings.shows_way_back
    thin.findings.back.click()
    assert canvas._finding is None
    assert canvas.view == whole
    assert not thin.findings.shows_way_back


def test_whoever_fits_the_head_has_left_the_finding(thin: Window) -> None:
    press_finding(thin, 0)
    assert thin.canvas._finding is not None
    thin.made["fit"].trigger()
    assert thin.canvas._finding is None
    assert not thin.findings.shows_way_back


def test_a_finding_that_was_left_does_not_come_back_with_the_cure_of_another(
    thin: Window, qtbot: QtBot
) -> None:
    canvas = thin.canvas
    press_finding(thin, 1)
    thin.findings.back.click()
    canvas.zoom_to(Bounds(-10.0, 110.0, 10.0, 125.0))
    first = thin.session.scene.findings[0]
    thin.findings.cures.open(first)
    cured_first(thin, qtbot)
    assert canvas.has_left, "what has moved is shown"
    rows = thin.findings.list
    place = QPointF(rows.visualRect(rows.model().index(0, 0)).center())
    over = QMouseEvent(
        QEvent.Type.MouseMove, place, rows.viewport().mapToGlobal(place), NO_BUTTON, NO_BUTTON, NO_KEYS
    )
    QApplication.sendEvent(rows.viewport(), over)
    assert canvas._finding is not None, "the mouse points at a row"
    QApplication.sendEvent(rows, QEvent(QEvent.Type.Leave))
    assert canvas._finding is None


def test_full_screen_and_back(window: Window) -> None:
    window.made["full screen"].trigger()
    assert window.isFullScreen()
    window.made["full screen"].trigger()
    assert not window.isFullScreen()


# Dialogs


@pytest.mark.parametrize("key", ["preferences", "search", "how", "shortcuts", "log", "about", "output"])
def test_dialogs_open_and_close(
    window: Window, key: str, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    asked: list[QDialog] = []
    monkeypatch.setattr(Window, "ask", lambda self, dialog: asked.append(dialog))
    window.made[key].trigger()
    [dialog] = asked
    assert dialog.windowTitle()
    assert dialog.parent() is window
    dialog.close()
    dialog.deleteLater()


def test_what_is_this_asks_for_a_click(window: Window, qtbot: QtBot) -> None:
    from PySide6.QtWidgets import QWhatsThis

    window.made["what is this"].trigger()
    assert QWhatsThis.inWhatsThisMode()
    QWhatsThis.leaveWhatsThisMode()


# Drag and drop, recent builds


def dropped(window: Window, *paths: Path) -> bool:
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    event = QDropEvent(
        QPointF(10, 10),
        Qt.DropAction.CopyAction | Qt.DropAction.MoveAction,
        data,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.ShiftModifier,
    )
    assert event.proposedAction() is Qt.DropAction.MoveAction, "as a file manager proposes within one disk"
    event.ignore()
    window.dropEvent(event)
    assert event.dropAction() is Qt.DropAction.CopyAction or not event.isAccepted()
    return event.isAccepted()


def test_a_dropped_build_is_opened_and_nothing_else(opened: Opener, file: Path, tmp_path: Path) -> None:
    window = opened(start=True)
    assert not dropped(window, tmp_path / "photo.png")
    assert not dropped(window, file, file)
    assert not window.drawing
    assert dropped(window, file)
    assert window.session.path == file
    assert window.store.desk.recent == (str(file),)


def test_recent_builds_are_in_the_menu_and_can_be_forgotten(opened: Opener, file: Path) -> None:
    window = opened(start=True)
    window.store.keep_desk(window.store.desk.opened(file).opened(file.with_name("gone.pegwright")))
    window.recent_menu.aboutToShow.emit()
    gone, there, _, forget = window.recent_menu.actions()
    assert (gone.text(), gone.isEnabled()) == ("gone.pegwright", False)
    there.trigger()
    assert window.session.path == file
    forget.trigger()
    assert window.store.desk.recent == ()


def test_a_dragged_build_is_told_about_and_nothing_else(window: Window, file: Path, tmp_path: Path) -> None:
    for path, taken in ((tmp_path / "photo.png", False), (file, True)):
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(path))])
        event = QDragEnterEvent(
            QPoint(10, 10),
            Qt.DropAction.CopyAction,
            data,
            Qt.MouseButton.LeftButton,
            Qt.KeyboardModifier.NoModifier,
        )
        event.ignore()
        window.dragEnterEvent(event)
        assert event.isAccepted() == taken
    assert "three.pegwright" in window.status.currentMessage()


def test_the_name_is_asked_by_a_dialog(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("  Lark  ", True))
    assert window.ask_name() == "Lark"
    monkeypatch.setattr(QInputDialog, "getText", lambda *_, **__: ("Lark", False))
    assert window.ask_name() is None


@pytest.mark.qt_log_ignore("does not support")  # said by Qt's screenless platform only
def test_dialogs_are_waited_for_and_menus_pop_up(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QDialog, "exec", lambda self: QDialog.DialogCode.Accepted.value)
    assert window.ask(QDialog(window))
    menu = context_menu(window, None)
    window.pop_up(menu, QPoint(30, 40))
    assert menu.isVisible()
    menu.close()


# Settings


def test_the_system_is_followed_only_when_asked(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("app.window.shell.shade_of", lambda theme: "dark" if theme == "system" else theme)
    QGuiApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert window.canvas.look.name == "dark"
    window.store.keep(Settings(theme="light"))
    QGuiApplication.styleHints().colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert window.canvas.look.name == "light"


def test_the_desktops_contrast_is_followed_when_it_changes(
    window: Window, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.widgets.shades.contrast_wanted", lambda: True)
    hints = QGuiApplication.styleHints()
    hints.accessibility().contrastPreferenceChanged.emit(Qt.ContrastPreference.HighContrast)
    assert window.canvas.look.name == "light contrast"
    window.made["colours dark"].trigger()
    assert window.canvas.look.name == "dark"
    assert window.made["colours dark"].isChecked()
    assert not window.made["colours desktop"].isChecked()
    window.made["colours contrast"].trigger()
    assert window.canvas.look.name == "light contrast"
    assert window.store.settings.theme == "contrast"


def test_theme_and_size_of_type_are_put_on_at_once(window: Window, qapp: QApplication) -> None:
    window.store.keep(Settings(theme="dark"))
    dark = qapp.palette().window().color()
    size = qapp.font().pointSizeF()
    assert window.canvas.look.name == "dark"
    window.store.keep(Settings(theme="light", font_scale=1.5))
    assert qapp.palette().window().color() != dark
    assert window.canvas.look.name == "light"
    assert qapp.font().pointSizeF() == pytest.approx(1.5 * size)
    assert window.start.starters.cards == ()


def test_the_window_is_left_and_found_as_it_was(opened: Opener, store: SettingsStore) -> None:
    window = opened()
    window.resize(1200, 700)
    window.side.show_panel("strings")
    window.findings_dock.hide()
    assert window.close()
    later = opened(using=SettingsStore(store.config, store.state))
    assert later.side.name == "strings"
    assert later.side_dock.isVisible()
    assert not later.findings_dock.isVisible()


def test_spoilt_places_of_the_desk_do_no_harm(opened: Opener, store: SettingsStore) -> None:
    store.keep_desk(replace(store.desk, geometry="%%%", docks="AAAA", panel="cellar"))
    window = opened()
    assert window.side.name == "head"
    assert window.side_dock.isVisible()


def test_places_of_the_desk_that_were_cut_off_are_the_usual_ones(window: Window) -> None:
    sizes = []
    for geometry in ("", window.left_desk().geometry[:-7]):
        window.store.keep_desk(replace(window.store.desk, geometry=geometry))
        window.resize(600, 500)
        window.restore_desk()
        sizes.append(window.size())
    assert sizes[0] == sizes[1]


def test_everything_that_can_be_pressed_has_a_name_and_a_tip(window: Window) -> None:
    for name in PANELS:
        window.side.show_panel(name)
    for button in window.findChildren(QToolButton):
        if button.isVisibleTo(window) and not button.objectName().startswith("qt_"):
            assert button.accessibleName() or button.text(), button
            assert button.toolTip(), button.text()
    for action in window.made.values():
        assert action.toolTip()
        assert action.statusTip()


def test_every_action_that_can_be_done_does_not_fail(window: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Window, "ask", lambda self, dialog: dialog.close() and False)
    monkeypatch.setattr(window, "ask_name", lambda: None)
    monkeypatch.setattr(window.document, "ask_what_to_open", lambda: None)
    monkeypatch.setattr(window.document, "ask_where_to_save", lambda: None)
    monkeypatch.setattr("app.window.own_head.ask_drawing", lambda *_: None)
    for action in ACTIONS:
        if action.key not in {"quit", "what is this"}:
            window.show_drawing()
            window.made[action.key].trigger()


# Trouble


def test_an_exception_inside_keeps_the_build_and_says_a_sentence(
    window: Window, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    log = CrashLog(tmp_path / "log" / "log.txt", "0.0")
    name_it(window, "Kept")
    before = window.session.build
    window.log = log
    log.install(window.notices.went_wrong)
    try:
        raise_it = ZeroDivisionError("one by nothing")
        log.caught(type(raise_it), raise_it)
    finally:
        log.remove()
    assert "ZeroDivisionError: one by nothing" in window.notice.words
    assert "ZeroDivisionError" in log.read()
    assert "ZeroDivisionError" in capsys.readouterr().err
    assert window.session.build == before
    [kept] = (window.store.state / "recovery").glob("*.unsaved")
    assert b"Kept" in kept.read_bytes()
    assert [button.text() for button in window.notice.buttons] == ["Show the log"]


def test_a_file_that_cannot_be_read_leaves_the_first_page_with_a_sentence(
    opened: Opener, tmp_path: Path
) -> None:
    store = opened().store
    window = opened_window(store, CrashLog(tmp_path / "log.txt", "0"), tmp_path / "missing.pegwright")
    assert not window.drawing
    assert "missing.pegwright" in window.notice.words
    window.document.recovery.close()
    window.deleteLater()


def test_a_spoilt_shop_is_told(opened: Opener, store: SettingsStore) -> None:
    store.config.mkdir()
    store.shop_path.write_text("{}")
    window = opened(using=SettingsStore(store.config, store.state))
    assert "shop" in window.notice.words


def test_whoever_hides_the_rings_reads_how_they_come_back(window: Window) -> None:
    window.made["rings"].trigger()
    assert not window.canvas.rings_shown
    assert "Press A" in window.status.currentMessage()
    window.made["rings"].trigger()
    assert window.canvas.rings_shown
    assert window.status.currentMessage() == ""


def test_posts_that_a_cure_moved_out_of_view_are_shown(window: Window) -> None:
    canvas = window.canvas
    finding, before = window.session.scene.findings[0], window.session.scene.layout
    post = max(before.posts, key=lambda each: each.at.y)
    canvas.zoom_to(Bounds(-20.0, 0.0, 20.0, 20.0))
    window.session.act("Move", lambda build: move_post(build, post.key, 1.0, 0.0))
    assert not canvas.view.room.contains(canvas.view.to_screen(post.at))
    window.findings.cures.cured.emit(before, finding)
    assert canvas.view.room.contains(canvas.view.to_screen(post.at))
    assert window.findings.shows_way_back
