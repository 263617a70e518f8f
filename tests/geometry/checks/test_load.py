"""Tuners whose strings pull harder, or are thicker, than they take."""

from __future__ import annotations

import pytest

from geometry.checks.judge import Finding, Level, findings, worst
from geometry.checks.words import say
from geometry.curing.case import head_of
from geometry.curing.cures import cures_of
from geometry.document.build import Build, String
from geometry.document.edits import set_drilled
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.layout.layout import lay_out
from geometry.layout.tuner_load import too_much
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import FRICTION, LIBRARY, find
from geometry.trade.string_sets import find_string_set
from tests.builds import change, plain_head, post_at, tuner

CHECKS = ("hardest pull", "thickest string")


def loads(build: Build) -> list[Finding]:
    return [each for each in findings(build) if each.check in CHECKS]


def waisted(hardware: Hardware) -> Build:
    strings = find_string_set("guitar-acoustic-light")
    assert strings is not None
    return new_build(
        "waisted", name="x", nut_width=44.5, string_set=strings, hardware=hardware, left_handed=False
    )


def one(string: String, **takes: float | None) -> Build:
    return plain_head(post_at(3.5, 100.0), slots=(0.0,), strings=(string,), hardware=(tuner(**takes),))


def test_pegs_under_steel_strings_are_told() -> None:
    """The thickest string of the set has 0.053 in, 1.3462 mm; pegs take 60 N and 1.1 mm."""
    build = waisted(FRICTION)
    found = loads(build)
    watched = {say(each) for each in found if each.level is Level.WATCH}
    assert "String 6 is 1.346 mm thick: its tuner takes 1.1 mm at most." in watched
    pulls = [each for each in watched if "pulls" in each]
    assert len(pulls) == 6
    assert all(each.endswith("N: its tuner takes 60 N at most.") for each in pulls)
    assert not any(each.level is Level.STOP for each in found)


def test_a_pull_that_is_typed_in_is_said_as_it_is_and_one_of_a_wound_string_about() -> None:
    typed = one(String(key="s1", name="E4", diameter=0.5, tension=104.0), most_pull=60.0)
    assert [say(each) for each in loads(typed)] == ["String 1 pulls 104 N: its tuner takes 60 N at most."]
    wound = one(String(key="s1", name="D3", diameter=0.8, kind="wound"), most_pull=1.0)
    (sentence,) = map(say, loads(wound))
    assert sentence.startswith("String 1 pulls about ")
    near = one(String(key="s1", name="E4", diameter=0.5, tension=60.04), most_pull=60.0)
    assert [say(each) for each in loads(near)] == ["String 1 pulls 60.04 N: its tuner takes 60 N at most."]


def test_in_inches() -> None:
    """60 N are 13.49 lbf, 104 N 23.38; 1.1 mm are 0.04331 in, 1.3462 mm 0.053 in."""
    string = String(key="s1", name="E4", diameter=1.3462, tension=104.0)
    said = {say(each, "inch") for each in loads(one(string, most_pull=60.0, most_string=1.1))}
    assert said == {
        "String 1 pulls 23.4 lbf: its tuner takes 13.5 lbf at most.",
        "String 1 is 0.053 in thick: its tuner takes 0.0433 in at most.",
    }


def test_what_nobody_knows_is_not_told() -> None:
    assert loads(one(String(key="s1", name="E4", diameter=3.0, tension=900.0))) == []
    assert loads(one(String(key="s1", name="spare", diameter=0.5), most_pull=1.0)) == []


@pytest.mark.parametrize("hardware", LIBRARY, ids=lambda each: each.key)
def test_what_is_refused_is_watched(hardware: Hardware) -> None:
    """The check and the question which strings a kind of tuner takes say the same."""
    build = one(String(key="s1", name="D3", diameter=1.2, kind="wound"))
    build = change(build, hardware=(change(hardware, key=build.hardware[0].key),))
    if lay_out(build).paths:
        refused = bool(too_much(build, hardware))
        assert refused == (worst(loads(build)) is Level.WATCH)


@pytest.mark.parametrize("shape", SUGGESTIONS)
def test_no_starter_overloads_its_tuners(shape: str) -> None:
    suggestion = SUGGESTIONS[shape]  # type: ignore[index]
    hardware, strings = find(suggestion.hardware), find_string_set(suggestion.string_set)
    assert hardware is not None
    assert strings is not None
    build = new_build(
        shape,  # type: ignore[arg-type]
        name="x",
        nut_width=suggestion.nut_width,
        string_set=strings,
        hardware=hardware,
        left_handed=False,
    )
    assert loads(build)
    assert worst(loads(build)) is Level.FINE


# Cures


def test_no_cure_fits_tuners_that_do_not_take_the_strings() -> None:
    build = waisted(FRICTION)
    head = head_of(build)
    found = [each for each in loads(build) if each.level is Level.WATCH]
    for finding in (found[0], next(each for each in found if each.check == "thickest string")):
        told = cures_of(head, finding)
        assert bool(told.cures) != bool(told.hand)
        for cure in told.cures:
            assert worst(loads(cure.build)) is Level.FINE, cure.act


def test_a_weak_tuner_of_the_same_size_gives_way_to_one_of_the_library() -> None:
    enclosed = find("enclosed")
    assert enclosed is not None
    build = waisted(change(enclosed, name="own", most_pull=20.0))
    told = cures_of(head_of(build), next(each for each in loads(build) if each.level is Level.WATCH))
    assert f"give up the measured tuners of posts 1 to 6 for {enclosed.name}" in [
        each.act for each in told.cures
    ]
    drilled = set_drilled(build, build.rows[0].posts[0].key, drilled=True)
    kept = cures_of(head_of(drilled), next(each for each in loads(drilled) if each.level is Level.WATCH))
    assert kept.cures == ()
    assert kept.hand.startswith("The holes are drilled")
