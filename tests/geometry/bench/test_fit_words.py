"""Fits in words: where a bore is from, and of which wood."""

from __future__ import annotations

import math

import pytest

from geometry.bench.bore_fit import best_bore, bore_fits, choose
from geometry.bench.fit_words import (
    advice_words,
    bore_notes,
    choice_notes,
    ladder_subject,
    range_words,
    reason,
    wood_words,
)
from geometry.document.build import Head
from geometry.trade.bore_fit import Fit, felt_fit, press_fit, with_drawn_bore
from geometry.trade.drills import own_drill
from geometry.trade.hardware import Bushing, Hardware
from geometry.trade.hardware_library import ENCLOSED_SCREW_IN, FRICTION, SPLIT_POST
from geometry.trade.quantities import show_fine
from geometry.trade.shop import Shop
from geometry.trade.wood import find_wood
from tests.builds import tuner

TEN = Bushing(kind="press-in", root=9.0, crest=10.0)
RIBBED = tuner(bushing=TEN)


@pytest.mark.parametrize(
    ("wood", "words"),
    [
        ("western redcedar", "a firm press in soft wood, the hole 0.15 mm to 0.25 mm"),
        ("black walnut", "a press in wood of medium hardness, the hole 0.1 mm to 0.15 mm"),
        ("sugar maple", "a light press in hard wood, the hole up to 0.12 mm"),
        ("cardboard", "a press in a wood that is not in the list, the hole up to 0.25 mm"),
    ],
)
def test_where_a_press_fit_is_from(wood: str, words: str) -> None:
    found = reason(press_fit(TEN, find_wood(wood)), RIBBED, "mm")
    assert found == f"{words} smaller than the ribs' crest of 10 mm"


def test_where_the_others_are_from() -> None:
    assert reason(felt_fit(8.7), SPLIT_POST, "mm") == "felt right in this wood before"
    assert reason(Fit(10, 9.9, 10.1, "passes"), ENCLOSED_SCREW_IN, "mm").startswith("the threaded bushing")
    assert reason(Fit(8, 7.9, 8.1, "passes"), FRICTION, "mm") == "by the size of the part"
    assert reason(Fit(1.4, 1.3, 1.5, "pilot"), FRICTION, "mm").startswith("by the root")
    assert reason(Fit(2, 2, 2.2, "pin"), FRICTION, "mm") == "as wide as the pin"
    assert "reamer" in reason(Fit(8, 7.5, 8, "taper"), FRICTION, "mm")


def told(head: Head, hardware: Hardware = SPLIT_POST) -> str:
    fits = bore_fits(hardware, head, Shop())
    return " ".join(bore_notes(hardware, fits, fits.main, "mm"))


def test_a_press_inside_its_band_is_never_reamed_away() -> None:
    # The split post has ribs to 8.8: in hard wood a hole 0.12 under them still is a press that is meant.
    assert "do not ream a hole that measures 8.68 mm or more" in told(Head(wood="sugar maple"))
    assert "no hammer" in told(Head(wood="sugar maple"))
    assert "ream no" not in told(Head(wood="sugar maple"), FRICTION)
    assert "Ream by hand until the peg stands" in told(Head(), tuner(tapered=True))


def test_a_bore_outside_its_fit_is_said_to_be_without_another_number() -> None:
    wide = told(Head(wood="sugar maple"), with_drawn_bore(SPLIT_POST, 9.0))
    assert wide == "Outside the fit for this wood: see bore fit among the findings."


def test_a_tight_bore_is_reamed_until_the_hole_is_inside_its_band() -> None:
    fit = press_fit(TEN, find_wood("sugar maple"))
    (note,) = choice_notes(fit, choose(fit, (own_drill(9.5),)), "mm")
    # Crest 10: the hole from 0.12 under it to as wide.
    assert note.endswith(
        "this one is 0.4 mm narrower. Drill, then ream by hand until the hole measures 9.88 mm to 10 mm."
    )
    passing = Fit(10.0, 9.9, 10.3, "passes")
    assert choice_notes(passing, choose(passing, (own_drill(9.5),)), "mm")[0].endswith(
        "ream up to 10 mm by hand."
    )


def test_what_to_use() -> None:
    found = best_bore(SPLIT_POST, Head(wood="sugar maple"), Shop())
    assert advice_words(found, "mm") == "use 8.7 mm"
    inches = best_bore(SPLIT_POST, Head(wood="sugar maple"), Shop(drill_sets=("fraction",)))
    assert advice_words(inches, "inch") == "use 11/32 in"
    none = best_bore(SPLIT_POST, Head(wood="sugar maple"), Shop(drill_sets=()))
    assert advice_words(none, "inch") == "use 0.343 in"


def test_bores_are_told_to_a_hundredth_or_a_thousandth() -> None:
    assert show_fine(8.7333, "mm") == "8.73 mm"
    assert show_fine(25.4 * 0.34375, "inch") == "0.344 in"
    assert range_words(Fit(1, 12.7, 25.4, "pin"), "inch") == "0.500 in to 1.000 in"
    assert range_words(Fit(1, 6.1, math.inf, "passes"), "mm") == "6.1 mm or more"
    assert choice_notes(Fit(9, 9, 9, "hard"), None, "inch") == (
        "The shop has no drills yet; 0.354 in is wanted.",
    )


def test_the_wood_in_words() -> None:
    maple = find_wood("sugar maple")
    assert wood_words(maple, "Sugar Maple", "mm") == (
        "sugar maple, hardness 6400 N (Wood Handbook FPL-GTR-190, Table 5-3a)"
    )
    assert "hardness 1400 lbf" in wood_words(maple, "Sugar Maple", "inch")  # 1450 lbf in Table 5-3b
    assert wood_words(None, "cardboard", "mm") == '"cardboard", a wood that is not known here'
    assert wood_words(None, " ", "mm") == "wood not named"


def test_whose_ladder_it_is() -> None:
    assert ladder_subject(SPLIT_POST, "mm").endswith("; ribs 8.5 mm to 8.8 mm")
    assert ladder_subject(ENCLOSED_SCREW_IN, "inch").endswith("; thread 0.327 in to 0.354 in")
    assert ladder_subject(FRICTION, "mm") == "friction peg"
