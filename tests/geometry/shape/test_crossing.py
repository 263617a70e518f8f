from __future__ import annotations

import math
from itertools import combinations, pairwise
from time import perf_counter

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from geometry.shape.contour import Contour, through
from geometry.shape.crossing import meetings, pairs_that_may_meet
from geometry.shape.pieces import pieces_of
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Line, Piece
from tests.amount import sampled

CIRCLE = Arc(Point(5, 0), Point(-5, 0), 1.0)
"""The upper half of a circle of radius 5."""


def ordered(places: tuple[Point, ...]) -> list[tuple[float, float]]:
    return sorted((round(place.x, 6) + 0.0, round(place.y, 6) + 0.0) for place in places)


@pytest.mark.parametrize(
    ("a", "b", "expected"),
    [
        (Line(Point(0, 0), Point(2, 2)), Line(Point(0, 2), Point(2, 0)), [(1, 1)]),
        (Line(Point(0, 0), Point(2, 0)), Line(Point(0, 1), Point(2, 1)), []),
        (Line(Point(0, 0), Point(4, 0)), Line(Point(6, 0), Point(1, 0)), [(1, 0), (4, 0)]),
        (Line(Point(0, 0), Point(4, 0)), Line(Point(2, 0), Point(2, 9)), [(2, 0)]),
        (CIRCLE, Line(Point(-9, 3), Point(9, 3)), [(-4, 3), (4, 3)]),
        (CIRCLE, Line(Point(0, 3), Point(9, 3)), [(4, 3)]),
        (CIRCLE, Line(Point(-9, 5), Point(9, 5)), [(0, 5)]),
        (CIRCLE, Line(Point(-9, 5.1), Point(9, 5.1)), []),
        (CIRCLE, Line(Point(-9, -3), Point(9, -3)), []),
        (CIRCLE, Arc(Point(13, 0), Point(3, 0), 1.0), [(4, 3)]),
        (CIRCLE, Arc(Point(13, 0), Point(3, 0), -1.0), []),
        (CIRCLE, Arc(Point(3, 0), Point(-3, 0), 1.0), []),
        (CIRCLE, Arc(Point(0, 5), Point(-5, 0), math.tan(math.pi / 8)), [(-5, 0), (0, 5)]),
    ],
)
def test_meetings_in_closed_form(a: Piece, b: Piece, expected: list[tuple[float, float]]) -> None:
    assert ordered(meetings(a, b)) == expected
    assert ordered(meetings(b, a)) == expected
    assert ordered(meetings(a.reversed(), b)) == expected


def test_circles_that_touch_from_outside() -> None:
    touching = Arc(Point(3, 8), Point(-3, 8), -1.0)
    assert ordered(meetings(CIRCLE, touching)) == [(0, 5)]


def test_an_almost_straight_arc_meets_like_its_chord() -> None:
    # The crossing lies below the chord by the height of the arc there.
    arc = Arc(Point(-100, 1), Point(100, 1), 1e-9)
    (place,) = meetings(arc, Line(Point(0, -5), Point(0, 5)))
    assert place.distance(Point(0, 1 - 1e-7)) < 1e-12


def test_a_bow_tie_crosses_itself() -> None:
    points = [Point(0, 0), Point(2, 2), Point(2, 0), Point(0, 2)]
    assert ordered(through(points, closed=True).self_crossings()) == [(1, 1)]


def test_a_square_does_not() -> None:
    points = [Point(0, 0), Point(2, 0), Point(2, 2), Point(0, 2)]
    assert through(points, closed=True).self_crossings() == ()


def test_neighbours_that_meet_again() -> None:
    # A chord of a circle and an arc of it that goes on past the chord's end: they share two places.
    circle = Arc(Point(5, 0), Point(0, -5), math.tan(3 * math.pi / 8))
    outline = Contour((Line(Point(-9, 0), Point(5, 0)), circle))
    assert ordered(outline.self_crossings()) == [(-5, 0)]


def test_two_arcs_of_a_lens_share_both_nodes_and_nothing_else() -> None:
    lens = Contour((Arc(Point(0, 0), Point(4, 0), 0.4), Arc(Point(4, 0), Point(0, 0), 0.4)), closed=True)
    assert lens.self_crossings() == ()


def test_a_fold_back_on_itself() -> None:
    spike = through([Point(0, 0), Point(5, 0), Point(2, 0)])
    assert ordered(spike.self_crossings()) == [(2, 0)]


def test_touching_a_side_with_a_corner() -> None:
    points = [Point(0, 0), Point(6, 0), Point(6, 4), Point(3, 0), Point(0, 4)]
    assert ordered(through(points, closed=True).self_crossings()) == [(3, 0)]


def test_one_piece_alone_does_not_cross() -> None:
    assert Contour((CIRCLE,)).self_crossings() == ()


def test_the_search_ends_when_enough_places_are_found() -> None:
    # A saw over a line back: every tooth crosses it twice.
    teeth = [Point(x, 1.0 if x % 2 else -1.0) for x in range(20)]
    saw = through([*teeth, Point(19.0, 5.0), Point(25.0, 0.0), Point(-5.0, 0.0)])
    whole = saw.self_crossings()
    assert len(whole) == 19
    assert saw.self_crossings(7) == whole[:7]


@st.composite
def curves(draw: st.DrawFn) -> Contour:
    """Curves of lines and arcs, small and large, that cross themselves as often as not."""
    steps = st.integers(-8, 8)
    places = draw(st.lists(st.tuples(steps, steps), min_size=4, max_size=9))
    nodes = [Point(float(x), float(y)) for x, y in places]
    bulges = st.sampled_from([0.0, 0.3, -0.3, 1.0, -1.0, 2.5, 1e-7])
    runs = [(one, two, draw(bulges)) for one, two in pairwise(nodes) if one != two]
    assume(runs)
    return Contour(tuple(Arc(*run) if run[2] else Line(*run[:2]) for run in runs))


@given(curves())
@settings(max_examples=sampled(20, of=60))
def test_every_pair_that_meets_is_looked_at(curve: Contour) -> None:
    """Held against all pairs of pieces, one by one; neighbours share a node."""
    looked_at = list(pairs_that_may_meet(pieces_of(curve)))
    assert looked_at == sorted(set(looked_at))
    pieces = curve.segments
    for i, j in combinations(range(len(pieces)), 2):
        one, two = pieces[i], pieces[j]
        assert isinstance(one, Line | Arc)
        assert isinstance(two, Line | Arc)
        if j > i + 1 and meetings(one, two):
            assert (i, j) in looked_at


def test_of_a_long_curve_no_more_is_looked_at_than_is_asked_for() -> None:
    """2000 arcs over each other: two million pairs may meet."""
    nodes = [Point(math.cos(2.4 * i) * (30 + 20 * math.sin(i)), math.sin(2.4 * i) * 40) for i in range(2001)]
    curve = Contour(tuple(Arc(one, two, 0.4) for one, two in pairwise(nodes)))
    begun = perf_counter()
    assert len(curve.self_crossings(12)) == 12
    assert perf_counter() - begun < 2.0


def test_circles_in_each_other_are_told_apart_without_being_looked_at() -> None:
    """A spiral: every rectangle overlaps every other, and nothing meets."""
    ends = [(100.0 - 90.0 * i / 400) * (-1) ** i for i in range(401)]
    curve = Contour(tuple(Arc(Point(a, 0.0), Point(b, 0.0), 1.0) for a, b in pairwise(ends)))
    assert len(list(pairs_that_may_meet(pieces_of(curve)))) < 4 * len(curve.segments)
    assert curve.self_crossings() == ()
