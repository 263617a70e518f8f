"""Fits in words: where a bore is from, and of which wood."""

from __future__ import annotations

import pytest

from geometry.bench.bore_fit import Fit, press_fit
from geometry.bench.fit_words import (
    choice_notes,
    fine_length,
    ladder_subject,
    range_words,
    reason,
    wood_words,
)
from geometry.trade.hardware import Bushing
from geometry.trade.hardware_library import ENCLOSED_SCREW_IN, FRICTION, SPLIT_POST
from geometry.trade.wood import find_wood
from tests.builds import tuner

TEN = Bushing(kind="press-in", root=9.0, crest=10.0)
RIBBED = tuner(bushing=TEN)


@pytest.mark.parametrize(
    ("wood", "words"),
    [
        ("true mahogany", "half-way up the ribs for soft wood, ribs 9 mm to 10 mm"),
        ("sugar maple", "at the crest of the ribs for hard wood, ribs 9 mm to 10 mm"),
        # 0.5 + 0.5 x (4500 - 3700) / (5500 - 3700) = 0.722
        ("black walnut", "72 % up the ribs, by the hardness of the wood, ribs 9 mm to 10 mm"),
        ("cardboard", "75 % up the ribs, the wood is not known here, ribs 9 mm to 10 mm"),
    ],
)
def test_where_a_press_fit_is_from(wood: str, words: str) -> None:
    assert reason(press_fit(TEN, find_wood(wood)), RIBBED, "mm") == words


def test_finish_does_not_count_as_ribs() -> None:
    assert reason(Fit(9.95, 9.9, 10.0, "between", 0.2), RIBBED, "mm").startswith("75 %")


def test_a_bushing_without_ribs() -> None:
    smooth = tuner(bushing=Bushing(kind="press-in", root=9.0, crest=9.0))
    assert "100 % up the ribs" in reason(Fit(9.0, 9.0, 9.0, "unknown wood"), smooth, "mm")


def test_where_the_others_are_from() -> None:
    assert reason(Fit(8.7, 8.65, 8.75, "felt"), SPLIT_POST, "mm") == "felt right in this wood before"
    assert reason(Fit(10, 9.9, 10.1, "passes"), ENCLOSED_SCREW_IN, "mm").startswith("the threaded bushing")
    assert reason(Fit(8, 7.9, 8.1, "passes"), FRICTION, "mm") == "by the size of the part"
    assert reason(Fit(1.4, 1.3, 1.5, "pilot"), FRICTION, "mm").startswith("by the root")
    assert reason(Fit(2, 2, 2.2, "pin"), FRICTION, "mm") == "as wide as the pin"
    assert "reamer" in reason(Fit(8, 7.5, 8, "taper"), FRICTION, "mm")


def test_bores_are_told_to_a_hundredth_or_a_thousandth() -> None:
    assert fine_length(8.7333, "mm") == "8.73 mm"
    assert fine_length(25.4 * 0.34375, "inch") == "0.344 in"
    assert range_words(Fit(1, 12.7, 25.4, "pin"), "inch") == "0.500 in to 1.000 in"
    assert choice_notes(Fit(9, 9, 9, "hard"), None, "inch") == (
        "The shop has no drills yet; 0.354 in is wanted.",
    )


def test_the_wood_in_words() -> None:
    maple = find_wood("sugar maple")
    assert wood_words(maple, "Sugar Maple") == (
        "sugar maple, hardness 6400 N (Wood Handbook FPL-GTR-190, Table 5-3a)"
    )
    assert wood_words(None, "cardboard") == '"cardboard", a wood that is not known here'
    assert wood_words(None, " ") == "wood not named"


def test_whose_ladder_it_is() -> None:
    assert ladder_subject(SPLIT_POST, "mm").endswith("; ribs 8.5 mm to 8.8 mm")
    assert ladder_subject(ENCLOSED_SCREW_IN, "inch").endswith("; thread 0.327 in to 0.354 in")
    assert ladder_subject(FRICTION, "mm") == "friction peg"
