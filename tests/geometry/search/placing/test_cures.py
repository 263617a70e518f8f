"""What cures a height: the least that does, in closed form, and only what the checks have judged."""

from __future__ import annotations

import math

import pytest

from geometry.checks.judge import Level, findings
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.search.placing.cures import HeightCure, Remedy, remedies
from geometry.search.placing.cures_words import say_remedies
from geometry.trade.limits import ChangedLimit
from tests.broken_heads import broken_head, made_worse
from tests.builds import THICK, change, plain_head, row, six_in_line, three_and_three, tuner, turns_too_low


def only(build: Build) -> Remedy:
    (remedy,) = remedies(build)
    return remedy


def of(remedy: Remedy, kind: str) -> HeightCure:
    return next(cure for cure in remedy.cures if cure.kind == kind)


def broken(build: Build) -> set[str]:
    return {each.check for each in findings(build) if each.level is Level.STOP}


def lowest(build: Build) -> float:
    return min(each.measured or 0.0 for each in findings(build) if each.check == "wraps")


# Lowest turns


def test_a_turn_too_low_asks_for_thinner_wood_or_a_turn_less() -> None:
    """0.78 mm too low: 0.8 mm thinner leaves 0.02, a turn of 1 mm less leaves 0.22."""
    remedy = only(turns_too_low())
    assert remedy.check == "wraps"
    assert [cure.kind for cure in remedy.cures] == ["thinner", "fewer turns"]
    thinner, fewer = remedy.cures
    assert thinner.amount == pytest.approx(0.8)
    assert thinner.build.head.thickness_nut == pytest.approx(THICK - 0.8)
    assert lowest(thinner.build) == pytest.approx(0.02)
    assert fewer.amount == 1
    assert lowest(fewer.build) == pytest.approx(0.22)
    assert list(say_remedies((remedy,), turns_too_low())) == [
        "What cures the lowest turn of string 1: a head 0.8 mm thinner, or one turn less."
    ]


def test_in_inches_wood_is_told_in_hundredths() -> None:
    (remedy,) = remedies(turns_too_low(), "inch")
    # 0.78 mm are 0.0307 in.
    assert of(remedy, "thinner").amount == pytest.approx(0.04 * 25.4)
    assert next(say_remedies((remedy,), turns_too_low(), "inch")).startswith(
        "What cures the lowest turn of string 1: a head 0.04"
    )


def test_a_string_keeps_a_turn() -> None:
    """Of two turns one may go; 1.3 mm too low needs two."""
    build = change(turns_too_low(), hardware=(tuner(hole_height=17.14),))
    assert [cure.kind for cure in only(build).cures] == ["thinner"]


def test_where_the_tuners_want_the_wood_they_must_be_others() -> None:
    """The tuners take 14.5 mm or more, so that no head may be thinner by 0.8; one turn is all that there is."""
    low = change(turns_too_low(), hardware=(tuner(hole_height=16.1, thickness_least=14.5),))
    (cure,) = only(low).cures
    assert cure.kind == "higher holes"
    # 17.66 - 16.1 more than 0.78.
    assert cure.amount == pytest.approx(2.4)
    assert lowest(cure.build) == pytest.approx(0.06)
    assert next(say_remedies(remedies(low), low)).endswith("tuners with string holes 2.4 mm higher.")


# Breaks


def test_little_break_asks_for_a_tree_more_turns_or_thicker_wood() -> None:
    build = six_in_line(retainers=())
    remedy = only(build)
    assert remedy.check == "break"
    assert [cure.kind for cure in remedy.cures] == ["trees", "more turns", "thicker"]
    tree, turns, thicker = remedy.cures
    assert tree.labels == (("1", "2"),)
    assert [set(each.strings) for each in tree.build.retainers] == [{"s1", "s2"}]
    assert next(say_remedies((remedy,), build)) == (
        "What cures the breaks of strings 1 and 2 over the nut: a tree 50 mm from the nut over strings 1 and 2, "
        f"or {turns.amount:g} turns more, or a head {thicker.amount:.1f} mm thicker."
    )
    # String 1 is the thinnest; a turn more lowers it by its 0.254 mm, as does as much more wood.
    assert thicker.amount == pytest.approx(math.ceil((turns.amount - 1) * 0.254 / 0.1) * 0.1, abs=0.21)


def test_a_head_that_leans_may_lean_more() -> None:
    """Level with its nut, a string breaks by the head's angle alone: 0.1 degrees are 0.4 too few, so half a degree."""
    part = tuner(hole_height=THICK + 7.5)
    build = plain_head(row("treble"), row("bass"), slots=(15.0, -15.0), hardware=(part,))
    build = change(build, head=change(build.head, angle_deg=0.1))
    assert broken(build) == {"break"}
    cure = of(only(build), "steeper")
    assert cure.build.head.angle_deg == 0.5
    assert "a head angle of 0.5° instead of 0.1°" in next(say_remedies(remedies(build), build))


