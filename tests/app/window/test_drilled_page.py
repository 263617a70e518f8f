"""The page that holds drilled holes against their plan, by a picture or by calipers."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QTableWidgetItem
from pytestqt.qtbot import QtBot

from app.document.files import load_build
from app.document.settings import Settings
from app.window.dialogs import show_drilled
from app.window.drilled_page import DrilledPage
from app.window.window import Window
from geometry.layout.layout import lay_out
from tests.sample_photo import MISSES

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

SAMPLES = Path(__file__).parents[3] / "sample_builds"
PHOTO, PLAN = SAMPLES / "photo-three-plus-three.jpg", SAMPLES / "three-plus-three.pegwright"
SOON = 60_000  # ms; the machine may be busy
BUILD = load_build(PLAN)
LAYOUT = lay_out(BUILD)


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> DrilledPage:
    made = DrilledPage(BUILD, LAYOUT, Settings(), tmp_path)
    qtbot.addWidget(made)
    made.show()
    return made


def by_calipers(page: DrilledPage) -> None:
    page.way.set_value("calipers")
    page.way.picked.emit("calipers")


def type_into(page: DrilledPage, row: int, column: int, words: str) -> None:
    page.tables.holes.setItem(row, column, QTableWidgetItem(words))


def press_find(page: DrilledPage) -> None:
    QTest.mouseClick(page.look, Qt.MouseButton.LeftButton)


def test_readings_tell_the_miss_and_accept_keeps_it(page: DrilledPage, qtbot: QtBot) -> None:
    by_calipers(page)
    assert page.tables.isVisible()
    assert not page.fields.choose.isVisible()
    press_find(page)
    assert page.foot.message.text() == "Type what the calipers read."
    # The first hole 0.6 mm to the right of its mark and 0.4 mm nearer to the nut: rims of 10 mm bores.
    first = LAYOUT.posts[0]
    type_into(page, 0, 1, f"{first.at.y - 0.4 - 5:.2f}")
    type_into(page, 0, 5, f"{abs(first.at.x + 0.6) - 5:.2f}")
    with qtbot.waitSignal(page.making.done, timeout=SOON):
        press_find(page)
    assert page.answer is not None
    (hit,) = page.answer.head.hits
    assert (hit.by.x, hit.by.y) == pytest.approx((0.6, -0.4), abs=0.02)
    assert f"Hole {first.label}: 0.6\N{NO-BREAK SPACE}mm right" in page.says.text()
    assert "Nothing proves the readings" in page.says.text()
    assert page.take.isEnabled()
    # Another reading is another question.
    type_into(page, 1, 1, "soon")
    assert page.answer is None
    assert not page.take.isEnabled()
    press_find(page)
    assert page.foot.message.text().startswith(f"Hole {LAYOUT.posts[1].label}: ")


def test_the_sample_photo_tells_its_misses(
    window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def answer(page: DrilledPage) -> bool:
        qtbot.addWidget(page)
        page.fields.show_picture(PHOTO)
        with qtbot.waitSignal(page.making.done, timeout=SOON):
            page.begin()
        return True

    window.document.start(BUILD)
    monkeypatch.setattr(window, "ask", answer)
    show_drilled(window)
    build, marks = window.session.build, {post.key: post.at for post in LAYOUT.posts}
    there = [post for post in lay_out(build).posts if post.post.drilled]
    assert len(there) == 4
    for post, (dx, dy) in zip(there, MISSES, strict=True):
        by = post.at - marks[post.key]
        assert (by.x, by.y) == pytest.approx((dx, dy), abs=0.3)
    assert window.canvas.underlay is not None
    # One act, and one undo.
    window.session.undo()
    assert window.session.build == BUILD


def test_without_a_plan_nothing_is_held_against_it(window: Window) -> None:
    window.document.start(replace(BUILD, rows=()))
    show_drilled(window)
    assert "held against a plan" in window.notice.words


def test_the_page_loads_no_library_of_pictures() -> None:
    code = (
        "import sys, app.window.window, app.window.drilled_page\n"
        "print(*sorted({'cv2', 'PIL', 'scipy'} & set(sys.modules)), end='')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == ""
