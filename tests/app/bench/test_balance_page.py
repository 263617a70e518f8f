"""Balance on the screen: what the head weighs and what others save."""

from __future__ import annotations

from typing import cast

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.bench.balance_page import BalancePage
from app.bench.bench_panel import BenchPanel
from geometry.document.build import Build
from geometry.document.edits import move_post
from geometry.document.outline import Nodes
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, column, empty
from tests.app.panels.hands import SCREENLESS, told, type_in
from tests.builds import plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def opened(bench: Maker, build: Build | None = None) -> tuple[BenchPanel, BalancePage]:
    panel = bench(three_and_three() if build is None else build, "balance")
    return panel, cast(BalancePage, panel.page("balance"))


def test_the_head_and_others_in_its_place(bench: Maker) -> None:
    _, page = opened(bench)
    head, saved = column(page.rivals, 1), column(page.rivals, 4)
    assert f"The head weighs {head[0]}:" in told(page.words)
    assert saved[0] == "–"
    own = int(head[0].removesuffix(" g"))
    for mass, less in zip(head[1:], saved[1:], strict=True):
        # Both are rounded by themselves.
        rounded = own - int(mass.removesuffix(" g")) - int(less.removesuffix(" g").replace("−", "-"))
        assert abs(rounded) <= 1
    first = page.rivals.item(0, 0)
    assert first is not None
    assert first.font().bold()


def test_the_place_is_the_bridge_until_one_is_typed(bench: Maker, qtbot: QtBot) -> None:
    _, page = opened(bench)
    assert page.place.placeholderText() == "650 mm"
    assert cells(page.rivals, 0)[2] != cells(page.rivals, 0)[3]
    type_in(page.place, "0")
    # About the nut both moments are one.
    qtbot.waitUntil(lambda: column(page.rivals, 2) == column(page.rivals, 3))
    type_in(page.place, "1 m")
    assert page.place.fault
    type_in(page.place, "900 + 100")
    qtbot.waitUntil(lambda: "1000 mm from the nut along the neck" in told(page.words))
    empty(page.place)
    qtbot.waitUntil(lambda: "650 mm from the nut along the neck" in told(page.words))


def test_others_are_weighed_when_the_hand_lets_go(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    before, post = column(page.rivals, 2), panel.session.build.rows[0].posts[0].key
    words = told(page.words)
    panel.session.preview(move_post(panel.session.build, post, 0.0, 60.0))
    qtbot.waitUntil(lambda: told(page.words) != words)
    assert not page.rivals.isEnabled()
    assert column(page.rivals, 2) == before
    panel.session.cancel()
    qtbot.waitUntil(page.rivals.isEnabled)
    assert told(page.words) == words


def test_a_tuner_that_nobody_weighed(bench: Maker) -> None:
    light = replace(three_and_three().hardware[0], body_mass=0.0)
    _, page = opened(bench, three_and_three(hardware=(light,)))
    assert told(page.missing) == f"The mass of {light.name} is not known: weigh one."


def test_half_a_head_is_not_weighed(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    panel.session.act("Empty", lambda build: replace(build, outline=Nodes(nodes=())))
    qtbot.waitUntil(lambda: "open or crosses itself" in told(page.words))
    for part in (page.rivals_title, page.rivals, page.note, page.none):
        assert not part.isVisible()
    panel.session.undo()
    qtbot.waitUntil(page.rivals.isVisible)
    assert "The head weighs" in told(page.words)


def test_a_head_without_tuners(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert page.none.isVisible()
    assert not page.rivals.isVisible()
    assert not page.note.isVisible()
