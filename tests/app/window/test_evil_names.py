"""Names from a file do nothing in the window: no label, tip, menu or title takes them for mark-up or keys."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QAbstractListModel, QModelIndex, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QAbstractButton, QAbstractItemView, QLabel, QMessageBox, QWidget

from app.document.selection import Item
from app.window.side import PANELS
from app.window.window import Window
from geometry.document.codec import read_build, write_build
from tests.app.window.conftest import Opener
from tests.builds import eight_on_plates
from tests.evil_names import EVIL, named
from tests.geometry.trade.test_escapes import steers

MARKUP = EVIL["mark-up"]
TAG = "<b>bold</b>"
HOME = Path(__file__).parents[3]
SAMPLES = ("four-fan-plates", "bass-four-in-line")


def evil_build(name: str) -> bytes:
    """A build with plates, retainers, regions and old holes, in which everything bears this name."""
    plain = json.loads(write_build(eight_on_plates()))
    plain["keep_clear"] = [
        {"key": "k1", "name": "rod", "shape": {"shape": "circle", "centre": [0, 10], "radius": 3}}
    ]
    plain["retainers"] = [{"key": "g1", "at": [3, 20], "height": 5, "strings": []}]
    plain["old_holes"] = [{"key": "o1", "at": [10, 90], "diameter": 3, "depth": 8}]
    data = json.dumps(named(plain, name)).encode()
    read_build(data)
    return data


def tips(widget: QWidget) -> Iterator[str]:
    """Every tip of a widget, those of its rows too."""
    yield widget.toolTip()
    yield widget.whatsThis()
    if isinstance(widget, QAbstractItemView) and widget.model() is not None:
        model = widget.model()
        for row in range(model.rowCount(QModelIndex())):
            columns = 1 if isinstance(model, QAbstractListModel) else model.columnCount(QModelIndex())
            for column in range(columns):
                yield str(model.index(row, column).data(Qt.ItemDataRole.ToolTipRole) or "")


def taken_for_markup(top: QWidget) -> list[str]:
    """What shows the name with its mark-up at work."""
    found = []
    for widget in [top, *top.findChildren(QWidget)]:
        if isinstance(widget, QLabel) and widget.textFormat() is not Qt.TextFormat.PlainText:
            found += [f"{type(widget).__name__} {widget.text()}"] if TAG in widget.text() else []
        found += [f"tip of {type(widget).__name__}: {tip}" for tip in tips(widget) if TAG in tip]
    found += [f"action {each.text()}" for each in top.findChildren(QAction) if TAG in each.toolTip()]
    return found


def taken_for_keys(top: QWidget) -> list[str]:
    """Buttons and actions in which the sign of a name marks a key."""
    texts = [each.text() for each in top.findChildren(QAbstractButton)]
    texts += [each.text() for each in top.findChildren(QAction)]
    return [text for text in texts if "Save & quit" in text]


@pytest.fixture
def evil(opened: Opener, tmp_path: Path, request: pytest.FixtureRequest) -> Window:
    file = tmp_path / "evil & quit.pegwright"
    file.write_bytes(evil_build(request.param))
    window: Window = opened(start=True)
    assert window.document.open(file)
    return window


def rooms(window: Window) -> Iterator[None]:
    """Every panel, and every part selected."""
    build = window.session.build
    for name in PANELS:
        window.show_panel(name)
        yield
    window.show_panel("selected")
    for item in (Item("post", build.rows[0].posts[0].key), Item("retainer", "g1"), Item("region", "k1")):
        window.session.select((item,))
        yield
    window.recent_menu.aboutToShow.emit()
    window.show_start()
    yield


@pytest.mark.parametrize("evil", [MARKUP], indirect=True)
def test_no_name_is_taken_for_markup(evil: Window) -> None:
    seen = False
    for _ in rooms(evil):
        assert taken_for_markup(evil) == []
        seen = seen or any("&lt;b&gt;" in tip for each in evil.findChildren(QWidget) for tip in tips(each))
    assert seen, "somewhere the name is shown"


@pytest.mark.parametrize("evil", [EVIL["mnemonic"]], indirect=True)
def test_no_name_is_taken_for_a_key(evil: Window) -> None:
    for _ in rooms(evil):
        assert taken_for_keys(evil) == []


@pytest.mark.parametrize("evil", EVIL.values(), ids=EVIL, indirect=True)
def test_titles_and_questions_are_one_line(evil: Window, monkeypatch: pytest.MonkeyPatch) -> None:
    boxes: list[QMessageBox] = []

    def shown(box: QMessageBox) -> int:
        boxes.append(box)
        return 0

    monkeypatch.setattr(QMessageBox, "exec", shown)
    evil.document.ask_about_unsaved()
    evil.say(evil.session.build.name)
    evil.session.start(evil.session.build)
    [box] = boxes
    assert box.textFormat() is Qt.TextFormat.PlainText
    for text in (box.text(), evil.notice.words, evil.windowTitle()):
        assert not steers(text)
