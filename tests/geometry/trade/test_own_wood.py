"""Woods that the maker adds: what is known stays, what is guessed is near the woods of the handbook."""

from __future__ import annotations

from statistics import mean

import pytest

from geometry.trade.own_wood import GUESSED, MEASURED, OwnWood
from geometry.trade.wood import DOMESTIC, WOODS, Wood, find_wood

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
