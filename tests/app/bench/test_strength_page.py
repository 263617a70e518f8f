"""Strength on the screen: the figure and its parts, and the drawing beside it."""

from __future__ import annotations

from typing import cast

import pytest
from msgspec.structs import replace
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.strength_page import StrengthPage
from app.document.settings import SettingsStore
from export.drawing import Role
from geometry.bench.strength_words import GOVERNS
from geometry.document.build import Build
from geometry.document.edits import set_head
from geometry.document.outline import Nodes
from geometry.trade.shop import OwnWood
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, column
from tests.app.panels.hands import SCREENLESS, press, told, type_in
from tests.builds import LEVEL, plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def of_wood(wood: str, angle: float = 14.0) -> Build:
    return three_and_three(head=replace(LEVEL, angle_deg=angle, wood=wood))


def opened(bench: Maker, build: Build) -> tuple[BenchPanel, StrengthPage]:
    panel = bench(build, "strength")
    return panel, cast(StrengthPage, panel.page("strength"))


def roles(page: StrengthPage) -> set[Role]:
    return {mark.role for mark in page.curve.drawing.marks}


def test_the_figure_has_its_parts_and_its_caution(bench: Maker) -> None:
    _, page = opened(bench, of_wood("sugar maple"))
    assert "of what a timber code would allow, weakest " in told(page.verdict)
    for part in (
        "Reserve for a knock: about ",
        " N) at the tip",
        "Index ",
        "Ordinary heads stay below 100 %.",
    ):
        assert part in told(page.words)
    assert told(page.caution) == GOVERNS
    # 1 - 1.645 x 0.16; Hankinson's formula at 14 degrees for 0.07 across the grain; 0.6 for years.
    assert [cells(page.factors, row)[1] for row in (1, 2, 3)] == ["74 %", "56 %", "60 %"]
    assert cells(page.factors, 0)[2] == "110 MPa"
    assert {Role.CURVE, Role.SECOND_CURVE, Role.OUTLINE} <= roles(page)
    press(page.inputs.button)
    assert page.input_table.isVisible()
    assert "Modulus of rupture" in column(page.input_table, 0)
    page.curve.grab()


def test_a_scarfed_head_keeps_its_strength_along_the_grain(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    scarfed = replace(panel.session.build.head, joint="scarf")
    panel.session.act("Scarf", lambda build: set_head(build, scarfed))
    qtbot.waitUntil(lambda: cells(page.factors, 2)[1] == "100 %")


def test_a_shallower_neck_is_typed_in_where_it_counts(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    type_in(page.neck.numbers.fields["neck_depth"], "3.5")
    assert panel.session.build.head.neck_depth == 3.5
    qtbot.waitUntil(lambda: "in the neck" in told(page.verdict))
    assert "make the neck deeper" in told(page.words)


def test_an_inch_shop_reads_pounds(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    panel.set_units("inch")
    qtbot.waitUntil(lambda: " lbf) at the tip" in told(page.words))
    assert cells(page.factors, 0)[2].endswith(" psi")
    assert not any(sign in told(page.words) for sign in (" N ", " mm", "MPa"))


def test_a_wood_without_figures_gets_none_until_the_shop_knows_it(
    bench: Maker, store: SettingsStore, qtbot: QtBot
) -> None:
    _, page = opened(bench, of_wood("driftwood"))
    assert 'The head is of "driftwood", a wood that is not known here' in told(page.verdict)
    assert not page.factors.isVisible()
    assert not page.factors_title.isVisible()
    assert Role.CURVE in roles(page)
    own = OwnWood(name="driftwood", specific_gravity=0.5, modulus_of_rupture=80.0)
    store.keep_shop(replace(store.settings.shop, woods=(own,)))
    qtbot.waitUntil(page.factors.isVisible)


def test_nothing_is_drawn_where_nothing_pulls(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert "No string pulls" in told(page.verdict)
    for part in (page.curve, page.caution, page.factors, page.inputs):
        assert not part.isVisible()


def test_half_a_head_has_no_strength(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    panel.session.act("Empty", lambda build: replace(build, outline=Nodes(nodes=())))
    qtbot.waitUntil(lambda: "open or crosses itself" in told(page.verdict))
    for part in (page.words, page.curve, page.caution, page.factors_title, page.factors, page.inputs):
        assert not part.isVisible()
    panel.resize(640, 900)
    panel.session.undo()
    qtbot.waitUntil(page.factors.isVisible)
    assert page.curve.isVisible()


def test_a_narrow_panel_shows_the_plot_alone(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    panel.resize(252, 900)
    qtbot.waitUntil(lambda: Role.OUTLINE not in roles(page))
    assert Role.CURVE in roles(page)
    panel.resize(396, 900)
    qtbot.waitUntil(lambda: Role.OUTLINE in roles(page))


def test_the_drawing_follows_the_width_of_the_panel(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, of_wood("sugar maple"))
    narrow = page.curve.drawing.bounds.width
    panel.resize(640, 900)
    qtbot.waitUntil(lambda: page.curve.drawing.bounds.width > 1.1 * narrow)
    qtbot.waitUntil(lambda: page.curve.height() == page.curve.heightForWidth(page.curve.width()))
    page.curve.grab()
