"""Which strings a tuner takes: by pulls that are typed in, and by diameters."""

from __future__ import annotations

from pathlib import Path

import pytest

from geometry.bench.rivals import rivals
from geometry.document.build import Build, String
from geometry.document.codec import read_build
from geometry.document.fresh import SUGGESTIONS, strings_of
from geometry.layout.layout import lay_out
from geometry.layout.string_loads import string_load
from geometry.layout.tuner_load import say_most, too_much
from geometry.trade.hardware_library import BASS_LARGE, BASS_LIGHT, FRICTION, LIBRARY, find
from geometry.trade.string_sets import find_string_set
from tests.builds import plain_head, tuner

BASS = Path(__file__).parents[3] / "sample_builds" / "four-string-bass.pegwright"


def pulling(*pulls: float, diameter: float = 1.0) -> Build:
    strings = tuple(
        String(key=f"s{n}", name=f"string {n}", diameter=diameter, tension=pull)
        for n, pull in enumerate(pulls)
    )
    return plain_head(strings=strings)


@pytest.mark.parametrize(("pull", "takes"), [(99.9, True), (100.0, True), (100.1, False)])
def test_the_hardest_pull(pull: float, takes: bool) -> None:
    limited = tuner(most_pull=100.0)
    refused = too_much(pulling(50.0, pull), limited)
    assert [load.string.key for load in refused] == ([] if takes else ["s1"])


@pytest.mark.parametrize(("diameter", "takes"), [(1.2, True), (1.21, False)])
def test_the_thickest_string(diameter: float, takes: bool) -> None:
    assert (not too_much(pulling(50.0, diameter=diameter), tuner(most_string=1.2))) == takes


def test_what_is_not_known_is_no_reason() -> None:
    untuned = plain_head(strings=(String(key="s", name="spare", diameter=0.5),))
    assert too_much(untuned, tuner(most_pull=1.0)) == ()
    assert too_much(pulling(9000.0, diameter=20.0), tuner()) == ()


def test_every_class_says_what_it_takes() -> None:
    for hardware in LIBRARY:
        assert hardware.most_pull is not None
        assert hardware.most_string is not None
        assert "workshop practice, no source" in say_most(hardware, "mm")
    # 60 N are 13.5 lbf; 1.1 mm are 0.0433 in.
    assert say_most(FRICTION, "mm").startswith("strings of up to 60 N and 1.1 mm")
    assert say_most(FRICTION, "inch").startswith("strings of up to 13 lbf and 0.043")
    assert say_most(tuner(), "mm") == ""


@pytest.mark.parametrize("suggestion", SUGGESTIONS.values(), ids=lambda each: each.hardware)
def test_what_new_builds_suggest_goes_together(suggestion: object) -> None:
    hardware, chosen = find(suggestion.hardware), find_string_set(suggestion.string_set)  # type: ignore[attr-defined]
    assert hardware is not None
    assert chosen is not None
    for string in strings_of(chosen):
        pull = string_load(string, chosen.scale_length).pull
        assert pull is not None
        assert hardware.most_pull is not None
        assert hardware.most_string is not None
        assert pull <= hardware.most_pull
        assert string.diameter <= hardware.most_string


def test_a_bass_is_offered_no_friction_pegs() -> None:
    bass = read_build(BASS.read_bytes())
    offered = {hardware.key for rival in rivals(bass, lay_out(bass)) for hardware in rival.hardware}
    assert {BASS_LARGE.key, BASS_LIGHT.key} == offered
