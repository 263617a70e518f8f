"""Proposals over a session's build: they change nothing, and any other build in view takes them away."""

from __future__ import annotations

import pytest

from app.document.scene import Ghost, Scene
from app.document.selection import Item
from app.document.session import Session
from geometry.document.build import Build
from geometry.document.edits import move_post
from geometry.layout.layout import lay_out
from tests.builds import change, three_and_three


def moved(build: Build, along: float = 2.0) -> Build:
    return move_post(build, build.rows[0].posts[0].key, along, 0.0)


def ghost_of(build: Build) -> Ghost:
    return Ghost(build, lay_out(build), "other")


@pytest.fixture
def session() -> Session:
    return Session(three_and_three())


def test_a_proposal_changes_nothing(session: Session) -> None:
    before = session.build
    told: list[Scene] = []
    session.changed.connect(told.append)
    ghost = ghost_of(moved(before))
    session.propose(ghost)
    assert session.scene.ghost is ghost
    assert session.scene.build is session.build is before
    assert not session.modified
    assert session.history.undo_labels == ()
    session.dismiss()
    assert session.scene.ghost is None
    session.dismiss()
    assert len(told) == 2


def test_selecting_keeps_it_and_everything_else_takes_it_away(session: Session) -> None:
    ghost = ghost_of(moved(session.build))
    session.propose(ghost)
    session.select((Item("post", session.build.rows[0].posts[0].key),))
    assert session.scene.ghost is ghost
    session.preview(moved(session.build, 1.0))
    assert session.scene.ghost is None
    # A gesture that is under way ends when something is proposed.
    session.propose(ghost)
    assert not session.scene.gesture
    session.act("Name", lambda build: change(build, name="x"))
    assert session.scene.ghost is None
    session.propose(ghost)
    session.undo()
    assert session.scene.ghost is None


def test_only_posts_that_move_are_told(session: Session) -> None:
    key = session.build.rows[0].posts[0].key
    ghost = ghost_of(moved(session.build))
    [(old, new)] = ghost.moved(session.scene.layout)
    assert old.key == new.key == key
    assert old.at.distance(new.at) == pytest.approx(2.0)
    # Posts that are only on one of the heads are nobody's move.
    fewer = change(session.build, rows=session.build.rows[1:])
    assert ghost_of(fewer).moved(session.scene.layout) == ()
