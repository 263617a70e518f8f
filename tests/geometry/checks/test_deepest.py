"""How deep something lies on the wrong side of a line, against closed forms."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.checks.near_edge import NEAR_DEEPEST, deepest
from geometry.shape.tolerance import PRINT

STRAIGHT = shapely.LineString([(-50.0, 0.0), (50.0, 0.0)])


def test_of_a_box_beside_a_straight_line_it_is_the_side_away_from_it() -> None:
    distance, here, there = deepest(shapely.box(3.0, 1.0, 11.0, 2.5), STRAIGHT)
    assert distance == pytest.approx(-2.5)
    assert here[1] == pytest.approx(2.5)
    assert there == pytest.approx([here[0], 0.0])


@given(st.floats(3.0, 40.0), st.floats(-0.45, 0.45))
def test_half_way_between_two_lines_that_meet_a_side_is_deepest(width: float, slope: float) -> None:
    """Nearest to one leg of a corner at its one end and to the other at its other: deepest where both are as near."""
    corner = shapely.LineString([(-width, 2.0 * width), (0.0, 0.0), (width, 2.0 * width)])
    ends = np.array([[-width / 4, width], [width / 4, width + slope * width / 2]])
    distance, here, _ = deepest(shapely.LineString(ends), corner)
    # On the axis x = 0 at height y the legs, of slope 2, are y / sqrt(5) away.
    middle = (ends[0, 1] + ends[1, 1]) / 2
    assert distance == pytest.approx(-middle / sqrt(5.0), abs=NEAR_DEEPEST)
    assert here[0] == pytest.approx(0.0, abs=0.01)


def test_rings_of_several_areas_are_not_joined() -> None:
    """What lies between two areas, or between an area and its hole, is on neither of them."""
    far = shapely.MultiPolygon([shapely.box(0, 1, 1, 2), shapely.box(4, 1, 5, 2)])
    roof = shapely.LineString([(-1, 0), (2.2, 0), (2.5, 3), (2.8, 0), (6, 0)])
    assert deepest(far, roof)[0] == pytest.approx(-2.0)
    frame = shapely.box(0, 1, 10, 8).difference(shapely.box(4, 4, 5, 5))
    assert deepest(frame, STRAIGHT)[0] == pytest.approx(-8.0)


def test_within_a_circle_of_chords_its_middle_is_deepest() -> None:
    rim = shapely.Point(1.0, 2.0).buffer(9.0, quad_segs=500).boundary
    distance, here, _ = deepest(shapely.LineString([(-4.0, 2.0), (6.3, 2.0)]), rim)
    assert distance == pytest.approx(-9.0, abs=PRINT)
    assert here == pytest.approx([1.0, 2.0], abs=0.01)


def test_what_has_no_edge_is_not_deep() -> None:
    assert deepest(shapely.Polygon(), STRAIGHT)[0] == 0.0
