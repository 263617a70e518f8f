"""The picture of a head under the drawing: its colours, its place, and how much of it is seen."""

from __future__ import annotations

import math

import numpy as np
import pytest
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, Qt
from PySide6.QtGui import QColor, QImage, QImageWriter
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.underlay import STRENGTHS, USUAL, Underlay, moved, read_underlay, underlay_of, written
from app.document.session import Session
from geometry.intake.found import FacePicture
from geometry.intake.linear_light import coded_light, linear_light
from geometry.shape.bounds import Bounds
from geometry.shape.point import Point, Vector
from tests.app.canvas.surroundings import canvas_of, colours, holds
from tests.builds import plain_head, three_and_three

GREEN, PINK = "#00c000", "#ff40ff"
BOX = Bounds(-30.0, 20.0, 30.0, 80.0)


def two_halves() -> Underlay:
    """Green on the left, pink on the right."""
    image = QImage(60, 60, QImage.Format.Format_RGB888)
    image.fill(QColor(GREEN))
    for x in range(30, 60):
        for y in range(60):
            image.setPixelColor(x, y, QColor(PINK))
    return Underlay(image, BOX)


def laid_under(qtbot: QtBot) -> Canvas:
    canvas = canvas_of(Session(plain_head()))
    qtbot.addWidget(canvas)
    canvas.grid = False
    canvas.underlay = two_halves()
    while canvas.strength < 1.0:
        canvas.strengthen_underlay(1)
    return canvas


def test_coded_values_are_the_way_back_from_light() -> None:
    assert coded_light(linear_light()).tolist() == list(range(256))
    # sRGB, IEC 61966-2-1: half the light is 0.7354 of the value, 187.5.
    assert int(coded_light(np.array([0.501], np.float32))[0]) == 188
    assert coded_light(np.array([-1.0, 2.0], np.float32)).tolist() == [0, 255]


def test_the_middle_of_the_first_pixel_lies_where_the_reader_says() -> None:
    light = np.zeros((2, 3, 3), np.float32)
    light[0, 0, 0] = 1.0  # blue first
    light[1, 2, 2] = 1.0
    laid = underlay_of(FacePicture(light, left=1.0, top=5.0, fine=2.0))
    assert laid.box == Bounds(0.75, 4.25, 2.25, 5.25)
    assert laid.image.pixelColor(0, 0) == QColor("#0000ff")
    assert laid.image.pixelColor(2, 1) == QColor("#ff0000")


@pytest.mark.parametrize("zoom", [1.0, 3.0])
def test_it_lies_in_its_place_at_any_zoom(qtbot: QtBot, zoom: float) -> None:
    canvas = laid_under(qtbot)
    canvas.zoom_by(zoom, canvas.view.to_screen(Point(0.0, 50.0)))
    seen = colours(canvas)
    to_screen = canvas.view.to_screen
    assert holds(seen, GREEN, to_screen(Point(-2.0, 51.5)), 0)
    assert holds(seen, PINK, to_screen(Point(2.0, 51.5)), 0)
    if zoom == 1.0:
        assert not holds(seen, GREEN, to_screen(Point(-29.0, 82.0)), 0)
        assert holds(seen, GREEN, to_screen(Point(-29.0, 79.0)), 0)
        assert not holds(seen, PINK, to_screen(Point(31.5, 79.0)), 0)


def test_it_is_hidden_made_fainter_and_not_seen_from_behind(qtbot: QtBot) -> None:
    canvas = laid_under(qtbot)
    places = [canvas.view.to_screen(Point(2.0, 51.5))]
    canvas.underlay_shown = False
    assert not holds(colours(canvas), PINK, places[0], 0)
    for _ in range(2 * len(STRENGTHS)):
        canvas.strengthen_underlay(-1)
    assert canvas.strength == STRENGTHS[0]
    assert canvas.underlay_shown
    assert not holds(colours(canvas), PINK, places[0], 0)
    for _ in range(2 * len(STRENGTHS)):
        canvas.strengthen_underlay(1)
    assert canvas.strength == 1.0
    assert holds(colours(canvas), PINK, places[0], 0)
    canvas.set_side("back")
    assert not holds(colours(canvas), PINK, canvas.view.to_screen(Point(2.0, 51.5)), 3)


def test_it_goes_with_its_build(qtbot: QtBot) -> None:
    canvas = laid_under(qtbot)
    canvas.session.start(three_and_three())
    assert canvas.underlay is None
    assert not canvas.underlay_shown


def test_the_usual_strength_is_one_of_them() -> None:
    assert USUAL in STRENGTHS


def test_what_is_written_is_read_again() -> None:
    again = read_underlay(written(two_halves()))
    assert again is not None
    assert again.box == BOX
    assert again.image.size() == two_halves().image.size()
    assert again.image.pixelColor(5, 5) == QColor(GREEN)


@pytest.mark.parametrize("place", ["", "1 2 3", "0 0 nan 1", "0 0 inf 1", "5 0 1 9", "0 9 1 5", "a b c d"])
def test_a_picture_without_a_place_is_none(place: str) -> None:
    image = QImage(2, 2, QImage.Format.Format_RGB888)
    image.fill(0)
    image.setText("Place in millimetres", place)
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    assert QImageWriter(buffer, QByteArray(b"png")).write(image)
    assert read_underlay(bytes(buffer.data().data())) is None


@pytest.mark.parametrize("data", [b"", b"no picture", b"\x89PNG\r\n\x1a\n"])
def test_spoilt_pictures_are_none(data: bytes) -> None:
    assert read_underlay(data) is None
    assert read_underlay(written(two_halves())[:80]) is None


def test_a_picture_is_turned_and_moved_about_the_origin() -> None:
    """A red spot at 10, 20 mm, turned to the left by a quarter and moved by 1, 2, is at -20 + 1, 10 + 2."""
    image = QImage(400, 600, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.white)
    # Ten pixels a mm; left edge at -20 mm, top at 50 mm.
    for x in range(295, 306):
        for y in range(295, 306):
            image.setPixelColor(x, y, QColor("red"))
    there = moved(Underlay(image, Bounds(-20.0, -10.0, 20.0, 50.0)), math.pi / 2, Vector(1.0, 2.0))
    box = there.box
    assert (box.left, box.right) == pytest.approx((-49.0, 11.0), abs=0.11)
    assert (box.bottom, box.top) == pytest.approx((-18.0, 22.0), abs=0.11)

    def red(x: float, y: float) -> bool:
        colour = there.image.pixelColor(
            int((x - box.left) / box.width * there.image.width()),
            int((box.top - y) / box.height * there.image.height()),
        )
        return colour.green() < 100

    assert red(-19.0, 12.0)
    assert not red(-17.5, 12.0)
    assert not red(-19.0, 13.5)
