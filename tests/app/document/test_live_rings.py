"""Rings that follow a session: none of another build, a bound in slow drags, exact values soon after rest."""

from __future__ import annotations

from threading import Event, current_thread, main_thread

import pytest
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.document import live_rings
from app.document.live_rings import LiveRings
from app.document.selection import Item
from app.document.session import Session
from geometry.document.build import AlongEdge, Build
from geometry.document.edits import free_outline, move_post
from geometry.layout.layout import Layout
from geometry.search.rings.allowance import Joint, allowance, exact_rings, ring_of
from tests.builds import plain_head, row, three_and_three

SOON = 5000
"""Milliseconds that a busy machine may take; what a quiet one takes is measured elsewhere."""


@pytest.fixture
def session() -> Session:
    return Session(free_outline(three_and_three()))


@pytest.fixture
def rings(session: Session, qtbot: QtBot) -> LiveRings:
    """Rings of a session that has rested."""
    made = LiveRings(session)
    qtbot.waitUntil(lambda: rested(made), timeout=SOON)
    return made


def first(session: Session) -> str:
    return session.build.rows[0].posts[0].key


def rested(rings: LiveRings) -> bool:
    return rings.joint is not None and rings.joint.exact


def moved(build: Build, along: float) -> Build:
    return move_post(build, build.rows[0].posts[0].key, along, 0.0)


def radii(build: Build) -> list[float]:
    return [ring.radius for ring in allowance(build).rings]


def shown(rings: LiveRings) -> list[float]:
    assert rings.joint is not None
    return [ring.radius for ring in rings.joint.rings]


def test_the_rings_of_a_build_at_rest_are_exact(session: Session, rings: LiveRings) -> None:
    assert shown(rings) == radii(session.build)
    assert rings.ring(first(session)) is None


def test_a_slow_change_has_a_bound_at_once_and_exact_rings_at_rest(
    session: Session, rings: LiveRings, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live_rings, "PACE", 0)
    monkeypatch.setattr(live_rings, "SHARE", 0)
    QTest.qWait(5)
    build = moved(session.build, 0.8)
    session.preview(build)
    assert rings.joint is not None
    assert not rings.joint.exact
    assert rings.joint.rings[0].at == session.scene.layout.posts[0].at
    assert min(shown(rings)) <= min(radii(build))
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    assert shown(rings) == radii(build)
    session.cancel()


