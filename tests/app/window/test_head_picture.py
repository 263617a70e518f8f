"""The picture of a head is kept beside the build's file, and found there again."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QColor, QImage

from app.canvas.underlay import Underlay, read_underlay
from app.window.head_picture import picture_beside
from app.window.window import Window
from geometry.shape.bounds import Bounds
from tests.builds import plain_head

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

BOX = Bounds(-30.0, -5.0, 30.0, 180.0)


def picture() -> Underlay:
    image = QImage(60, 185, QImage.Format.Format_RGB888)
    image.fill(QColor("#804020"))
    return Underlay(image, BOX)


def test_saving_keeps_it_and_opening_finds_it(window: Window, file: Path) -> None:
    window.canvas.underlay = picture()
    assert window.document.save()
    beside = file.with_name("three.picture.png")
    assert picture_beside(file) == beside
    kept = read_underlay(beside.read_bytes())
    assert kept is not None
    assert kept.box == BOX
    window.session.start(plain_head())
    assert window.canvas.underlay is None
    assert window.document.open(file)
    assert window.canvas.underlay is not None
    assert window.canvas.underlay.box == BOX
    assert window.canvas.underlay_shown


def test_it_is_written_once_for_each_file(window: Window, file: Path) -> None:
    window.canvas.underlay = picture()
    assert window.document.save()
    written = picture_beside(file).stat().st_mtime_ns
    assert window.document.save()
    assert picture_beside(file).stat().st_mtime_ns == written


def test_a_picture_of_another_kind_is_left_alone(window: Window, file: Path) -> None:
    picture_beside(file).write_bytes(b"mine")
    window.canvas.underlay = picture()
    assert window.document.save()
    assert picture_beside(file).read_bytes() == b"mine"
    assert "is another picture" in window.notice.words
    assert window.document.open(file)
    assert window.canvas.underlay is None


def test_the_menu_shows_it_stronger_fainter_and_not(window: Window) -> None:
    names = ("picture", "picture stronger", "picture fainter")
    window.refresh()
    assert [window.made[name].isEnabled() for name in names] == [False] * 3
    window.canvas.underlay = picture()
    assert [window.made[name].isEnabled() for name in names] == [True] * 3
    assert window.made["picture"].isChecked()
    usual = window.canvas.strength
    window.made["picture stronger"].trigger()
    assert window.canvas.strength > usual
    window.made["picture fainter"].trigger()
    assert window.canvas.strength == usual
    window.made["picture"].trigger()
    assert not window.canvas.underlay_shown
    assert not window.made["picture"].isChecked()
