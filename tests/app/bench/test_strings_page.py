"""Strings at the bench: Mersenne's law on the screen, and what the maker of a string tells."""

from __future__ import annotations

import math
from typing import cast

import pytest
from msgspec import UNSET
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from app.bench.bench_panel import BenchPanel
from app.bench.strings_page import StringsPage
from app.document.selection import Item
from geometry.document.build import Build
from geometry.trade.limits import ChangedLimit
from tests.app.bench.conftest import Maker
from tests.app.bench.reading import cells, empty, heads
from tests.app.panels.hands import SCREENLESS, press, told, type_in
from tests.builds import plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)

LENGTH, DIAMETER, STEEL = 0.650, 0.000254, 7800.0
"""Of the highest string of the build, in m, and the density of steel in kg/m3."""
WEIGHT = STEEL * math.pi * DIAMETER**2 / 4
E4 = 440 * 2 ** (-5 / 12)
PULL = WEIGHT * (2 * LENGTH * E4) ** 2
POUND = 4.4482216152605


def opened(bench: Maker, build: Build | None = None) -> tuple[BenchPanel, StringsPage]:
    panel = bench(three_and_three() if build is None else build, "strings")
    return panel, cast(StringsPage, panel.page("strings"))


def test_a_row_for_each_string_by_mersennes_law(bench: Maker) -> None:
    _, page = opened(bench)
    stress = PULL / (math.pi * DIAMETER**2 / 4) / 1e6
    least = 387_000 * 0.006894757293168  # psi of 0.010 in wire: ASTM A228
    row = ["1", "E4", f"{1000 * WEIGHT:.3g}", f"{PULL:.1f}", f"{100 * stress / least:.0f}"]
    assert heads(page.table) == ["No.", "Pitch", "Weight g/m", "Pull N", "Stress %"]
    assert cells(page.table, 0) == row
    # 0.046 in, wrap not told: 0.92 x 7800 kg/m3 x pi / 4 x 1.1684 mm^2 = 7.69 g/m.
    assert cells(page.table, 5)[2:] == ["≈ 7.7", cells(page.table, 5)[3], "–"]
    assert cells(page.table, 5)[3].startswith("≈ ")
    assert page.table.rowCount() == 6
    assert told(page.total).startswith("All together ≈ ")


def test_pounds_where_lengths_are_in_inches(bench: Maker) -> None:
    panel, page = opened(bench)
    panel.set_units("inch")
    assert heads(page.table)[3] == "Pull lbf"
    assert cells(page.table, 0)[3] == f"{PULL / POUND:.1f}"
    assert page.tension.placeholderText() == f"{PULL / POUND:.1f} lbf"
    type_in(page.tension, "20")
    tension = panel.session.build.strings[0].tension
    assert tension is not UNSET
    assert tension == pytest.approx(20 * POUND)
    type_in(page.tension, "70 N")
    assert panel.session.build.strings[0].tension == pytest.approx(70.0)


def test_what_the_maker_of_a_wound_string_tells_takes_the_place_of_an_estimate(
    bench: Maker, qtbot: QtBot
) -> None:
    panel, page = opened(bench)
    panel.session.select((Item("string", "s6"),))
    assert page.string_title.text() == "String 6"
    assert "estimate" in told(page.about)
    type_in(page.weight, "7 g/m")
    assert panel.session.build.strings[5].unit_weight == 7.0
    assert panel.session.history.undo_label == "Change unit weight 6"
    pull = 0.007 * (2 * LENGTH * 440 * 2 ** (-29 / 12)) ** 2
    assert cells(page.table, 5)[2:4] == ["7", f"{pull:.1f}"]
    assert "estimate" not in told(page.about)
    empty(page.weight)
    type_in(page.tension, "60+15")
    assert panel.session.build.strings[5] == replace(three_and_three().strings[5], tension=75.0)
    empty(page.tension)
    assert panel.session.build == three_and_three()


def test_a_pitch_is_typed_and_taken_away(bench: Maker) -> None:
    panel, page = opened(bench)
    assert page.pitch.placeholderText() == "E4"
    type_in(page.pitch, "eb4")
    assert panel.session.build.strings[0].pitch == "Eb4"
    lower = WEIGHT * (2 * LENGTH * E4 * 2 ** (-1 / 12)) ** 2
    assert cells(page.table, 0)[1:4] == ["Eb4", cells(page.table, 0)[2], f"{lower:.1f}"]
    type_in(page.pitch, "H4")
    assert "octave" in page.pitch.fault
    assert page.pitch.toolTip() == page.pitch.fault
    assert panel.session.build.strings[0].pitch == "Eb4"
    page.pitch.grab()
    QTest.keyClick(page.pitch, Qt.Key.Key_Escape)
    assert (page.pitch.text(), page.pitch.fault) == ("Eb4", "")
    empty(page.pitch)
    assert panel.session.build == three_and_three()
    panel.session.undo()
    assert page.pitch.text() == "Eb4"


def test_leaving_a_pitch_takes_it_over(bench: Maker) -> None:
    panel, page = opened(bench)
    page.pitch.setFocus()
    QTest.keyClicks(page.pitch, "d4")
    page.weight.setFocus()
    assert panel.session.build.strings[0].pitch == "D4"
    QTest.keyClick(page.pitch, Qt.Key.Key_Return)
    assert len(panel.session.history.undo_labels) == 1


def test_a_stress_over_its_limit_is_marked(bench: Maker) -> None:
    build = three_and_three(limits=(ChangedLimit("string stress", "watch", 40.0),))
    _, page = opened(bench, build)
    assert cells(page.table, 0)[4].endswith(" ▲")
    assert not cells(page.table, 2)[4].endswith("▲")


def test_where_to_cut(bench: Maker) -> None:
    panel, page = opened(bench)
    assert heads(page.cuts) == ["String", "Turns", "Nut to post", "Past the post", "From the nut"]
    post = panel.session.build.hardware[0].post_diameter
    past = math.pi * (post + 0.254) * 4 + 25
    assert cells(page.cuts, 0)[3] == f"{past:.0f} mm"
    assert not page.sources.body.isVisible()
    press(page.sources.button)
    assert "Mersenne" in page.sources.words.text()
    assert page.sources.body.isVisible()


def test_a_build_without_strings_says_so(bench: Maker) -> None:
    panel, page = opened(bench, plain_head())
    assert told(page.total) == "There are no strings yet."
    for part in (page.form, page.cuts, page.sources):
        assert not part.isVisible()
    page.pitch.edited.emit("E4")
    assert panel.session.build == plain_head()


def test_a_string_without_a_pitch(bench: Maker) -> None:
    strings = (replace(three_and_three().strings[0], name="high"), *three_and_three().strings[1:])
    _, page = opened(bench, three_and_three(strings=strings))
    assert cells(page.table, 0)[1] == "–"
    assert cells(page.table, 0)[3:] == ["–", "–"]
    assert page.pitch.placeholderText() == "not known"
    assert "without 1 of 6 strings" in told(page.total)
    type_in(page.tension, "70")
    assert cells(page.table, 0)[3] == "70.0"
