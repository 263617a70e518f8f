"""What holds the head: sizes of the shop, heights, parts, and why there is none."""

from __future__ import annotations

import math
from typing import cast

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.cradle_page import CradlePage
from app.document.settings import SettingsStore
from export.drawing import Text
from geometry.document.build import Build
from geometry.document.edits import set_head
from geometry.document.outline import Nodes
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, column, empty, heads
from tests.app.panels.hands import SCREENLESS, pick, press, told, type_in
from tests.builds import LEVEL, plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def opened(bench: Maker, build: Build | None = None) -> tuple[BenchPanel, CradlePage]:
    panel = bench(three_and_three() if build is None else build, "cradle")
    return panel, cast(CradlePage, panel.page("cradle"))


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("gap", "1/64 in", 25.4 / 64),
        ("block_width", "50", 50.0),
        ("block_thickness", "18", 18.0),
        ("wedge_taper", "10", 10.0),
        ("cutter", "6+2", 8.0),
        ("base", "16", 16.0),
        ("backing", "9", 9.0),
    ],
)
def test_the_shop_keeps_the_sizes(
    bench: Maker, store: SettingsStore, field: str, text: str, value: float
) -> None:
    panel, page = opened(bench)
    type_in(page.sizes.fields[field], text)
    assert getattr(store.settings.shop.cradle, field) == pytest.approx(value)
    assert panel.session.build == three_and_three()
    again = SettingsStore(store.config, store.state)
    assert getattr(again.settings.shop.cradle, field) == pytest.approx(value)


def test_the_build_keeps_the_depth_of_its_neck(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    type_in(page.neck.numbers.fields["neck_depth"], "15.5")
    assert panel.session.build.head.neck_depth == 15.5
    qtbot.waitUntil(lambda: "15.5 mm deep" in told(page.remarks))
    panel.session.undo()
    qtbot.waitUntil(lambda: page.neck.numbers.fields["neck_depth"].value == 16.0)


def test_a_steep_wedge_is_refused_and_a_thickness_may_be_left_to_the_head(
    bench: Maker, store: SettingsStore
) -> None:
    _, page = opened(bench)
    type_in(page.sizes.fields["wedge_taper"], "6")
    assert page.sizes.fields["wedge_taper"].fault
    assert store.settings.shop.cradle.wedge_taper == 8.0
    # The head of the build is 13.5 mm thick at both ends.
    assert page.sizes.fields["block_thickness"].placeholderText() == "13.5 mm"
    type_in(page.sizes.fields["block_thickness"], "18")
    empty(page.sizes.fields["block_thickness"])
    assert store.settings.shop.cradle.block_thickness is None


def test_a_support_falls_by_the_angle_of_the_head(bench: Maker, qtbot: QtBot) -> None:
    _, page = opened(bench)
    assert heads(page.heights)[:2] == ["Support", "Falls or rises"]
    # Frets lie L (1 - 2^(-n/12)) from the nut; a head of 14 degrees lets the neck fall by their sine.
    falls = [650 * (1 - 2 ** (-fret / 12)) * math.sin(math.radians(14)) for fret in (3, 12)]
    assert column(page.heights, 0) == ["A: fret 3", "B: fret 12"]
    assert column(page.heights, 1) == [f"{fall:.1f} mm" for fall in falls]
    pick(page.frets["far_fret"], "7")
    qtbot.waitUntil(lambda: cells(page.heights, 1)[0] == "B: fret 7")
    assert "The head leans by 14°" in told(page.remarks)


def test_a_flat_head_lies_level_by_itself(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    panel.session.act("Flat", lambda build: set_head(build, LEVEL))
    qtbot.waitUntil(lambda: "The head is flat" in told(page.remarks))


def test_parts_and_drawings(bench: Maker) -> None:
    _, page = opened(bench)
    assert column(page.parts, 0)[:4] == ["Left block", "Right block", "Wedge", "Stop"]
    assert cells(page.parts, 2)[1] == "4"
    assert page.plan.drawing.marks
    assert not any(isinstance(mark.shape, Text) for mark in page.plan.drawing.marks)
    assert page.level.drawing.marks
    page.plan.grab()
    page.level.grab()
    press(page.ways.button)
    assert "In a vice or clamp" in page.ways.words.text()


def test_an_open_outline_cannot_be_held(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    panel.session.act("Empty", lambda build: replace(build, outline=Nodes(nodes=())))
    qtbot.waitUntil(lambda: "open or crosses itself" in told(page.problem))
    for part in (page.plan, page.level, page.heights, page.parts, page.ways, page.remarks):
        assert not part.isVisible()
    panel.session.undo()
    qtbot.waitUntil(page.plan.isVisible)
    assert told(page.problem) == ""


def test_a_bare_head_is_held_too(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert page.parts.isVisible()


def test_the_press_of_the_shop_is_told_which_way_fits(
    bench: Maker, store: SettingsStore, qtbot: QtBot
) -> None:
    _, page = opened(bench)
    assert page.press_fields.fields["press_throat"].value is None
    assert told(page.fits).startswith("Throat, from the spindle to the column")
    assert "✓" not in " ".join(column(page.press, 0))
    needs = [float(cell) for cell in column(page.press, 1)]
    type_in(page.press_fields.fields["press_throat"], f"{needs[0] + 1}")
    assert store.settings.shop.press_throat == needs[0] + 1
    qtbot.waitUntil(lambda: column(page.press, 0)[0].startswith("✓ "))
    assert "with wedges, one long side of the base plate to the column" in told(page.fits)
    type_in(page.press_fields.fields["press_throat"], "20")
    qtbot.waitUntil(lambda: told(page.fits).startswith("No way fits your press: its throat of 20 mm"))
    lacks = min(needs) - 20.0
    assert f"is {lacks:.1f} mm too short" in told(page.fits)
    empty(page.press_fields.fields["press_throat"])
    assert store.settings.shop.press_throat is None


def test_a_head_without_tuners_shows_no_press(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert not page.press_title.isVisible()
    assert told(page.fits) == ""
