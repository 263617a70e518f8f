"""Rings of holes on rigid plates: never too large, and as large as can be."""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np
import pytest

from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Part
from geometry.checks.judge import Level, findings
from geometry.document.build import Build, Moved, OnLine, Region, RoundRegion
from geometry.layout.layout import displaced, lay_out
from geometry.search.answers.missed import missed
from geometry.search.rings.play import Carried, Fitted, Plates, plates_of
from geometry.search.rings.rings import exact, rows_of, single, singles
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.hardware import Plate, Screw
from geometry.trade.hardware_library import FOUR_ON_PLATE
from tests.builds import change, eight_on_plates, plain_head, row, tuner

PLAY = 0.05
LOOSE = 0.3
"""Play of the posts in bushings as they come, and in worn ones."""


def facts(build: Build) -> Facts:
    return facts_of(build, lay_out(build))


def plates(*steps: tuple[float, float], play: float = PLAY, **fields: object) -> Build:
    """Eight on plates, the treble row with its holes moved along and inward by hand."""
    build = eight_on_plates(hardware=(change(FOUR_ON_PLATE, bushing_bore=6.0 + 2 * play),), **fields)
    treble = build.rows[0]
    moved = tuple(
        Moved(post=post.key, along=along, inward=inward)
        for post, (along, inward) in zip(treble.posts, steps, strict=False)
    )
    return change(build, rows=(change(treble, moved=moved), *build.rows[1:]))


def two_posts(play: float) -> Build:
    both = tuner(
        plate=Plate(posts=2, pitch=30.0, beyond=8.0, across=12.0),
        bushing_bore=6.0 + 2 * play,
        post_diameter=6.0,
    )
    return plain_head(row(count=2, rule=OnLine(start=60.0, pitch=30.0, inset=20.0)), hardware=(both,))


def after(build: Build, steps: Floats) -> set[tuple[str, str]]:
    """What is at stop when the posts have moved by steps (n, 2)."""
    layout = lay_out(build)
    vectors = {post.key: Vector(float(x), float(y)) for post, (x, y) in zip(layout.posts, steps, strict=True)}
    return {
        (each.check, each.about[0].name)
        for each in findings(build, displaced(build, layout, vectors))
        if each.level is Level.STOP
    }


def fit_after(build: Build, steps: Floats) -> float:
    layout = lay_out(build)
    vectors = {post.key: Vector(float(x), float(y)) for post, (x, y) in zip(layout.posts, steps, strict=True)}
    return displaced(build, layout, vectors).plates[0].fit


def random_steps(draw: np.random.Generator, radii: Floats) -> Floats:
    """Steps to the rims of discs, often in two opposite directions, which pull a plate apart most."""
    angles = draw.uniform(0, math.tau, len(radii))
    if draw.random() < 0.5:
        angles = np.asarray(draw.uniform(0, math.tau) + math.pi * draw.integers(0, 2, len(radii)), float)
    return np.column_stack([np.cos(angles), np.sin(angles)]) * radii[:, None]


@pytest.mark.parametrize("play", [0.05, 0.1, 0.2])
def test_two_holes_share_twice_the_play(play: float) -> None:
    rows = rows_of(facts(two_posts(play)))
    assert exact(rows) == pytest.approx([play, play])
    # With one hole where it should be, the other may be off by twice the play: the plate goes half-way.
    assert singles(rows) == pytest.approx([2 * play, 2 * play])
    assert single(rows, 1) == pytest.approx([0.0, 2 * play])


@pytest.mark.parametrize("play", [PLAY, LOOSE])
def test_rings_on_a_plate_are_the_play_of_the_posts_in_their_bushings(play: float) -> None:
    assert exact(rows_of(facts(plates(play=play)))) == pytest.approx([play] * 8)


def test_holes_that_are_off_have_less_left() -> None:
    # All pitches 0.02 mm too long: both ends are 0.03 mm off and the others 0.01; an end and any other share what is
    # left of twice the play.
    build = plates((0.0, 0.0), (0.02, 0.0), (0.04, 0.0), (0.06, 0.0))
    assert lay_out(build).plates[0].fit == pytest.approx(0.03, abs=1e-8)
    assert exact(rows_of(facts(build)))[:4] == pytest.approx([0.02, 0.04, 0.04, 0.02], abs=1e-6)
    broken = rows_of(facts(plates((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), (0.12, 0.0))))
    assert broken.broken.tolist() == [True] * 4 + [False] * 4


HEADS = {
    "as the plate wants": plates(),
    "worn bushings": plates(play=LOOSE),
    "too long": plates((0.0, 0.0), (0.02, 0.0), (0.04, 0.0), (0.06, 0.0)),
    "bent": plates((0.0, 0.0), (0.0, 0.05), play=0.1),
    "anyhow": plates((0.1, -0.08), (-0.2, 0.15), (0.13, 0.0), (-0.05, -0.2), play=LOOSE),
    "two posts": two_posts(0.1),
}


@pytest.mark.parametrize("name", HEADS)
def test_no_joint_miss_breaks_a_fit(name: str) -> None:
    build = HEADS[name]
    before = after(build, np.zeros((len(lay_out(build).posts), 2)))
    radii = exact(rows_of(facts(build)))
    draw = np.random.default_rng(5)
    for _ in range(100):
        steps = random_steps(draw, radii)
        assert after(build, steps) <= before, steps.tolist()


