"""Two heads held against each other: numbers by closed forms, and which of both is better."""

from __future__ import annotations

import math
from typing import Literal

import pytest

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import AlongEdge, OnLine
from geometry.layout.layout import lay_out
from geometry.search.answers.compare import (
    CheckLine,
    Comparison,
    Number,
    compared,
    mass_of,
    side_of,
    with_hardware,
)
from geometry.search.answers.compare_words import (
    check_cells,
    differing,
    hole_cells,
    number_cells,
    say_better,
    say_change,
    say_finding,
    say_verdicts,
)
from geometry.search.rings.allowance import allowance, rounded_down
from geometry.shape.point import Point
from geometry.trade.hardware_library import FOUR_ON_PLATE, FRICTION, SPLIT_POST
from geometry.trade.limits import Unit
from geometry.trade.quantities import show_quantity
from tests.builds import (
    READY_MADE,
    change,
    eight_on_plates,
    nodes,
    plain_head,
    post_at,
    rectangle,
    three_and_three,
    tuner,
)


def finding(
    level: Level, margin: float | None, check: str = "wall", unit: Unit = "mm", measured: float | None = 5.0
) -> Finding:
    return Finding(
        check=check,
        level=level,
        measured=measured,
        watch=6.0,
        stop=3.0,
        margin=margin,
        unit=unit,
        sense="at least",
        where=(Point(0.0, 0.0), Point(1.0, 0.0)),
        about=(Part("bore", "a", "1"),),
    )


def line(one: Finding | None, two: Finding | None, unit: Unit = "mm") -> CheckLine:
    return CheckLine("wall", unit, one, two)


def by_name(found: Comparison) -> dict[str, Number]:
    return {number.name: number for number in found.numbers}


# Which is better


@pytest.mark.parametrize(
    ("one", "two", "better"),
    [
        (finding(Level.FINE, 2.0), finding(Level.FINE, 3.0), "two"),
        (finding(Level.FINE, 3.0), finding(Level.FINE, 2.0), "one"),
        (finding(Level.FINE, 3.0), finding(Level.FINE, 3.04), "same"),
        (finding(Level.WATCH, 9.0), finding(Level.FINE, 3.0), "two"),
        (finding(Level.WATCH, 1.0), finding(Level.STOP, 5.0), "one"),
        (None, finding(Level.FINE, 3.0), "same"),
        (None, finding(Level.STOP, -1.0), "one"),
    ],
)
def test_the_level_decides_and_then_the_margin(
    one: Finding | None, two: Finding | None, better: Literal["one", "two", "same"]
) -> None:
    assert line(one, two).better == better


def test_the_change_of_a_check_is_that_of_its_margin() -> None:
    assert line(finding(Level.FINE, 2.0), finding(Level.FINE, 3.5)).change == 1.5
    assert line(None, finding(Level.FINE, 3.5)).change is None
    assert line(finding(Level.FINE, None), finding(Level.FINE, 1.0)).change is None


def test_numbers_that_are_neither_good_nor_bad_speak_for_nobody() -> None:
    assert Number("mass", "g", 100.0, 50.0, None).better == "same"
    assert Number("splay", "deg", 5.0, 4.0, "at most").better == "two"
    assert Number("ring", "mm", 1.0, None, "at least").better == "same"


# Numbers of real heads


@pytest.mark.parametrize("make", READY_MADE)
def test_a_head_beside_itself_differs_nowhere(make: object) -> None:
    side = side_of(make(), "same")  # type: ignore[operator]
    found = compared(side, side)
    for number in found.numbers:
        assert number.better == "same"
    for hole in found.holes:
        assert hole.apart == 0.0
        assert {hole.ring.better, hole.splay.better, hole.break_angle.better} == {"same"}
    assert {each.better for each in found.checks} == {"same"}
    assert all(each.worst is not Level.FINE for each in differing(found.checks))


