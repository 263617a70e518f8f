"""Fits that felt right: kept by wood and bushing, the last word counts."""

from __future__ import annotations

import pytest

from geometry.document.codec import read_shop, write_shop
from geometry.trade.fits import StoredFit, stored_fit, with_fit, without_fit
from geometry.trade.hardware import Bushing
from geometry.trade.shop import Shop
from tests.builds import change

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
