"""Strength and balance of any build that a file may hold: whole, half drawn or absurd."""

from __future__ import annotations

import math

from hypothesis import given, settings

from geometry.bench.balance import balance, usual_place
from geometry.bench.balance_words import say_balance
from geometry.bench.strength import strength
from geometry.bench.strength_words import say_strength
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from tests.amount import sampled
from tests.strategies import builds


@settings(max_examples=sampled(20, of=60), deadline=None)
@given(builds())
def test_figures_are_numbers_and_words_are_said(build: Build) -> None:
    layout = lay_out(build)
    found = strength(build, layout, {string.key: 100.0 for string in build.strings})
    for station in found.stations:
        assert station.bending >= 0
        assert station.section.area <= station.section.width * station.section.thickness * (1 + 1e-9)
        assert not math.isnan(station.moment)
    assert say_strength(found, build, layout)
    weighed = balance(build, layout)
    assert math.isfinite(weighed.about(usual_place(build)).turns)
    assert say_balance(weighed, usual_place(build))
