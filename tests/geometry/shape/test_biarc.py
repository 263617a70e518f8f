import itertools
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.shape.biarc import as_arcs, cubic_to_arcs, without_specks
from geometry.shape.contour import Contour
from geometry.shape.pieces import arrays
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Piece
from geometry.shape.tolerance import ARCS, SAME
from tests.amount import sampled

coordinates = st.floats(-100, 100).map(lambda value: round(value, 2))
points = st.builds(Point, coordinates, coordinates)
handles = st.builds(Vector, st.floats(-50, 50), st.floats(-50, 50))
cubics = st.builds(Cubic, points, points, handles, handles)

DEGENERATE = {
    "no handles": Cubic(Point(0, 0), Point(9, 3), Vector(0, 0), Vector(0, 0)),
    "no first handle": Cubic(Point(0, 0), Point(9, 3), Vector(0, 0), Vector(-2, 4)),
    "no last handle": Cubic(Point(0, 0), Point(9, 3), Vector(2, 4), Vector(0, 0)),
    "cusp": Cubic(Point(0, 0), Point(4, 0), Vector(4, 4), Vector(-4, 4)),
    "loop": Cubic(Point(0, 0), Point(4, 0), Vector(20, 15), Vector(-20, 15)),
    "coincident nodes": Cubic(Point(0, 0), Point(0, 0), Vector(6, 2), Vector(-1, 5)),
    "out and back": Cubic(Point(0, 0), Point(0, 0), Vector(6, 0), Vector(6, 0)),
    "past its end": Cubic(Point(0, 0), Point(10, 0), Vector(40, 0), Vector(-40, 0)),
    "handles backwards": Cubic(Point(0, 0), Point(10, 0), Vector(-5, 0), Vector(5, 0)),
    "half turn": Cubic(Point(0, 0), Point(10, 0), Vector(0, 7), Vector(0, 7)),
    "ends alike and square to the chord": Cubic(Point(22, 0), Point(30, 40), Vector(-20, 4), Vector(20, -4)),
    "tiny": Cubic(Point(0, 0), Point(1e-4, 0), Vector(0, 1e-4), Vector(0, 1e-4)),
}


def furthest_apart(cubic: Cubic, pieces: tuple[Piece, ...]) -> float:
    """The larger of the distances of dense places on one to the other."""
    there = [(place.x, place.y) for place in (cubic.point_at(step / 1000) for step in range(1001))]
    out = float(np.max(arrays(pieces, closed=False).distance(there)[0]))
    shares = (0.1, 0.35, 0.5, 0.65, 0.9, 1.0)
    back = max(cubic.nearest(piece.point_at(share)).distance for piece in pieces for share in shares)
    return max(out, back)


def kinks(pieces: tuple[Piece, ...]) -> list[float]:
    """The angles in radians between neighbours."""
    pairs = [(a.tangent_at(1), b.tangent_at(0)) for a, b in itertools.pairwise(pieces)]
    return [abs(math.atan2(a.cross(b), a.dot(b))) for a, b in pairs]


@settings(max_examples=sampled(20, of=50))
@given(cubics, st.sampled_from([ARCS, 0.02]))
def test_arcs_stay_within_the_tolerance_both_ways(cubic: Cubic, tolerance: float) -> None:
    pieces = cubic_to_arcs(cubic, tolerance)
    if pieces:
        assert furthest_apart(cubic, pieces) <= tolerance + SAME
    else:
        assert cubic.reach <= 4 * SAME


@settings(max_examples=sampled(20, of=50))
@given(points, points, st.floats(-1.2, 1.2), st.floats(-1.2, 1.2), st.floats(0.1, 0.6), st.floats(0.1, 0.6))
def test_arcs_of_a_drawn_curve_share_their_directions(
    start: Point, end: Point, turn: float, other: float, leave: float, arrive: float
) -> None:
    chord = end - start
    if chord.length > 1:
        cubic = Cubic(start, end, chord.turned(turn) * leave, chord.turned(other) * -arrive)
        pieces = cubic_to_arcs(cubic, ARCS)
        assert max(kinks(pieces), default=0) < 1e-6
        assert (pieces[0].tangent_at(0) - cubic.tangent_at(0)).length < 1e-6
        assert (pieces[-1].tangent_at(1) - cubic.tangent_at(1)).length < 1e-6


