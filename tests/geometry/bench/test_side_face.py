"""A block's face keeps its gap, can be cut, and can be pushed on from the side."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.bench.side_face import StandOff, side_face, stands_off
from geometry.document.outline import Starter
from geometry.document.starters import starter_contour
from geometry.shape.biarc import as_arcs
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Line
from geometry.shape.tolerance import ARCS
from tests.amount import sampled
from tests.strategies import sensible_starters

FINE = 0.001


def head(*places: tuple[float, float]) -> Contour:
    return through([Point(x, y) for x, y in places])


SQUARE = head((30.0, 0.0), (30.0, 150.0), (-30.0, 150.0), (-30.0, 0.0))


def face_of(edge: Contour, gap: float = 0.5, cutter: float = 0.0, lowest: float = 5.0) -> Contour:
    face = side_face(edge, gap, cutter, lowest)
    assert face is not None
    return face


def distances(face: Contour, edge: Contour) -> list[float]:
    line = shapely.LineString([(p.x, p.y) for p in edge.flatten(FINE)])
    return [line.distance(shapely.Point(p.x, p.y)) for p in face.flatten(FINE)]


def test_beside_a_straight_side_the_face_is_straight_until_the_edge_has_turned_by_45_degrees() -> None:
    face = face_of(SQUARE)
    assert isinstance(face.segments[0], Line)
    assert (face.start.x, face.start.y) == pytest.approx((30.5, 5.0))
    turned = 0.5 / math.sqrt(2)
    assert face.end.x == pytest.approx(30.0 + turned)
    assert face.end.y == pytest.approx(150.0 + turned)
    assert stands_off(face, SQUARE, 0.5, 0.01) == ()


def test_beside_a_tapered_side_the_face_is_parallel_to_it() -> None:
    edge = head((36.0, 0.0), (24.0, 120.0), (-24.0, 120.0), (-36.0, 0.0))
    face = face_of(edge, gap=0.8)
    assert distances(face, edge) == pytest.approx([0.8] * len(distances(face, edge)), abs=2 * FINE)
    first = face.segments[0]
    assert first.tangent_at(0.0).angle == pytest.approx(math.atan2(120.0, -12.0))


def test_a_corner_tighter_than_the_cutter_is_opened_by_its_circle() -> None:
    radius, gap = 3.175, 0.5
    face = face_of(SQUARE, gap, 2 * radius)
    (off,) = stands_off(face, SQUARE, gap, 0.01)
    # The circle touches the rounded corner of the gap from inside; its rightmost place stands off the most.
    assert off.most == pytest.approx(radius - (radius - gap) / math.sqrt(2), abs=1e-3)
    assert off.low < 150.0 - (radius - gap) / math.sqrt(2) < off.high
    assert min(distances(face, SQUARE)) >= gap - 2 * FINE


def test_a_round_corner_wider_than_the_cutter_is_followed() -> None:
    corner = Arc(Point(30.0, 140.0), Point(20.0, 150.0), math.tan(math.pi / 8))
    edge = Contour((Line(Point(30.0, 0.0), corner.start), corner, Line(corner.end, Point(-30.0, 150.0))))
    assert stands_off(face_of(edge, 0.5, 20.9), edge, 0.5, 0.01) == ()
    assert len(stands_off(face_of(edge, 0.5, 40.0), edge, 0.5, 0.01)) == 1


def test_a_hollow_side_gets_a_bellied_face() -> None:
    hollow = Arc(Point(30.0, 40.0), Point(30.0, 100.0), -0.25)
    tip = (Line(Point(30.0, 0.0), hollow.start), hollow, Line(hollow.end, Point(30.0, 140.0)))
    edge = Contour((*tip, Line(Point(30.0, 140.0), Point(-30.0, 140.0))))
    face = face_of(edge)
    (bellied,) = (segment for segment in face.segments if isinstance(segment, Arc) and segment.radius > 5.0)
    assert bellied.radius == pytest.approx(hollow.radius - 0.5)
    assert max(distances(face, edge)) == pytest.approx(0.5, abs=2 * FINE)


def test_under_a_hook_the_face_goes_straight_up_and_says_so() -> None:
    edge = head((25.0, 0.0), (25.0, 80.0), (40.0, 70.0), (40.0, 130.0), (-25.0, 130.0), (-25.0, 0.0))
    face = face_of(edge)
    heights = [place.y for place in face.flatten(FINE)]
    assert heights == sorted(heights)
    (step,) = (segment for segment in face.segments if abs(segment.end.y - segment.start.y) < 1e-6)
    assert (step.start.x, step.start.y) == pytest.approx((25.5, 69.5))
    assert step.end.x == pytest.approx(40.0)
    assert len(stands_off(face, edge, 0.5, 0.01)) == 1


def test_a_level_shoulder_is_no_side() -> None:
    edge = head((20.0, 0.0), (20.0, 2.0), (40.0, 12.0), (40.0, 150.0), (-40.0, 150.0))
    # The shoulder leans by more than 45°: the face begins with the rounded corner above it.
    assert face_of(edge).start.y == pytest.approx(12.0 - 0.5 / math.sqrt(2))
    assert face_of(edge, lowest=30.0).start.y == pytest.approx(30.0)


def test_a_shelf_that_rises_by_less_than_nothing_makes_no_hole_in_the_face() -> None:
    edge = head((20.0, 0.0), (20.0, 80.0), (40.0, 80.0 + 5e-7), (40.0, 150.0), (-20.0, 150.0))
    face = face_of(edge)
    assert (face.start.x, face.end.y) == pytest.approx((20.5, 150.0 + 0.5 / math.sqrt(2)))
    assert min(distances(face, edge)) >= 0.5 - 2 * FINE


def test_a_head_that_only_leans_has_no_side() -> None:
    assert side_face(head((50.0, 0.0), (0.0, 30.0), (-50.0, 0.0)), 0.5, 0.0, 1.0) is None
    assert side_face(SQUARE, 0.5, 0.0, 160.0) is None


def test_stretches_that_stand_off_are_told_apart() -> None:
    face = head(
        (30.5, 5.0), (30.5, 20.0), (31.5, 20.0), (31.5, 30.0), (30.5, 30.0), (30.5, 60.0), (32.5, 90.0)
    )
    first, second = stands_off(face, SQUARE, 0.5, 0.01)
    assert first == StandOff(20.0, 30.0, pytest.approx(1.5))  # type: ignore[arg-type]
    assert second.high == pytest.approx(90.0)
    assert second.most == pytest.approx(2.5)


@settings(max_examples=sampled(20, of=60), deadline=None)
@given(sensible_starters(), st.floats(0.1, 3.0), st.sampled_from([0.0, 3.0, 6.35, 12.7]))
def test_any_face_can_be_cut_and_pushed_on_and_never_meets_the_head(
    drawn: tuple[Starter, float], gap: float, cutter: float
) -> None:
    starter, nut = drawn
    edge = as_arcs(starter_contour(starter, nut, -1), ARCS)
    face = face_of(edge, gap, cutter, 3.0)
    places = [(p.x, p.y) for p in face.flatten(FINE)]
    heights = [y for _, y in places]
    assert all(after - before > -1e-6 for before, after in pairwise(heights))
    assert min(distances(face, edge)) >= gap - 2 * FINE
    far = stands_off(face, edge, gap, 0.01)
    line = shapely.LineString([(p.x, p.y) for p in edge.flatten(FINE)])
    for x, y in places:
        if line.distance(shapely.Point(x, y)) > gap + 0.01 + FINE:
            assert any(off.low - 0.3 <= y <= off.high + 0.3 for off in far)
    # What a cutter cannot reach stays as wood: the closing of the block by its circle adds none.
    block = shapely.Polygon([*places, (300.0, heights[-1]), (300.0, heights[0])])
    closed = block.buffer(cutter / 2, quad_segs=64).buffer(-cutter / 2, quad_segs=64)
    assert closed.difference(block.buffer(0.02)).area < 0.05
