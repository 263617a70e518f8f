"""Tags of measures: inside the room, clear of each other, off the places they belong to."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.look import LIGHT
from app.canvas.view import View
from app.tools.painting import Tag, paint_tags
from geometry.shape.point import Point, Vector

VIEW = View(Point(0.0, 50.0), 4.0, 400.0, 300.0, ruler=20.0)
BEHIND = View(Point(0.0, 50.0), 4.0, 400.0, 300.0, ruler=20.0, mirrored=True)


def painted(*tags: Tag, view: View = VIEW) -> QImage:
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.magenta)
    painter = QPainter(image)
    paint_tags(painter, tags, view, LIGHT)
    painter.end()
    return image


def covered(image: QImage) -> list[QPointF]:
    bare = QColor(Qt.GlobalColor.magenta).rgb()
    return [
        QPointF(x, y)
        for x in range(image.width())
        for y in range(image.height())
        if image.pixel(x, y) != bare
    ]


def test_a_tag_that_would_cover_another_is_left_out(qtbot: QtBot) -> None:
    first = Tag(Point(0.0, 50.0), ("12.5 mm", "moved 3 mm"))
    assert painted(first, Tag(Point(1.0, 50.0), ("9 mm",))) == painted(first)
    assert painted(first, Tag(Point(-40.0, 70.0), ("9 mm",))) != painted(first)


@pytest.mark.parametrize("at", [Point(-500.0, 500.0), Point(500.0, -500.0), Point(0.0, 50.0)])
def test_tags_stay_in_the_room(qtbot: QtBot, at: Point) -> None:
    places = covered(painted(Tag(at, ("12.5 mm",))))
    assert min(place.x() for place in places) > VIEW.ruler
    assert min(place.y() for place in places) > VIEW.ruler
    assert max(place.x() for place in places) < 399
    assert max(place.y() for place in places) < 299


@pytest.mark.parametrize("view", [VIEW, BEHIND])
@pytest.mark.parametrize("away", [Vector(1.0, 0.0), Vector(-1.0, 0.0), Vector(0.0, 1.0), Vector(0.0, -1.0)])
def test_a_tag_stands_off_its_place(qtbot: QtBot, view: View, away: Vector) -> None:
    at = Point(2.0, 52.0)
    foot, ahead = view.to_screen(at), view.to_screen(at + away)
    way = ahead - foot
    places = covered(painted(Tag(at, ("12.5 mm",), away=away), view=view))
    for place in places:
        assert QPointF.dotProduct(place - foot, way) > 0
