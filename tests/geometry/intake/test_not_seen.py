"""What is drawn by guess is told with its place and length, and no certainty is told for it."""

from __future__ import annotations

import math
from functools import lru_cache

import cv2
import msgspec
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.intake.photo import say_give
from geometry.intake.face_edge import Face, Lifted, above_nut, face_of, flat_face
from geometry.intake.head_in_picture import NUT, HeadSeen
from geometry.intake.not_seen import BY_NECK, EdgeSeen, edge_seen, ends_by_neck, say_guessed
from geometry.intake.rectified import Plane
from geometry.intake.silhouette import STEP, Silhouette
from geometry.shape.close import Floats
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import say_note
from tests.photographed_heads import head_in_flat
from tests.photographs import Image

# Runs of the silhouette in closed form

BOX = shapely.geometry.polygon.orient(shapely.box(-20, -40, 20, 100))


def told_of(hidden: shapely.Polygon, behind: tuple[Floats, ...] = (), lifted: float = 0.0) -> EdgeSeen:
    """What is told of a box whose silhouette is not seen inside `hidden`."""
    places = shapely.get_coordinates(shapely.segmentize(BOX.exterior, STEP))[:-1]
    seen = ~shapely.contains_xy(hidden, places)
    face = face_of(places, _over(lifted), 0.0) if lifted else flat_face(places)
    return edge_seen(above_nut(_dense(face).plan, 0.0), Silhouette(places, seen), face, behind)


def _over(high: float) -> Lifted:
    return Lifted(np.array([0.0, 30.0]), 400.0, Plane(high))


def _dense(face: Face) -> Face:
    return msgspec.structs.replace(face, plan=shapely.segmentize(face.plan, STEP))


def test_a_gap_is_told_with_its_ends_and_its_length() -> None:
    """Round a corner: 10 mm of the side and 10 mm of the tip."""
    told = told_of(shapely.box(10, 90, 30, 110))
    (piece,) = told.pieces
    assert piece.ends == pytest.approx(np.array([(20, 90), (10, 100)]), abs=2 * STEP)
    assert piece.long == pytest.approx(20.0, abs=3 * STEP)
    assert told.long == pytest.approx(240.0, abs=STEP)
    assert told.at_nut == 0
    assert told.guessed == pytest.approx(piece.long)
    (note,) = say_guessed(told.pieces, np.array([1.0, 0.0]), 1.0)
    words = say_note(note, "mm")
    assert "between x 19.0 mm, y 90.0 mm and x 9.0 mm, y 100.0 mm" in words
    assert "drawn there by guess" in words
    assert "check it against the head" in words


def test_on_the_planes_of_a_thick_head_gaps_are_where_the_face_is() -> None:
    """Away from the foot at (0, 30) the face makes the edge, 400 - 16 to 400 as large."""
    told = told_of(shapely.box(10, 60, 30, 70), lifted=16.0)
    (piece,) = told.pieces
    expected = [(20 * 0.96, 30 + 0.96 * (y - 30)) for y in (60, 70)]
    assert piece.ends == pytest.approx(np.array(expected), abs=2 * STEP)
    assert piece.long == pytest.approx(9.6, abs=3 * STEP)


def test_an_end_of_the_nut_and_what_the_head_hides_are_told() -> None:
    assert told_of(shapely.box(-30, -10, -10, 10)).at_nut == pytest.approx(10.0, abs=3 * STEP)
    behind = told_of(shapely.box(0, 0, 1, 1), (np.array([(20.0, 50.0), (20.0, 54.0)]),))
    assert behind.at_nut == 0
    (piece,) = behind.pieces
    assert piece.behind
    assert piece.long == pytest.approx(4.0, abs=3 * STEP)
    assert not told_of(shapely.box(19, 50, 21, 51)).pieces, "shorter than is told"


# A drawn scan with a soft spot of shine, 10 pixels to a mm

CORNERS = np.array([(280, 1149), (720, 1149), (800, 150), (200, 150)])
TRUTH = np.column_stack([(CORNERS[:, 0] - 500) / 10, (1149 - CORNERS[:, 1]) / 10]).astype(float)
RADIUS, STRENGTH = 6.0, 0.95


@lru_cache(maxsize=4)
def scan(x: float, y: float) -> Image:
    """A head 44 mm wide at the nut, 60 mm at the tip, 99.9 mm long; the shine's middle at x, y."""
    picture = np.full((1300, 1000, 3), 240, np.uint8)
    cv2.fillPoly(picture, [CORNERS], (40, 60, 90))
    light = cv2.GaussianBlur(picture, (0, 0), 1.0).astype(float)
    across, down = np.meshgrid(np.arange(1000), np.arange(1300))
    away = np.hypot((across - 500) / 10 - x, (1149 - down) / 10 - y)
    spot = STRENGTH * np.exp(-((away / RADIUS) ** 2) / 2)[..., None]
    return np.round(light * (1 - spot) + 240 * spot).astype(np.uint8)


def away_from_truth(seen: HeadSeen) -> Floats:
    """Distances of the places of the edge from the drawn outline."""
    return np.asarray(shapely.distance(shapely.points(seen.edge), shapely.Polygon(TRUTH).exterior), float)


def test_the_certainty_is_told_for_what_is_seen_and_never_for_a_guess() -> None:
    seen = head_in_flat(scan(28.0, 95.0), 254.0)
    off = away_from_truth(seen)
    assert off.max() > 1.0, "the corner under the shine cannot be guessed"
    assert off[~seen.seen].max() == off.max()
    assert np.percentile(off[seen.seen], 95) <= seen.edge_give < 0.5
    # Where the spot leaves less than 0.3 of the contrast the edge cannot be seen: at least across the spot.
    least = RADIUS * math.sqrt(2 * math.log(STRENGTH / 0.7))
    assert least < seen.guessed < 6 * RADIUS
    words = say_note(say_give(seen), "mm")
    assert "that is seen are good for" in words
    assert f"{round(seen.guessed)}.0 mm that are drawn by guess" in words


def test_too_large_a_share_withholds_the_figure() -> None:
    seen = head_in_flat(scan(28.0, 95.0), 254.0)
    much = msgspec.structs.replace(seen, guessed=0.3 * seen.long)
    words = say_note(say_give(much), "mm")
    assert f"Of {round(seen.long)}.0 mm of the edge" in words
    assert f"{seen.edge_give:.2f}" not in words


def test_a_hidden_end_of_the_nut_widens_the_certainty_by_the_shift_that_follows() -> None:
    seen = head_in_flat(scan(22.0, 0.0), 254.0)
    assert seen.middle_spread >= 4 * NUT
    off = away_from_truth(seen)
    assert np.percentile(off[seen.seen], 95) <= seen.edge_give
    shift = abs(seen.edge[0, 0] + seen.edge[-1, 0]) / 2
    assert shift <= GIVE * seen.middle_spread
    assert any("An end of the nut is not seen" in say_note(remark, "mm") for remark in seen.remarks)


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
