"""Sets of strings against gauges as they are sold, and against each other."""

from __future__ import annotations

import re

import pytest

from geometry.trade.string_sets import STRING_SETS, StringSet, find_string_set, is_wound

# Semitones above C, for the height of a pitch such as "F#3".
STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


def semitones(pitch: str) -> int:
    match = re.fullmatch(r"([A-G])([#b]?)(\d)", pitch)
    assert match is not None
    return STEPS[match[1]] + {"#": 1, "b": -1, "": 0}[match[2]] + 12 * int(match[3])


def thousandths(strings: StringSet) -> list[float]:
    return [round(gauge.diameter / 0.0254, 2) for gauge in strings.gauges]


def test_light_electric_set_is_10_13_17_26_36_46() -> None:
    sets = [each for each in STRING_SETS if thousandths(each) == [10, 13, 17, 26, 36, 46]]
    assert len(sets) == 1
    assert [gauge.pitch for gauge in sets[0].gauges] == ["E4", "B3", "G3", "D3", "A2", "E2"]
    assert [gauge.kind for gauge in sets[0].gauges] == ["plain"] * 3 + ["nickel wound"] * 3


@pytest.mark.parametrize("strings", STRING_SETS, ids=lambda each: each.key)
def test_gauges_and_scales_are_those_of_plucked_strings(strings: StringSet) -> None:
    assert 300 <= strings.scale_length <= 900
    for gauge in strings.gauges:
        assert 0.15 <= gauge.diameter <= 3.5
        # No plain steel is thicker than 0.026 in, none wound thinner than 0.020 in.
        if gauge.kind == "plain":
            assert gauge.diameter <= 0.026 * 25.4
        if is_wound(gauge.kind):
            assert gauge.diameter >= 0.020 * 25.4
        assert 12 <= semitones(gauge.pitch) <= 84


@pytest.mark.parametrize("strings", STRING_SETS, ids=lambda each: each.key)
def test_courses_are_neighbours_of_the_same_name(strings: StringSet) -> None:
    names = [gauge.course for gauge in strings.gauges if gauge.course]
    runs = [name for name, before in zip(names, ["", *names], strict=False) if name != before]
    assert len(runs) == len(set(runs))


def test_sets_are_found_by_their_keys() -> None:
    assert len({each.key for each in STRING_SETS}) == len(STRING_SETS)
    assert all(find_string_set(each.key) is each for each in STRING_SETS)
    assert find_string_set("none such") is None