def test_strings_that_are_not_neighbours_have_trees_of_their_own() -> None:
    """Posts lower by 2 mm for strings 2 and 3 of four: strings 1 and 4 break too little, and no tree spans all."""
    parts = (tuner(hole_height=THICK + 7.5), tuner(key="low", hole_height=THICK + 4.0))
    rows = (
        row("treble", key="t1"),
        row("treble", key="t2", hardware="low", rule=change(row().rule, start=110.0)),
        row("bass", key="b2", hardware="low", rule=change(row().rule, start=110.0)),
        row("bass", key="b1"),
    )
    build = plain_head(*rows, slots=(21.0, 7.0, -7.0, -21.0), hardware=parts)
    build = change(build, head=change(build.head, angle_deg=0.1))
    names = {
        each.about[0].label for each in findings(build) if each.check == "break" and each.level is Level.STOP
    }
    cure = of(next(each for each in remedies(build) if each.check == "break"), "trees")
    assert len(cure.labels) == len(names) == 2
    assert {label for labels in cure.labels for label in labels} == names


# Thickness and screws


def test_tuners_for_other_wood_ask_for_that() -> None:
    low, high = (
        tuner(thickness_least=15.25, thickness_most=20.0),
        tuner(thickness_least=8.0, thickness_most=14.65),
    )
    for part, kind, amount, words in ((low, "thicker", 0.3, "thicker"), (high, "thinner", 0.4, "thinner")):
        build = plain_head(row("treble", 2), hardware=(part,))
        remedy = next(each for each in remedies(build) if each.check == "thickness")
        (cure,) = remedy.cures
        assert cure.kind == kind
        assert cure.amount == pytest.approx(amount)
        assert "thickness" not in broken(cure.build)
        told = list(say_remedies((remedy,), build))
        assert told == [f"What cures the thickness at bores spare A and spare B: a head {amount} mm {words}."]


def test_a_range_that_no_wood_suits_has_no_cure() -> None:
    """One row wants more wood, the other less."""
    thin, thick = tuner(thickness_most=14.0), tuner(key="thick", thickness_least=16.0)
    build = plain_head(row("treble"), row("bass", hardware="thick"), hardware=(thin, thick))
    assert "thickness" in broken(build)
    assert all(each.check != "thickness" for each in remedies(build))


def test_a_screw_that_nearly_comes_through_asks_for_thicker_wood() -> None:
    build = three_and_three()
    longer = (
        change(each, screws=tuple(change(screw, length=13.0) for screw in each.screws))
        for each in build.hardware
    )
    build = change(build, hardware=tuple(longer))
    assert "screw depth" in broken(build)
    remedy = next(each for each in remedies(build) if each.check == "screw depth")
    (cure,) = remedy.cures
    short = max(-(each.margin or 0.0) for each in remedy.broken)
    assert cure.amount == pytest.approx(math.ceil(short / 0.1 - 1e-6) * 0.1)


# Nothing but what is judged


def test_a_sound_head_and_one_that_breaks_no_height_need_nothing() -> None:
    assert remedies(three_and_three()) == ()
    close = change(
        three_and_three(),
        rows=tuple(change(each, rule=change(each.rule, pitch=15.0)) for each in three_and_three().rows),
    )
    assert broken(close)
    assert remedies(close) == ()


def test_no_cure_breaks_another_limit() -> None:
    """Thinner wood would cure the turns, but this maker asks for screws to end 4.7 mm below the face."""
    build = turns_too_low()
    screwed = tuner(hole_height=17.66, screws=three_and_three().hardware[0].screws)
    build = change(build, hardware=(screwed,))
    depth = next(each.measured for each in findings(build) if each.check == "screw depth")
    assert depth is not None
    strict = change(build, limits=(ChangedLimit(rule="screw depth", level="stop", least=depth - 0.3),))
    assert "thinner" in [cure.kind for cure in only(build).cures]
    assert [cure.kind for cure in only(strict).cures] == ["fewer turns"]


@pytest.mark.parametrize("number", [6, 8, 10, 20, 34, 41])
def test_every_cure_that_is_told_has_been_judged(number: int) -> None:
    build = broken_head(number)
    told = remedies(build)
    assert told
    for remedy in told:
        for cure in remedy.cures:
            assert remedy.check not in broken(cure.build)
            assert broken(cure.build) <= broken(build)
            assert made_worse(findings(build), findings(cure.build)) == []
            assert lay_out(cure.build).unplaced == lay_out(build).unplaced
