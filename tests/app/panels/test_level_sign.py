"""The sign of a level: its shape and its word, in the colours of its surroundings."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QFont, QPalette
from pytestqt.qtbot import QtBot

from app.canvas.look import DARK
from app.panels.level_sign import LevelSign
from geometry.checks.judge import Level
from tests.app.canvas.surroundings import holds
from tests.app.panels.hands import SCREENLESS, shown

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


@pytest.fixture
def sign(qtbot: QtBot) -> LevelSign:
    return shown(qtbot, LevelSign(), 60, 60)


def test_each_level_has_its_own(sign: LevelSign) -> None:
    pictures = []
    for level in Level:
        sign.show_level(level)
        pictures.append(sign.pixmap().toImage())
        assert sign.accessibleName() == level.name.title()
    assert pictures[0] != pictures[1] != pictures[2] != pictures[0]


def test_it_follows_colours_and_size_of_type(sign: LevelSign) -> None:
    palette = QPalette()
    palette.setColor(QPalette.ColorRole.Base, QColor("#101010"))
    sign.setPalette(palette)
    assert sign.pixmap().isNull()
    sign.show_level(Level.STOP)
    image = sign.pixmap().toImage()
    assert holds(image, DARK.stop, sign.pixmap().rect().center().toPointF(), 6)
    high = image.height()
    sign.setFont(QFont(sign.font().family(), 30))
    assert sign.pixmap().height() == sign.fontMetrics().height() > high
