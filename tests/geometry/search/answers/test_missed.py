"""A hole beside its mark: fixed where it is, the others share out what is left, and plugs reach far enough."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.checks.facts import facts_of
from geometry.checks.judge import Level, findings
from geometry.document.build import Build
from geometry.document.codec import read_build, write_build
from geometry.document.edits import set_drilled
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import displaced, lay_out
from geometry.search.answers.missed import (
    SOUND,
    Missed,
    Rescue,
    best_of_rest,
    enclosing,
    missed,
    plug_for,
    rescue,
    steps_of,
    worse,
)
from geometry.search.answers.missed_words import (
    say_contradiction,
    say_head,
    say_located,
    say_place,
    say_plug,
    say_rescue,
    say_rest,
    say_step,
    say_too_few,
    say_ways_out,
)
from geometry.search.answers.readings import Located
from geometry.search.placing.best import best
from geometry.search.placing.cures import remedies
from geometry.search.placing.standing import Wish, standing_of
from geometry.search.rings.allowance import allowance, exact_rings
from geometry.search.rings.allowance_words import say_ring, say_rings
from geometry.search.rings.rings import drilled_of, drilled_posts, of_the_rest, rows_of
from geometry.search.rings.string_rows import string_slack_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.trade.hardware import Disc, RearButton
from tests.amount import sampled
from tests.builds import HALF, change, plain_head, post_at, six_in_line, three_and_three, tuner, turns_too_low

SAMPLES = Path(__file__).parents[4] / "sample_builds"
COORDINATES = st.floats(-30.0, 30.0)
RADII = st.floats(0.5, 12.0)


def hole(build: Build, label: str, x: float, y: float, *drilled: str) -> Missed:
    """The hole with this label missed by an offset; `drilled` are labels too."""
    layout = lay_out(build)
    keys = {post.label: post for post in layout.posts}
    at = keys[label].at + Vector(x, y)
    return missed(build, layout, keys[label].key, at, [keys[each].key for each in drilled])


def pair(apart: float) -> Build:
    """Two posts above each other on a plain head."""
    return plain_head(post_at(20.0, 80.0, key="a"), post_at(20.0, 80.0 + apart, key="b"))


# Holes that are drilled


def test_a_file_keeps_what_is_drilled() -> None:
    build = set_drilled(three_and_three(), "t2", drilled=True)
    assert drilled_posts(build) == ("t2",)
    assert read_build(write_build(build)) == build
    assert set_drilled(build, "t2", drilled=False) == three_and_three()


def test_a_drilled_hole_has_no_ring_and_leaves_its_room_to_the_other() -> None:
    """Of two holes whose gap alone limits them each takes half; where one is drilled the other takes all."""
    build = pair(32.0)
    both, one = allowance(build), allowance(set_drilled(build, "a1", drilled=True))
    assert both.ring("a1").radius == both.ring("b1").radius
    ring = one.ring("a1")
    assert ring.drilled
    assert (ring.radius, ring.alone, ring.even, ring.ends) == (0.0, 0.0, None, None)
    assert one.ring("b1").radius == pytest.approx(2 * both.ring("b1").radius, abs=0.1)
    assert one.smallest == pytest.approx(2 * both.smallest, abs=2e-3)
    assert say_ring(ring, build) == f"Hole {ring.label}: drilled already."


def test_live_rings_and_words_leave_drilled_holes_out() -> None:
    build = set_drilled(three_and_three(), "t1", drilled=True)
    found = exact_rings(build, lay_out(build))
    assert [ring.post for ring in found.rings if ring.drilled] == ["t1"]
    assert [ring.even for ring in found.rings if ring.drilled] == [None]
    assert say_rings(found).startswith("All holes still to drill may miss at once")


def test_where_everything_is_drilled_nothing_is_left_to_miss() -> None:
    build = pair(32.0)
    for key in ("a1", "b1"):
        build = set_drilled(build, key, drilled=True)
    found = allowance(build)
    assert found.smallest == 0.0
    assert say_rings(found) == "All holes are drilled already."
    assert best(build).after == 0.0


def test_marks_inside_their_rings_never_break_a_head_with_a_drilled_hole() -> None:
    there = hole(three_and_three(), "2", 0.7, -0.5)
    draw, layout = np.random.default_rng(3), there.layout
    already = {each.check for each in there.found if each.level is Level.STOP}
    for _ in range(150):
        steps = {}
        for ring in there.allowance.rings:
            way = Vector(ring.radius, 0.0).turned(float(draw.uniform(0, math.tau)))
            steps[ring.post] = way
        assert steps[there.post] == Vector(0.0, 0.0)
        found = findings(there.build, displaced(there.build, layout, steps))
        assert {each.check for each in found if each.level is Level.STOP} <= already


def test_rows_of_drilled_holes_alone_are_left_out_of_the_room() -> None:
    build = pair(32.0)
    for key in ("a1", "b1"):
        build = set_drilled(build, key, drilled=True)
    facts = facts_of(build, lay_out(build))
    assert not len(rows_of(facts).rigid.margins)
    strings = string_slack_of(facts)
    assert of_the_rest(strings, np.zeros(2, dtype=bool)) is strings
    assert drilled_of(facts).all()
    standing = standing_of(build, Wish(), 2)
    assert standing is not None
    assert not (standing.rigid.weights > 0).any()


def test_the_search_leaves_drilled_holes_where_they_are() -> None:
    there = hole(three_and_three(), "2", 0.6, 0.4, "1")
    proposal = best_of_rest(there)
    placed = lay_out(proposal.build)
    for key in drilled_posts(there.build):
        assert placed.post(key).at.distance(there.layout.post(key).at) < 1e-6
    moved = {step.label for step in steps_of(there.layout, placed)}
    assert moved <= {"3"}
    assert proposal.after >= proposal.before


def test_marks_stay_where_another_place_gains_nothing() -> None:
    """The other side has the smallest ring, and it stays: whatever this row does, nothing is gained."""
    build = read_build((SAMPLES / "three-plus-three.pegwright").read_bytes())
    there = hole(build, "3", 0.55, 0.03, "2")
    proposal = best_of_rest(there)
    assert proposal.build is there.build
    assert proposal.after == proposal.before > 0


def test_all_other_holes_may_move_when_asked() -> None:
    there = hole(three_and_three(), "2", 0.6, 0.4)
    row, every = best_of_rest(there), best_of_rest(there, "all")
    assert every.after >= row.after - 1e-3


# A missed hole


@settings(max_examples=sampled(10, of=25))
@given(st.floats(-3.0, 3.0), st.floats(-3.0, 3.0))
def test_the_hole_lies_where_it_is_and_nothing_else_moves(x: float, y: float) -> None:
    build = three_and_three()
    there = hole(build, "2", x, y)
    before = lay_out(build)
    assert there.by.x == pytest.approx(x, abs=1e-9)
    assert there.by.y == pytest.approx(y, abs=1e-9)
    for post in before.posts:
        expected = Vector(x, y) if post.key == there.post else Vector(0.0, 0.0)
        assert there.layout.post(post.key).at.distance(post.at + expected) < 1e-9
    assert there.left == tuple(post.key for post in before.posts if post.key != there.post)


def test_a_small_miss_is_said_to_work() -> None:
    there = hole(three_and_three(), "2", 0.2, -0.1)
    assert there.works
    assert say_place(there) == (
        "Hole 2 is 0.22 mm from its mark: 0.2 mm right, 0.1 mm towards the nut, as the face shows it."
    )
    assert next(say_head(there)).startswith("With hole 2 as drilled, the head still works")


def test_a_hole_too_near_its_neighbour_is_said_to_stop_and_what_it_breaks() -> None:
    """D = 10: a web of 5 mm is needed along the grain, so centres 15 mm apart are the least; here they are 14 apart.

    Washers of 14 mm would just clear, and the bodies 16 mm long do not.
    """
    there = hole(pair(32.0), "spare A", 0.0, 18.0)
    assert not there.works
    broken = {each.check for each in there.worse if each.level is Level.STOP}
    assert {"web", "body gap"} <= broken
    words = list(say_head(there))
    assert words[0] == "With hole spare A as drilled, the head does not work."
    assert any(each.startswith("STOP: ") for each in words)


def test_what_was_broken_before_is_not_laid_to_the_hole() -> None:
    build = pair(14.0)
    there = hole(build, "spare A", 0.0, 0.0)
    assert there.worse == ()
    assert next(say_head(there)) == (
        "With hole spare A as drilled, the head does not work, but this hole is not the cause: "
        "as planned it does not work either."
    )
    assert say_place(there) == "Hole spare A is on its mark."
    assert say_plug(there, plug_for(there)) == ""


def test_worse_is_a_new_level_or_a_new_finding() -> None:
    near, far = findings(pair(14.0)), findings(pair(60.0))
    assert worse(near, near) == ()
    assert all(each.level is not Level.FINE for each in worse(far, near))
    assert worse(far, near)


def test_words_of_the_rest() -> None:
    there = hole(three_and_three(), "2", 0.6, 0.4)
    proposal = best_of_rest(there)
    steps = steps_of(there.layout, lay_out(proposal.build))
    assert list(say_rest(there, None, ())) == ["The other holes stay at their marks."]
    assert list(say_rest(there, proposal, ())) == ["The other holes stay at their marks."]
    told = list(
        say_rest(
            there, change(proposal, forbidden="Bad."), steps_of(lay_out(pair(30.0)), lay_out(pair(31.0)))
        )
    )
    assert told[:2] == ["Even with the other marks moved: Bad.", "The least bad places for the others:"]
    assert told[2] == "Move the mark of hole spare B: 1 mm towards the tip."
    assert len(steps) <= 2
    better = list(
        say_rest(there, change(proposal, forbidden=None), steps_of(lay_out(pair(30.0)), lay_out(pair(31.0))))
    )
    assert better[0].startswith("Moving the other marks gives more room: the smallest ring was ")
    refused = list(say_rest(there, change(proposal, refused="Bad."), ()))
    assert refused == [
        "Other places would break a limit that these keep, or break one further: Bad.",
        "The other holes stay at their marks.",
    ]
    alone = hole(plain_head(post_at(20.0, 80.0)), "spare A", 0.1, 0.0)
    assert list(say_rest(alone, None, ())) == ["No hole is left to drill."]


def test_steps_in_words() -> None:
    assert say_step(Vector(-1.0, 2.0)) == "1 mm left, 2 mm towards the tip"
    assert say_step(Vector(0.0, 0.0)) == "nowhere"


def test_a_shared_row_keeps_its_hole_where_it_landed() -> None:
    there = hole(six_in_line(), "3", 0.05, 0.05)
    assert there.by.length == pytest.approx(math.hypot(0.05, 0.05))
    assert there.build.rows[0].moved


# Plugs


@given(COORDINATES, COORDINATES, RADII, RADII)
def test_the_circle_round_two_circles_holds_both_and_touches_them(
    x: float, y: float, one: float, two: float
) -> None:
    a, b = Circle(Point(0.0, 0.0), one), Circle(Point(x, y), two)
    found = enclosing(a, b)
    for each in (a, b):
        assert found.centre.distance(each.centre) + each.radius <= found.radius + 1e-5
    apart = math.hypot(x, y)
    assert found.radius == pytest.approx(max(one, two, (apart + one + two) / 2), abs=1e-5)


def test_a_plug_takes_in_the_wrong_hole_and_sound_wood_round_the_new_one() -> None:
    """D = 10, 3 mm off: the plug reaches over 3 + 5 + 6 mm, from 6 mm beyond the mark to the hole's far rim."""
    there = hole(plain_head(post_at(20.0, 80.0)), "spare A", 3.0, 0.0)
    plug = plug_for(there)
    assert plug.diameter == pytest.approx(3.0 + 5.0 + 5.0 + SOUND)
    assert plug.centre.distance(Point(21.0, 80.0)) < 1e-6
    assert plug.to_edge == pytest.approx(HALF - 21.0 - 7.0)
    assert not plug.apart
    assert say_plug(there, plug) == (
        "Plug and drill again: a plug of 14.0 mm or more, its centre off the mark (1 mm right), takes in the wrong "
        "hole and leaves 1 mm of sound wood round the new bore. It leaves 12.0 mm to the edge of the head."
    )


