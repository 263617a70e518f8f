"""The printed guide in its window: it turns, and says what it is."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document.scene import Scene
from app.output.guide_dialog import ABOUT, TILT, GuideDialog, GuideView
from geometry.trade.shop import Shop
from tests.app.output.printed import SOON, job_of
from tests.builds import change

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


def opened(qtbot: QtBot, scene: Scene, shop: Shop, **fields: object) -> GuideDialog:
    dialog = GuideDialog(job_of(scene, shop, **fields))
    qtbot.addWidget(dialog, before_close_func=lambda widget: widget.reject())
    dialog.show()
    qtbot.waitUntil(lambda: not dialog.making.busy, timeout=SOON)
    return dialog


def ink(view: GuideView) -> int:
    """How many pixels are of plastic."""
    image = view.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    seen = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), image.bytesPerLine())
    ground = seen[0, :4]
    return int((seen.reshape(image.height(), -1, 4)[:, : image.width()] != ground).any(axis=2).sum())


def test_it_is_turned_by_mouse_and_keys(qtbot: QtBot, sound: Scene, shop: Shop) -> None:
    dialog = opened(qtbot, sound, shop)
    view = dialog.view
    first = ink(view)
    assert first > 10_000
    QTest.mousePress(view, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    QTest.mouseMove(view, QPoint(160, 80))
    QTest.mouseRelease(view, Qt.MouseButton.LeftButton, pos=QPoint(160, 80))
    assert view.about > ABOUT
    assert view.tilt > TILT
    assert ink(view) != first
    QTest.keyClick(view, Qt.Key.Key_Home)
    assert (view.about, view.tilt) == pytest.approx((ABOUT, TILT))
    for _ in range(9):
        QTest.keyClick(view, Qt.Key.Key_Right)
    QTest.keyClick(view, Qt.Key.Key_Space)
    assert (view.about, view.tilt) == pytest.approx((ABOUT + math.pi / 2, TILT + math.pi))
    assert ink(view) > 10_000


def test_its_size_and_holes_are_told(qtbot: QtBot, sound: Scene, shop: Shop) -> None:
    plain = opened(qtbot, sound, shop)
    assert "Holes for a pilot bit of 2 mm" in plain.words.text()
    bushed = opened(qtbot, sound, shop, guide_bushing=6.0)
    assert "in two" not in bushed.words.text()
    assert "Holes for metal bushings of 6 mm outside." in bushed.words.text()


def test_two_pieces_and_none_are_told(qtbot: QtBot, sound: Scene, shop: Shop) -> None:
    small = change(shop, bed_width=120.0, bed_depth=130.0)
    halves = opened(qtbot, sound, small)
    assert "it comes in two, joined by dowels 3 mm thick and 24 mm long." in halves.words.text()
    tiny = change(shop, bed_width=50.0, bed_depth=50.0)
    none = opened(qtbot, sound, tiny)
    assert none.words.text() == ("guide: Even in two pieces the guide is larger than the bed of the printer.")
