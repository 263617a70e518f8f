"""Rings hold what they promise: nothing breaks while all marks stay in theirs, and just beyond something does."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from geometry.checks.facts import Facts, facts_of
from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build, Head
from geometry.document.codec import read_build
from geometry.layout.layout import Layout, displaced, lay_out
from geometry.search.rings.rings import Rows, bounds, exact, of_post, on_back, rows_of, singles
from geometry.search.rings.slack import LARGEST
from geometry.search.rings.string_worst import worst_of
from geometry.shape.close import Floats
from geometry.shape.point import Vector
from tests.amount import sampled
from tests.builds import REAR_TUNER, THICK, change, plain_head, post_at
from tests.generated_builds import generated, with_spares

SAMPLES = sorted((Path(__file__).parents[4] / "sample_builds").glob("*.pegwright"))
NAMES = [path.stem for path in SAMPLES]
GENERATED = 200
HEADS = sampled(40, of=GENERATED)
PER_SAMPLE = sampled(100, of=1000)
PER_GENERATED = sampled(10, of=25)
"""Random displacements tried; `tests/bench/rings.py` tries ten thousand on each sample and on each of 200 heads."""

BEYOND = 1.02
WHOLE_ROW = {"shared screw"}
"""What ends a ring without being a limit of a check: the play of one hole against its neighbours."""


def sample(path: Path) -> Build:
    return read_build(path.read_bytes())


@cache
def rows_and_radii(build: Build) -> tuple[Facts, Rows, Floats]:
    """What ends the rings of a build, and the joint rings, for all tests that ask for them."""
    facts = facts_of(build, lay_out(build))
    rows = rows_of(facts)
    return facts, rows, exact(rows)


def moved(build: Build, layout: Layout, steps: Floats) -> tuple[Finding, ...]:
    """What is said when the posts, in the order of the layout, have moved by steps (n, 2)."""
    vectors = {post.key: Vector(float(x), float(y)) for post, (x, y) in zip(layout.posts, steps, strict=True)}
    return findings(build, displaced(build, layout, vectors))


def stops(found: tuple[Finding, ...]) -> set[tuple[str, tuple[Part, ...]]]:
    return {(each.check, each.about) for each in found if each.level is Level.STOP}


def random_steps(draw: np.random.Generator, radii: Floats) -> Floats:
    """Steps anywhere in discs of these radii, half of them right at their edges."""
    angles = draw.uniform(0, math.tau, len(radii))
    shares = np.sqrt(draw.uniform(0, 1, len(radii))) if draw.random() < 0.5 else np.ones(len(radii))
    return np.column_stack([np.cos(angles), np.sin(angles)]) * (radii * shares)[:, None]


def never_breaks(build: Build, radii: Floats, count: int) -> None:
    layout = lay_out(build)
    already = stops(findings(build, layout))
    draw = np.random.default_rng(20261125)
    for _ in range(count):
        steps = random_steps(draw, radii)
        new = stops(moved(build, layout, steps)) - already
        assert not new, (build.name, steps.tolist(), new)


def worst_steps(rows: Rows, radii: Floats) -> tuple[str, Floats]:
    """The check with the least left when posts move by these radii, and the steps that take the most of it."""
    left = rows.rigid.margins - rows.rigid.weights @ radii
    margins, steps = worst_of(rows.strings, radii, np.arange(len(rows.strings.margins)))
    k = int(np.argmin(np.concatenate([left, margins])))
    if k < len(left):
        return rows.rigid.checks[k], rows.rigid.toward[k] * radii[:, None]
    return rows.strings.checks[k - len(left)], steps[k - len(left)]


def pulled_apart(facts: Facts, radii: Floats, number: int) -> Floats:
    """Steps that bring the hole of a plate and the one with the largest ring of the others apart, along the row."""
    posts = facts.posts
    others = [n for n, post in enumerate(posts) if post.row == posts[number].row and n != number]
    other = max(others, key=lambda n: radii[n])
    way = (posts[number].at - posts[other].at).unit()
    steps = np.zeros((len(posts), 2))
    steps[number], steps[other] = (way.x, way.y), (-way.x, -way.y)
    return steps * radii[:, None]


def lets_go(build: Build, layout: Layout, number: int, radius: float) -> bool:
    """Whether a string leaves a tree when its post misses by so many mm in some direction."""
    key = layout.posts[number].key
    held = sum(len(path.points) for path in layout.paths)
    return any(
        sum(
            len(path.points)
            for path in displaced(build, layout, {key: Vector(radius, 0.0).turned(angle)}).paths
        )
        != held
        for angle in np.linspace(0.0, math.tau, 64, endpoint=False).tolist()
    )


def breaks_beyond(build: Build, facts: Facts, rows: Rows, radii: Floats, number: int) -> str:
    """Enlarge one ring a little: the worst displacement of all breaks something new. Returns what ends the ring."""
    layout = facts.layout
    larger = radii.copy()
    larger[number] = larger[number] * BEYOND + 2e-3
    check, steps = worst_steps(of_post(rows, number), larger)
    if check in WHOLE_ROW:
        hardware = facts.posts[number].hardware
        assert radii[number] == pytest.approx((hardware.bore.through - hardware.post_diameter) / 2)
        return check
    if check == "retainer":
        assert lets_go(build, layout, number, float(larger[number]))
        return check
    if check == "plate fit":
        plate = next(each for each in layout.plates if facts.posts[number].key in each.posts)
        if plate.fit > 1e-6:
            # What shafts are off already may pull the same way: the rows are sound, and near what may be.
            play = (facts.posts[number].hardware.turns_in - facts.posts[number].hardware.post_diameter) / 2
            assert radii[number] >= play - 2 * plate.fit
            return check
        steps = pulled_apart(facts, larger, number)
    new = stops(moved(build, layout, steps)) - stops(findings(build, layout))
    assert new, (build.name, facts.posts[number].label, check, radii.tolist(), steps.tolist())
    return check


def check_beyond(build: Build) -> set[str]:
    facts, rows, joint = rows_and_radii(build)
    alone = singles(rows)
    ended = set()
    for number in range(len(facts.posts)):
        for radii in (joint, alone * (np.arange(len(alone)) == number)):
            if not rows.broken[number] and radii[number] < LARGEST:
                ended.add(breaks_beyond(build, facts, rows, radii, number))
    return ended


@pytest.mark.parametrize("path", SAMPLES, ids=NAMES)
def test_nothing_breaks_while_all_marks_are_in_their_rings(path: Path) -> None:
    build = sample(path)
    _, _, radii = rows_and_radii(build)
    never_breaks(build, radii, PER_SAMPLE)


@pytest.mark.parametrize("path", SAMPLES, ids=NAMES)
def test_just_beyond_its_ring_every_mark_breaks_something(path: Path) -> None:
    check_beyond(sample(path))


@pytest.mark.parametrize("first", range(0, HEADS, 10))
def test_nothing_breaks_on_generated_heads(first: int) -> None:
    for seed in range(first, first + 10):
        build = generated(seed)
        _, _, radii = rows_and_radii(build)
        never_breaks(build, radii, PER_GENERATED)


@pytest.mark.parametrize("first", range(0, HEADS, 10))
def test_just_beyond_something_breaks_on_generated_heads(first: int) -> None:
    ended = set[str]()
    for seed in range(first, first + 10):
        ended |= check_beyond(generated(seed))
    assert ended


@pytest.mark.parametrize("first", range(0, 20, 5))
def test_rings_hold_beside_bare_posts(first: int) -> None:
    beside = set[str]()
    for seed in range(first, first + 5):
        build = with_spares(seed)
        _, rows, radii = rows_and_radii(build)
        never_breaks(build, radii, PER_GENERATED)
        never_breaks(build, bounds(rows), 5)
        check_beyond(build)
        beside |= {
            part.label
            for check, about in zip(rows.strings.checks, rows.strings.about, strict=True)
            for part in about
            if check == "string to post"
        }
    assert any(label.startswith("spare") for label in beside)


def test_a_string_and_the_bare_post_that_it_passes_share_what_is_between_them() -> None:
    # 0.4 mm between a string of 1 mm up the centre line and a bare post of 6 mm half-way up to its own post 120 mm on:
    # there the string moves by half of what its post does, a little less for the tangent.
    spare = post_at(-3.9, 60.0, "bass", key="spare", post={"string": None})
    head = Head(thickness_nut=THICK, thickness_tip=THICK, angle_deg=10.0)
    rear = change(REAR_TUNER, key="plain")
    build = plain_head(post_at(3.5, 120.0), spare, slots=(0.0,), head=head, hardware=(rear,))
    rows = rows_of(facts_of(build, lay_out(build)))
    alone = singles(rows)
    assert alone == pytest.approx([0.8, 0.4], abs=2e-3)
    joint = exact(rows)
    assert joint == pytest.approx([0.4 / 1.5] * 2, abs=2e-3)
    assert (bounds(rows) <= joint + 1e-3).all()


def test_generated_heads_are_worth_the_trouble() -> None:
    smallest = [float(rows_and_radii(generated(seed))[2].min()) for seed in range(HEADS)]
    assert sum(radius > 0.3 for radius in smallest) > 0.6 * HEADS


@pytest.mark.parametrize("seed", range(0, GENERATED, 5))
def test_the_quick_bound_never_promises_more(seed: int) -> None:
    build = generated(seed)
    _, rows, radii = rows_and_radii(build)
    quick = bounds(rows)
    assert float(quick.min()) <= float(radii.min()) + 1e-3
    never_breaks(build, quick, 5)


@pytest.mark.parametrize("seed", range(0, GENERATED, 5))
def test_no_ring_exceeds_what_its_hole_may_miss_alone(seed: int) -> None:
    _, rows, radii = rows_and_radii(generated(seed))
    assert (radii <= singles(rows) + 2e-3).all()


@pytest.mark.parametrize("seed", range(0, 60, 5))
def test_holes_that_lean_within_their_allowance_break_nothing_on_the_back(seed: int) -> None:
    build = generated(seed)
    layout = lay_out(build)
    facts = facts_of(build, layout)
    rows = rows_of(facts)
    face_only = {"washer gap", "first washer", "into the nut", "end distance", "thickness", "wraps"}
    strings = {"string to post", "string to string", "string over washers", "break", "order"}
    draw, already, radii = np.random.default_rng(seed), stops(findings(build, layout)), on_back(rows)
    for _ in range(20):
        new = stops(moved(build, layout, random_steps(draw, radii))) - already
        assert {check for check, _ in new} <= face_only | strings | {"screw depth", "placement"}