def test_a_hole_close_to_its_mark_takes_a_plug_on_the_mark() -> None:
    there = hole(plain_head(post_at(20.0, 80.0)), "spare A", 0.5, 0.0)
    plug = plug_for(there)
    assert plug.diameter == pytest.approx(2 * (5.0 + SOUND))
    assert plug.centre.distance(there.mark) < 1e-9
    assert "its centre on the mark" in say_plug(there, plug)


def test_a_small_hole_far_off_is_only_filled() -> None:
    there = hole(plain_head(post_at(20.0, 80.0)), "spare A", 9.0, 0.0)
    plug = plug_for(there, 6.0)
    assert plug.apart
    assert plug.diameter == 6.0
    assert plug.centre == there.at
    assert say_plug(there, plug).startswith("Fill the hole with a plug of 6.0 mm: the new bore")


def test_a_plug_that_breaks_out_or_runs_into_a_bore_is_said_to() -> None:
    out = hole(plain_head(post_at(33.0, 80.0)), "spare A", 4.0, 0.0)
    assert plug_for(out).to_edge < 0
    assert say_plug(out, plug_for(out)).endswith(" at the edge.")
    assert "It breaks out by " in say_plug(out, plug_for(out))
    near = hole(pair(19.0), "spare A", 0.0, 9.5, "spare B")
    assert plug_for(near).meets == ("spare B",)
    assert say_plug(near, plug_for(near)).endswith("It runs into bore spare B.")
    assert plug_for(hole(pair(19.0), "spare A", 0.0, 9.5)).meets == ()


