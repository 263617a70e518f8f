"""Which bore a tuner wants: common practice, closed forms, and the drill that comes nearest."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from geometry.bench.bore_fit import (
    NARROWER,
    PASSES,
    PRESS_SLACK,
    UNKNOWN,
    Fit,
    bore_fits,
    bushing_place,
    choose,
    drawn_bore,
    hardness_share,
    passing_fit,
    press_fit,
)
from geometry.trade.drills import FRACTIONS, METRIC
from geometry.trade.fits import with_fit
from geometry.trade.hardware import Bore, Bushing, Counterbore, Disc, Hardware
from geometry.trade.hardware_library import (
    BASS_LIGHT,
    ENCLOSED_SCREW_IN,
    FRICTION,
    GEARED_FRICTION_LOOK,
    LIBRARY,
    OPEN_GEAR,
    SPLIT_POST,
)
from geometry.trade.own_wood import OwnWood
from geometry.trade.shop import Shop
from geometry.trade.wood import WOODS, find_wood
from tests.builds import change, tuner

TEN = Bushing(kind="press-in", root=9.52, crest=10.0)


@pytest.mark.parametrize(
    ("wood", "bore"),
    [
        # Common practice, no source: a bushing with a 10 mm crest goes into soft cedar or mahogany at about 9.76 mm
        # as a push fit and into hard wood at 10 mm; 9.76 is half-way up ribs of 9.52 to 10.
        ("western redcedar", 9.76),
        ("Spanish-cedar", 9.76),
        ("true mahogany", 9.76),
        ("African mahogany", 9.76),
        ("sugar maple", 10.0),
        ("white ash", 10.0),
    ],
)
def test_common_practice_for_ribs_of_ten(wood: str, bore: float) -> None:
    known = find_wood(wood)
    assert known is not None
    assert press_fit(TEN, known).diameter == pytest.approx(bore, abs=1e-9)


@pytest.mark.parametrize(
    ("janka", "share"), [(1000, 0.5), (3700, 0.5), (4600, 0.75), (5050, 0.875), (5500, 1.0), (14_000, 1.0)]
)
def test_between_soft_and_hard_the_share_is_straight(janka: float, share: float) -> None:
    wood = OwnWood(name="wood", specific_gravity=0.5, janka=janka).wood
    assert hardness_share(wood) == pytest.approx(share)
    assert press_fit(TEN, wood).diameter == pytest.approx(9.52 + share * 0.48)


def test_a_wood_that_is_not_known_is_taken_for_neither() -> None:
    fit = press_fit(TEN, None)
    assert fit.kind == "unknown wood"
    assert fit.diameter == pytest.approx(9.52 + UNKNOWN * 0.48)


@given(
    st.floats(1, 30),
    st.floats(0, 1),
    st.sampled_from(WOODS),
    st.sampled_from(WOODS),
)
def test_harder_wood_never_gets_a_narrower_bore(root: float, rib: float, one: object, other: object) -> None:
    bushing = Bushing(kind="press-in", root=root, crest=root + rib)
    soft, hard = sorted((one, other), key=lambda wood: wood.janka)  # type: ignore[attr-defined]
    fits = [press_fit(bushing, wood) for wood in (soft, hard)]  # type: ignore[arg-type]
    assert fits[0].diameter <= fits[1].diameter
    for fit in fits:
        assert root <= fit.least <= fit.diameter + 1e-12
        assert fit.diameter <= fit.most + 1e-12
        assert fit.most <= root + rib
        assert fit.most - fit.least <= 2 * PRESS_SLACK + 1e-12


# Which bore holds the bushing


def test_a_ribbed_bushing_sits_in_the_counterbore_where_there_is_one() -> None:
    fits = bore_fits(OPEN_GEAR, "sugar maple", Shop())
    assert bushing_place(OPEN_GEAR) == "counterbore"
    assert fits.counterbore is not None
    assert fits.main == fits.counterbore
    assert (fits.main.diameter, drawn_bore(OPEN_GEAR)) == (8.9, 8.8)
    assert (fits.through.diameter, fits.through.kind) == (6.5, "passes")
    # The post of 6.0 passes with a tenth to spare, and 6.5 - 0.15 is more.
    assert fits.through.least == pytest.approx(6.5 - NARROWER)


def test_without_a_counterbore_it_sits_in_the_bore() -> None:
    fits = bore_fits(SPLIT_POST, "true mahogany", Shop())
    assert bushing_place(SPLIT_POST) == "through"
    assert fits.counterbore is None
    assert fits.main.diameter == pytest.approx(8.65)


def test_a_threaded_bushing_passes() -> None:
    fits = bore_fits(ENCLOSED_SCREW_IN, "sugar maple", Shop())
    assert (fits.main.diameter, fits.main.kind) == (10.0, "passes")
    # Common practice, no source: 10 mm or 25/64 in (9.92 mm) for the enclosed class.
    assert fits.main.holds(25 / 64 * 25.4)
    # And 35/64 to 9/16 in for the light bass.
    light = bore_fits(BASS_LIGHT, "sugar maple", Shop()).main
    assert light.holds(35 / 64 * 25.4)
    assert light.holds(9 / 16 * 25.4)


def test_a_threaded_bushing_with_a_counterbore() -> None:
    recess = Bore(through=10.0, counterbore=Counterbore(diameter=15.0, depth=2.0))
    sunk = change(ENCLOSED_SCREW_IN, bore=recess)
    assert bushing_place(sunk) == "through"
    assert drawn_bore(sunk) == 10.0
    stepped = change(
        ENCLOSED_SCREW_IN, bore=Bore(through=6.5, counterbore=Counterbore(diameter=10.0, depth=9.0))
    )
    assert bushing_place(stepped) == "counterbore"
    fits = bore_fits(stepped, "sugar maple", Shop())
    assert fits.counterbore is not None
    assert fits.main == fits.counterbore
    assert fits.main.diameter == 10.0
    assert fits.through.diameter == 6.5


def test_no_bushing() -> None:
    assert bushing_place(FRICTION) is None
    assert bore_fits(FRICTION, "sugar maple", Shop()).main == passing_fit(8.0, 6.0, 12.0)


def test_a_bore_never_gets_narrower_than_what_passes_nor_wider_than_its_collar_covers() -> None:
    assert passing_fit(10.0, 9.95, 0.0).least == 10.0
    assert passing_fit(10.0, 9.8, 0.0).least == pytest.approx(9.8 + PASSES)
    assert passing_fit(10.0, 6.0, 11.2).most == pytest.approx(10.2)
    assert passing_fit(10.0, 6.0, 10.5).most == 10.0


def test_a_taper_starts_narrower_and_never_wider() -> None:
    fit = bore_fits(tuner(tapered=True), "sugar maple", Shop()).main
    assert (fit.kind, fit.most, fit.holds(9.5), fit.holds(10.1)) == ("taper", 10.0, True, False)
    ribbed = tuner(tapered=True, bushing=TEN)
    assert bore_fits(ribbed, "sugar maple", Shop()).main == fit
    # The reamer takes the finish out with the rest.
    assert bore_fits(tuner(tapered=True), "sugar maple", Shop(finish_build_up=0.2)).main == fit


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda hardware: hardware.key)
@pytest.mark.parametrize("wood", ["true mahogany", "sugar maple", ""])
def test_all_of_the_library_gets_a_bore_its_post_goes_into(hardware: Hardware, wood: str) -> None:
    fits = bore_fits(hardware, wood, Shop())
    for fit in (fits.through, fits.counterbore):
        if fit is not None:
            assert hardware.post_diameter < fit.least <= fit.diameter <= fit.most


# What felt right, and finish


def test_what_felt_right_stands_above_the_hardness() -> None:
    assert SPLIT_POST.bushing is not None
    shop = Shop(fits=with_fit((), "sugar maple", SPLIT_POST.bushing, 8.73))
    fit = bore_fits(SPLIT_POST, "Sugar Maple", shop).main
    assert (fit.diameter, fit.kind) == (8.73, "felt")
    assert bore_fits(SPLIT_POST, "true mahogany", shop).main.kind == "soft"


def test_what_felt_right_of_a_counterbore() -> None:
    assert OPEN_GEAR.bushing is not None
    shop = Shop(fits=with_fit((), "sugar maple", OPEN_GEAR.bushing, 8.7))
    fits = bore_fits(OPEN_GEAR, "sugar maple", shop)
    assert fits.counterbore is not None
    assert fits.counterbore.diameter == 8.7
    assert fits.through.kind == "passes"


def test_woods_of_the_shop_count() -> None:
    shop = Shop(woods=(OwnWood(name="plum", specific_gravity=0.7, janka=7000),))
    assert bore_fits(SPLIT_POST, "plum", shop).main.diameter == 8.8


def test_finish_widens_everything() -> None:
    # Common practice, no source: 0.2 mm of lacquer builds up in the hole.
    bare, coated = (bore_fits(OPEN_GEAR, "sugar maple", Shop(finish_build_up=up)) for up in (0.0, 0.2))
    for one, other in ((bare.through, coated.through), (bare.main, coated.main)):
        assert other.diameter - one.diameter == pytest.approx(0.2)
        assert other.least - one.least == pytest.approx(0.2)
        assert other.most - one.most == pytest.approx(0.2)
        assert other.build_up == 0.2


# The drill


def test_a_drill_inside_the_fit_comes_before_a_nearer_one_outside() -> None:
    fit = Fit(8.74, 8.75, 8.8, "hard")
    found = choose(fit, (*METRIC, *FRACTIONS))
    assert found is not None
    assert (found.drill.name, found.inside) == ("8.8 mm", True)


def test_without_one_inside_the_nearest_that_can_be_reamed_up() -> None:
    # 11/32 in is 8.73125 mm; 23/64 in is 9.128 mm.
    found = choose(Fit(8.9, 8.85, 8.95, "hard"), FRACTIONS)
    assert found is not None
    assert (found.drill.name, found.inside) == ("11/32 in", False)
    assert found.difference == pytest.approx(8.73125 - 8.9)


def test_a_shop_with_wide_drills_only_and_with_none() -> None:
    wide = tuple(drill for drill in METRIC if drill.diameter >= 12)
    found = choose(Fit(8.9, 8.85, 8.95, "hard"), wide)
    assert found is not None
    assert (found.drill.name, found.inside) == ("12.0 mm", False)
    assert choose(Fit(8.9, 8.85, 8.95, "hard"), ()) is None


def test_the_step_of_a_metric_set_is_always_inside_a_press_fit_in_soft_wood() -> None:
    # Steps of 0.1 mm are never more than 0.05 mm off, and a fit half-way up ribs of 0.35 mm reaches that far.
    assert GEARED_FRICTION_LOOK.bushing is not None
    found = choose(press_fit(GEARED_FRICTION_LOOK.bushing, find_wood("true mahogany")), METRIC)
    assert found is not None
    assert found.inside


def test_a_flat_collar_is_the_widest_disc() -> None:
    covered = tuner(washer=Disc(diameter=10.2, height=1.0))
    assert bore_fits(covered, "", Shop()).main.most == 10.0
