"""A head on a canvas."""

from __future__ import annotations

import pytest
from pytestqt.qtbot import QtBot

from app.canvas.canvas import Canvas
from app.document.session import Session
from geometry.document.edits import free_outline
from tests.app.canvas.surroundings import Notes, canvas_of
from tests.builds import laden_head, three_and_three


@pytest.fixture
def session() -> Session:
    """Three and three with a free outline."""
    return Session(free_outline(three_and_three()))


@pytest.fixture
def laden() -> Session:
    """A bit of everything."""
    return Session(laden_head())


@pytest.fixture
def canvas(qtbot: QtBot, session: Session) -> Canvas:
    made = canvas_of(session)
    qtbot.addWidget(made)
    return made


@pytest.fixture
def notes(canvas: Canvas) -> Notes:
    """A tool in the canvas' hand that writes down what it is told."""
    tool = Notes(canvas)
    canvas.tool = tool
    return tool
