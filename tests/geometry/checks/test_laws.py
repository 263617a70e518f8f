"""Laws that hold for any head: mirror images, displacement, what is kept of many quantities, order of strings."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from random import Random
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.checks.gaps import Part, gaps
from geometry.checks.judge import CHECKS, Finding, Level, findings, judge, worst
from geometry.document.build import AlongEdge, Build, Moved, OldHole, OnLine, Polygon, Region, RoundRegion
from geometry.document.edits import mirrored
from geometry.document.outline import Bend
from geometry.layout.layout import displaced, lay_out
from geometry.shape.point import Point, Vector
from geometry.trade.limits import ChangedLimit, Limit, Rule
from tests.amount import sampled
from tests.builds import (
    READY_MADE,
    change,
    closest,
    found,
    laden_head,
    mirror_of,
    nodes,
    plain_head,
    post_at,
    rectangle,
    row,
    three_and_three,
)

ALL = [*READY_MADE, laden_head]


def where(finding: Finding) -> tuple[float, float, float, float]:
    assert finding.where is not None
    one, other = finding.where
    return one.x, one.y, other.x, other.y


def by_name(build: Build) -> dict[tuple[str, tuple[str, ...]], list[Finding]]:
    """Findings by check and parts, in falling order of what they measure."""
    named: dict[tuple[str, tuple[str, ...]], list[Finding]] = {}
    for finding in findings(build):
        key = finding.check, tuple(sorted(part.name + part.key for part in finding.about))
        named.setdefault(key, []).append(finding)
    return {key: sorted(each, key=lambda one: one.measured or 0.0) for key, each in named.items()}


# Mirror


@pytest.mark.parametrize("ready", ALL)
@pytest.mark.parametrize("image", [mirror_of, mirrored])
def test_findings_of_the_mirror_image_are_the_same(
    ready: Callable[[], Build], image: Callable[[Build], Build]
) -> None:
    build = ready()
    here, there = by_name(build), by_name(image(build))
    assert here.keys() == there.keys()
    for key, mine in here.items():
        for one, other in zip(mine, there[key], strict=True):
            assert one.level is other.level
            assert one.measured == pytest.approx(other.measured, abs=1e-6)
            assert (one.watch, one.stop) == pytest.approx((other.watch, other.stop), nan_ok=True)


@pytest.mark.parametrize("ready", ALL)
def test_places_of_the_mirror_image_are_mirrored(ready: Callable[[], Build]) -> None:
    build = ready()
    checks = ("wall", "web", "end distance", "first washer", "string to post", "splay")
    here, there = by_name(build), by_name(mirror_of(build))
    for key, mine in here.items():
        if key[0] not in checks:
            continue
        for one, other in zip(mine, there[key], strict=True):
            x, y, x2, y2 = where(one)
            assert where(other) == pytest.approx((-x, y, -x2, y2), abs=1e-4)


@pytest.mark.parametrize("ready", ALL)
def test_mirrored_twice_is_the_same_head(ready: Callable[[], Build]) -> None:
    build = ready()
    assert mirrored(mirrored(build)) == build
    assert mirror_of(mirror_of(build)) == build


# Displacement

steps = st.builds(Vector, st.floats(-6, 6), st.floats(-6, 6))


@pytest.mark.parametrize("ready", ALL)
def test_displaced_by_nothing_is_the_same_layout(ready: Callable[[], Build]) -> None:
    build = ready()
    layout = lay_out(build)
    assert displaced(build, layout, {}) == layout
    still = displaced(build, layout, {post.key: Vector(0.0, 0.0) for post in layout.posts})
    assert still == layout


@settings(max_examples=sampled(15, of=40))
@given(st.sampled_from(["t1", "t2", "b1", "b3"]), steps, st.floats(11, 15))
def test_displaced_post_lands_where_a_move_by_hand_puts_it(key: str, step: Vector, tip: float) -> None:
    build = three_and_three()
    build = change(build, head=change(build.head, thickness_tip=tip))
    layout = lay_out(build)
    frame = layout.post(key).frame
    moved = Moved(post=key, along=step.dot(frame.along), inward=-step.dot(frame.outward))
    rows = tuple(change(each, moved=(moved,) if each.key == key[0] else ()) for each in build.rows)
    by_hand, away = lay_out(change(build, rows=rows)), displaced(build, layout, {key: step})
    for one, other in zip(by_hand.posts, away.posts, strict=True):
        assert (one.at.x, one.at.y) == pytest.approx((other.at.x, other.at.y), abs=1e-9)
        assert one.thickness == pytest.approx(other.thickness, abs=1e-9)
        for mine, its in ((one.button, other.button), (one.body, other.body), (one.seat, other.seat)):
            assert mine is not None
            assert its is not None
            assert np.allclose(
                [mine.bounds.left, mine.bounds.top], [its.bounds.left, its.bounds.top], atol=1e-9
            )
    for path, its_path in zip(by_hand.paths, away.paths, strict=True):
        assert path.splay == pytest.approx(its_path.splay, abs=1e-9)
        assert path.heights == pytest.approx(its_path.heights, abs=1e-9)
    for hole, its_hole in zip(by_hand.holes, away.holes, strict=True):
        assert (hole.at.x, hole.at.y) == pytest.approx((its_hole.at.x, its_hole.at.y), abs=1e-9)


def test_what_two_tuners_share_moves_by_the_mean_of_their_steps() -> None:
    build = next(ready for ready in READY_MADE if ready.__name__ == "six_in_line")()
    layout = lay_out(build)
    away = displaced(build, layout, {"b2": Vector(1.0, 0.0), "b3": Vector(0.0, 2.0)})
    for before, after in zip(layout.holes, away.holes, strict=True):
        expected: dict[tuple[str, ...], tuple[float, float]] = {
            ("b1", "b2"): (0.5, 0.0),
            ("b2", "b3"): (0.5, 1.0),
            ("b3", "b4"): (0.0, 1.0),
        }
        step = after.at - before.at
        assert (step.x, step.y) == pytest.approx(expected.get(before.owners, (0.0, 0.0)))


def test_a_plate_goes_half_of_the_way_of_a_hole_that_moves_along_it() -> None:
    build = next(ready for ready in READY_MADE if ready.__name__ == "eight_on_plates")()
    layout = lay_out(build)
    way = layout.post("t1").frame.along
    away = displaced(build, layout, {"t1": way * -0.6})
    for before, after in zip(layout.plates, away.plates, strict=True):
        step = after.box.centre - before.box.centre
        expected = way * -0.3 if "t1" in before.posts else Vector(0.0, 0.0)
        assert (step.x, step.y) == pytest.approx((expected.x, expected.y), abs=1e-7)


# Sliding everything up a straight head changes no measure between the parts

SLIDING = (
    "wall",
    "web",
    "body gap",
    "washer gap",
    "seat",
    "button gap",
    "button to edge",
    "keep clear",
)


@settings(max_examples=sampled(12, of=30))
@given(st.floats(0, 60))
def test_sliding_up_a_straight_head_changes_nothing_between_parts(up: float) -> None:
    def slid(by: float) -> dict[str, float | None]:
        build = plain_head(
            row("treble", 3, rule=AlongEdge(start=60 + by, pitch=24, inset=15)),
            row("bass", 3, rule=OnLine(start=55 + by, pitch=26, inset=16)),
            outline=rectangle(80.0, 400.0),
            keep_clear=(Region(key="r", name="", shape=RoundRegion(centre=Point(5, 90 + by), radius=4.0)),),
            old_holes=(OldHole(key="o", at=Point(-4.0, 100 + by), diameter=3.0),),
        )
        return {check: closest(build, check).measured for check in SLIDING}

    assert slid(up) == pytest.approx(slid(0.0), abs=1e-7)


# What is kept of many quantities


def test_only_the_closest_of_each_part_is_kept() -> None:
    # Gaps between neighbours in a row of four: 1-2, 2-3, 3-4 and the wider ones beyond. Each part keeps its closest.
    parts = tuple(Part("bore", f"p{n}", str(n)) for n in range(4))
    measured = {(0, 1): 5.0, (1, 2): 3.0, (2, 3): 4.0, (0, 2): 8.5, (1, 3): 7.0, (0, 3): 12.0}
    i, j = (np.array([pair[n] for pair in measured]) for n in (0, 1))
    places = np.zeros((6, 2))
    rule = Rule("x", Limit(4.5), Limit(3.5))
    kept = judge([gaps(rule, parts, np.array(list(measured.values())), i, places, places, j=j)])
    assert {tuple(part.label for part in each.about): (each.measured, str(each.level)) for each in kept} == {
        ("0", "1"): (5.0, "fine"),
        ("1", "2"): (3.0, "stop"),
        ("2", "3"): (4.0, "watch"),
    }


@given(st.floats(-9, 9), st.integers(2, 9), st.randoms())
def test_an_even_row_tells_each_of_its_gaps(gap: float, count: int, random: Random) -> None:
    # Rounding makes gaps that are alike differ in their last digits: each part still names the same neighbour.
    parts = tuple(Part("bore", f"p{n}", str(n)) for n in range(count))
    measured = np.array([gap + random.uniform(-1e-13, 1e-13) for _ in range(count - 1)])
    i, places = np.arange(count - 1), np.zeros((count - 1, 2))
    kept = judge([gaps(Rule("x", Limit(1.0), Limit(0.0)), parts, measured, i, places, places, j=i + 1)])
    assert {each.about for each in kept} == set(pairwise(parts))


def test_nothing_measured_nothing_found() -> None:
    assert judge([]) == []


@given(st.lists(st.tuples(st.integers(0, 5), st.integers(0, 5), st.floats(-9, 9)), max_size=30))
def test_every_part_has_its_closest_quantity(table: list[tuple[int, int, float]]) -> None:
    table = [each for each in table if each[0] != each[1]]
    parts = tuple(Part("bore", f"p{n}", str(n)) for n in range(6))
    i, j = (np.array([each[n] for each in table], dtype=np.intp) for n in (0, 1))
    measured = np.array([each[2] for each in table])
    places = np.zeros((len(table), 2))
    kept = judge([gaps(Rule("x", Limit(1.0), Limit(0.0)), parts, measured, i, places, places, j=j)])
    for number, part in enumerate(parts):
        of_part = [value for one, other, value in table if number in (one, other)]
        said = [each.measured for each in kept if part in each.about]
        assert bool(of_part) is bool(said)
        if of_part:
            # Of those that rounding alone tells apart the first is kept.
            assert min(said) == pytest.approx(min(of_part), abs=1e-9)  # type: ignore[type-var]


def test_changed_limit_of_a_build_is_held() -> None:
    build = plain_head(row(rule=AlongEdge(start=60, pitch=40, inset=9)))
    assert closest(build, "wall").level is Level.WATCH
    wider = ChangedLimit(rule="wall", level="stop", least=4.5)
    assert closest(change(build, limits=(wider,)), "wall").level is Level.STOP
    thinner = ChangedLimit(rule="wall", level="watch", least=4.0)
    assert closest(change(build, limits=(thinner,)), "wall").level is Level.FINE


@pytest.mark.parametrize("ready", ALL)
def test_worst_come_first(ready: Callable[[], Build]) -> None:
    levels = [["stop", "watch", "fine"].index(each.level) for each in findings(ready())]
    assert levels == sorted(levels)


def test_worst_level() -> None:
    fine = closest(plain_head(row()), "wall")
    stop, watch = change(fine, level=Level.STOP), change(fine, level=Level.WATCH)
    assert worst([]) is Level.FINE
    assert worst([fine, watch]) is Level.WATCH
    assert worst([watch, stop, fine]) is Level.STOP


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_every_check_gives_its_reason(check: Any) -> None:
    assert check.__doc__
    assert len(check.__doc__.split()) > 5


# Order of strings

rows_of_any = st.tuples(st.integers(0, 6), st.integers(0, 6))


@settings(max_examples=sampled(20, of=60))
@given(
    rows_of_any,
    st.floats(55, 100),
    st.floats(-8, 0),
    st.floats(18, 40),
    st.floats(9, 15),
    st.floats(25, 50),
    st.floats(0.1, 1.0),
)
def test_strings_given_out_by_rule_never_cross(
    counts: tuple[int, int],
    width: float,
    flare: float,
    pitch: float,
    inset: float,
    start: float,
    spread: float,
) -> None:
    # On heads that narrow, with all slots between the first posts, each string stays inside the one before it.
    treble, bass = counts
    right = ((width / 2, 0.0), ((width + flare) / 2, 300.0))
    rule = OnLine(start=start, pitch=pitch, inset=inset)
    slots = spread * ((width + flare) / 2 - inset * 1.02 - 3.5)
    count = treble + bass
    build = plain_head(
        row("treble", treble, rule=rule),
        row("bass", bass, rule=rule),
        outline=nodes(*right, *((-x, y) for x, y in reversed(right))),
        slots=tuple(float(x) for x in np.linspace(slots, -slots, count)) if count > 1 else (0.0,) * count,
    )
    assert worst(found(build, "order")) is Level.FINE


def test_crossing_strings_stop() -> None:
    # Strings 1 and 2 on each other's posts.
    build = plain_head(post_at(20, 80), post_at(-20, 80, "bass", key="two"), slots=(5.0, -5.0))
    treble, bass = build.rows
    swapped = change(
        build,
        rows=(
            change(treble, posts=(change(treble.posts[0], string="s2"),)),
            change(bass, posts=(change(bass.posts[0], string="s1"),)),
        ),
    )
    (fine,), (crossing,) = found(build, "order"), found(swapped, "order")
    assert (fine.level, crossing.level) == (Level.FINE, Level.STOP)
    # Both run from 5 mm on one side to 16.5 mm or so on the other: they meet on the centre line.
    assert where(crossing)[0] == pytest.approx(0.0, abs=1e-9)


# Strings over wood and covers


def test_string_that_leaves_the_head_and_comes_back_is_watched() -> None:
    # A slot 10 mm wide and 30 mm deep, right under the string at x = 30: it is over air for 10 mm, 5 mm from wood.
    places = ((40, 0), (40, 90), (20, 90), (20, 110), (40, 110), (40, 200), (-40, 200), (-40, 0))
    build = plain_head(post_at(28.5, 150), slots=(25.0,), outline=nodes(*places))
    finding = closest(build, "string over wood")
    assert finding.level is Level.WATCH
    # The string is 5 mm from the slot's end and up to 10 mm from its sides.
    assert finding.measured == pytest.approx(-5.0)


def test_string_over_a_hollow_edge_is_watched() -> None:
    # A hollow of radius 42.5 about (77.5, 100) cuts the side to x = 35; the string at x = 36 is 1 mm over it.
    outline = rectangle()
    right, *rest = outline.nodes
    corners = (
        right,
        change(right, key="a", at=Point(40.0, 80.0), onward=Bend(bulge=-0.25)),
        change(right, key="b", at=Point(40.0, 120.0)),
        *rest,
    )
    build = plain_head(post_at(39.5, 150), slots=(36.0,), outline=change(outline, nodes=corners))
    finding = closest(build, "string over wood")
    assert finding.level is Level.WATCH
    assert finding.measured == pytest.approx(-1.0, abs=0.01)


def test_covers_beside_a_string_do_not_matter() -> None:
    aside = Polygon(points=(Point(10, 20), Point(30, 20), Point(30, 40), Point(10, 40)))
    regions = (
        Region(key="a", name="", shape=aside, side="face", cover_height=20.0),
        Region(
            key="b",
            name="",
            shape=RoundRegion(centre=Point(-15, 60), radius=5.0),
            side="face",
            cover_height=20.0,
        ),
        Region(key="c", name="", shape=RoundRegion(centre=Point(0, 60), radius=5.0), side="face"),
    )
    assert found(plain_head(post_at(3.5, 150), slots=(0.0,), keep_clear=regions), "string over washers") == []
