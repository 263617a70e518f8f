"""A hidden end of the nut is where the straight side of the neck meets the nut line, whatever height the neck is at."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.intake.face_edge import Face, Lifted, above_nut, flat_face
from geometry.intake.neck_sides import BY_NECK, ends_by_neck
from geometry.intake.rectified import Plane
from geometry.intake.silhouette import STEP, Silhouette
from geometry.shape.close import Floats

HIDDEN = 5.0  # mm above the nut that were drawn by guess


def neck_and_head(half: float, slope: float, out: float = 0.0) -> shapely.Polygon:
    """A head whose nut is 2 `half` wide, on a neck that gets wider by `slope` each side and mm; `out` spoils an end."""
    right = [
        (half + 25 * slope, -25.0),
        (half + 0.4 * slope, -0.4),
        (half + out, 0.0),
        (30.0, 25.0),
        (28.0, 120.0),
    ]
    left = [(-28.0, 120.0), (-30.0, 25.0), (-half, 0.0), (-half - 25 * slope, -25.0)]
    return shapely.Polygon([*right, *left])


def seen_all(face: Face) -> Silhouette:
    places = shapely.get_coordinates(shapely.segmentize(face.plan.exterior, STEP))[:-1]
    return Silhouette(places, np.ones(len(places), bool))


def right_end(edge: Floats) -> Floats:
    """The ends of a piece at the begin of an edge that was drawn by guess."""
    meets = int(np.argmax(edge[:, 1] > HIDDEN))
    return edge[[0, meets]]


@given(st.floats(15, 30), st.floats(-0.05, 0.02), st.floats(-1.0, 1.0))
def test_a_hidden_end_lies_where_the_side_of_the_neck_goes_on_to(
    half: float, slope: float, out: float
) -> None:
    face = flat_face(
        shapely.get_coordinates(shapely.segmentize(neck_and_head(half, -slope, out).exterior, STEP))
    )
    edge = above_nut(face.plan, 0.0)
    found, by_neck = ends_by_neck(edge, [right_end(edge)], face, seen_all(face), 0.0)
    assert by_neck == BY_NECK / 2
    assert found[0] == pytest.approx((half, 0.0), abs=1e-6)
    # Nothing else moves than the piece that was guessed.
    kept = edge[:, 1] > HIDDEN + STEP
    assert np.array_equal(found[kept], edge[kept])


def test_a_neck_that_lies_higher_is_brought_down_by_what_the_seen_end_tells() -> None:
    # A side at a height h under a camera H up seems 1 / (1 - h / H) as far from the foot as it is: 6 mm of 500.
    half, foot, seems = 21.0, np.array([8.0, 40.0]), 1 / (1 - 6 / 500)

    def seen_at(x: float) -> float:
        return float(foot[0] + (x - foot[0]) * seems)

    right, left = seen_at(half), seen_at(-half)
    head = [(half, 0.0), (30.0, 25.0), (28.0, 120.0), (-28.0, 120.0), (-30.0, 25.0), (-half, 0.0)]
    plan = shapely.Polygon([(right, -25.0), (right, -0.4), *head, (left, -0.4), (left, -25.0)])
    face = Face(plan, plan, plan, foot, 0.0, Lifted(foot, 500.0, Plane()))
    edge = above_nut(plan, 0.0)
    edge[0, 0] += 0.7  # a bad guess
    found, by_neck = ends_by_neck(edge, [right_end(edge)], face, seen_all(face), 0.0)
    assert by_neck == BY_NECK / 2
    assert found[0, 0] == pytest.approx(half, abs=1e-6)


def test_where_both_ends_are_hidden_the_neck_tells_them_less_surely() -> None:
    # The foot is 20 mm beside the middle: a fingerboard 6 mm over the face would seem 0.24 mm further to that side.
    plan = neck_and_head(20, 0.0)
    foot = np.array([-20.0, 60.0])
    face = Face(plan, plan, plan, foot, 0.0, Lifted(foot, 500.0, Plane()))
    edge = above_nut(plan, 0.0)
    guessed = edge.copy()
    guessed[[0, -1], 0] += 0.6
    last = int(np.flatnonzero(edge[:, 1] > HIDDEN)[-1])
    pieces = [right_end(guessed), guessed[[last, -1]]]
    found, by_neck = ends_by_neck(guessed, pieces, face, seen_all(face), 0.0)
    assert by_neck == pytest.approx(np.hypot(BY_NECK / 2, 6 / 500 * 20.0))
    assert found[[0, -1], 0] == pytest.approx([20.0, -20.0], abs=1e-6)


def test_the_neck_tells_nothing_where_it_is_not_seen_or_goes_on_to_no_end() -> None:
    face = flat_face(shapely.get_coordinates(shapely.segmentize(neck_and_head(20, 0.03, 0.5).exterior, STEP)))
    edge = above_nut(face.plan, 0.0)
    begin, end = right_end(edge), edge[[-1, -1 - int(HIDDEN)]]
    nowhere = seen_all(face)
    nowhere.seen[nowhere.places[:, 1] < 0] = False
    for pieces, silhouette in (([], seen_all(face)), ([begin], nowhere), ([begin, end], nowhere)):
        found, by_neck = ends_by_neck(edge, pieces, face, silhouette, 0.0)
        assert by_neck is None
        assert np.array_equal(found, edge)
    # A nut that is far narrower than its neck: its side goes on to no end that is seen.
    narrow = shapely.Polygon(
        [
            (24, -25),
            (24, -1),
            (20, 0),
            (30, 25),
            (28, 120),
            (-28, 120),
            (-30, 25),
            (-20, 0),
            (-24, -1),
            (-24, -25),
        ]
    )
    face = flat_face(shapely.get_coordinates(shapely.segmentize(narrow.exterior, STEP)))
    edge = above_nut(face.plan, 0.0)
    assert ends_by_neck(edge, [right_end(edge)], face, seen_all(face), 0.0)[1] is None
