"""The page between the drawing of a head and the bench."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.settings import Settings
from app.window.own_head import OwnHeadPage
from app.window.start_screen import StartScreen
from geometry.document.outline_nodes import nodes_of
from tests.app.intake.drawings import circles, path, svg

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only


def page_of(qtbot: QtBot, file: Path) -> OwnHeadPage:
    made = OwnHeadPage(file, Settings(), "light")
    qtbot.addWidget(made)
    made.show()
    return made


def test_a_drawing_is_shown_and_its_fit_is_said(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "mine.svg"
    file.write_bytes(svg(path() + circles()))
    page = page_of(qtbot, file)
    assert page.build is not None
    assert page.build.nut.width == pytest.approx(44.0, abs=1e-3)
    assert len(page.build.old_holes) == 4
    assert "162.0 mm long and 44.0 mm wide at the nut" in page.words.text()
    assert not page.picture.pixmap().isNull()
    assert page.create_button.isEnabled()


def test_what_the_file_does_not_tell_is_asked(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "pixels.svg"
    file.write_bytes(svg(path() + circles(), ""))
    page = page_of(qtbot, file)
    assert page.build is None
    assert not page.create_button.isEnabled()
    assert page.words.text().startswith("The size of the head is not known: ")
    page.length.setFocus()
    qtbot.waitUntil(page.length.hasFocus)
    QTest.keyClicks(page.length, "162")
    QTest.keyClick(page.length, Qt.Key.Key_Return)
    assert page.isVisible()
    assert page.build is not None
    assert max(node.at.y for node in nodes_of(page.build)) == pytest.approx(162.0, abs=0.01)


def test_a_file_that_is_none_is_refused_on_the_page(qtbot: QtBot, tmp_path: Path) -> None:
    file = tmp_path / "broken.dxf"
    file.write_bytes(b"nothing")
    assert page_of(qtbot, file).words.text() == "The file is no DXF: it has no sections."


def test_the_first_page_offers_it(qtbot: QtBot) -> None:
    start = StartScreen("light")
    qtbot.addWidget(start)
    with qtbot.waitSignal(start.drawing_asked):
        QTest.mouseClick(start.own_cards[1], Qt.MouseButton.LeftButton)
