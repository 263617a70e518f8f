"""The panel keeps one width; in a narrow window the bench gets the room that its tables want, and gives it back."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QToolButton
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.nut_page import NutPage
from app.document.settings import SettingsStore
from app.window.side import PANELS
from app.window.window import Window
from tests.app.panels.hands import SCREENLESS, press, type_in
from tests.app.window.conftest import Opener

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def bench_of(window: Window) -> BenchPanel:
    window.made["panel bench"].trigger()
    panel = window.side.panel("bench")
    assert isinstance(panel, BenchPanel)
    return panel


def test_the_panel_keeps_one_width(window: Window, qtbot: QtBot) -> None:
    window.side.show_panel("head")
    qtbot.waitUntil(lambda: window.canvas.width() > 0)
    before, drawing = window.side_dock.width(), window.canvas.width()
    for name in PANELS:
        window.side.show_panel(name)
        qtbot.wait(20)
        assert (window.side_dock.width(), window.canvas.width()) == (before, drawing), name


def test_the_dock_grows_for_the_bench_of_a_narrow_window_and_shrinks_for_the_others(
    window: Window, qtbot: QtBot
) -> None:
    window.resize(900, 600)
    qtbot.waitUntil(lambda: window.narrow.is_narrow)
    window.side.show_panel("head")
    before = window.side_dock.width()
    assert window.side.comfortable_width == 0
    bench_of(window)
    qtbot.waitUntil(lambda: window.side_dock.width() >= window.side.comfortable_width)
    assert window.side_dock.width() > before
    assert window.canvas.width() > window.width() / 4
    window.side.show_panel("strings")
    qtbot.waitUntil(lambda: window.side_dock.width() == before)


def test_a_dock_that_is_wide_already_stays(window: Window, qtbot: QtBot) -> None:
    window.side.show_panel("head")
    window.resizeDocks([window.side_dock], [600], Qt.Orientation.Horizontal)
    qtbot.waitUntil(lambda: window.side_dock.width() == 600)
    bench_of(window)
    window.side.show_panel("head")
    qtbot.wait(20)
    assert window.side_dock.width() == 600


def test_a_small_window_keeps_its_drawing(window: Window, qtbot: QtBot) -> None:
    window.resize(680, 600)
    qtbot.waitUntil(lambda: window.width() == 680)
    window.side.show_panel("head")
    before = window.side_dock.width()
    bench_of(window)
    qtbot.waitUntil(lambda: window.side_dock.width() > before)
    assert window.side_dock.width() < window.side.comfortable_width
    assert window.canvas.width() >= 240
    window.side.show_panel("head")
    qtbot.waitUntil(lambda: window.side_dock.width() == before)


def test_the_bench_is_as_wide_as_before_in_a_window_that_is_made_wide_again(
    window: Window, qtbot: QtBot
) -> None:
    wide, before = window.width(), window.side_dock.width()
    window.resize(900, 600)
    qtbot.waitUntil(lambda: window.narrow.is_narrow)
    bench_of(window)
    window.resize(wide, 720)
    qtbot.waitUntil(lambda: not window.narrow.is_narrow)
    qtbot.waitUntil(lambda: window.side_dock.width() == before)
    window.resize(680, 600)
    window.resize(760, 600)
    qtbot.wait(20)
    assert window.canvas.width() >= 240


def test_what_is_typed_at_the_bench_is_undone_like_everything_else(
    window: Window, store: SettingsStore, qtbot: QtBot
) -> None:
    before = window.session.build
    panel = bench_of(window)
    press(panel.buttons["nut"])
    page = panel.page("nut")
    assert isinstance(page, NutPage)
    type_in(page.numbers["clearance_bass"], "0.7")
    assert window.made["undo"].text().endswith("change over fret 1, bass")
    window.made["undo"].trigger()
    assert window.session.build == before
    window.made["inches"].trigger()
    assert page.units == "inch"
    assert store.settings.units == "inch"
    assert page.numbers["clearance_bass"].text().endswith(" in")


def test_the_bench_is_there_again_at_the_next_start(
    window: Window, opened: Opener, store: SettingsStore, qtbot: QtBot
) -> None:
    bench_of(window)
    before = window.side_dock.width()
    assert window.close()
    later = opened(using=SettingsStore(store.config, store.state))
    assert later.side.name == "bench"
    qtbot.waitUntil(lambda: later.side_dock.width() == before)


def test_icons_alone_say_in_their_tips_what_the_panels_are_called(window: Window, qtbot: QtBot) -> None:
    window.resize(900, 600)
    qtbot.waitUntil(lambda: window.narrow.is_narrow)
    for button in window.side.findChildren(QToolButton):
        if button.icon().isNull():
            continue
        assert button.toolTip().startswith(button.accessibleName())
