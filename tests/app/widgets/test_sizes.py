"""Windows on small screens."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QScreen
from PySide6.QtWidgets import QDialog, QLabel, QLineEdit
from pytestqt.qtbot import QtBot

from app.widgets.kit import Form
from app.widgets.sizes import FRAME, fit

ROOT = Path(__file__).resolve().parents[3]


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


# The ends of Python and Qt are not asked here, only whether a screen that was collected crashes the next who asks.
COLLECTED = """
import gc, os
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from app.widgets.sizes import screen_of
application = QApplication([])
window = QWidget()
window.show()
for _ in range(3):
    screen_of(window)
    dialog = QDialog()
    dialog.itself = dialog
    screen_of(dialog)
    del dialog
    gc.collect()
    print(screen_of(window).size().width() > 0, QGuiApplication.primaryScreen().size().width() > 0, flush=True)
os._exit(0)
"""


def test_a_screen_outlives_the_dialogs_that_asked_for_it() -> None:
    done = subprocess.run(
        [sys.executable, "-c", COLLECTED], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout.splitlines()) == (0, ["True True"] * 3)


def test_nobody_asks_a_widget_for_its_screen() -> None:
    asking = [
        path for path in (ROOT / "app").rglob("*.py") if ".screen()" in path.read_text(encoding="utf-8")
    ]
    assert asking == [ROOT / "app" / "widgets" / "sizes.py"]


def test_no_word_of_a_label_is_cut_however_narrow_its_form(qtbot: QtBot) -> None:
    form = Form()
    qtbot.addWidget(form)
    field = form.add("Nut thickness", QLineEdit())
    field.setFixedWidth(120)
    form.resize(form.minimumSizeHint())
    form.show()
    (label,) = form.findChildren(QLabel)
    assert label.width() >= label.fontMetrics().horizontalAdvance("thickness")
    before = label.minimumWidth()
    font = label.font()
    font.setPointSizeF(2 * font.pointSizeF())
    label.setFont(font)
    assert label.minimumWidth() > 1.5 * before
