"""Holes that were found in a picture, laid on their plan: known misses come back, whatever way the head lay."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import Build, OldHole
from geometry.document.edits import add_old_hole, set_drilled
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.drilled import AsDrilled, Seen, as_drilled, laid_on
from geometry.search.answers.drilled_words import say_drilled, say_hit
from geometry.search.rings.rings import drilled_posts
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.sentence import SentenceError
from tests.amount import sampled
from tests.builds import three_and_three

BUILD: Build = three_and_three()
LAYOUT: Layout = lay_out(BUILD)
GIVE = 0.15


def edge_points() -> Floats:
    assert LAYOUT.edge is not None
    return shapely.get_coordinates(shapely.segmentize(LAYOUT.edge.line, 0.5))


def turned(points: Floats, angle: float, x: float, y: float) -> Floats:
    way = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    there: Floats = points @ way + np.array([x, y])
    return there


def photographed(misses: dict[str, Vector], angle: float = 0.0, x: float = 0.0, y: float = 0.0) -> AsDrilled:
    """The plan with some holes drilled, as a picture shows it in which the head lies turned and moved."""
    holes = []
    for post in LAYOUT.posts:
        if post.label in misses:
            at = post.at + misses[post.label]
            there = turned(np.array([(at.x, at.y)]), angle, x, y)[0]
            holes.append(Seen(Point(float(there[0]), float(there[1])), post.bore, GIVE, 0.1))
    return as_drilled(BUILD, LAYOUT, turned(edge_points(), angle, x, y), 0.06, holes)


@settings(max_examples=sampled(3, of=5), deadline=None)
@given(st.floats(-0.03, 0.03), st.floats(-2.0, 2.0), st.floats(-2.0, 2.0))
def test_the_edge_lays_the_picture_on_the_plan(angle: float, x: float, y: float) -> None:
    assert LAYOUT.edge is not None
    laid, off = laid_on(LAYOUT.edge, turned(edge_points(), angle, x, y))
    assert off < 0.01
    back = laid.at(Point(*map(float, turned(np.array([(10.0, 100.0)]), angle, x, y)[0])))
    assert back.distance(Point(10.0, 100.0)) < 0.03


def test_misses_come_back_and_go_into_the_build() -> None:
    labels = [post.label for post in LAYOUT.posts]
    misses = {labels[0]: Vector(0.6, -0.4), labels[1]: Vector(0.02, 0.03)}
    head = photographed(misses, 0.02, 1.0, -0.7)
    assert [hit.label for hit in head.hits] == labels[:2]
    one, two = head.hits
    assert one.by.x == pytest.approx(0.6, abs=0.03)
    assert one.by.y == pytest.approx(-0.4, abs=0.03)
    assert (one.told, two.told) == (True, False)
    assert set(drilled_posts(head.build)) == {one.post, two.post}
    there = lay_out(head.build)
    assert there.post(one.post).at.distance(one.seen.at) < 0.001
    # What cannot be told from its mark stays on it.
    assert there.post(two.post).at.distance(two.mark) < 0.001
    assert len(head.left) == len(LAYOUT.posts) - 2


def test_words_tell_the_miss_its_certainty_and_the_ring() -> None:
    labels = [post.label for post in LAYOUT.posts]
    head = photographed({labels[2]: Vector(0.6, -0.4)})
    (hit,) = head.hits
    words = say_hit(hit)
    assert words.startswith(f"Hole {labels[2]}: 0.6 mm right, 0.4 mm towards the nut, give or take 0.15 mm; ")
    assert "left its ring" in say_hit(replace(hit, ring=0.2))
    assert "may have left" in say_hit(replace(hit, ring=0.7))
    assert "within its ring of 2.0 mm" in say_hit(replace(hit, ring=2.0))
    wide = replace(hit, seen=replace(hit.seen, diameter=hit.bore + 0.5))
    assert "wide, not" in say_hit(wide)
    assert any("Not drilled, or not measured" in each for each in say_drilled(head))


def test_a_hole_that_is_none_of_the_plan_is_told_and_another_head_refused() -> None:
    stray = Seen(Point(0.0, 60.0), 9.0, GIVE, 0.1)
    head = as_drilled(BUILD, LAYOUT, edge_points(), 0.1, [stray])
    assert head.hits == ()
    assert any("not in the plan" in each for each in say_drilled(head))
    with pytest.raises(SentenceError, match="another head"):
        as_drilled(BUILD, LAYOUT, edge_points() * np.array([1.6, 0.8]), 0.1, [stray])


def test_a_hole_far_off_the_wood_makes_the_head_fail() -> None:
    post = LAYOUT.posts[0]
    outward = Vector(math.copysign(5.9, post.at.x), 0.0)
    head = photographed({post.label: outward})
    assert not head.works
    assert head.worse


FIRST = LAYOUT.posts[0]


def seen(build: Build, by: Vector, diameter: float) -> AsDrilled:
    """A hole so far from the mark of the first post, which has a bore of 10 mm, as a picture shows it."""
    return as_drilled(build, lay_out(build), edge_points(), 0.06, [Seen(FIRST.at + by, diameter, GIVE, 0.1)])


def old_hole(by: Vector, diameter: float, *, plugged: bool = False, depth: float | None = None) -> Build:
    hole = OldHole(key="o1", at=FIRST.at + by, diameter=diameter, plugged=plugged, depth=depth)
    return add_old_hole(BUILD, hole)


@pytest.mark.parametrize(
    ("diameter", "off"), [(8.0, Vector(0.0, 0.0)), (2.0, Vector(0.0, 0.0)), (10.0, Vector(0.6, -0.6))]
)
def test_an_old_hole_is_not_taken_for_the_bore_of_a_post(diameter: float, off: Vector) -> None:
    by = Vector(4.0, 3.0)
    head = seen(old_hole(by, diameter), by + off, diameter)
    assert (head.hits, len(head.besides.old), head.besides.others) == ((), 1, ())
    assert drilled_posts(head.build) == ()
    assert any(each.startswith("1 old hole") for each in say_drilled(head))


def test_a_bore_in_an_old_hole_that_is_opened_up_or_plugged_is_one() -> None:
    by = Vector(0.5, 0.0)
    for build in (
        old_hole(Vector(0.0, 0.0), 8.0),
        old_hole(Vector(1.3, 0.0), 10.0, plugged=True),
        # From the back and not through, the face does not show it.
        old_hole(by, 10.0, depth=9.0),
    ):
        head = seen(build, by, 10.0)
        assert [(hit.post, hit.kind) for hit in head.hits] == [(FIRST.key, "bore")]
        assert drilled_posts(head.build) == (FIRST.key,)


@pytest.mark.parametrize("diameter", [2.0, 8.0, 12.0])
def test_a_hole_too_narrow_or_too_wide_for_the_bore_is_none_of_the_plan(diameter: float) -> None:
    head = seen(BUILD, Vector(4.0, 3.0), diameter)
    assert (head.hits, len(head.besides.others)) == ((), 1)
    assert drilled_posts(head.build) == ()


def test_a_pilot_on_its_mark_is_told_and_leaves_the_bore_to_be_drilled() -> None:
    head = seen(BUILD, Vector(0.6, 0.0), 2.0)
    (hit,) = head.hits
    assert (hit.post, hit.kind) == (FIRST.key, "pilot")
    assert head.build == BUILD
    assert say_hit(hit).startswith(
        f"Hole {FIRST.label}: only a pilot of 2.0 mm, 0.6 mm right, give or take 0.1"
    )
    assert seen(BUILD, Vector(1.4, 0.0), 2.0).hits == ()


def test_a_hole_that_was_drilled_before_keeps_its_place() -> None:
    build = set_drilled(BUILD, FIRST.key, drilled=True)
    head = seen(build, Vector(0.6, -0.4), 10.0)
    (hit,) = head.hits
    assert hit.kind == "drilled before"
    assert head.build == build
    words = say_hit(hit)
    assert "0.6 mm right, 0.4 mm towards the nut of where the build has it" in words
    assert "ring" not in words
    assert "missed" not in words
    # The build may hold it as an old hole besides.
    again = add_old_hole(build, OldHole(key="o1", at=FIRST.at, diameter=10.0))
    assert [each.kind for each in seen(again, Vector(0.3, 0.0), 10.0).hits] == ["drilled before"]
    other = LAYOUT.posts[1]
    unseen = as_drilled(build, lay_out(build), edge_points(), 0.06, [Seen(other.at, other.bore, GIVE, 0.1)])
    assert f"Drilled before, but not measured: hole {FIRST.label}." in say_drilled(unseen)
