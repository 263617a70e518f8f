"""A proposal on the drawing, looked at pixel by pixel."""

from __future__ import annotations

import math

import pytest
from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.canvas.ghost import paint_ghost, paint_legend
from app.canvas.look import DARK, DARK_CONTRAST, LIGHT, LIGHT_CONTRAST, Look
from app.canvas.view import View
from app.document.live_rings import LiveRings
from app.document.scene import Ghost, Side
from app.document.selection import Item
from app.document.session import Session
from export.drawing import Role
from geometry.document.edits import move_post
from geometry.layout.layout import lay_out
from geometry.search.rings.allowance import Joint, JointRing
from geometry.shape.point import Point
from tests.app.canvas.surroundings import canvas_of, colours, holds
from tests.app.canvas.test_look import contrast, grounds
from tests.builds import plain_head, post_at, strings

LOOKS = [LIGHT, DARK, LIGHT_CONTRAST, DARK_CONTRAST]
BUILD = plain_head(post_at(20.0, 60.0), strings=strings(0.3))
TODAY = lay_out(BUILD)
VIEW = View(Point(20.0, 60.0), 5.0, 400.0, 400.0)


def ghost_of(along: float, radius: float | None = None) -> Ghost:
    build = move_post(BUILD, BUILD.rows[0].posts[0].key, along, 0.0)
    layout = lay_out(build)
    post = layout.posts[0]
    rings = () if radius is None else (JointRing(post.key, post.label, post.at, radius, None, broken=False),)
    return Ghost(build, layout, "other", Joint(rings, exact=True, told=True) if rings else None)


def painted(ghost: Ghost, look: Look = LIGHT, side: Side = "face") -> QImage:
    image = QImage(400, 400, QImage.Format.Format_RGB32)
    image.fill(QColor(look.desk))
    painter = QPainter(image)
    paint_ghost(painter, ghost, TODAY, side, VIEW, look)
    painter.end()
    return image


def round_about(image: QImage, at: Point, pixels: float, look: Look, reach: int = 0) -> int:
    """How many of 180 places on a circle round a place have the colour of proposals."""
    middle = VIEW.to_screen(at)
    turns = [math.radians(2 * step) for step in range(180)]
    places = [middle + QPointF(math.cos(turn), math.sin(turn)) * pixels for turn in turns]
    return sum(holds(image, look.proposed, place, reach) for place in places)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_bore_is_shown_where_it_would_be_with_a_dashed_ring(look: Look) -> None:
    ghost = ghost_of(20.0, 3.0)
    image = painted(ghost, look)
    post = ghost.layout.posts[0]
    assert post.at.y == pytest.approx(80.0)
    assert round_about(image, post.at, post.bore / 2 * 5.0, look, 1) > 175
    # Dashes of 7 with gaps of 4 cover 7 parts in 11.
    assert 70 < round_about(image, post.at, 15.0, look) < 150
    assert round_about(image, TODAY.posts[0].at, post.bore / 2 * 5.0, look) < 20


def test_an_arrow_leads_there_from_today_s_bore() -> None:
    image = painted(ghost_of(20.0))
    assert holds(image, LIGHT.proposed, VIEW.to_screen(Point(20.0, 68.0)), 1)
    near = painted(ghost_of(0.5))
    # Too near for an arrow: a small cross.
    assert holds(near, LIGHT.proposed, VIEW.to_screen(Point(20.4, 60.5)), 1)


def test_what_stays_is_not_drawn_twice() -> None:
    bare = QImage(400, 400, QImage.Format.Format_RGB32)
    bare.fill(QColor(LIGHT.desk))
    assert painted(ghost_of(0.0)) == bare
    assert painted(ghost_of(0.0, 0.01)) == bare
    assert painted(ghost_of(0.0, 3.0)) != bare


def test_where_the_proposal_allows_nothing_a_sign_stands() -> None:
    post = TODAY.posts[0]
    broken = JointRing(post.key, post.label, Point(20.0, 70.0), 0.0, None, broken=True)
    image = painted(Ghost(BUILD, TODAY, "other", Joint((broken,), exact=True, told=True)))
    assert holds(image, LIGHT.stop, VIEW.to_screen(broken.at) + QPointF(0.0, 4.0), 1)


def test_strings_run_over_the_face_only() -> None:
    ghost = ghost_of(20.0)
    assert painted(ghost, side="face") != painted(ghost, side="back")


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_the_legend_shows_both_rings_with_their_words(qapp: object, look: Look) -> None:
    image = QImage(400, 400, QImage.Format.Format_RGB32)
    image.fill(QColor(look.desk))
    painter = QPainter(image)
    paint_legend(painter, ghost_of(20.0), VIEW, look)
    painter.end()
    lower_left = [QPointF(x, y) for x in range(0, 200, 2) for y in range(300, 400, 2)]
    for colour in (look.proposed, look.stroke(Role.MARGIN_RING).colour, look.ink):
        assert any(holds(image, colour, place, 1) for place in lower_left)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_it_can_be_seen_on_all_that_lies_beneath(look: Look) -> None:
    for ground in (*grounds(look), look.stroke(Role.BORE).fill):
        assert contrast(look.proposed, ground) >= 3.0, ground
    for ground in (look.desk, look.wood, look.paper):
        assert contrast(look.proposed, ground) >= 4.5, ground


def test_a_canvas_shows_it_with_today_s_rings_until_esc(qtbot: QtBot) -> None:
    session = Session(BUILD)
    canvas = canvas_of(session)
    qtbot.addWidget(canvas)
    rings = LiveRings(session, canvas)
    canvas.follow_rings(rings)
    qtbot.waitUntil(lambda: rings.joint is not None and rings.joint.exact, timeout=5000)
    canvas.rings_shown = False
    chosen = (Item("post", BUILD.rows[0].posts[0].key),)
    session.select(chosen)
    bare = colours(canvas)
    ghost = ghost_of(20.0, 3.0)
    session.propose(ghost)
    shown = colours(canvas)
    assert holds(shown, LIGHT.proposed, canvas.view.to_screen(ghost.layout.posts[0].at), 40)
    canvas.rings_shown = True
    # Rings that are switched off are shown all the same, for nobody could compare them.
    assert colours(canvas) == shown
    canvas.rings_shown = False
    canvas.setFocus()
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert session.scene.ghost is None
    assert session.selection == chosen
    assert colours(canvas) == bare
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert not session.selection
