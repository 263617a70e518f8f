"""What the panels say of the miss allowance."""

from __future__ import annotations

import pytest
from msgspec.structs import replace
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document import live_rings
from app.document.live_rings import LiveRings
from app.document.selection import NOTHING, Item
from app.document.session import Session
from app.panels.findings_panel import FindingsPanel
from app.panels.selected_panel import UNKNOWN, RingWords, SelectedPanel
from geometry.document.build import Build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.shape.point import Point, Vector
from tests.app.panels.hands import SCREENLESS, shown
from tests.builds import REAR_TUNER, change, nodes, plain_head, post_at, row

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

SOON = 5000


def of_rear(*places: tuple[float, float]) -> Build:
    """A head 80 mm wide; seats reach 9 mm to each side of their posts, bodies are 16 mm long."""
    rows = [post_at(x, y, key=f"p{n}", hardware="rear") for n, (x, y) in enumerate(places)]
    small = replace(REAR_TUNER, button=replace(REAR_TUNER.button, swept_diameter=8.0))
    return plain_head(*rows, hardware=(small,))


def words_of(qtbot: QtBot, build: Build) -> tuple[SelectedPanel, RingWords]:
    session = Session(build)
    panel = shown(qtbot, SelectedPanel(session))
    session.select((Item("post", session.scene.layout.posts[0].key),))
    words = panel.rings
    qtbot.waitUntil(lambda: words.lean.text() != UNKNOWN, timeout=SOON)
    return panel, words


def test_a_selected_post_tells_its_ring_and_what_it_may_do_alone(qtbot: QtBot) -> None:
    # 24 mm apart: 8 mm between the bodies, 4 for each; alone the seat's 40 - 25 - 9 = 6 mm to the edge.
    panel, words = words_of(qtbot, of_rear((25.0, 80.0), (25.0, 104.0)))
    assert words.joint.text() == "4.0 mm"
    assert "6.0 mm" in words.alone.text()
    assert "seat" in words.alone.text()
    assert not words.even.isVisible()
    assert words.isVisible()
    panel.set_units("inch")
    assert "in" in words.joint.text()
    panel.session.select(NOTHING)
    assert not words.isVisible()


def test_where_a_limit_is_broken_one_sentence_is_enough(qtbot: QtBot) -> None:
    _, words = words_of(qtbot, of_rear((25.0, 80.0), (25.0, 95.0)))
    assert "broken" in words.alone.text()
    assert not words.joint.isVisible()
    assert not words.lean.isVisible()


def test_a_drilled_hole_has_only_that_said(qtbot: QtBot) -> None:
    build = of_rear((25.0, 80.0), (25.0, 104.0))
    _, words = words_of(qtbot, set_drilled(build, build.rows[0].posts[0].key, drilled=True))
    assert words.alone.text() == "Hole spare A: drilled already."
    assert not words.joint.isVisible()
    assert not words.lean.isVisible()


def test_nothing_is_told_while_the_outline_crosses_itself(qtbot: QtBot) -> None:
    crossing = nodes((40, 0), (40, 200), (-40, 200), (0, 190), (0, 210), (-40, 150), (-40, 0))
    session = Session(change(of_rear((25.0, 80.0), (25.0, 104.0)), outline=crossing))
    panel = shown(qtbot, SelectedPanel(session))
    session.select((Item("post", session.scene.layout.posts[0].key),))
    qtbot.waitUntil(lambda: "crosses itself" in panel.rings.alone.text(), timeout=SOON)
    assert not panel.rings.joint.isVisible()
    assert not panel.rings.even.isVisible()


def drag(session: Session, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first post, a millimetre away from the second one in two fast steps."""
    monkeypatch.setattr(live_rings, "PACE", 100_000)
    layout = session.scene.layout
    post = layout.posts[0]
    for y in (post.at.y - 0.5, post.at.y - 1.0):
        place = Point(post.at.x, y)
        session.preview(move_posts(session.build, layout, {post.key: place}))


def test_nothing_of_another_build_is_told_while_a_post_is_dragged(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    panel, words = words_of(qtbot, of_rear((25.0, 80.0), (25.0, 104.0)))
    session = panel.session
    drag(session, monkeypatch)
    assert words.lean.text() == UNKNOWN
    assert not words.alone.text().strip()
    # A millimetre further apart: half of it for each.
    qtbot.waitUntil(lambda: words.joint.text() == "4.5 mm", timeout=SOON)
    assert words.lean.text() == UNKNOWN
    session.cancel()
    qtbot.waitUntil(lambda: words.lean.text() != UNKNOWN, timeout=SOON)
    assert words.joint.text() == "4.0 mm"


def test_the_row_says_how_even_it_looks(qtbot: QtBot) -> None:
    _, words = words_of(qtbot, plain_head(row("treble", 3)))
    # Of the 0.5 mm that a row may be uneven, two neighbours share all: 0.25.
    assert words.even.text() == "0.25 mm"


def test_the_findings_begin_with_a_sentence_about_all_rings(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = Session(of_rear((25.0, 80.0), (25.0, 104.0)))
    rings = LiveRings(session)
    panel = shown(qtbot, FindingsPanel(session, rings=rings))
    qtbot.waitUntil(lambda: "4.0 mm" in panel.rings.text(), timeout=SOON)
    panel.set_units("inch")
    assert " in" in panel.rings.text()
    before = panel.list.y()
    drag(session, monkeypatch)
    assert panel.rings.text() == ""
    QTest.qWait(1)
    assert panel.list.y() == before
    session.cancel()


def test_a_broken_limit_is_told_there_too(qtbot: QtBot) -> None:
    panel = shown(qtbot, FindingsPanel(Session(of_rear((25.0, 80.0), (25.0, 95.0)))))
    qtbot.waitUntil(lambda: "no room to miss" in panel.rings.text(), timeout=SOON)


def test_a_panel_that_is_made_late_tells_what_is_known_and_asks_for_the_rest(qtbot: QtBot) -> None:
    session = Session(of_rear((25.0, 80.0), (25.0, 104.0)))
    rings = LiveRings(session)
    session.select((Item("post", session.scene.layout.posts[0].key),))
    qtbot.waitUntil(lambda: rings.joint is not None and rings.joint.exact, timeout=SOON)
    panel = shown(qtbot, SelectedPanel(session, rings=rings))
    words = panel.rings
    assert (words.joint.text(), words.lean.text()) == ("4.0 mm", "…")
    qtbot.waitUntil(lambda: "6.0 mm" in words.alone.text(), timeout=SOON)
    panel.hide()
    # A millimetre further apart while nobody looks: half of it for each.
    layout, post = session.scene.layout, session.scene.layout.posts[0]
    session.act("move", lambda build: move_posts(build, layout, {post.key: post.at + Vector(0.0, -1.0)}))
    qtbot.waitUntil(lambda: rings.joint is not None and rings.joint.exact, timeout=SOON)
    panel.show()
    assert words.joint.text() == "4.5 mm"
    qtbot.waitUntil(lambda: words.lean.text() != UNKNOWN, timeout=SOON)