@pytest.mark.parametrize("name", HEADS)
def test_rings_hardly_beyond_break_it(name: str) -> None:
    # Every hole of a plate moved the way that its shaft is off, or two of them apart, by its ring and 2 per cent more.
    build = HEADS[name]
    layout = lay_out(build)
    radii = exact(rows_of(facts(build)))
    posts = [layout.post(key) for key in layout.plates[0].posts]
    limit = posts[0].hardware.play
    off = [post.at - post.tuner.at for post in posts]
    steps = np.zeros((len(layout.posts), 2))
    worst = 0.0
    if layout.plates[0].fit > 1e-6:
        for n, each in enumerate(off):
            way = each.unit() if each.length > 1e-9 else Vector(0.0, 0.0)
            steps[n] = np.array((way.x, way.y)) * (radii[n] * 1.02)
        worst = fit_after(build, steps)
    for i, j in combinations(range(len(posts)), 2):
        way = (posts[j].at - posts[i].at).unit()
        for sign in (1.0, -1.0):
            steps[:] = 0.0
            steps[i] = -sign * radii[i] * 1.02 * np.array((way.x, way.y))
            steps[j] = sign * radii[j] * 1.02 * np.array((way.x, way.y))
            worst = max(worst, fit_after(build, steps))
    assert worst > limit


def near_pocket(play: float) -> Build:
    """A plate whose last screw stands 0.25 mm clear of a pocket beyond its end, with long levers."""
    build = plates(play=play)
    screw = lay_out(build).holes[3]
    frame = lay_out(build).plates[0].frame
    away = screw.at + frame.along * (1.1 + 0.25 + 4.0)
    pocket = Region(key="p", name="pocket", shape=RoundRegion(Point(away.x, away.y), 4.0))
    return change(build, keep_clear=(pocket,))


@pytest.mark.parametrize("play", [PLAY, LOOSE])
def test_what_a_plate_carries_stays_clear_while_it_turns_in_its_play(play: float) -> None:
    build = near_pocket(play)
    radii = exact(rows_of(facts(build)))
    assert radii[:4].min() > 0.0
    draw = np.random.default_rng(3)
    for _ in range(100):
        steps = random_steps(draw, radii)
        assert after(build, steps) == set(), steps.tolist()
    # With little play the plate cannot reach it, with much it can.
    assert (radii[:4] == pytest.approx([play] * 4)) == (play < LOOSE)


@pytest.mark.parametrize("play", [PLAY, LOOSE])
def test_one_hole_alone_may_go_twice_the_play(play: float) -> None:
    # The plate gives way by half: (2 play + 0) / 2 is the play. No hole of a plate can go further and still fit.
    assert plates_of(facts(two_posts(play)), 10.0).reach == pytest.approx([2 * play, 2 * play])


@pytest.mark.parametrize("off", [(0.0, 0.0, 0.0), (0.01, 0.02, 0.01)])
def test_what_a_plate_carries_follows_both_of_its_end_shafts(off: tuple[float, float, float]) -> None:
    # A part 0.7 of the first shaft and 0.4 of the last. A shaft leaves its hole, moved by r, by no more than the new
    # fit, and that is no more than off + r of one hole: 0.7 (r1 + o1) + 0.4 (r3 + o3) + (0.7 + 0.4) (rj + oj) at most.
    part = Part("button", "b", "2")
    lever = np.array([0.7, 0.0, 0.4])
    plate = Fitted((0, 1, 2), off, max(off), 0.1)
    carrying = Plates((plate,), {part: Carried(0, lever)}, np.full(3, 5.0))
    number, weights, margins = carrying.expanded(
        [(part,)], np.zeros((1, 3)), np.array([1.0]), 1.0, np.array([True])
    )
    assert number.tolist() == [0, 0, 0]
    fixed = 0.7 * off[0] + 0.4 * off[2]
    assert weights == pytest.approx(np.array([[1.8, 0.0, 0.4], [0.7, 1.1, 0.4], [0.7, 0.0, 1.5]]))
    assert margins == pytest.approx(np.array([1.0 - fixed - 1.1 * each for each in off]))


def test_plates_that_face_each_other_stay_clear() -> None:
    # Screws of both plates 0.3 mm over their least distance from each other.
    inward = lay_out(plates(play=LOOSE))
    apart = inward.posts[0].at.x - inward.posts[4].at.x
    assert FOUR_ON_PLATE.plate is not None
    reach = apart / 2 - 1.1 - 0.5 - 0.15
    plate = change(
        FOUR_ON_PLATE.plate,
        screws=(Screw(along=34.5, outward=-reach, diameter=2.2, root=1.5, length=9.0),),
    )
    build = plates(play=LOOSE)
    build = change(build, hardware=(change(build.hardware[0], plate=plate, pins=(), screws=()),))
    before = after(build, np.zeros((8, 2)))
    radii = exact(rows_of(facts(build)))
    draw = np.random.default_rng(8)
    for _ in range(100):
        steps = random_steps(draw, radii)
        assert after(build, steps) <= before, steps.tolist()


def test_a_missed_hole_of_a_plate_is_told_by_the_play() -> None:
    build = eight_on_plates()
    layout = lay_out(build)
    post = layout.posts[1]
    # The plate takes half of it: 0.09 mm is within twice the play, 0.11 mm is not.
    near, far = (missed(build, layout, post.key, post.at + post.frame.along * off) for off in (0.09, 0.11))
    assert near.works
    assert not far.works
    assert {each.check for each in far.worse if each.level is Level.STOP} == {"plate fit"}
    left = near.allowance.ring(layout.posts[0].key).radius
    assert 0.0 <= left <= 0.05
