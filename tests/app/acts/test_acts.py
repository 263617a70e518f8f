"""From the first page to paper: one head by mouse and by keyboard alone, in at most 25 acts each.

The head: six strings, three a side, nut 45 mm, length 170 mm, a measured tuner, an outline of its own, no stop left,
saved, its PDF and its drill guide exported.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog, QToolButton
from pytestqt.qtbot import QtBot

from app.document.files import load_build
from app.output.output_dialog import OutputDialog
from app.panels.best_panel import BestPanel
from app.panels.hardware_form import HardwareForm
from app.panels.head_panel import HeadPanel
from app.panels.tuners_panel import TunersPanel
from app.window.command_search import CommandSearch
from app.window.new_build import NewBuildPage
from app.window.window import Window
from geometry.checks.judge import Level, findings, worst
from geometry.document.outline import Nodes
from geometry.document.outline_nodes import nodes_of
from geometry.document.twins import is_symmetric
from geometry.shape.point import Vector
from tests.app.acts.maker import ByKeyboard, ByMouse, Maker, worked
from tests.app.window.conftest import Opener, file, opened, store  # noqa: F401 - fixtures

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", "propagateSizeHints")

MOST_ACTS = 25
FREE, CONTROL, SHIFT = (
    Qt.KeyboardModifier.NoModifier,
    Qt.KeyboardModifier.ControlModifier,
    Qt.KeyboardModifier.ShiftModifier,
)
POST, HOLE, BORE = "6.2", "20.5", "10.2"
"""What the calipers say of the tuner, mm."""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where the system's file dialog puts everything, under the names that are proposed."""

    def chosen(_: object, title: str, proposed: str, *rest: object) -> tuple[str, str]:
        return str(tmp_path / Path(proposed).name), ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", chosen)
    return tmp_path


