"""Rigid plates under rules of another pitch, and on holes moved by hand: where they lie."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.document.build import AlongEdge, Build, Moved, OnLine
from geometry.layout.layout import Layout, displaced, lay_out
from geometry.layout.parts import PlacedPlate
from geometry.shape.point import Point, Vector
from geometry.trade.sentence import say_note
from tests.amount import sampled
from tests.builds import change, eight_on_plates, mirror_of

PITCH, POSTS = 23.0, 4


def on_a_line(pitch: float) -> Build:
    build = eight_on_plates()
    rule = OnLine(start=36.0, pitch=pitch, inset=11.0)
    return change(build, rows=tuple(change(row, rule=rule) for row in build.rows))


def by_hand(*steps: tuple[float, float]) -> Build:
    """The treble row with its posts, in order, moved along and inward by hand."""
    build = eight_on_plates()
    row = build.rows[0]
    moved = tuple(
        Moved(post=post.key, along=along, inward=inward)
        for post, (along, inward) in zip(row.posts, steps, strict=False)
    )
    return change(build, rows=(change(row, moved=moved), *build.rows[1:]))


def shafts(plate: PlacedPlate) -> list[Point]:
    return [plate.frame.point(PITCH * number, 0.0) for number in range(POSTS)]


def worst(layout: Layout, plate: PlacedPlate) -> float:
    holes = [layout.post(key).at for key in plate.posts]
    return max(hole.distance(shaft) for hole, shaft in zip(holes, shafts(plate), strict=True))


@pytest.mark.parametrize("pitch", [20.0, 22.9, 23.0, 23.05, 25.5])
def test_a_uniform_error_of_the_pitch_adds_up_over_the_row(pitch: float) -> None:
    # Laid middle on middle, each end is off by half of three pitch errors.
    layout = lay_out(on_a_line(pitch))
    assert layout.misfits == ()
    for plate in layout.plates:
        assert plate.fit == pytest.approx(1.5 * abs(pitch - PITCH), abs=1e-8)
        middle = Point(
            *(sum(values) / POSTS for values in zip(*[(p.x, p.y) for p in shafts(plate)], strict=True))
        )
        holes = [layout.post(key).at for key in plate.posts]
        assert middle.distance(holes[0].toward(holes[-1], 0.5)) == pytest.approx(0.0, abs=1e-6)
        assert plate.box.half_along == pytest.approx(1.5 * PITCH + 13.0)
        assert plate.frame.along.cross(holes[-1] - holes[0]) == pytest.approx(0.0, abs=1e-6)


def test_a_plate_lies_on_its_holes_where_they_are_as_the_plate_wants_them() -> None:
    layout = lay_out(eight_on_plates())
    for plate in layout.plates:
        assert plate.fit < 1e-9
        for key in plate.posts:
            post = layout.post(key)
            assert post.tuner.at.distance(post.at) < 1e-9
    moved = lay_out(by_hand(*[(4.0, 1.0)] * POSTS))
    assert moved.plates[0].fit < 1e-9
    assert moved.plates[0].frame.at.distance(moved.posts[0].at) < 1e-9


def test_one_hole_off_is_shared_with_the_others() -> None:
    # The last hole 0.4 mm further on: the plate goes half-way, 0.2 mm from both ends. The second one 0.4 mm aside, the
    # others in line: a line half-way between is 0.2 mm from them, wherever they stand.
    assert lay_out(by_hand((0, 0), (0, 0), (0, 0), (0.4, 0))).plates[0].fit == pytest.approx(0.2, abs=1e-8)
    assert lay_out(by_hand((0, 0), (0, 0.4))).plates[0].fit == pytest.approx(0.2, abs=1e-5)
    # The last one aside: lines through the discs about the first, the third and the fourth hole; turning takes part of
    # it. Best is where the third and both ends are off alike: e at 0, -e at 46, and 0.4 - e at 69 on one line, so that
    # e + (2 e) x 69 / 46 ... = 0.4: the line from e to -e over 46 goes on to e - 3 e = -2 e at 69, 0.4 - 2 e = e.
    assert lay_out(by_hand((0, 0), (0, 0), (0, 0), (0, 0.4))).plates[0].fit == pytest.approx(
        0.4 / 3, abs=1e-5
    )


def test_the_tuners_go_with_the_plate_and_the_bores_with_the_wood() -> None:
    layout = lay_out(on_a_line(25.5))
    plate = layout.plates[0]
    carried = [layout.post(key) for key in plate.posts]
    for post, shaft in zip(carried, shafts(plate), strict=True):
        assert post.tuner.at.distance(shaft) < 1e-9
        assert post.frame.at == post.at
        assert post.at.distance(shaft) > 1.0
        # The button stands 15 + 11 / 2 mm outward of its shaft and 6 mm towards the tip.
        middle = post.button.centre
        wanted = shaft + plate.frame.along * 6.0 + plate.frame.outward * 20.5
        assert middle.distance(wanted) < 1e-9
        # Strings wind on posts, which stand in the bushings.
        path = next(path for path in layout.paths if path.post == post.key)
        assert path.tangent.distance(post.at) == pytest.approx(path.contact_radius)
    screws = [hole for hole in layout.holes if hole.owners == plate.posts]
    assert screws[0].at.distance(plate.frame.point(-11.0, 4.5)) < 1e-9


def test_a_plate_with_another_number_of_posts_is_told() -> None:
    build = eight_on_plates()
    fitting = [change(row, rule=AlongEdge(start=36.0, pitch=23.0, inset=11.0)) for row in build.rows]
    assert lay_out(change(build, rows=tuple(fitting))).problems == ()
    short = change(fitting[0], posts=fitting[0].posts[:3])
    (problem,) = lay_out(change(build, rows=(short, fitting[1]))).problems
    assert "carries 4 posts, but its row has 3" in say_note(problem, "mm")


def test_a_plate_keeps_its_own_length() -> None:
    # Three pitches of 23 mm and 13 mm beyond at both ends: 95 mm.
    plates = lay_out(on_a_line(30.0)).plates
    assert [2 * plate.box.half_along for plate in plates] == pytest.approx([95.0, 95.0])


small = st.floats(-0.5, 0.5)
STEPS = st.lists(st.tuples(small, small), min_size=POSTS, max_size=POSTS)


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(STEPS)
def test_plates_mirror(steps: list[tuple[float, float]]) -> None:
    build = by_hand(*steps)
    here, there = lay_out(build).plates[0], lay_out(mirror_of(build)).plates[0]
    assert here.fit == pytest.approx(there.fit, abs=1e-6)
    assert here.box.centre.distance(there.box.centre.mirrored) == pytest.approx(0.0, abs=1e-4)


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(STEPS)
def test_the_fit_is_what_the_shafts_are_off(steps: list[tuple[float, float]]) -> None:
    layout = lay_out(by_hand(*steps))
    plate = layout.plates[0]
    assert worst(layout, plate) == pytest.approx(plate.fit, abs=1e-9)
    # The plate could stay where the rule has it: no fit is worse than the largest move by hand.
    assert plate.fit <= max(math.hypot(*step) for step in steps) + 1e-9


@settings(max_examples=sampled(10, of=25), deadline=None)
@given(STEPS)
def test_moving_holes_is_moving_by_hand(steps: list[tuple[float, float]]) -> None:
    build = eight_on_plates()
    layout = lay_out(build)
    posts = layout.posts[:POSTS]
    away = displaced(
        build,
        layout,
        {
            post.key: post.frame.along * along - post.frame.outward * inward
            for post, (along, inward) in zip(posts, steps, strict=True)
        },
    )
    wanted = lay_out(by_hand(*steps))
    assert away.plates[0].fit == pytest.approx(wanted.plates[0].fit, abs=1e-8)
    assert away.plates[0].box.centre.distance(wanted.plates[0].box.centre) < 1e-4
    for hole, other in zip(away.holes, wanted.holes, strict=True):
        assert hole.at.distance(other.at) < 1e-3
    assert Vector(0.0, 0.0) == away.posts[-1].at - layout.posts[-1].at
