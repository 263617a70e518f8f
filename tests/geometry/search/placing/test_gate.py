"""No proposal makes a head worse: the gate by itself, heads whose proposals once did, and laws on broken heads."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build, Moved, OnLine
from geometry.document.edits import set_drilled
from geometry.layout.layout import lay_out
from geometry.search.answers.missed import Rest, best_of_rest, missed
from geometry.search.placing.best import best
from geometry.search.placing.gate import harm, harms, new_stops
from geometry.search.placing.standing import Kind, Span, Wish
from geometry.search.refitting.refit import harmless_ways, refit
from geometry.search.refitting.widths import across_widths, say_best
from geometry.shape.point import Vector
from tests.amount import sampled
from tests.broken_heads import broken_head, made_worse, missed_hole
from tests.builds import (
    PLAIN_TUNER,
    bass_two_and_two,
    change,
    plain_head,
    row,
    side_button,
    six_in_line,
    three_and_three,
    tuner,
)

KINDS: tuple[Kind, ...] = ("even", "free")
RESTS: tuple[Rest, ...] = ("row", "all")


def finding(check: str, margin: float | None, *labels: str, kind: Any = "bore", stop: bool = True) -> Finding:
    """A finding that is so far from its limit; with `stop` that is a stop limit, which is 0 then."""
    broken, limit = (Level.STOP, 0.0) if stop else (Level.WATCH, None)
    level = broken if margin is not None and margin < 0 else Level.FINE
    about = tuple(Part("edge" if label.endswith("edge") else kind, label, label) for label in labels)
    return Finding(check, level, margin, None, limit, margin, "mm", "at least", None, about)


def stops(build: Build) -> int:
    return sum(each.level is Level.STOP for each in findings(build))


# The gate by itself


def test_what_is_no_worse_passes() -> None:
    start = [finding("wraps", -0.3, "6"), finding("wall", 1.0, "1")]
    assert harm(start, start) == ()
    assert harm(start, [finding("wraps", -0.1, "6"), finding("wall", 0.2, "1")]) == ()
    assert harm(start, []) == ()
    assert harm([], [finding("wall", None, "1")]) == ()


def test_a_new_stop_and_a_stop_in_another_place_do_not_pass() -> None:
    start = [finding("wraps", -0.3, "6")]
    new = finding("web", -0.01, "1", "2")
    assert harm(start, [*start, new]) == (new,)
    assert harm(start, [new]) == (new,)
    assert new_stops(start, [*start, new]) == (new,)


def test_a_new_stop_passes_where_there_are_fewer_of_them() -> None:
    start = [finding("wraps", -0.3, "6"), finding("wraps", -0.3, "5")]
    assert harm(start, [finding("web", -0.01, "1", "2")]) == ()


def test_the_same_stop_told_twice_is_one_more() -> None:
    start = [finding("string over washers", -0.3, "3", "5")]
    assert harm(start, start * 2) == (start[0],) * 2


def test_a_broken_limit_is_not_broken_further_be_it_by_a_hundredth() -> None:
    one, two, less = (finding("break", margin, "1") for margin in (-0.50, -0.51, -0.49))
    many = [finding("wall", -1.0, "2"), finding("wall", -1.0, "3")]
    assert harm([one], [two]) == (two,)
    # Not for any number of cured ones either.
    assert harm([one, *many], [two]) == (two,)
    assert harm([one], [less]) == ()


def test_of_a_pair_each_part_counts_as_well() -> None:
    start = [finding("web", -1.0, "1", "2"), finding("web", 2.0, "3", "4")]
    fewer = finding("seat", -1.0, "9")
    deeper = finding("web", -2.0, "2", "3")
    assert harm([*start, fewer, fewer], [deeper]) == (deeper,)
    assert harm([*start, fewer, fewer], [finding("web", -0.9, "2", "3")]) == ()


def test_a_bore_that_breaks_out_at_another_edge_is_not_new() -> None:
    start = [finding("wall", -1.0, "1", "treble edge")]
    assert harm(start, [finding("wall", -0.5, "1", "tip edge")]) == ()
    assert len(harm(start, [finding("wall", -1.5, "1", "tip edge")])) == 1


def test_what_is_only_watched_is_not_for_the_gate() -> None:
    start = [finding("evenness", -0.5, "1 to 3", stop=False)]
    assert harm(start, [finding("evenness", -3.0, "1 to 3", stop=False)]) == ()
    assert harm([], start) == ()


def test_the_same_build_needs_no_judging() -> None:
    build = three_and_three()
    assert harms(build, build) == ()
    nearer = change(build, rows=tuple(change(each, rule=change(each.rule, inset=2.0)) for each in build.rows))
    assert {each.check for each in harms(build, nearer)} >= {"wall", "seat"}


# Heads whose proposals were worse


def with_holes(build: Build, higher: float) -> Build:
    """The build with string holes so much higher over the back."""
    parts = tuple(change(each, hole_height=each.hole_height + higher) for each in build.hardware)
    return change(build, hardware=parts)


def tapered(build: Build, by: float, **fields: Any) -> Build:
    """The build with a head that is thinner at the tip by so much."""
    head = change(build.head, thickness_tip=build.head.thickness_nut - by, **fields)
    return change(build, head=head)


def thick_tuners(build: Build, more: float) -> Build:
    """The build with tuners that want wood so much thicker than it is at the nut."""
    least = build.head.thickness_nut + more
    parts = (change(each, thickness_least=least, thickness_most=least + 5.0) for each in build.hardware)
    return change(build, hardware=tuple(parts))


HEADS = {
    "lowest turns too low": with_holes(tapered(three_and_three(), 0.2), -2.0),
    "all turns too low": with_holes(tapered(three_and_three(), 0.2), -3.0),
    "six with too little break": with_holes(tapered(six_in_line(retainers=()), 0.3), 3.0),
    "bass with low turns": with_holes(tapered(bass_two_and_two(), 1.0), -2.0),
    "bass with a low nut": change(
        tapered(bass_two_and_two(), 1.0, angle_deg=2.0), nut=change(bass_two_and_two().nut, slot_floor=0.5)
    ),
    "bass on thin wood": thick_tuners(tapered(bass_two_and_two(), 1.0), 0.3),
    "six on thin wood": with_holes(tapered(six_in_line(retainers=()), 3.0), 1.0),
}


WERE_WORSE: tuple[tuple[str, Kind], ...] = (
    ("lowest turns too low", "even"),
    ("all turns too low", "free"),
    ("six with too little break", "free"),
    ("bass with low turns", "free"),
    ("bass with a low nut", "even"),
    ("bass on thin wood", "even"),
    ("six on thin wood", "free"),
)


@pytest.mark.parametrize(("name", "kind"), WERE_WORSE)
def test_the_best_placement_is_no_worse_than_the_head(name: str, kind: Kind) -> None:
    start = HEADS[name]
    assert stops(start) > 0
    found = best(start, Wish(kind=kind))
    assert made_worse(findings(start), findings(found.build)) == []
    if stops(found.build) == stops(start):
        assert found.build is start
        assert found.forbidden is not None


@pytest.mark.parametrize("name", ["lowest turns too low", "all turns too low", "bass on thin wood"])
def test_the_others_of_a_missed_hole_are_placed_no_worse(name: str) -> None:
    layout = lay_out(HEADS[name])
    post = layout.posts[1]
    hole = missed(HEADS[name], layout, post.key, post.at + Vector(0.4, 0.3))
    found = best_of_rest(hole, "all")
    assert made_worse(findings(hole.build), findings(found.build)) == []


def test_heights_that_stay_broken_are_no_reason_to_move() -> None:
    """Towards the tip the wood is thinner by 0.02 mm in 20 mm, and the lowest turns stay too low all the same."""
    assert best(HEADS["lowest turns too low"]).build is HEADS["lowest turns too low"]


def test_what_moving_cures_is_cured_and_what_it_does_not_stays() -> None:
    """Bodies that overlap by 10 mm are moved apart; the lowest turns, too low on any wood of this head, are not."""
    low = HEADS["lowest turns too low"]
    close = change(low, rows=tuple(change(each, rule=change(each.rule, pitch=22.0)) for each in low.rows))
    before = {each.check for each in findings(close) if each.level is Level.STOP}
    assert {"wraps", "button gap"} <= before
    found = best(close, Wish(kind="even"))
    assert made_worse(findings(close), findings(found.build)) == []
    assert {each.check for each in findings(found.build) if each.level is Level.STOP} == {"wraps"}


def test_posts_upon_each_other_are_parted() -> None:
    rule = OnLine(start=60.0, pitch=40.0, inset=20.0)
    build = plain_head(row("treble", 3, rule=rule, moved=(Moved("treble2", -40.0, 0.0),)))
    one, two, _ = lay_out(build).posts
    assert one.at.distance(two.at) < 1e-9
    parted = lay_out(best(build, Wish(kind="free", pitch=Span(20.0, 60.0))).build).posts
    assert parted[0].at.distance(parted[1].at) > 20.0
    assert parted[1].at.distance(parted[2].at) > 20.0


# Another nut


def test_a_refit_is_made_as_wished_and_its_harm_is_known() -> None:
    build = three_and_three()
    narrow = refit(build, 20.0, "head")
    assert narrow.nut.width == 20.0
    assert harms(build, narrow) != ()
    ways = harmless_ways(build, 20.0)
    assert "head" not in ways
    for way in ways:
        assert harms(build, refit(build, 20.0, way)) == ()
    assert harmless_ways(build, build.nut.width) == (None, "head", "shoulders", "scale")


def test_the_best_width_of_a_family_makes_nothing_worse() -> None:
    build = three_and_three()
    members = tuple(across_widths(build, (20.0, 43.0, 46.0, 49.0), "head"))
    assert [bool(member.worse) for member in members] == [True, False, False, False]
    # The widest has the largest ring; where it is worse in something it is not the best.
    assert say_best(members, "mm").startswith("The smallest ring is largest at 49 mm")
    spoilt = (*members[:3], change(members[3], worse=members[0].worse))
    assert say_best(spoilt, "mm").startswith("The smallest ring is largest at 46 mm")


# Laws


@st.composite
def broken_heads(draw: st.DrawFn) -> Build:
    """A row of two and one of one on a plain head that tapers, any measure of which may be broken: quick to search."""
    thick = draw(st.floats(13.0, 17.0))
    button = side_button(
        swept_diameter=draw(st.floats(16.0, 34.0)), shaft_length=draw(st.floats(8.0, 30.0)), shaft_depth=6.0
    )
    part = tuner(
        hole_height=PLAIN_TUNER.hole_height + draw(st.floats(-8.0, 8.0)),
        button=button,
        thickness_least=draw(st.floats(10.0, 15.5)),
        thickness_most=draw(st.floats(15.5, 18.0)),
    )
    rule = OnLine(
        start=draw(st.floats(12.0, 60.0)),
        pitch=draw(st.floats(12.0, 45.0)),
        inset=draw(st.floats(4.0, 24.0)),
    )
    build = plain_head(
        row("treble", 2, rule=rule),
        row("bass", 1, rule=change(rule, start=rule.start + draw(st.floats(0.0, 20.0)))),
        slots=(12.0, 0.0, -12.0),
        hardware=(part,),
    )
    build = tapered(change(build, head=change(build.head, thickness_nut=thick)), draw(st.floats(-2.0, 3.0)))
    build = change(build, head=change(build.head, angle_deg=draw(st.sampled_from((0.0, 3.0, 14.0)))))
    return set_drilled(build, "bass1", drilled=True) if draw(st.booleans()) else build


@settings(max_examples=sampled(2, of=5))
@given(broken_heads(), st.sampled_from(KINDS))
def test_best_never_makes_a_head_worse(build: Build, kind: Kind) -> None:
    found = best(build, Wish(kind=kind))
    assert made_worse(findings(build), findings(found.build)) == []


@settings(max_examples=sampled(2, of=5))
@given(broken_heads(), st.sampled_from(RESTS), st.floats(-1.0, 1.0), st.floats(-1.0, 1.0))
def test_missed_never_makes_a_head_worse(build: Build, rest: Rest, x: float, y: float) -> None:
    layout = lay_out(build)
    post = layout.posts[0]
    hole = missed(build, layout, post.key, post.at + Vector(x, y))
    found = best_of_rest(hole, rest)
    assert made_worse(findings(hole.build), findings(found.build)) == []


@pytest.mark.parametrize("number", [3, 22])
def test_generated_broken_heads_are_made_no_worse(number: int) -> None:
    """`tests/bench/never_worse.py` tries a thousand of them."""
    build = broken_head(number)
    assert stops(build) > 0
    found = best(build)
    assert made_worse(findings(build), findings(found.build)) == []
    assert stops(found.build) < stops(build)
    hole = missed_hole(number, build)
    assert hole is not None
    assert made_worse(findings(hole.build), findings(best_of_rest(hole).build)) == []