# Washers and other tuners


def test_a_smaller_washer_cures_what_only_washers_break() -> None:
    """Washers of 24 mm on centres 23.5 mm apart overlap; together with the other of 24 mm one of 23 mm just clears."""
    big = tuner(washer=Disc(diameter=24.0, height=1.0), body=None, seat=None)
    small = change(pair(40.0), hardware=(big,))
    there = hole(small, "spare A", 0.0, 16.5)
    stops = {each.check for each in there.worse if each.level is Level.STOP}
    found = rescue(there)
    assert stops == {"washer gap"}
    assert found.washer == 23.0
    assert next(say_rescue(there, found)) == (
        "A washer of 23 mm or less on tuner spare A clears what this hole put at stop."
    )
    # 23 mm are 28.98 thirty-seconds of an inch.
    assert rescue(there, units="inch").washer == pytest.approx(28 / 32 * 25.4)


def test_where_no_washer_is_to_blame_none_is_told() -> None:
    assert rescue(hole(pair(32.0), "spare A", 0.0, 18.0)).washer is None
    bare = change(pair(32.0), hardware=(tuner(washer=None),))
    assert rescue(hole(bare, "spare A", 0.0, 18.0)).washer is None


def test_a_head_that_works_needs_no_other_parts() -> None:
    found = rescue(hole(three_and_three(), "2", 0.2, 0.0))
    assert found.washer is None
    assert found.models == ()


