"""What is drawn by guess is told with its place and length, and no certainty is told for it."""

from __future__ import annotations

import math
from functools import lru_cache

import cv2
import msgspec
import numpy as np
import pytest
import shapely

from app.intake.photo import say_give
from geometry.intake.face_edge import Face, Lifted, above_nut, face_of, flat_face
from geometry.intake.head_in_picture import HeadSeen
from geometry.intake.not_seen import EdgeSeen, edge_seen, say_guessed
from geometry.intake.rectified import Plane
from geometry.intake.silhouette import STEP, Silhouette
from geometry.intake.unsure import NUT
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
