"""Scenes, a shop, and a maker who answers."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.document.scene import Scene, scene_of
from geometry.trade.shop import PrinterProfile, Shop
from tests.app.output.printed import Answers
from tests.builds import change, nodes, plain_head, post_at, three_and_three


@pytest.fixture
def answers(tmp_path: Path) -> Answers:
    return Answers(tmp_path)


@pytest.fixture
def shop() -> Shop:
    return Shop(
        printers=(
            PrinterProfile(name="plain"),
            PrinterProfile(name="Back room", factor_x=1.01, factor_y=0.99),
        )
    )


@pytest.fixture(scope="session")
def sound() -> Scene:
    """Three and three, nothing at stop."""
    return scene_of(three_and_three(name="Bench no. 7: left/right"))


@pytest.fixture(scope="session")
def stopped() -> Scene:
    """A bore that breaks out of the edge."""
    return scene_of(plain_head(post_at(37.0, 60.0), name="Broken"))


@pytest.fixture(scope="session")
def empty() -> Scene:
    """A head whose outline has not begun."""
    return scene_of(change(three_and_three(), outline=nodes((20.0, 0.0))))
