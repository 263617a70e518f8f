"""Which measures of a tuner were typed, and which are typical."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from msgspec import UNSET

from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import FOUR_ON_PLATE, FRICTION, LIBRARY, OPEN_GEAR
from geometry.trade.measured import (
    is_known,
    measured,
    measures,
    say_typical,
    with_measured,
    without_fixing,
)
from tests.builds import change
from tests.strategies import hardware_called


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_a_class_of_the_library_has_no_record_and_nothing_measured(hardware: Hardware) -> None:
    assert hardware.measured is UNSET
    assert measured(hardware) == set()
    assert say_typical([hardware]) == "All tuner measures are typical: measure yours."


def test_measures_are_those_that_the_tuner_has() -> None:
    found = measures(FRICTION)
    assert found["post_diameter"] == FRICTION.post_diameter
    assert found["button.length"] == FRICTION.button.length
    assert not any(path.startswith(("plate", "pins", "bushing_bore")) for path in found)
    assert "plate.screws[1].along" in measures(FOUR_ON_PLATE)
    assert "plate.posts" not in measures(FOUR_ON_PLATE)


@given(hardware_called("h1"), st.data())
def test_what_is_recorded_is_told_again_in_the_order_of_the_record(
    hardware: Hardware, data: st.DataObject
) -> None:
    paths = list(measures(hardware))
    typed = data.draw(st.sets(st.sampled_from(paths), min_size=1))
    marked = with_measured(hardware, typed | {"screws[39].along"})
    assert measured(marked) == typed
    assert marked.measured == tuple(path for path in paths if path in typed)
    assert all(is_known(path) for path in paths)


@pytest.mark.parametrize(
    "path",
    [
        "",
        "name",
        "washer",
        "screws.along",
        "screws[].along",
        "screws[01].along",
        "plate.posts",
        "bushing.tried.bore",
    ],
)
def test_other_paths_are_not_known(path: str) -> None:
    assert not is_known(path)


def test_measures_of_what_a_tuner_has_not_are_known_too() -> None:
    assert is_known("pins[3].depth")
    assert is_known("button.shaft_offset")


def test_screws_behind_one_that_goes_move_up() -> None:
    paths = {"screws[0].along", "screws[1].along", "screws[2].root", "pins[2].depth", "post_diameter"}
    assert without_fixing(paths, "screws", 1) == {
        "screws[0].along",
        "screws[1].root",
        "pins[2].depth",
        "post_diameter",
    }
    assert without_fixing({"plate.screws[10].along"}, "plate.screws", 0) == {"plate.screws[9].along"}


def test_typical_measures_are_counted() -> None:
    every = measures(OPEN_GEAR)
    all_but_two = list(every)[2:]
    typed = with_measured(OPEN_GEAR, set(all_but_two))
    assert say_typical([typed, typed]) == "2 measures of the tuners are typical: measure yours."
    assert say_typical([with_measured(OPEN_GEAR, set(list(every)[1:]))]) == (
        "1 measure of the tuners is typical: measure yours."
    )
    both = len(measures(FRICTION)) + 2
    assert say_typical([typed, FRICTION]).startswith(f"{both} measures of the tuners are typical")
    assert say_typical([with_measured(OPEN_GEAR, every.keys())]) == ""
    other = change(typed, key="other")
    assert say_typical([typed, other]).startswith("4 measures")
