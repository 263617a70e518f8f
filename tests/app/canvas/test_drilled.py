"""Holes that are in the wood already look otherwise than those still to drill, and a word says so."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.canvas.drilled import paint_drilled, paint_drilled_legend
from app.canvas.look import DARK, LIGHT, Look
from app.canvas.view import View
from app.canvas.words import part_title
from app.document.selection import Item
from app.document.session import Session
from geometry.document.edits import set_drilled
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from tests.app.canvas.surroundings import canvas_of
from tests.builds import plain_head, post_at

VIEW = View(Point(10.0, 60.0), 10.0, 200.0, 200.0)
"""The bore of 10 mm in the middle, 100 pixels wide."""


def colours(image: QImage) -> set[str]:
    """What is seen in a square well inside the bore."""
    return {QColor(image.pixel(x, y)).name() for x in range(80, 120) for y in range(80, 120)}


@pytest.mark.parametrize("look", [LIGHT, DARK], ids=lambda look: look.name)
def test_a_drilled_hole_shows_the_desk_through_strokes(qtbot: QtBot, look: Look) -> None:
    build = plain_head(post_at(10.0, 60.0), slots=(3.0, -3.0))
    for drilled in (False, True):
        image = QImage(200, 200, QImage.Format.Format_RGB32)
        image.fill(QColor("#ff00ff"))
        painter = QPainter(image)
        layout = lay_out(set_drilled(build, "one1", drilled=drilled))
        assert paint_drilled(painter, layout, VIEW, look) == drilled
        painter.end()
        assert (colours(image) >= {look.desk, look.quiet}) == drilled
        assert (colours(image) == {"#ff00ff"}) != drilled


def test_the_legend_stands_clear_of_what_is_taken(qtbot: QtBot) -> None:
    image = QImage(600, 400, QImage.Format.Format_RGB32)
    view = View(Point(0.0, 0.0), 2.0, 600.0, 400.0, ruler=20.0)
    painter = QPainter(image)
    taken = [QRectF(20, 200, 300, 200)]
    box = paint_drilled_legend(painter, view, LIGHT, taken)
    painter.end()
    assert not box.intersects(taken[0])
    assert QRectF(20, 20, 580, 380).contains(box)


def test_a_drilled_post_is_called_so(qtbot: QtBot) -> None:
    session = Session(plain_head(post_at(10.0, 60.0), slots=(3.0, -3.0)))
    canvas: Canvas = canvas_of(session)
    qtbot.addWidget(canvas)
    assert "drilled" not in part_title(session.scene, Item("post", "one1"))
    session.act("Drill", lambda build: set_drilled(build, "one1", drilled=True))
    assert part_title(session.scene, Item("post", "one1")).endswith(", drilled")
    canvas.grab()
