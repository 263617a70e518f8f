"""Holes that were found in a picture, laid on their plan: known misses come back, whatever way the head lay."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.answers.drilled import AsDrilled, Seen, as_drilled, laid_on
from geometry.search.answers.drilled_words import say_drilled, say_hit
from geometry.search.rings.drilled import drilled_posts
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.trade.sentence import SentenceError
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


@settings(max_examples=5, deadline=None)
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
    assert any("Not drilled, or not seen" in each for each in say_drilled(head))


def test_a_hole_that_is_none_of_the_plan_is_told_and_another_head_refused() -> None:
    stray = Seen(Point(0.0, 60.0), 9.0, GIVE, 0.1)
    head = as_drilled(BUILD, LAYOUT, edge_points(), 0.1, [stray])
    assert head.hits == ()
    assert any("none of the plan" in each for each in say_drilled(head))
    with pytest.raises(SentenceError, match="another head"):
        as_drilled(BUILD, LAYOUT, edge_points() * np.array([1.6, 0.8]), 0.1, [stray])


def test_a_hole_far_off_the_wood_makes_the_head_fail() -> None:
    post = LAYOUT.posts[0]
    outward = Vector(math.copysign(5.9, post.at.x), 0.0)
    head = photographed({post.label: outward})
    assert not head.works
    assert head.worse
