"""Hands on heads."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from pytestqt.qtbot import QtBot

from app.document.session import Session
from geometry.document.build import Build
from tests.app.tools.hand import Hand

Working = Callable[..., Hand]


@pytest.fixture
def working(qtbot: QtBot) -> Working:
    """Makes a hand that works a build with a tool."""

    def make(build: Build, tool: str = "select") -> Hand:
        hand = Hand(Session(build), tool)
        qtbot.addWidget(hand.canvas)
        return hand

    return make
