"""Drilling on the screen: fits, what felt right, woods of the shop, and the steps."""

from __future__ import annotations

from typing import cast

import pytest
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.drilling_page import DrillingPage
from app.document.settings import SettingsStore
from geometry.document.build import Build
from geometry.document.edits import set_drilled, set_head
from geometry.trade.hardware import Bushing, Tried
from geometry.trade.hardware_library import SPLIT_POST
from geometry.trade.shop import OwnWood, StoredFit
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, column, empty, heads
from tests.app.panels.hands import SCREENLESS, pick, press, told, type_in
from tests.builds import LEVEL, plain_head, six_in_line, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

NAME = "Split post in line, press-in bushing, shared screws"
BUSHING = cast(Bushing, SPLIT_POST.bushing)


def in_wood(wood: str) -> Build:
    return six_in_line(head=replace(LEVEL, wood=wood))


def opened(bench: Maker, build: Build) -> tuple[BenchPanel, DrillingPage]:
    panel = bench(build, "drilling")
    return panel, cast(DrillingPage, panel.page("drilling"))


def test_the_bore_of_the_build_and_whether_it_suits(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, in_wood("sugar maple"))
    assert told(page.bores.bore) == f"{NAME}: 8.7 mm"
    assert told(page.bores.drill).startswith("Inside the fit: a light press in hard wood")
    assert "hardness 6400 N" in told(page.bores.drill)
    assert not page.bores.use.isVisible()
    soft = replace(panel.session.build.head, wood="western redcedar")
    panel.session.act("Soft", lambda build: set_head(build, soft))
    qtbot.waitUntil(page.bores.use.isVisible)
    assert told(page.bores.bore) == f"{NAME}: 8.7 mm"
    assert "Outside the fit (a firm press in soft wood" in told(page.bores.drill)
    assert not page.wood.isVisible()


def test_the_bore_that_suits_is_used_in_one_step(bench: Maker, qtbot: QtBot) -> None:
    panel, page = opened(bench, in_wood("black walnut"))
    before = panel.session.build
    # Medium wood: drills from 8.60 to 8.65 for ribs of 8.8.
    assert page.bores.use.text() == "Use 8.6 mm"
    press(page.bores.use)
    assert panel.session.build.hardware[0].bore.through == 8.6
    qtbot.waitUntil(lambda: told(page.bores.bore) == f"{NAME}: 8.6 mm")
    assert not page.bores.use.isVisible()
    panel.session.undo()
    assert panel.session.build == before


def test_a_drilled_hole_is_not_changed(bench: Maker) -> None:
    build = in_wood("black walnut")
    build = set_drilled(build, build.rows[-1].posts[0].key, drilled=True)
    panel, page = opened(bench, build)
    assert "Outside the fit" in told(page.bores.drill)
    assert not page.bores.use.isVisible()
    pick(page.bores.felt, "8.6 mm, 0.339 in")
    assert panel.session.build == build


def test_a_drill_outside_the_fit_is_told(bench: Maker, store: SettingsStore) -> None:
    store.keep_shop(replace(store.settings.shop, drill_sets=(), extra_drills=(7.0,)))
    _, page = opened(bench, in_wood("sugar maple"))
    assert "No drill of the shop makes" in told(page.bores.drill)
    assert column(page.table, 3)[1].endswith("!")
    store.keep_shop(replace(store.settings.shop, extra_drills=()))
    bare, page = opened(bench, in_wood("sugar maple"))
    assert "no drills yet" in told(page.bores.drill)
    assert cells(page.table, 1)[2:4] == ["–", "–"]
    assert not page.bores.felt.isVisible()
    assert bare.isVisible()


def test_what_felt_right_is_kept_for_wood_and_bushing(
    bench: Maker, store: SettingsStore, qtbot: QtBot
) -> None:
    panel, page = opened(bench, in_wood("sugar maple"))
    before = panel.session.build
    assert not page.bores.forget.isVisible()
    pick(page.bores.felt, "8.6 mm, 0.339 in")
    felt = StoredFit(wood="sugar maple", kind=BUSHING.kind, root=BUSHING.root, crest=BUSHING.crest, bore=8.6)
    assert store.settings.shop.fits == (felt,)
    # The build takes it over in one step, with what proves it.
    qtbot.waitUntil(lambda: told(page.bores.bore).endswith("8.6 mm"))
    assert panel.session.build.hardware[0].bushing == replace(
        BUSHING, tried=Tried(wood="sugar maple", bore=8.6)
    )
    assert "Inside the fit: felt right in this wood before" in told(page.bores.drill)
    assert page.bores.felt.value == 8.6
    other = replace(panel.session.build.head, wood="black walnut")
    panel.session.act("Other wood", lambda build: set_head(build, other))
    qtbot.waitUntil(lambda: not page.bores.forget.isVisible())
    panel.session.undo()
    qtbot.waitUntil(page.bores.forget.isVisible)
    press(page.bores.forget)
    assert not store.settings.shop.fits
    assert panel.session.build.hardware[0].bushing == BUSHING
    qtbot.waitUntil(lambda: "Outside the fit (a light press" in told(page.bores.drill))
    panel.session.undo()
    panel.session.undo()
    assert panel.session.build == before