def test_other_tuners_that_clear_are_told() -> None:
    build = read_build((SAMPLES / "three-plus-three.pegwright").read_bytes())
    there = hole(build, "3", 4.0, -2.0)
    found = rescue(there)
    assert found.models
    assert all(not fit.stops and fit.verdict != "plug" for fit in found.models)
    assert any("Other tuners for the bores of this row: " in each for each in say_rescue(there, found))


# Readings in words


def located(*residuals: float, suspect: int | None = None, untold: Vector | None = None) -> Located:
    return Located(Point(0.0, 0.0), residuals, untold, suspect)


def test_readings_in_words() -> None:
    names = ("nut", "side", "between:2", "across:4")
    assert list(say_located(located(0.0, 0.0), names[:2])) == [
        "Two readings give a place but cannot prove each other; a third would."
    ]
    good = list(say_located(located(0.02, -0.01, 0.0), names[:3]))
    assert good == [
        "How far each reading is off the place that fits them best: nut 0.02 mm, side −0.01 mm, between:2 0.00 mm."
    ]
    bad = list(say_located(located(0.9, -0.4, 0.1, 0.0, suspect=0), names))
    assert bad[1] == (
        "The readings contradict each other by up to 0.90 mm; within 0.2 mm they would agree. "
        "Without the reading nut the others agree: take it again."
    )
    assert say_contradiction(located(0.9, 0.9, 0.9), names).endswith("Take them again.")


def test_the_missing_reading_is_named() -> None:
    assert "across the head" in say_too_few(located(untold=Vector(1.0, 0.0)))
    assert "along the head" in say_too_few(located(untold=Vector(0.0, 1.0)))


def test_a_washer_must_cover_its_bore() -> None:
    """On centres 17 mm apart even a washer of 11 mm, 0.5 mm over the rim of its bore, meets the other one of 24 mm."""
    big = tuner(
        washer=Disc(diameter=24.0, height=1.0),
        body=None,
        seat=None,
        button=RearButton(swept_diameter=5.0, length=10.0),
    )
    there = hole(change(pair(40.0), hardware=(big,)), "spare A", 0.0, 23.0)
    assert {each.check for each in there.worse if each.level is Level.STOP} == {"washer gap"}
    assert rescue(there).washer is None


def test_ways_out_say_which_of_two_heads_they_are_about() -> None:
    """A head whose lowest turns are too low, with a hole beside its mark and the other marks moved as well, or not."""
    build = turns_too_low()
    there = hole(build, "1", 0.2, 0.1)
    moved = move_posts(
        there.build, there.layout, {post.key: post.at for post in there.layout.posts if post.label == "2"}
    )
    found = Rescue(23.0, (), plug_for(there))
    alone = say_ways_out(there, found, remedies(there.build), there.build)
    assert [each.split(" ")[0] for each in alone] == ["What", "A", "Plug"]
    both = say_ways_out(there, found, remedies(moved), moved)
    assert both == (
        "With the other marks moved:",
        alone[0],
        "With the other marks where they are:",
        *alone[1:],
    )
