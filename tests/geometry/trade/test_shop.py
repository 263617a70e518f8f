"""The maker's shop: its papers and drills, woods that the maker adds, fits that felt right."""

from __future__ import annotations

from statistics import mean
from typing import get_args

import msgspec
import pytest

from export.paper import PAPERS
from geometry.document.codec import read_shop, write_shop
from geometry.trade.drills import LETTERS, METRIC
from geometry.trade.hardware import Bushing
from geometry.trade.shop import (
    GUESSED,
    MEASURED,
    OwnWood,
    PaperName,
    Shop,
    StoredFit,
    default_shop,
    stored_fit,
    with_fit,
    without_fit,
)
from geometry.trade.wood import DOMESTIC, WOODS, Wood, find_wood
from tests.builds import change


def test_every_paper_has_a_size() -> None:
    assert set(get_args(PaperName)) == set(PAPERS)


def test_drills_of_the_sets_and_own_ones_rise() -> None:
    shop = Shop(drill_sets=("letter", "metric", "letter"), extra_drills=(10.05,))
    assert len(shop.drills) == len(LETTERS) + len(METRIC) + 1
    sizes = [drill.diameter for drill in shop.drills]
    assert sizes == sorted(sizes)
    place = sizes.index(10.05)
    assert [drill.name for drill in shop.drills[place - 1 : place + 2]] == ["10.0 mm", "10.05 mm", "letter X"]


def test_of_equal_drills_the_set_named_first_comes_first() -> None:
    quarters = [
        drill.name for drill in Shop(drill_sets=("letter", "fraction")).drills if drill.diameter == 6.35
    ]
    assert quarters == ["letter E", "1/4 in"]


def test_no_drills_at_all() -> None:
    assert Shop(drill_sets=()).drills == ()


def test_shop_cannot_be_changed() -> None:
    with pytest.raises(AttributeError):
        default_shop().kerf = 1.0  # type: ignore[misc]
    assert msgspec.structs.replace(default_shop(), kerf=1.0).kerf == 1.0


# Fits that felt right


BUSHING = Bushing(kind="press-in", root=8.5, crest=8.8)


def test_the_last_word_counts_whatever_the_capitals_of_the_wood() -> None:
    fits = with_fit((), "Sugar maple", BUSHING, 8.8)
    fits = with_fit(fits, " sugar MAPLE ", BUSHING, 8.73)
    assert len(fits) == 1
    found = stored_fit(fits, "sugar maple", BUSHING)
    assert found is not None
    assert found.bore == 8.73
    assert without_fit(fits, "sugar maple", BUSHING) == ()


@pytest.mark.parametrize(
    "other",
    [
        change(BUSHING, kind="screw-in"),
        change(BUSHING, root=8.48),
        change(BUSHING, crest=8.82),
    ],
)
def test_another_bushing_has_another_fit(other: Bushing) -> None:
    fits = with_fit((), "sugar maple", BUSHING, 8.8)
    assert stored_fit(fits, "sugar maple", other) is None
    assert stored_fit(fits, "cherry", BUSHING) is None
    assert without_fit(fits, "sugar maple", other) == fits


def test_a_bushing_measured_again_within_what_calipers_tell_is_the_same() -> None:
    fits = with_fit((), "sugar maple", BUSHING, 8.8)
    assert stored_fit(fits, "sugar maple", change(BUSHING, crest=8.805)) == fits[0]


def test_fits_are_kept_in_the_file_of_the_shop() -> None:
    fit = StoredFit(wood="plum", kind="press-in", root=8.5, crest=8.8, bore=8.7)
    assert read_shop(write_shop(Shop(fits=(fit,)))).fits == (fit,)


# Woods of the maker


HARDWOODS = [
    wood
    for wood in WOODS
    if wood.source == DOMESTIC and wood.name not in ("western redcedar", "Sitka spruce")
]


@pytest.mark.parametrize("wood", HARDWOODS, ids=lambda wood: wood.name)
def test_a_guess_is_within_a_third_of_the_handbook(wood: Wood) -> None:
    # Species scatter about the relations; hardness more than strength (Wood Handbook, chapter 5: 10 to 20 %).
    guess = OwnWood(name="guess", specific_gravity=wood.specific_gravity).wood
    assert guess.modulus_of_rupture == pytest.approx(wood.modulus_of_rupture, rel=0.2)
    assert guess.modulus_of_elasticity == pytest.approx(wood.modulus_of_elasticity, rel=0.33)
    assert guess.janka == pytest.approx(wood.janka, rel=0.33)
    assert guess.density == pytest.approx(wood.density, rel=0.01)
    assert guess.doubtful
    assert guess.source == GUESSED.format("hardness and strength")


@pytest.mark.parametrize("told", ["modulus_of_rupture", "modulus_of_elasticity", "janka"])
def test_guesses_run_through_the_middle_of_the_handbook(told: str) -> None:
    # Fifteen hardwoods of Wood Handbook FPL-GTR-190, Table 5-3a: above and below, but not on one side.
    shares = [
        getattr(OwnWood(name="guess", specific_gravity=wood.specific_gravity).wood, told)
        / getattr(wood, told)
        for wood in HARDWOODS
    ]
    assert len(shares) == 15
    assert mean(shares) == pytest.approx(1, abs=0.05)
    assert min(shares) < 1 < max(shares)


def test_guesses_are_to_two_figures() -> None:
    for gravity in (0.31, 0.5, 0.77, 1.13):
        guess = OwnWood(name="guess", specific_gravity=gravity).wood
        for value in (guess.janka, guess.modulus_of_rupture, guess.modulus_of_elasticity):
            assert len(f"{value:g}".replace(".", "").strip("0")) <= 2


def test_what_is_known_is_not_guessed() -> None:
    plum = OwnWood(
        name="plum",
        specific_gravity=0.7,
        janka=7000,
        modulus_of_rupture=90,
        modulus_of_elasticity=10,
        shear=15,
    ).wood
    assert (plum.janka, plum.modulus_of_rupture, plum.modulus_of_elasticity, plum.shear) == (7000, 90, 10, 15)
    assert plum.density == pytest.approx(784)
    assert not plum.doubtful
    assert plum.source == MEASURED


def test_hardness_alone_is_guessed_and_the_strength_still_counts() -> None:
    plum = OwnWood(name="plum", specific_gravity=0.7, modulus_of_rupture=90, modulus_of_elasticity=10).wood
    assert not plum.doubtful
    assert plum.source.startswith("your own wood; hardness guessed from its specific gravity")


def test_what_is_told_from_what_was_typed_in_is_no_guess() -> None:
    # Nothing is told from its stiffness.
    plum = OwnWood(name="plum", specific_gravity=0.7, janka=7000, modulus_of_rupture=90).wood
    assert (plum.source, plum.doubtful) == (MEASURED, False)
    soft = OwnWood(name="plum", specific_gravity=0.7, janka=7000).wood
    assert soft.source.startswith("your own wood; strength guessed")
    assert soft.doubtful


def test_own_woods_are_found_before_the_table() -> None:
    own = (
        OwnWood(name="Sugar Maple", specific_gravity=0.7).wood,
        OwnWood(name="plum", specific_gravity=0.6).wood,
    )
    assert find_wood("sugar maple", own) == own[0]
    assert find_wood(" PLUM", own) == own[1]
    assert find_wood("plum") is None
    black_walnut = find_wood("black walnut", own)
    assert black_walnut is not None
    assert black_walnut.tension_across == 4.8