class Shop:
    """A window and the maker before it; `answers` are who works the next dialogs."""

    def __init__(self, window: Window, maker: Maker, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
        self.window, self.maker, self.qtbot = window, maker, qtbot
        self.answers: list[Callable[[Any], None]] = []
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        shop = self

        def executed(dialog: QDialog) -> int:
            result = worked(dialog, shop.answers.pop(0))
            # What lay beneath is in front again, as a desktop has it.
            parent = dialog.parentWidget()
            beneath = window if parent is None else parent.window()
            beneath.activateWindow()
            qtbot.waitUntil(beneath.isActiveWindow)
            return result

        monkeypatch.setattr(QDialog, "exec", executed)
        monkeypatch.setattr(Window, "ask", lambda _, dialog: executed(dialog) == QDialog.DialogCode.Accepted)

    # Dialogs

    def measure(self, form: HardwareForm) -> None:
        """Type what the calipers say."""
        by_path = {path: field for field, path in form.paths.items()}
        for path, text in (("post_diameter", POST), ("hole_height", HOLE), ("bore.through", BORE)):
            self.maker.type_in(by_path[path], text)
        self.maker.press(form.take)

    def begin(self, page: NewBuildPage) -> None:
        """Answer what matters about the starter."""
        self.maker.type_in(page.nut, "45")
        self.answers.insert(0, self.measure)
        self.maker.pick(page.hardware, "My own tuner, measured…")
        self.maker.press(page.create_button)

    def export(self, dialog: OutputDialog) -> None:
        """Save the PDF and the guide."""
        maker, qtbot = self.maker, self.qtbot
        qtbot.waitUntil(lambda: dialog.foot.save.isEnabled(), timeout=60_000)
        for button in (dialog.foot.save, dialog.machines.buttons[".3mf"]):
            maker.press(button)
            maker.name_file()
            qtbot.waitUntil(lambda: not dialog.writing.busy, timeout=60_000)
        maker.press(dialog.foot.close_button)

    # Panels

    def crowd(self) -> None:
        """Put the tuners too close together, which both sides take over."""
        panel = self.window.side.panel("tuners")
        assert isinstance(panel, TunersPanel)
        self.maker.type_in(panel.row_form.numbers.fields["pitch"], "16")

    def place_best(self) -> None:
        """Have the best placement found and take it."""
        panel = self.window.side.panel("best")
        assert isinstance(panel, BestPanel)
        assert worst(self.window.session.scene.findings) is Level.STOP, "there is something to cure"
        self.maker.press(panel.find_button)
        self.qtbot.waitUntil(lambda: panel.result.take.isVisible(), timeout=120_000)
        self.maker.press(panel.result.take)

    def head(self) -> HeadPanel:
        panel = self.window.side.panel("head")
        assert isinstance(panel, HeadPanel)
        return panel


def by_mouse(shop: Shop, maker: ByMouse) -> None:
    window = shop.window
    shop.answers = [shop.begin]
    maker.press(window.start.starters.cards[0])
    maker.type_in(shop.head().starter.fields["length"], "170")
    node = nodes_of(window.session.build)[1]
    maker.drag(window.canvas, node.at, Vector(-6.0, 0.0))
    maker.press(window.side._buttons["tuners"])
    shop.crowd()
    maker.press(window.side._buttons["best"])
    shop.place_best()
    assert window.toolbar is not None
    save, paper = (tool_button(window, key) for key in ("save", "output"))
    maker.press(save)
    maker.name_file()
    shop.answers = [shop.export]
    maker.press(paper)


def by_keyboard(shop: Shop, maker: ByKeyboard) -> None:
    window = shop.window
    shop.answers = [shop.begin]
    maker.press(window.start.starters.cards[0])
    window.show_panel("head")
    maker.type_in(shop.head().starter.fields["length"], "170")

    def free(search: CommandSearch) -> None:
        maker.type_in(search.field, "free the outline")

    shop.answers = [free]
    maker.key(window, Qt.Key.Key_F3, FREE, "find an action")
    node = nodes_of(window.session.build)[1].key
    maker.reach(window.canvas)
    for _ in range(len(nodes_of(window.session.build))):
        if any(item.key == node for item in window.session.selection):
            break
        window.canvas.focusNextPrevChild(True)
    maker.key(window.canvas, Qt.Key.Key_Left, SHIFT, "nudge the node by 1 mm")
    maker.key(window, Qt.Key.Key_3, CONTROL | SHIFT, "open the tuners")
    shop.crowd()
    maker.key(window, Qt.Key.Key_8, CONTROL | SHIFT, "open the best placement")
    shop.place_best()
    maker.key(window, Qt.Key.Key_S, CONTROL, "save")
    maker.name_file()
    shop.answers = [shop.export]
    maker.key(window, Qt.Key.Key_P, CONTROL, "print and export")


def tool_button(window: Window, key: str) -> Any:
    assert window.toolbar is not None
    return next(
        each
        for each in window.toolbar.findChildren(QToolButton)
        if each.defaultAction() is window.made[key] and each.isVisible()
    )


@pytest.mark.parametrize(
    ("maker", "way"), [(ByMouse(), by_mouse), (ByKeyboard(), by_keyboard)], ids=["mouse", "keys"]
)
def test_a_head_from_nothing_to_paper(
    opened: Opener,  # noqa: F811
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
    folder: Path,
    maker: Maker,
    way: Callable[[Shop, Any], None],
) -> None:
    window = opened(start=True)
    shop = Shop(window, maker, qtbot, monkeypatch)
    QApplication.processEvents()
    way(shop, maker)
    kept = [path for path in folder.glob("*.pegwright") if path.stem != "three"]
    build = load_build(kept[0])
    assert (build.nut.width, [len(row.posts) for row in build.rows]) == (45.0, [3, 3])
    assert len(build.strings) == 6
    (tuner,) = build.hardware
    assert (str(tuner.post_diameter), str(tuner.hole_height), str(tuner.bore.through)) == (POST, HOLE, BORE)
    assert isinstance(build.outline, Nodes)
    assert is_symmetric(build)
    assert 160.0 < max(node.at.y for node in build.outline.nodes) <= 170.0
    assert worst(findings(build)) is not Level.STOP
    (pdf,) = folder.glob("*.pdf")
    assert len(pypdfium2.PdfDocument(pdf)) >= 3
    (guide,) = folder.glob("*.3mf")
    assert guide.read_bytes()[:2] == b"PK"
    assert not shop.answers
    assert len(maker.acts) <= MOST_ACTS, maker.told
