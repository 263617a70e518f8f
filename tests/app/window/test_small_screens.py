"""Every window, panel and dialog on small screens: no control lies outside, is squeezed or covered.

The screens are 1024 x 600, and 1280 x 800 at 1.5 and 2.0, less what a desktop puts round a window.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtGui import QScreen
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QSlider,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.canvas.calibrate import Calibration
from app.canvas.look import LIGHT
from app.document.settings import SettingsStore
from app.output.compare_dialog import CompareDialog
from app.output.output_dialog import OutputDialog
from app.output.printer_dialog import PrinterDialog
from app.output.widths_dialog import WidthsDialog
from app.panels.hardware_form import HardwareForm
from app.widgets.fields import Choice
from app.widgets.sizes import FRAME
from app.window.command_search import CommandSearch, keys_html
from app.window.drilled_page import DrilledPage
from app.window.help import Page, how_html
from app.window.narrow import LEAST_DRAWING
from app.window.new_build import NewBuildPage
from app.window.photo_page import PhotoPage
from app.window.preferences import PreferencesDialog
from app.window.side import PANELS
from app.window.window import Window
from geometry.layout.layout import lay_out
from geometry.trade.shop import default_shop
from tests.app.window.conftest import Opener
from tests.builds import laden_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints", "raise", "grabbing")

SCREENS = [QSize(1024, 600), QSize(853, 533), QSize(640, 400)]
CONTROLS = (QAbstractButton, QComboBox, QLineEdit, QPlainTextEdit, QSlider)
SLACK = 1  # pixels, for what styles round


@pytest.fixture(params=SCREENS, ids=lambda size: f"{size.width()}x{size.height()}")
def screen(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> QSize:
    """A small screen; windows take their sizes from it."""
    size: QSize = request.param
    monkeypatch.setattr(QScreen, "availableSize", lambda _: size)
    return size


def room(screen: QSize) -> QSize:
    return screen - FRAME


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


# What is looked for


def troubles(window: QWidget) -> list[str]:
    """Every control that cannot be seen whole or be scrolled to, as a sentence."""
    controls = [each for kind in CONTROLS for each in window.findChildren(kind) if is_there(each)]
    found = [words for each in controls for words in (*squeezed(each), *outside(each, window))]
    return found + list(covered(controls, window))


def is_there(control: QWidget) -> bool:
    """Shown, and no part of another control such as the line of a combo box."""
    parent = control.parentWidget()
    inner = isinstance(parent, (QComboBox, QLineEdit)) or control.objectName().startswith("qt_")
    return control.isVisible() and not inner and not control.visibleRegion().isNull() | in_scroll(control)


def in_scroll(control: QWidget) -> bool:
    return scroll_of(control) is not None


def scroll_of(control: QWidget) -> QScrollArea | None:
    parent = control.parentWidget()
    while parent is not None and not isinstance(parent, QScrollArea):
        parent = None if parent.isWindow() else parent.parentWidget()
    return parent


def content_of(scroll: QScrollArea) -> QWidget:
    content = scroll.widget()
    assert content is not None, "it scrolls something"
    return content


def squeezed(control: QWidget) -> Iterator[str]:
    least = control.minimumSizeHint()
    if control.width() + SLACK < least.width() or control.height() + SLACK < least.height():
        yield f"{told(control)} has {control.size()} and needs {least}"


def outside(control: QWidget, window: QWidget) -> Iterator[str]:
    """Beyond its window; or beyond what a scroll area around it can bring into view, which is outside itself not."""
    scroll = scroll_of(control)
    if scroll is None:
        if not grown(window.rect()).contains(area(control, window)):
            yield f"{told(control)} lies at {area(control, window)}, outside of {window.rect()}"
        return
    content, view = content_of(scroll), scroll.viewport()
    across = scroll.horizontalScrollBarPolicy() == Qt.ScrollBarPolicy.ScrollBarAlwaysOff
    seen = QRect(0, 0, min(content.width(), view.width()) if across else content.width(), content.height())
    if not grown(seen).contains(area(control, content)):
        yield f"{told(control)} lies at {area(control, content)}, scrolled over {seen}"
    yield from outside(scroll, window)


def covered(controls: list[QWidget], window: QWidget) -> Iterator[str]:
    """Controls over each other, among those that scroll together."""
    for one, other in combinations(controls, 2):
        scroll = scroll_of(one)
        apart = scroll is not scroll_of(other) or one.isAncestorOf(other) or other.isAncestorOf(one)
        content = window if scroll is None else content_of(scroll)
        if not apart and area(one, content).adjusted(1, 1, -1, -1).intersects(area(other, content)):
            yield f"{told(one)} and {told(other)} cover each other"


def area(part: QWidget, within: QWidget) -> QRect:
    return QRect(part.mapTo(within, QPoint(0, 0)), part.size())


def grown(rect: QRect) -> QRect:
    return rect.adjusted(-SLACK, -SLACK, SLACK, SLACK)


def told(part: QWidget) -> str:
    words = part.accessibleName() or (part.text() if isinstance(part, QAbstractButton) else "")
    return f"{type(part).__name__} {words!r}"


def test_what_is_wrong_is_seen(qtbot: QtBot) -> None:
    window = QWidget()
    qtbot.addWidget(window)
    window.resize(300, 200)
    for name, at, size in [
        ("outside", QPoint(280, 10), QSize(80, 30)),
        ("under", QPoint(10, 100), QSize(90, 30)),
        ("over", QPoint(50, 110), QSize(90, 30)),
        ("squeezed", QPoint(10, 50), QSize(20, 8)),
    ]:
        button = QToolButton(window)
        button.setText(name)
        button.move(at)
        button.resize(size)
    window.show()
    found = troubles(window)
    assert [sum(name in words for words in found) for name in ("outside", "under", "squeezed")] == [1, 1, 1]


# The window


@pytest.fixture
def small(opened: Opener, screen: QSize) -> Window:
    """The window, as large as the screen allows."""
    window = opened()
    window.session.start(laden_head())
    window.resize(room(screen))
    settle()
    assert window.size() == room(screen)
    return window


def test_the_drawing_has_room_beside_every_panel(small: Window) -> None:
    for name in PANELS:
        small.show_panel(name)
        settle()
        assert small.canvas.width() >= LEAST_DRAWING, name
        assert troubles(small) == [], name


def test_the_findings_shrink_to_their_verdict_and_open_again(small: Window) -> None:
    assert not small.findings_dock.isVisible()
    assert small.verdict.isVisible()
    assert small.verdict.sentence.text() == small.findings.sentence.text()
    small.verdict.open.click()
    settle()
    assert small.findings_dock.isVisible()
    assert not small.verdict.isVisible()
    assert small.canvas.width() >= LEAST_DRAWING
    assert troubles(small) == []
    small.show_panel("head")
    assert not small.findings_dock.isVisible()


def test_a_second_press_puts_a_panel_away(small: Window) -> None:
    small.show_panel("head")
    settle()
    beside = small.canvas.width()
    small.side.press("head")
    settle()
    folded = small.canvas.width()
    assert folded > beside + 150
    small.side.press("head")
    settle()
    assert LEAST_DRAWING <= small.canvas.width() < folded - 150


def test_the_way_to_paper_stays_in_sight_and_the_rest_behind_an_arrow(small: Window) -> None:
    assert small.toolbar is not None
    buttons = [each for each in small.toolbar.findChildren(QToolButton) if each.isVisible()]
    (paper,) = (each for each in buttons if each.defaultAction() is small.made["output"])
    assert grown(small.rect()).contains(area(paper, small))
    shown = {each.defaultAction() for each in buttons}
    arrows = [each for each in buttons if each.objectName() == "qt_toolbar_ext_button"]
    assert bool(arrows) == (small.made["snap"] not in shown)
    if small.width() < 700:
        assert arrows
        assert grown(small.rect()).contains(area(arrows[0], small))


def test_no_arrow_stays_over_buttons_that_fit_again(small: Window, qtbot: QtBot) -> None:
    bar = small.toolbar
    assert bar is not None
    for width in (1280, 837, 900, 1100, 624, 837, 1280):
        small.resize(width, 500)
        qtbot.waitUntil(lambda: troubles(bar) == [])
        buttons = [each for each in bar.findChildren(QToolButton) if each.isVisible()]
        hidden = small.made["snap"] not in {each.defaultAction() for each in buttons}
        assert any(each.objectName() == "qt_toolbar_ext_button" for each in buttons) == hidden, width


def test_the_switch_of_symmetry_is_in_sight(small: Window) -> None:
    assert small.toolbar is not None
    buttons = [each for each in small.toolbar.findChildren(QToolButton) if each.isVisible()]
    (switch,) = (each for each in buttons if each.defaultAction() is small.made["symmetric"])
    assert grown(small.rect()).contains(area(switch, small))


def test_a_wide_window_has_everything_back(small: Window) -> None:
    small.resize(1280, 800)
    settle()
    assert small.findings_dock.isVisible()
    assert not small.verdict.isVisible()
    assert not small.narrow.is_narrow


def test_the_first_page_fits(opened: Opener, screen: QSize) -> None:
    window = opened(start=True)
    window.resize(room(screen))
    settle()
    assert window.size() == room(screen)
    assert troubles(window) == []


# Dialogs


def dialogs(window: QWidget, store: SettingsStore, tmp_path: Path) -> Iterator[QDialog]:
    build, shop = laden_head(), default_shop()
    window_ = window
    assert isinstance(window_, Window)
    yield NewBuildPage("straight-taper", store.settings, "light")
    yield PhotoPage(store.settings, tmp_path)
    yield DrilledPage(three_and_three(), lay_out(three_and_three()), store.settings, tmp_path)
    yield OutputDialog(window_.session.scene, shop, store.keep_shop, folder=tmp_path, per_mm=4.0)
    yield WidthsDialog(three_and_three(), shop, units="mm", folder=tmp_path, per_mm=4.0)
    yield CompareDialog(build, shop, units="mm", saved=None, folder=tmp_path, ask_file=lambda: None)
    yield PreferencesDialog(store)
    yield PrinterDialog(shop, "A4", "", [], lambda shop, name: None)
    yield HardwareForm(build.hardware[0], "mm")
    yield CommandSearch(window_.made)
    yield Calibration(4.0, LIGHT)
    yield Page("How this works", how_html())
    yield Page("Keys", keys_html())


def areas(dialog: QWidget) -> list[QScrollArea]:
    """What scrolls in a dialog and can be seen."""
    return [area for area in dialog.findChildren(QScrollArea) if area.isVisible()]


def test_every_dialog_fits(
    opened: Opener, store: SettingsStore, tmp_path: Path, screen: QSize, qtbot: QtBot
) -> None:
    wrong = []
    for dialog in dialogs(opened(), store, tmp_path):
        dialog.show()
        settle()
        name = type(dialog).__name__
        size = dialog.size()
        if size.width() > room(screen).width() or size.height() > room(screen).height():
            wrong.append(f"{name} takes {size}")
        wrong += [f"{name}: {words}" for words in troubles(dialog)]
        wrong += [
            f"{name} scrolls sideways" for area in areas(dialog) if area.horizontalScrollBar().maximum()
        ]
        dialog.reject()
        dialog.close()
        dialog.deleteLater()
    assert wrong == [], "\n".join(wrong)


def test_columns_stand_above_each_other_only_where_they_must(
    opened: Opener, store: SettingsStore, tmp_path: Path, screen: QSize
) -> None:
    opened()
    page = DrilledPage(three_and_three(), lay_out(three_and_three()), store.settings, tmp_path)
    page.show()
    settle()
    left, right = page.way, page.right
    stacked = area(right, page).top() > area(left, page).bottom()
    assert stacked == (room(screen).width() < 700)
    if stacked:
        page._bring(page.right)
        settle()
        assert grown(page.rect()).contains(area(page.right, page).topLeft())
    page.reject()
    page.deleteLater()


def test_a_dialog_at_work_does_not_outgrow_the_screen(screen: QSize, tmp_path: Path, qtbot: QtBot) -> None:
    dialog = WidthsDialog(three_and_three(), default_shop(), units="mm", folder=tmp_path, per_mm=4.0)
    qtbot.addWidget(dialog, before_close_func=lambda widget: widget.reject())
    dialog.show()
    dialog.foot.begin("Working out nut width after nut width")
    dialog.foot._show_working()
    settle()
    # As it is told that all is there, a moment before the bar goes.
    dialog.foot.say("")
    dialog.foot.progress.show()
    dialog.foot.stop.show()
    settle()
    assert dialog.foot.progress.isVisible()
    assert dialog.width() <= room(screen).width()
    assert troubles(dialog.foot) == []


def test_the_page_is_seen_whole_without_scrolling(
    opened: Opener, store: SettingsStore, tmp_path: Path
) -> None:
    window = opened()
    scene = window.session.scene
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(QScreen, "availableSize", lambda _: QSize(853, 533))
        dialog = OutputDialog(scene, default_shop(), store.keep_shop, folder=tmp_path, per_mm=4.0)
        dialog.show()
        settle()
    assert grown(dialog.rect()).contains(area(dialog.pages, dialog))
    dialog.reject()
    dialog.deleteLater()


def test_names_of_strings_and_tuners_are_not_cut_short(
    store: SettingsStore, screen: QSize, qtbot: QtBot
) -> None:
    page = NewBuildPage("one-sided", store.settings, "light")
    qtbot.addWidget(page)
    page.show()
    settle()
    for box in (page.strings, page.hardware):
        for place in range(box.count()):
            box.setCurrentIndex(place)
            settle()
            assert box.shown_words == box.currentText()


def test_no_list_of_a_panel_or_a_page_is_cut_short(
    small: Window, store: SettingsStore, tmp_path: Path, qtbot: QtBot
) -> None:
    page = PhotoPage(store.settings, tmp_path)
    qtbot.addWidget(page)
    page.show()
    page.fields.kind.set_value("flat")
    for name in PANELS:
        small.show_panel(name)
        settle()
        for box in (*small.side.panel(name).findChildren(Choice), *page.findChildren(Choice)):
            if box.isVisible() and box.currentText():
                assert box.shown_words == box.currentText(), (name, box.accessibleName())


def test_the_page_is_beside_its_options_even_on_the_smallest_screen(
    opened: Opener, store: SettingsStore, tmp_path: Path, screen: QSize
) -> None:
    scene = opened().session.scene
    dialog = OutputDialog(scene, default_shop(), store.keep_shop, folder=tmp_path, per_mm=4.0)
    dialog.show()
    settle()
    preview = area(dialog.pages.preview, dialog)
    assert grown(dialog.rect()).contains(preview)
    assert preview.width() >= 190
    dialog.reject()
    dialog.deleteLater()
