"""The nut at the bench: slots, heights, the numbers behind them, and the cut from below."""

from __future__ import annotations

from typing import cast

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.nut_page import NutPage
from app.document.settings import SettingsStore
from geometry.document.build import Build
from geometry.document.edits import mirrored
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, column, empty, heads
from tests.app.panels.hands import SCREENLESS, press, told, type_in
from tests.builds import plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

LOWERED = 2 ** (1 / 12)


def opened(bench: Maker, build: Build | None = None) -> tuple[BenchPanel, NutPage]:
    panel = bench(three_and_three() if build is None else build, "nut")
    return panel, cast(NutPage, panel.page("nut"))


def test_slots_and_heights(bench: Maker) -> None:
    _, page = opened(bench)
    assert heads(page.slots) == ["String", "Gauge mm", "From bass end mm", "Slot wide mm", "Nearest file"]
    # Nut 43 mm, margins of 3 mm to the centres, 37 mm between six equal centres.
    assert column(page.slots, 2) == [f"{40 - 37 / 5 * place:.2f}" for place in range(6)]
    assert column(page.slots, 3)[0] == f"{0.254 + 0.08:.2f}"
    assert column(page.slots, 4) == ["–"] * 6
    assert heads(page.heights)[:3] == ["String", "Deep mm", "Top at mm"]
    assert cells(page.heights, 0)[1:3] == [f"{0.254 * 0.75:.2f}", f"{7 + 0.254 * 0.75:.2f}"]
    assert cells(page.heights, 5)[1] == f"{46 * 0.0254 / 2:.2f}"


def test_the_nearest_file_of_the_shop(bench: Maker, store: SettingsStore) -> None:
    store.keep_shop(replace(store.settings.shop, nut_files=(0.33, 1.5)))
    _, page = opened(bench)
    assert column(page.slots, 4)[0] == "0.330"
    assert column(page.slots, 4)[5].startswith("▲ 1.500 (+0.25)")


@pytest.mark.parametrize(
    "field",
    [
        "clearance_bass",
        "clearance_treble",
        "action_bass",
        "action_treble",
        "slot_allowance",
        "blank_oversize",
        "least_height",
    ],
)
def test_the_nut_follows_its_numbers(bench: Maker, field: str) -> None:
    panel, page = opened(bench)
    before = three_and_three()
    type_in(page.numbers[field], "1/2 in - 12 mm")
    assert panel.session.build == replace(before, nut=replace(before.nut, **{field: pytest.approx(0.7)}))
    panel.session.undo()
    assert panel.session.build == before
    assert page.numbers[field].value == getattr(before.nut, field)


@pytest.mark.parametrize("field", ["proud_wound", "proud_plain", "fall_share"])
def test_shares_are_typed_in_percent(bench: Maker, field: str) -> None:
    panel, page = opened(bench)
    type_in(page.shares.fields[field], "40 %")
    assert getattr(panel.session.build.nut, field) == pytest.approx(0.4)
    assert page.shares.fields[field].text() == "40 %"
    type_in(page.shares.fields[field], "101")
    assert page.shares.fields[field].fault
    assert getattr(panel.session.build.nut, field) == pytest.approx(0.4)


def test_the_blank_is_as_high_as_it_takes_or_as_it_is(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    assert page.blank.placeholderText() == "9 mm"
    type_in(page.blank, "7")
    assert panel.session.build.nut.blank_height == 7.0
    qtbot.waitUntil(lambda: "too low" in told(page.wrong))
    empty(page.blank)
    assert panel.session.build == three_and_three()
    qtbot.waitUntil(lambda: told(page.wrong) == "")


def test_the_cut_comes_from_two_measures(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench)
    assert page.ask.isVisible()
    assert not page.cut.isVisible()
    type_in(page.measured[0], "0.76")
    type_in(page.measured[1], "0.66")
    qtbot.waitUntil(page.cut.isVisible)
    off = f"{0.2 * LOWERED:.2f} mm"
    assert f"{off} at the bass end, {off} at the treble end" in told(page.fitting_words)
    assert page.cut.words == (f"bass {off}", f"treble {off}")
    assert page.cut.accessibleDescription() == f"bass {off}, treble {off}"
    page.cut.grab()
    type_in(page.numbers["clearance_bass"], "0.76")
    qtbot.waitUntil(lambda: page.cut.words[0] == "bass 0 mm")
    panel.session.act("Mirror", mirrored)
    qtbot.waitUntil(lambda: page.cut.words[1] == "bass 0 mm")
    page.cut.grab()
    empty(page.measured[0])
    qtbot.waitUntil(page.ask.isVisible)
    assert told(page.fitting_words) == ""
    without = page.cut.grab().toImage()
    assert {without.pixel(x, 10) for x in range(without.width())} == {without.pixel(0, 0)}


def test_a_nut_keeps_its_least_height(bench: Maker, qtbot: QtBot) -> None:
    _, page = opened(bench)
    type_in(page.measured[0], "0.76")
    type_in(page.measured[1], "0.66")
    type_in(page.nut_height, "5.1")
    qtbot.waitUntil(lambda: "less than wanted" in told(page.fitting_words))
    assert page.cut.words == ("bass 0.1 mm", "treble 0.1 mm")
    type_in(page.measured[0], "0.1")
    type_in(page.measured[1], "0.1")
    qtbot.waitUntil(lambda: "too low already" in told(page.fitting_words))
    assert page.cut.words == ("bass 0 mm", "treble 0 mm")
    page.cut.grab()


def test_what_the_columns_mean_is_folded_away(bench: Maker) -> None:
    _, page = opened(bench)
    assert not page.about.words.isVisible()
    press(page.about.button)
    assert "Margins: from the finished bass end 3 mm to the centre" in page.about.words.text()
    press(page.about.button)
    assert not page.about.words.isVisible()


def test_a_nut_without_strings(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert page.none.isVisible()
    for part in (page.slots, page.heights, page.fitting_form, page.cut, page.about, page.ask):
        assert not part.isVisible()
