"""Fitting a nut by its underside, by closed forms of similar triangles."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from geometry.layout.layout import lay_out
from geometry.layout.nut_fitting import fit_nut, say_fitting, usual_height
from tests.builds import three_and_three

BUILD = three_and_three()
LAYOUT = lay_out(BUILD)
LOWERED = 2 ** (1 / 12)


def test_what_the_build_wants_stands_in_for_what_is_not_told() -> None:
    found = fit_nut(BUILD, LAYOUT, (0.76, 0.66))
    assert found.wanted == (BUILD.nut.clearance_bass, BUILD.nut.clearance_treble)
    # The highest string stands a quarter of its diameter proud: its top is the lowest of all.
    assert found.height == usual_height(BUILD, LAYOUT) == pytest.approx(7 + 0.75 * 0.254)
    assert found.cut.bass_end == pytest.approx(0.2 * LOWERED)
    assert found.cut.treble_end == pytest.approx(0.2 * LOWERED)
    own = fit_nut(BUILD, LAYOUT, (0.76, 0.66), (None, 0.66), height=6.0)
    assert own.wanted == (BUILD.nut.clearance_bass, 0.66)
    assert own.height == 6.0
    assert own.cut.bass_end > 0.2 * LOWERED
    assert own.cut.treble_end == pytest.approx(0.0, abs=1e-9)


def test_the_cut_in_words() -> None:
    said = list(say_fitting(BUILD, fit_nut(BUILD, LAYOUT, (0.76, 0.66)), "mm"))
    off, half = f"{0.2 * LOWERED:.2f} mm", f"{0.1 * LOWERED:.2f} mm"
    assert said == [
        "Over fret 1, bass and treble: measured 0.76 mm and 0.66 mm, wanted 0.56 mm and 0.46 mm.",
        f"Take off the bottom, as one straight cut: {off} at the bass end, {off} at the treble end.",
        f"Over fret 12 the strings come down by half of that: {half} and {half}.",
    ]


def test_what_feelers_do_not_tell_is_no_cut_and_no_gap() -> None:
    # 0.022 in and 0.018 in are 0.5588 and 0.4572 mm, the wanted 0.56 and 0.46 mm but for what nobody measures.
    measured = (0.022 * 25.4, 0.018 * 25.4)
    for found in (fit_nut(BUILD, LAYOUT, measured), fit_nut(BUILD, LAYOUT, (0.561, 0.462))):
        assert list(say_fitting(BUILD, found, "mm"))[1:] == ["Take nothing off the bottom."]


def test_a_nut_that_is_too_low_and_one_that_may_not_get_lower() -> None:
    low = list(say_fitting(BUILD, fit_nut(BUILD, LAYOUT, (0.36, 0.46)), "mm"))
    assert low[1].startswith(
        f"The bass-most string is too low already: raise the nut by {0.2 * LOWERED:.2f} mm"
    )
    assert low[2] == "Take nothing off the bottom."
    kept = replace(BUILD, nut=replace(BUILD.nut, least_height=7.0))
    held = list(say_fitting(kept, fit_nut(kept, LAYOUT, (0.76, 0.66), height=7.1), "mm"))
    assert held[-1] == "That is less than wanted: the nut is 7.1 mm high and keeps 7 mm at least."