def test_a_fast_drag_shows_no_rings_of_the_build_before(
    session: Session, rings: LiveRings, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(live_rings, "PACE", 100_000)
    build = session.build
    told = []
    rings.changed.connect(lambda: told.append(rings.joint))
    session.preview(moved(build, 0.1))
    told.clear()
    session.preview(moved(build, 0.2))
    assert rings.joint is None
    assert told == [None]
    qtbot.waitUntil(lambda: rings.joint is not None, timeout=SOON)
    assert rings.joint is not None
    assert rings.joint.rings[0].at == session.scene.layout.posts[0].at
    session.cancel()


def test_a_hand_that_moves_on_gives_up_what_is_found_beside_it(
    session: Session, rings: LiveRings, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Exact rings hold no frame up, and those of a build that is gone are not shown."""
    begun, go_on, asked = Event(), Event(), []

    def slow(build: Build, layout: Layout) -> Joint:
        asked.append((build, current_thread()))
        begun.set()
        assert go_on.wait(SOON / 1000)
        return exact_rings(build, layout)

    monkeypatch.setattr(live_rings, "exact_rings", slow)
    one, two = moved(session.build, 0.4), moved(session.build, 0.8)
    session.preview(one)
    qtbot.waitUntil(begun.is_set, timeout=SOON)
    session.preview(two)
    go_on.set()
    told = []
    rings.changed.connect(lambda: told.append(shown(rings)))
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    assert shown(rings) == radii(two)
    assert radii(one) not in told
    assert [build for build, _ in asked] == [one, two]
    assert main_thread() not in [thread for _, thread in asked]
    session.cancel()


def test_letting_go_keeps_the_rings_and_selecting_too(
    session: Session, rings: LiveRings, qtbot: QtBot
) -> None:
    session.preview(moved(session.build, 0.4))
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    known = rings.joint
    session.commit("Move post")
    session.select((Item("post", session.build.rows[0].posts[0].key),))
    assert rings.joint is known


def test_all_is_told_only_when_somebody_asks_and_no_gesture_is_under_way(
    session: Session, rings: LiveRings, qtbot: QtBot
) -> None:
    post = first(session)
    rings.want_ring(post)
    qtbot.waitUntil(lambda: rings.ring(post) is not None, timeout=SOON)
    assert rings.ring(post) == ring_of(session.build, session.scene.layout, post)
    session.preview(moved(session.build, 0.4))
    assert rings.ring(post) is None
    rings.want_ring(post)
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    QTest.qWait(50)
    assert rings.ring(post) is None
    session.commit("Move post")
    qtbot.waitUntil(lambda: rings.ring(post) is not None, timeout=SOON)
    assert rings.ring(post) == ring_of(session.build, session.scene.layout, post)


def test_of_a_post_without_a_place_nothing_is_wanted(qtbot: QtBot) -> None:
    session = Session(plain_head(row(rule=AlongEdge(start=900.0, pitch=25.0, inset=12.0))))
    made = LiveRings(session)
    assert session.scene.layout.posts == ()
    made.want_ring(first(session))
    qtbot.waitUntil(lambda: rested(made), timeout=SOON)
    QTest.qWait(300)
    assert made.ring(first(session)) is None


def test_another_hole_is_told_when_it_is_asked_for(session: Session, rings: LiveRings, qtbot: QtBot) -> None:
    one, other = (post.key for post in session.build.rows[0].posts[:2])
    rings.want_ring(one)
    qtbot.waitUntil(lambda: rings.ring(one) is not None, timeout=SOON)
    rings.want_ring(other)
    assert rings.ring(other) is None
    qtbot.waitUntil(lambda: rings.ring(other) is not None, timeout=SOON)
    assert rings.ring(other) == ring_of(session.build, session.scene.layout, other)


def test_asking_again_does_not_put_the_words_off(session: Session, rings: LiveRings, qtbot: QtBot) -> None:
    told = []

    def ask() -> None:
        told.append(rings.ring(post))
        rings.want_ring(post)

    post = first(session)
    rings.changed.connect(ask)
    session.act("Move post", lambda build: moved(build, 0.2))
    rests = []
    rings._rest.timeout.connect(lambda: rests.append(rings.joint))
    qtbot.waitUntil(lambda: told[-1] is not None, timeout=SOON)
    assert len(rests) == 1


def test_a_change_while_words_are_due_puts_them_off(session: Session, rings: LiveRings, qtbot: QtBot) -> None:
    told = []
    post = first(session)

    def change() -> None:
        told.append(rings.ring(post))
        if len(told) == 1:
            session.act("Move post", lambda build: moved(build, 0.3))

    session.act("Move post", lambda build: moved(build, 0.2))
    rings.want_ring(post)
    rings.changed.connect(change)
    qtbot.waitUntil(lambda: len(told) > 1 and rested(rings), timeout=SOON)
    assert rings.ring(post) is None


def test_a_build_without_holes_has_none(qtbot: QtBot) -> None:
    made = LiveRings(Session(plain_head()))
    qtbot.waitUntil(lambda: rested(made), timeout=SOON)
    assert shown(made) == []


def test_an_undo_is_followed(session: Session, rings: LiveRings, qtbot: QtBot) -> None:
    before = shown(rings)
    session.act("Other tuners", lambda _: plain_head(row("treble", 2)))
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    assert len(shown(rings)) == 2
    session.undo()
    qtbot.waitUntil(lambda: rested(rings), timeout=SOON)
    assert shown(rings) == before