def test_a_fit_that_no_drill_makes_any_more_is_still_shown(bench: Maker, store: SettingsStore) -> None:
    felt = StoredFit(
        wood="sugar maple", kind=BUSHING.kind, root=BUSHING.root, crest=BUSHING.crest, bore=8.617
    )
    store.keep_shop(replace(store.settings.shop, fits=(felt,)))
    _, page = opened(bench, in_wood("sugar maple"))
    assert page.bores.felt.currentText() == "8.62 mm"


def test_two_kinds_of_tuners_are_shown_one_at_a_time(bench: Maker) -> None:
    first, second = three_and_three(), six_in_line()
    rows = (first.rows[0], replace(first.rows[1], hardware=SPLIT_POST.key))
    build = replace(first, hardware=(*first.hardware, *second.hardware), rows=rows)
    _, page = opened(bench, build)
    assert page.bores.kind.isVisible()
    assert told(page.bores.bore).startswith("Enclosed gear, screw-in bushing")
    pick(page.bores.kind, SPLIT_POST.name)
    assert told(page.bores.bore).startswith(NAME)


def test_the_shop_keeps_the_bit_and_the_build_its_finish(
    bench: Maker, store: SettingsStore, qtbot: QtBot
) -> None:
    panel, page = opened(bench, in_wood("sugar maple"))
    assert column(page.table, 1)[1].startswith("Bore right through")
    pick(page.bit, "Twist bits")
    assert store.settings.shop.bit == "twist"
    qtbot.waitUntil(lambda: column(page.table, 1)[1].startswith("Pilot right through"))
    type_in(page.build_up, "0.1+0.1")
    assert panel.session.build.head.finish_build_up == pytest.approx(0.2)
    assert store.settings.shop.finish_build_up == 0.0
    qtbot.waitUntil(page.bores.use.isVisible)
    assert page.bores.use.text() == "Use 8.9 mm"
    panel.session.undo()
    qtbot.waitUntil(lambda: not page.bores.use.isVisible())
    type_in(page.build_up, "3")
    assert page.build_up.fault


def test_the_chosen_step_tells_how_it_is_done(bench: Maker) -> None:
    panel, page = opened(bench, in_wood("sugar maple"))
    assert heads(page.table) == ["#", "Step and holes", "Drill", "Over, under mm", "Stop mm"]
    assert told(page.step_title) == "2. Bore right through"
    assert told(page.step).startswith("Brad point bit, right through from the face, on backing.")
    page.table.setFocus()
    for _ in range(2):
        QTest.keyClick(page.table, Qt.Key.Key_Down)
    assert told(page.step_title) == "4. Screw pilots"
    assert "mm deep from the back, clamped." in told(page.step)
    QTest.keyClick(page.table, Qt.Key.Key_Home, Qt.KeyboardModifier.ControlModifier)
    assert told(page.step_title) == "1. Mark"
    assert "bit" not in told(page.step)
    panel.set_units("inch")
    assert told(page.step_title) == "1. Mark"
    press(page.about.button)
    assert "Over, under: how much wider" in page.about.words.text()


def test_a_wood_that_the_table_lacks_is_told_of(bench: Maker, store: SettingsStore, qtbot: QtBot) -> None:
    _, page = opened(bench, in_wood("driftwood"))
    assert '"driftwood" is not in the table' in told(page.wood.about)
    assert not page.wood.fields["janka"].isEnabled()
    type_in(page.wood.fields["specific_gravity"], "0.3")
    assert store.settings.shop.woods == (OwnWood(name="driftwood", specific_gravity=0.3),)
    qtbot.waitUntil(lambda: "a firm press in soft wood" in told(page.bores.drill))
    assert told(page.wood.about) == ""
    type_in(page.wood.fields["janka"], "9000")
    assert store.settings.shop.woods[0].janka == 9000.0
    qtbot.waitUntil(lambda: "a light press in hard wood" in told(page.bores.drill))
    empty(page.wood.fields["janka"])
    assert store.settings.shop.woods == (OwnWood(name="driftwood", specific_gravity=0.3),)
    press(page.wood.forget)
    assert not store.settings.shop.woods
    qtbot.waitUntil(lambda: "not in the table" in told(page.wood.about))


def test_a_wood_without_its_gravity_is_forgotten(bench: Maker, store: SettingsStore, qtbot: QtBot) -> None:
    other = OwnWood(name="bog oak", specific_gravity=0.7)
    store.keep_shop(replace(store.settings.shop, woods=(other,)))
    _, page = opened(bench, in_wood("driftwood"))
    type_in(page.wood.fields["specific_gravity"], "0.3")
    qtbot.waitUntil(lambda: page.wood.fields["janka"].isEnabled())
    empty(page.wood.fields["specific_gravity"])
    assert store.settings.shop.woods == (other,)


@pytest.mark.parametrize("wood", ["", "w" * 61], ids=["none", "long"])
def test_a_wood_that_the_shop_cannot_name_is_not_asked_for(bench: Maker, wood: str) -> None:
    _, page = opened(bench, in_wood(wood))
    assert not page.wood.isVisible()


def test_a_head_without_tuners(bench: Maker) -> None:
    _, page = opened(bench, plain_head())
    assert page.none.isVisible()
    for part in (page.bores, page.wood, page.table, page.shop_form, page.step, page.about):
        assert not part.isVisible()
    page.bores.felt.picked.emit(8.8)
    page.bores.forget.clicked.emit()