def test_walls_rings_and_masses_by_closed_forms() -> None:
    """Post 20 mm from the edge or 17: walls of 15 and 12 mm; tuners of 30 g with buttons of 5 g."""
    heavy = tuner(body_mass=30.0, button_mass=5.0)
    one, two = (
        plain_head(post_at(x, 80.0, key="a"), post_at(x, 140.0, key="b"), hardware=(heavy,))
        for x in (20.0, 23.0)
    )
    found = compared(side_of(one, "one"), side_of(two, "two"))
    assert by_name(found)["mass of the tuners"].one == 70.0
    walls = next(each for each in found.checks if each.check == "wall")
    assert walls.one is not None
    assert walls.two is not None
    assert (walls.one.measured, walls.two.measured) == pytest.approx((15.0, 12.0))
    assert walls.change == pytest.approx(-3.0)
    assert walls.better == "one"
    assert [hole.apart for hole in found.holes] == pytest.approx([3.0, 3.0])
    smallest = [rounded_down(allowance(build).smallest) for build in (one, two)]
    assert [by_name(found)["smallest ring"].one, by_name(found)["smallest ring"].two] == smallest


def test_splay_and_break_are_those_of_the_paths() -> None:
    build = three_and_three()
    found = compared(side_of(build, "a"), side_of(build, "b"))
    paths = lay_out(build).paths
    splays = [abs(math.degrees(path.splay)) for path in paths]
    assert by_name(found)["splay, mean"].one == pytest.approx(sum(splays) / len(splays))
    assert by_name(found)["splay, largest"].one == pytest.approx(max(splays))
    breaks = [math.degrees(path.break_angle) for path in paths]
    assert by_name(found)["break, least"].one == pytest.approx(min(breaks))


def test_a_head_without_tuners_or_strings_has_no_numbers() -> None:
    side = side_of(plain_head(), "bare")
    found = compared(side, side)
    assert [number.one for number in found.numbers] == [None] * 5
    assert found.holes == ()


def test_an_unknown_mass_is_not_added_up() -> None:
    assert mass_of(lay_out(plain_head(post_at(20.0, 80.0)))) is None


def test_holes_that_only_one_head_has_are_told_of_that_one() -> None:
    two = change(three_and_three(), rows=three_and_three().rows[:1])
    found = compared(side_of(three_and_three(), "a"), side_of(two, "b"))
    lonely = [hole for hole in found.holes if hole.apart is None]
    assert lonely
    assert all(None in (hole.ring.one, hole.ring.two) for hole in lonely)


def test_faults_are_listed_only_where_there_are_some() -> None:
    good = compared(side_of(plain_head(), "a"), side_of(plain_head(), "b"))
    assert "outline" not in {each.check for each in good.checks}
    crossed = plain_head(outline=nodes((40.0, 0.0), (-40.0, 100.0), (40.0, 100.0), (-40.0, 0.0)))
    bad = compared(side_of(plain_head(), "a"), side_of(crossed, "b"))
    outline = next(each for each in bad.checks if each.check == "outline")
    assert outline.levels == (Level.FINE, Level.STOP)
    assert outline.better == "one"
    assert check_cells(outline, "mm")[1:] == ("✓", "■", "–", "A")


def test_webs_are_found_under_the_name_of_their_check() -> None:
    build = plain_head(post_at(20.0, 80.0, key="a"), post_at(20.0, 140.0, key="b"), outline=rectangle())
    assert "web" in {each.check for each in findings(build)}
    side = side_of(build, "a")
    assert "web" in {each.check for each in compared(side, side).checks}


# Other tuners


def test_every_row_gets_the_other_tuners_and_keeps_its_rule() -> None:
    build = with_hardware(three_and_three(), FRICTION)
    assert [each.name for each in build.hardware] == [FRICTION.name]
    assert {row.hardware for row in build.rows} == {build.hardware[0].key}
    assert [row.rule for row in build.rows] == [row.rule for row in three_and_three().rows]
    assert all(isinstance(row.rule, AlongEdge) for row in build.rows)


