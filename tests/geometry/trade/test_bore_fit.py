"""Fits between a hole and what sits in it: bands of workshop practice by subtraction, the overcut of the drill counted.

The bands are those of the workshop (from memory, no source): a hole in hard wood 0.12 under the crest to as wide as
it, best 0.05 under; in medium wood 0.10 to 0.15 under, in soft wood 0.15 to 0.25. A drill leaves a hole 0.05 wider.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import UNSET

from geometry.trade.bore_fit import (
    OVERCUT,
    Fit,
    bushing_place,
    drawn_bore,
    felt_fit,
    hardness,
    passing_fit,
    press_fit,
    with_drawn_bore,
    wood_fit,
)
from geometry.trade.hardware import Bore, Bushing, Counterbore, Hardware, Tried
from geometry.trade.hardware_library import (
    BASS_LIGHT,
    ENCLOSED_SCREW_IN,
    FRICTION,
    LIBRARY,
    OPEN_GEAR,
    SPLIT_POST,
)
from geometry.trade.measured import with_measured
from geometry.trade.shop import OwnWood
from geometry.trade.wood import WOODS, Wood, find_wood
from tests.builds import change, tuner

TEN = Bushing(kind="press-in", root=9.52, crest=10.0)


def of_hardness(janka: float) -> Wood:
    return OwnWood(name="wood", specific_gravity=0.5, janka=janka).wood


@pytest.mark.parametrize(
    ("janka", "least", "best", "most"),
    [
        # Drills for a crest of 10: 10 less the band, less the 0.05 that the hole comes out wider.
        (3499, 9.70, 9.75, 9.80),
        (3500, 9.80, 9.825, 9.85),
        (5500, 9.80, 9.825, 9.85),
        (5501, 9.83, 9.90, 9.95),
    ],
)
def test_the_bands_of_soft_medium_and_hard_wood(janka: float, least: float, best: float, most: float) -> None:
    fit = press_fit(TEN, of_hardness(janka))
    assert (fit.least, fit.diameter, fit.most) == pytest.approx((least, best, most))
    assert fit.hole == pytest.approx((least + 0.05, most + 0.05))


@pytest.mark.parametrize(
    ("name", "word"),
    [
        # Janka hardness in lbf, Wood Handbook FPL-GTR-190, Table 5-3b: 3500 N are 787 lbf, 5500 N are 1236 lbf.
        ("western redcedar", "soft"),  # 350
        ("Sitka spruce", "soft"),  # 510
        ("yellow-poplar", "soft"),  # 540
        ("silver maple", "soft"),  # 700
        ("bigleaf maple", "medium"),  # 850
        ("black cherry", "medium"),  # 950
        ("black walnut", "medium"),  # 1010
        ("black maple", "medium"),  # 1180
        ("yellow birch", "hard"),  # 1260
        ("northern red oak", "hard"),  # 1290
        ("white ash", "hard"),  # 1320
        ("sugar maple", "hard"),  # 1450
    ],
)
def test_woods_of_the_handbook_by_their_hardness(name: str, word: str) -> None:
    assert hardness(find_wood(name)) == word


def test_half_way_up_the_ribs_in_soft_wood() -> None:
    # Half-way up ribs of 9.52 to 10 is 9.76: common practice, no source.
    low, high = press_fit(TEN, find_wood("western redcedar")).hole
    assert low < (9.52 + 10.0) / 2 < high


def test_measured_interferences_are_inside_the_soft_band() -> None:
    # Common practice, no source: a crest of 8.75 in a hole of 8.5, bass bushings 0.2 over their hole.
    for crest, hole in ((8.75, 8.5), (17.7, 17.5)):
        low, high = press_fit(change(TEN, root=crest - 0.3, crest=crest), find_wood("yellow-poplar")).hole
        assert low - 1e-9 <= hole <= high + 1e-9


@given(st.floats(1, 30), st.floats(-0.05, 0.05))
def test_hard_wood_gets_a_press_wherever_in_its_scatter_the_hole_comes_out(
    crest: float, scatter: float
) -> None:
    # The hole is the drill + 0.05 +- 0.05: with the best drill it is never wider than the crest, nor tighter than 0.12.
    bushing = Bushing(kind="press-in", root=crest - 0.3, crest=crest)
    hole = press_fit(bushing, find_wood("sugar maple")).diameter + 0.05 + scatter
    assert -0.12 - 1e-9 <= hole - crest <= 1e-9


@given(st.floats(1, 30), st.floats(0.05, 1), st.sampled_from(WOODS), st.sampled_from(WOODS))
def test_harder_wood_never_gets_a_narrower_bore(crest: float, rib: float, one: Wood, other: Wood) -> None:
    bushing = Bushing(kind="press-in", root=crest - rib, crest=crest)
    soft, hard = (press_fit(bushing, wood) for wood in sorted((one, other), key=lambda wood: wood.janka))
    assert soft.diameter <= hard.diameter
    assert soft.least <= hard.least
    assert soft.most <= hard.most
    for fit in (soft, hard):
        assert fit.least < fit.diameter < fit.most <= crest - OVERCUT


def test_a_wood_that_is_not_known_may_be_any() -> None:
    fit = press_fit(TEN, None)
    assert fit.kind == "unknown wood"
    every = [press_fit(TEN, wood) for wood in WOODS]
    assert fit.least == pytest.approx(min(each.least for each in every))
    assert fit.most == pytest.approx(max(each.most for each in every))


def test_a_bushing_without_ribs_and_one_told_the_wrong_way_round() -> None:
    smooth, turned = change(TEN, root=10.0), change(TEN, root=10.0, crest=9.52)
    maple = find_wood("sugar maple")
    assert press_fit(smooth, maple) == press_fit(TEN, maple) == press_fit(turned, maple)


# What passes, and tapers


def test_a_bore_never_gets_narrower_than_what_passes_nor_wider_than_its_collar_covers() -> None:
    assert passing_fit(10.0, 6.0, 14.0) == Fit(10.0, 6.1, 13.0, "passes")
    assert passing_fit(10.0, 9.95, 14.0).diameter == pytest.approx(10.05)
    assert passing_fit(10.0, 6.0, 10.5).diameter == 9.5
    assert passing_fit(10.0, 6.0, 0.0).most == math.inf


def test_a_threaded_bushing_passes() -> None:
    # Common practice, no source: 10 mm or 25/64 in (9.92 mm) for the enclosed class, 35/64 to 9/16 in for a light bass.
    fit = wood_fit(ENCLOSED_SCREW_IN, "sugar maple", find_wood("sugar maple"))
    assert (fit.diameter, fit.kind, fit.holds(25 / 64 * 25.4)) == (10.0, "passes", True)
    light = wood_fit(BASS_LIGHT, "", None)
    assert light.holds(35 / 64 * 25.4)
    assert light.holds(9 / 16 * 25.4)


def test_a_taper_starts_narrower_and_never_wider() -> None:
    tapered = tuner(tapered=True, bushing=TEN)
    fit = wood_fit(tapered, "", None)
    assert (fit.kind, fit.most, fit.holds(9.5), fit.holds(10.1)) == ("taper", 10.0, True, False)
    # The reamer takes the finish out with the rest.
    assert wood_fit(tapered, "", None, 0.2) == fit


# What felt right, and finish


def test_what_felt_right_stands_above_the_hardness_in_its_wood_only() -> None:
    felt = tuner(bushing=change(TEN, tried=Tried(wood="sugar maple", bore=9.6)))
    maple = find_wood("sugar maple")
    assert wood_fit(felt, " Sugar Maple", maple) == felt_fit(9.6)
    assert wood_fit(felt, "white ash", find_wood("white ash")) == press_fit(TEN, find_wood("white ash"))


def test_finish_widens_what_is_pressed_and_leaves_what_passes() -> None:
    # Common practice, no source: 0.2 mm of lacquer builds up in the hole.
    maple = find_wood("sugar maple")
    bare, coated = (wood_fit(SPLIT_POST, "sugar maple", maple, up) for up in (0.0, 0.2))
    assert coated.diameter - bare.diameter == pytest.approx(0.2)
    assert coated.least - bare.least == pytest.approx(0.2)
    assert coated.most - bare.most == pytest.approx(0.2)
    passing = wood_fit(FRICTION, "", None, 0.2)
    assert (passing.diameter, passing.least) == pytest.approx((8.0, 6.3))


# Which bore matters


def test_a_ribbed_bushing_sits_in_the_counterbore_where_there_is_one() -> None:
    assert (bushing_place(OPEN_GEAR), drawn_bore(OPEN_GEAR)) == ("counterbore", 8.8)
    assert (bushing_place(SPLIT_POST), drawn_bore(SPLIT_POST)) == ("through", 8.7)
    assert (bushing_place(FRICTION), drawn_bore(FRICTION)) == (None, 8.0)


def test_a_threaded_bushing_with_a_counterbore() -> None:
    sunk = change(
        ENCLOSED_SCREW_IN, bore=Bore(through=10.0, counterbore=Counterbore(diameter=15.0, depth=2.0))
    )
    assert (bushing_place(sunk), drawn_bore(sunk)) == ("through", 10.0)
    stepped = change(
        ENCLOSED_SCREW_IN, bore=Bore(through=6.5, counterbore=Counterbore(diameter=10.0, depth=9.0))
    )
    assert (bushing_place(stepped), drawn_bore(stepped)) == ("counterbore", 10.0)


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda hardware: hardware.key)
def test_another_bore_changes_the_one_that_matters_only(hardware: Hardware) -> None:
    other = with_drawn_bore(hardware, 9.25)
    assert drawn_bore(other) == 9.25
    assert with_drawn_bore(other, drawn_bore(hardware)) == hardware


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda hardware: hardware.key)
def test_the_bores_of_the_library_suit_some_wood(hardware: Hardware) -> None:
    assert wood_fit(hardware, "", None).holds(drawn_bore(hardware))


def test_a_bore_that_was_chosen_is_on_the_record_where_there_is_one() -> None:
    assert with_drawn_bore(ENCLOSED_SCREW_IN, 9.0).measured is UNSET
    typed = with_measured(ENCLOSED_SCREW_IN, {"hole_height"})
    assert with_drawn_bore(typed, 9.0).measured == ("hole_height", "bore.through")
    stepped = with_measured(OPEN_GEAR, {"hole_height"})
    assert with_drawn_bore(stepped, 9.0).measured == ("hole_height", "bore.counterbore.diameter")
