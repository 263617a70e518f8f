"""Rings on the drawing, looked at pixel by pixel."""

from __future__ import annotations

import math

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter
from pytestqt.qtbot import QtBot

from app.canvas.look import DARK, DARK_CONTRAST, LIGHT, LIGHT_CONTRAST, Look
from app.canvas.rings import SMALLEST, paint_rings
from app.canvas.view import View
from app.document.live_rings import LiveRings
from app.document.session import Session
from export.drawing import Role
from geometry.document.edits import set_rule
from geometry.search.rings.allowance import Joint, JointRing
from geometry.shape.point import Point
from tests.app.canvas.surroundings import canvas_of, colours, holds
from tests.app.canvas.test_look import contrast, grounds
from tests.builds import plain_head, row

LOOKS = [LIGHT, DARK, LIGHT_CONTRAST, DARK_CONTRAST]
VIEW = View(Point(0.0, 0.0), 10.0, 200.0, 200.0)


def painted(ring: JointRing, look: Look = LIGHT) -> QImage:
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    image.fill(QColor(look.desk))
    painter = QPainter(image)
    paint_rings(painter, Joint((ring,), exact=True, told=True), VIEW, look)
    painter.end()
    return image


def ring(radius: float, even: float | None = None, *, broken: bool = False) -> JointRing:
    return JointRing("p", "1", Point(1.0, 2.0), radius, even, broken)


def round_about(image: QImage, pixels: float, look: Look = LIGHT) -> int:
    """How many of 180 places on a circle round the hole's mark have the colour of rings."""
    colour = look.stroke(Role.MARGIN_RING).colour
    middle = VIEW.to_screen(Point(1.0, 2.0))
    turns = [math.radians(2 * step) for step in range(180)]
    places = [middle + QPointF(math.cos(turn), math.sin(turn)) * pixels for turn in turns]
    return sum(holds(image, colour, place, 0) for place in places)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_joint_ring_is_dotted_at_its_radius(look: Look) -> None:
    image = painted(ring(4.0), look)
    assert 15 < round_about(image, 40.0, look) < 150
    assert round_about(image, 30.0, look) == round_about(image, 50.0, look) == 0


def test_the_ring_of_evenness_is_thinner() -> None:
    image = painted(ring(6.0, 3.0))
    assert round_about(image, 60.0) > 15
    width = [sum(round_about(image, at + step / 4) for step in range(-12, 13)) for at in (60.0, 30.0)]
    assert 0 < width[1] < width[0]


def test_two_rings_of_one_size_are_one() -> None:
    assert painted(ring(4.0, 4.1)) == painted(ring(4.0))


def test_rings_too_small_to_be_seen_are_left_out() -> None:
    empty = painted(ring(0.0))
    assert painted(ring(SMALLEST / 10 - 0.01)) == empty
    assert painted(ring(SMALLEST / 10 + 0.01)) != empty


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_where_nothing_is_allowed_a_sign_stands_instead(look: Look) -> None:
    image = painted(ring(0.0, 0.25, broken=True), look)
    assert holds(image, look.stop, VIEW.to_screen(Point(1.0, 2.0)) + QPointF(0.0, 4.0), 1)
    assert round_about(image, 2.5, look) == 0


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_rings_can_be_seen_on_all_that_lies_beneath(look: Look) -> None:
    for ground in (*grounds(look), look.stroke(Role.BORE).fill):
        assert contrast(look.stroke(Role.MARGIN_RING).colour, ground) >= 3.0, ground


def test_a_canvas_shows_the_rings_that_it_follows_until_they_are_switched_off(qtbot: QtBot) -> None:
    build = plain_head(row("treble", 2))
    session = Session(set_rule(build, "treble", replace(build.rows[0].rule, inset=20.0)))
    canvas = canvas_of(session)
    qtbot.addWidget(canvas)
    bare = colours(canvas)
    rings = LiveRings(session, canvas)
    canvas.follow_rings(rings)
    qtbot.waitUntil(lambda: rings.joint is not None, timeout=5000)
    with_rings = colours(canvas)
    assert with_rings != bare
    canvas.rings_shown = False
    assert not canvas.rings_shown
    assert colours(canvas) == bare
    canvas.rings_shown = True
    assert colours(canvas) == with_rings
