"""One page at a time, worked out when the hand rests and only while it is in sight."""

from __future__ import annotations

from functools import partial

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QTableWidget, QWidget
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import PAGES, REST, BenchPanel, page_words
from app.bench.page import Page
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from geometry.document.edits import move_post, rename
from tests.app.bench.conftest import Maker
from tests.app.panels.hands import SCREENLESS, press, shown
from tests.builds import eight_on_plates, plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


class Watched:
    """Counts how often a page works its values out."""

    def __init__(self, page: Page, monkeypatch: pytest.MonkeyPatch) -> None:
        self.scenes: list[Scene] = []
        work = page.show_values

        def show_values(scene: Scene) -> None:
            self.scenes.append(scene)
            work(scene)

        monkeypatch.setattr(page, "show_values", show_values)


def test_pages_are_chosen_by_their_buttons(bench: Maker) -> None:
    panel = bench(three_and_three(), "strings")
    for name in PAGES:
        press(panel.buttons[name])
        assert panel.name == name
        assert [each for each in PAGES if panel.page(each).isVisible()] == [name]
        assert panel.buttons[name].isChecked()
        assert panel.buttons[name].text() == page_words(name)[0]


@pytest.mark.parametrize("page", PAGES)
@pytest.mark.parametrize("build", [three_and_three, plain_head], ids=["tuners", "bare"])
def test_every_control_has_a_name_and_a_tooltip(bench: Maker, build: object, page: str) -> None:
    assert callable(build)
    panel = bench(build(), page)
    kinds = (QAbstractButton, QComboBox, QLineEdit, QTableWidget)
    controls = [each for kind in kinds for each in panel.page(page).findChildren(kind)]
    inner = [each for each in controls if isinstance(each.parent(), QTableWidget | QComboBox)]
    own: list[QWidget] = [each for each in controls if each not in inner]
    assert own
    for control in own:
        assert control.accessibleName(), control
        assert control.toolTip(), control


def test_many_changes_are_worked_out_once_after_a_rest(
    bench: Maker, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = bench(three_and_three(), "balance")
    seen = Watched(panel.page("balance"), monkeypatch)
    session, post = panel.session, panel.session.build.rows[0].posts[0].key
    for step in range(5):
        session.preview(move_post(session.build, post, 0.0, -0.1 * step))
        QTest.qWait(REST // 5)
    assert seen.scenes == []
    qtbot.waitUntil(lambda: len(seen.scenes) == 1)
    assert seen.scenes == [session.scene]
    session.commit("Move post")
    qtbot.waitUntil(lambda: len(seen.scenes) == 2)
    QTest.qWait(2 * REST)
    assert len(seen.scenes) == 2


def test_pages_out_of_sight_are_left_alone_until_they_are_shown(
    bench: Maker, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = bench(three_and_three(), "cradle")
    panel.show_page("balance")
    seen = Watched(panel.page("cradle"), monkeypatch)
    panel.session.act("Rename", partial(rename, name="other"))
    QTest.qWait(2 * REST)
    assert seen.scenes == []
    panel.show_page("cradle")
    assert seen.scenes == [panel.session.scene]
    panel.show_page("balance")
    panel.show_page("cradle")
    assert len(seen.scenes) == 1


def test_a_hidden_panel_works_nothing_out(bench: Maker, monkeypatch: pytest.MonkeyPatch) -> None:
    panel = bench(three_and_three(), "strength")
    seen = Watched(panel.page("strength"), monkeypatch)
    panel.hide()
    panel.session.act("Rename", partial(rename, name="other"))
    panel._store.keep(panel._store.settings.in_units("inch"))
    QTest.qWait(2 * REST)
    assert seen.scenes == []
    panel.show()
    assert seen.scenes == [panel.session.scene]


def test_the_shop_and_the_units_are_followed(
    bench: Maker, store: SettingsStore, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel = bench(three_and_three(), "nut")
    seen = Watched(panel.page("nut"), monkeypatch)
    store.keep_shop(replace(store.settings.shop, nut_files=(0.3, 1.0)))
    qtbot.waitUntil(lambda: len(seen.scenes) == 1)
    panel.set_units("inch")
    qtbot.waitUntil(lambda: len(seen.scenes) == 2)
    assert panel.page("nut").shop.units == "inch"


def test_the_buttons_stay_over_the_page_while_it_scrolls(bench: Maker) -> None:
    panel = bench(three_and_three(), "nut")
    panel.resize(396, 300)
    panel.verticalScrollBar().setValue(200)
    assert panel.verticalScrollBar().value() == 200
    button = panel.buttons["nut"]
    assert button.visibleRegion().boundingRect().size() == button.size()
    before = panel._chooser.height()
    font = panel.font()
    font.setPointSizeF(2 * font.pointSizeF())
    panel.setFont(font)
    assert panel._chooser.height() > before
    assert panel.viewportMargins().top() == panel._chooser.height()
    panel.show_page("strings")
    assert panel.verticalScrollBar().value() == 0


def test_each_page_fits_its_panel(bench: Maker) -> None:
    for build in (three_and_three(), eight_on_plates(), plain_head()):
        panel = bench(build, "strings")
        for name in PAGES:
            panel.show_page(name)
            QTest.qWait(1)
            body = panel.widget()
            assert body is not None
            assert body.width() == panel.viewport().width()
            for table in panel.page(name).findChildren(QTableWidget):
                if table.isVisible():
                    wide = sum(table.columnWidth(place) for place in range(table.columnCount()))
                    assert wide <= table.viewport().width(), (name, table.accessibleName())


def test_a_panel_begins_with_its_first_page(qtbot: QtBot, store: SettingsStore) -> None:
    panel = BenchPanel(Session(three_and_three()), "mm", store)
    assert panel.name == PAGES[0]
    shown(qtbot, panel)
    assert panel.page(PAGES[0]).isVisible()
    panel.buttons["strength"].setFocus()
    QTest.keyClick(panel.buttons["strength"], Qt.Key.Key_Space)
    assert panel.name == "strength"