@given(cubics)
def test_mirrored_curves_have_mirrored_arcs(cubic: Cubic) -> None:
    mirrored = tuple(piece.mirrored() for piece in cubic_to_arcs(cubic, ARCS))
    assert cubic_to_arcs(cubic.mirrored(), ARCS) == mirrored


@pytest.mark.parametrize("name", DEGENERATE)
def test_degenerate_curves_give_sound_pieces(name: str) -> None:
    cubic = DEGENERATE[name]
    pieces = cubic_to_arcs(cubic, ARCS)
    assert pieces[0].start == cubic.start
    assert pieces[-1].end.distance(cubic.end) <= SAME
    assert all(a.end == b.start for a, b in itertools.pairwise(pieces))
    for piece in pieces:
        assert SAME < piece.length < 200
        assert math.isfinite(piece.bulge if isinstance(piece, Arc) else 0.0)
    assert furthest_apart(cubic, pieces) <= ARCS + SAME
    assert len(pieces) < 200


def test_a_straight_curve_is_one_line() -> None:
    cubic = Cubic(Point(0, 0), Point(9, 3), Vector(3, 1), Vector(-3, -1))
    assert all(isinstance(piece, Line) for piece in cubic_to_arcs(cubic, ARCS))


def test_one_point_gives_nothing() -> None:
    assert cubic_to_arcs(Cubic(Point(1, 2), Point(1, 2), Vector(0, 0), Vector(0, 0)), ARCS) == ()


def test_a_tolerance_finer_than_the_same_is_refused() -> None:
    with pytest.raises(AssertionError):
        cubic_to_arcs(DEGENERATE["loop"], SAME / 2)


def test_lines_and_arcs_stay_as_they_are() -> None:
    line, arc = Line(Point(0, 0), Point(5, 0)), Arc(Point(5, 0), Point(5, 4), 1.0)
    cubic = Cubic(Point(5, 4), Point(0, 0), Vector(-2, 0), Vector(0, 2))
    arcs = as_arcs(Contour((line, arc, cubic), closed=True), ARCS)
    assert arcs.segments[:2] == (line, arc)
    assert arcs.segments[2:] == cubic_to_arcs(cubic, ARCS)
    assert arcs.closed
    assert not arcs.has_cubics


def test_specks_are_dropped_and_the_rest_still_meets() -> None:
    step = Point(1 + 5e-7, 0)
    pieces = without_specks(
        [
            Line(Point(0, 0), Point(1, 0)),
            Line(Point(1, 0), step),
            Arc(step, Point(2, 1), 0.3),
            Line(Point(2, 1), Point(2, 1)),
            Line(Point(2, 1), Point(3, 1)),
        ]
    )
    assert pieces == [
        Line(Point(0, 0), Point(1, 0)),
        Arc(Point(1, 0), Point(2, 1), 0.3),
        Line(Point(2, 1), Point(3, 1)),
    ]


@pytest.mark.parametrize("last", [Line(Point(3, 3), Point(0, 5e-7)), Arc(Point(3, 3), Point(0, 5e-7), 0.2)])
def test_a_closed_contour_stays_closed(last: Piece) -> None:
    contour = Contour((Line(Point(0, 0), Point(3, 0)), Line(Point(3, 0), Point(3, 3)), last), closed=True)
    arcs = as_arcs(contour, ARCS)
    assert arcs.end == arcs.start


def test_a_contour_that_is_one_point_stays_a_point() -> None:
    nothing = Cubic(Point(1, 2), Point(1, 2), Vector(0, 0), Vector(0, 0))
    assert as_arcs(Contour((nothing,)), ARCS).segments == (Line(Point(1, 2), Point(1, 2)),)
