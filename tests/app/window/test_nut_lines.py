"""The nut line and the centre line dragged over a picture, by what a hand and a keyboard do."""

from __future__ import annotations

import math
from pathlib import Path

import cv2
import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.settings import Settings
from app.window.nut_lines import NutLines
from app.window.photo_page import PhotoPage
from geometry.document.outline_nodes import nodes_of
from geometry.intake.lines import Lines
from tests.geometry.intake.test_face_seen import BODY, DRAWN, FINE, drawn, tilted

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")  # said by Qt's screenless platform only

SOON = 60_000  # ms; the machine may be busy
ASKEW = Lines(2.0, 12.0, math.radians(3.0))
LEFT = Qt.MouseButton.LeftButton


@pytest.fixture
def page(qtbot: QtBot, tmp_path: Path) -> PhotoPage:
    """The page with a scan of a head that lies askew, its neck going out below, without a sheet."""
    file = tmp_path / "askew.png"
    assert cv2.imwrite(str(file), drawn(ASKEW))
    made = PhotoPage(Settings(), tmp_path)
    qtbot.addWidget(made)
    made.resize(1200, 900)
    made.show()
    made.fields.show_picture(file)
    made.fields.kind.set_value("scan")
    made.fields.kind.picked.emit("scan")
    made.fields.dpi.set_value(25.4 * FINE)
    return made


def look(page: PhotoPage, qtbot: QtBot) -> NutLines:
    with qtbot.waitSignal(page.making.done, timeout=SOON):
        QTest.mouseClick(page.show_lines, LEFT)
    qtbot.waitUntil(lambda: page.lines.isVisible(), timeout=SOON)
    return page.lines


def drag(lines: NutLines, one: QPointF, other: QPointF) -> None:
    """Press, move in steps and let go, as a hand does."""
    start, end = one.toPoint(), other.toPoint()
    QTest.mousePress(lines, LEFT, pos=start)
    for share in (0.3, 0.7, 1.0):
        between = start + (end - start) * share
        QTest.mouseMove(lines, QPoint(between.x(), between.y()))
    QTest.mouseRelease(lines, LEFT, pos=end)


def shown_at(lines: NutLines, across: float, along: float) -> QPointF:
    """Where a place of the head, in its own frame, is seen."""
    _, true = tilted()
    x, y = true.on_sheet(np.array([[across, along]]))[0]
    return lines.on_screen(float(x), float(y))


def test_lines_that_are_dragged_make_the_head(page: PhotoPage, qtbot: QtBot) -> None:
    lines = look(page, qtbot)
    drag(lines, lines.crossing, shown_at(lines, 0.0, 0.0))
    drag(lines, lines.knob, shown_at(lines, 0.0, 140.0))
    pixel = lines.width() and 170.0 / lines.height()  # mm, about
    _, true = tilted()
    found = lines.lines
    assert found is not None
    assert (found.x, found.y) == pytest.approx((true.x, true.y), abs=pixel)
    assert found.turn == pytest.approx(true.turn, abs=pixel / 100)
    with qtbot.waitSignal(page.accepted, timeout=SOON):
        QTest.mouseClick(page.read, LEFT)
    assert page.begun is not None
    build = page.begun.build
    assert build.nut.width == pytest.approx(42.0, abs=2 * DRAWN + pixel)
    places = np.array([(node.at.x, node.at.y) for node in nodes_of(build)])
    assert places[:, 1].max() == pytest.approx(BODY[:, 1].max(), abs=DRAWN + 2 * pixel)
    assert places[:, 0].max() == pytest.approx(-places[:, 0].min(), abs=DRAWN + 2 * pixel)
    assert any("where you showed them" in words for words in page.begun.words)


def test_a_line_goes_square_to_itself_and_by_arrow_keys(page: PhotoPage, qtbot: QtBot) -> None:
    lines = look(page, qtbot)
    begun = lines.lines
    assert begun is not None
    nut = lines.crossing + QPointF(70.0, 0.0)
    drag(lines, nut, nut + QPointF(20.0, -30.0))
    moved = lines.lines
    assert moved is not None
    assert moved.x == begun.x
    assert moved.y > begun.y + 1.0
    centre = lines.crossing + QPointF(0.0, -100.0)
    drag(lines, centre, centre + QPointF(25.0, -40.0))
    assert lines.lines is not None
    assert lines.lines.y == moved.y
    assert lines.lines.x > begun.x + 1.0
    for key, modifier, wanted in (
        (Qt.Key.Key_Right, Qt.KeyboardModifier.NoModifier, (0.1, 0.0, 0.0)),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.ShiftModifier, (0.0, -1.0, 0.0)),
        (Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier, (0.0, 0.0, math.radians(0.1))),
    ):
        before = lines.lines
        QTest.keyClick(lines, key, modifier)
        after = lines.lines
        off = (after.x - before.x, after.y - before.y, after.turn - before.turn)
        assert off == pytest.approx(wanted, abs=1e-9)


def test_what_is_beside_everything_is_gripped_by_nothing(page: PhotoPage, qtbot: QtBot) -> None:
    lines = look(page, qtbot)
    before = lines.lines
    away = lines.crossing + QPointF(60.0, -60.0)
    drag(lines, away, away + QPointF(30.0, 30.0))
    assert lines.lines == before


def test_lines_go_for_one_picture_and_can_be_left_out(page: PhotoPage, qtbot: QtBot) -> None:
    assert look(page, qtbot).lines is not None
    QTest.mouseClick(page.forget, LEFT)
    assert page.lines.lines is None
    assert not page.lines.isVisible()
    look(page, qtbot)
    assert page.fields.path is not None
    page.fields.show_picture(page.fields.path)
    assert page.lines.lines is None


def test_no_lines_are_shown_before_everything_is_told(page: PhotoPage) -> None:
    page.fields.kind.set_value("photo")
    page.fields.kind.picked.emit("photo")
    QTest.mouseClick(page.show_lines, LEFT)
    assert not page.making.busy
    assert page.foot.message.text()