def test_plates_change_the_rule_both_ways() -> None:
    single = with_hardware(eight_on_plates(), SPLIT_POST)
    assert FOUR_ON_PLATE.plate is not None
    assert [row.rule.pitch for row in single.rows if isinstance(row.rule, OnLine)] == [
        FOUR_ON_PLATE.plate.pitch
    ] * 2
    plated = with_hardware(single, FOUR_ON_PLATE)
    assert [row.rule for row in plated.rows] == [row.rule for row in eight_on_plates().rows]


def test_a_plate_for_other_rows_is_judged_where_the_rule_has_the_posts() -> None:
    plated = side_of(with_hardware(three_and_three(), FOUR_ON_PLATE), "plates")
    assert all(isinstance(row.rule, AlongEdge) for row in plated.build.rows)
    assert plated.level is Level.STOP
    assert plated.layout.misfits == tuple(
        f"The plate of post {number} carries 4 posts, but its row has 3." for number in ("1", "6")
    )


# Words


def test_quantities_in_words() -> None:
    assert show_quantity(-1.25, "mm", "mm") == "−1.3 mm"
    assert show_quantity(25.4, "mm", "inch") == "1.000 in"
    assert show_quantity(4.25, "deg", "mm") == "4.3°"
    assert show_quantity(204.4, "g", "mm") == "204 g"
    assert show_quantity(80.0, "%", "mm") == "80 %"
    assert show_quantity(2.0, "", "mm") == "2"


def test_changes_and_verdicts_carry_a_sign_or_a_letter() -> None:
    assert say_change(0.5, "mm", "mm") == "+0.50 mm"
    assert say_change(-0.5, "mm", "mm") == "−0.50 mm"
    assert say_change(0.01, "mm", "mm") == "="
    assert say_change(None, "mm", "mm") == "–"
    assert [say_better(each) for each in ("one", "two", "same")] == ["A", "B", ""]
    assert say_finding(None, "mm") == "–"
    assert say_finding(finding(Level.STOP, -1.0), "mm") == "■ 5.0 mm"
    assert say_finding(finding(Level.WATCH, None, measured=None), "mm") == "▲ unknown"


def test_lines_of_tables() -> None:
    assert number_cells(Number("smallest ring", "mm", 1.2, 1.5, "at least"), "mm") == (
        "smallest ring",
        "1.2 mm",
        "1.5 mm",
        "+0.30 mm",
        "B",
    )
    assert check_cells(line(finding(Level.FINE, 2.0), None), "mm") == ("wall", "✓ 5.0 mm", "–", "–", "")
    one, two = side_of(three_and_three(), "a"), side_of(with_hardware(three_and_three(), SPLIT_POST), "b")
    cells = [hole_cells(each, "mm") for each in compared(one, two).holes]
    assert [row[1] for row in cells] == ["="] * 6
    assert all(len(row) == 9 for row in cells)
    lonely = compared(one, side_of(plain_head(), "b")).holes[0]
    assert hole_cells(lonely, "mm")[1] == "–"


def test_what_is_fine_and_the_same_is_not_worth_a_line_and_the_worst_comes_first() -> None:
    same = line(finding(Level.FINE, 2.0), finding(Level.FINE, 2.0))
    watched = line(finding(Level.WATCH, 2.0), finding(Level.WATCH, 2.0))
    stopped = line(finding(Level.FINE, 2.0), finding(Level.STOP, -2.0))
    assert differing((same, watched, stopped)) == (stopped, watched)


def test_verdicts_count_the_checks_and_name_the_worse_head() -> None:
    good = side_of(three_and_three(), "good")
    tight = tuple(change(row, rule=change(row.rule, pitch=10.0)) for row in three_and_three().rows)
    near = side_of(three_and_three(rows=tight), "near")
    assert near.level is Level.STOP
    for one, two, words in ((good, near, "B has something at stop"), (near, good, "A has something at stop")):
        told = list(say_verdicts(compared(one, two)))
        assert told[0].startswith(words)
        assert told[1].startswith("Of ")
    assert len(list(say_verdicts(compared(near, near)))) == 1
