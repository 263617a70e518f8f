"""Windows on small screens."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QScreen
from PySide6.QtWidgets import QDialog
from pytestqt.qtbot import QtBot

from app.widgets.sizes import FRAME, fit


@pytest.mark.parametrize(("width", "height"), [(1366, 768), (1024, 600), (853, 533), (640, 400)])
def test_no_window_is_larger_than_the_screen_with_its_frame(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, width: int, height: int
) -> None:
    dialog = QDialog()
    qtbot.addWidget(dialog)
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(width, height))
    fit(dialog, 1240, 780)
    assert dialog.width() <= width - FRAME.width()
    assert dialog.height() <= height - FRAME.height()


def test_a_large_screen_gives_what_is_wanted(qtbot: QtBot, monkeypatch: pytest.MonkeyPatch) -> None:
    dialog = QDialog()
    qtbot.addWidget(dialog)
    monkeypatch.setattr(QScreen, "availableSize", lambda _: QSize(3840, 2160))
    fit(dialog, 1240, 780)
    assert dialog.size() == QSize(1240, 780)
