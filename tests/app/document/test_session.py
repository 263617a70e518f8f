"""The session: acts and gestures leave drilled holes where they are."""

from __future__ import annotations

from functools import partial

from PySide6.QtWidgets import QApplication

from app.document.session import Session
from geometry.document.build import AlongEdge, Build
from geometry.document.edits import set_drilled, set_rule
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from tests.builds import INSET, PITCH, START, plain_head, row

FURTHER = AlongEdge(start=START + 5.0, pitch=PITCH, inset=INSET)


def place(build: Build, post: str) -> Point:
    return lay_out(build).post(post).at


def test_drilled_holes_stay_in_acts_and_gestures(qapp: QApplication) -> None:
    build = set_drilled(plain_head(row(count=2)), "treble2", drilled=True)
    session = Session(build)
    session.preview(set_rule(build, "treble", FURTHER))
    assert session.scene.layout.post("treble2").at == place(build, "treble2")
    assert session.scene.layout.post("treble1").at.y == START + 5.0
    session.cancel()
    assert session.build == build
    session.act("Move the row", partial(set_rule, row="treble", rule=FURTHER))
    assert place(session.build, "treble2") == place(build, "treble2")
    assert place(session.build, "treble1").y == START + 5.0
    session.undo()
    assert session.build == build
