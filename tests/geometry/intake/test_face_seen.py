"""Lines that the maker shows: a face seen from their frame is the same face, only told from elsewhere."""

from __future__ import annotations

import math
from functools import lru_cache

import cv2
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from geometry.intake.camera import Camera, Glass
from geometry.intake.face_edge import Lifted, face_of
from geometry.intake.face_found import FaceFound
from geometry.intake.face_seen import FaceSeen, face_in_flat, seen_from
from geometry.intake.head_in_picture import SHOWN, head_of, lines_found
from geometry.intake.lines import KnownPoints, Lines
from geometry.intake.picture_error import PictureError
from geometry.intake.rectified import Plane, View
from geometry.intake.silhouette import Silhouette
from geometry.trade.sentence import say_note
from tests.photographs import Image, Scene, camera_of

SHOWN_LINES = st.builds(Lines, st.floats(-20, 20), st.floats(-15, 15), st.floats(-0.1, 0.1))
BODY = np.array(
    [(-21, -40), (21, -40), (21, 0), (32, 30), (28, 150), (-28, 150), (-32, 30), (-21, 0)],
    float,
)
HOLE = np.array([[15.0, 100.0]])
DRAWN = 0.2  # mm; what is filled covers the pixels of its border too
FINE, LEFT, TOP = 8.0, -50.0, 170.0  # pixels in a mm; mm of the middle of the first pixel


def camera() -> Camera:
    made = camera_of(Scene(BODY))
    return Camera(made.matrix, made.radial, made.turn, made.place)


def face(view: View) -> FaceSeen:
    """A face as if it had been seen, with a plane that rises to the tip."""
    lifted = Lifted(np.array([5.0, 60.0]), 430.0, Plane(14.0, -0.01))
    dense = shapely.get_coordinates(shapely.segmentize(shapely.Polygon(BODY).exterior, 0.4))[:-1]
    found = FaceFound(face_of(dense, lifted, 0.0), Silhouette(dense, np.ones(len(dense), bool)), loose=False)
    return FaceSeen(np.zeros((4, 4, 3), np.uint8), view, found)


@given(SHOWN_LINES, st.sampled_from(["camera", "glass"]), st.floats(0, 20))
def test_what_is_seen_of_a_place_is_the_same_pixel(lines: Lines, kind: str, height: float) -> None:
    flat = Glass(np.array([[11.0, 0.3, 700.0], [0.2, -11.0, 2000.0]]), 0.0, on_sheet=True)
    view: View = camera() if kind == "camera" else flat
    places = np.array([(0.0, 0.0), (30.0, 90.0), (-25.0, 140.0)])
    moved = seen_from(face(view), lines).view
    assert moved.pixels(lines.seen_from(places), height) == pytest.approx(
        view.pixels(places, height), abs=1e-6
    )


@given(SHOWN_LINES)
def test_the_plan_and_its_plane_go_along(lines: Lines) -> None:
    before = face(camera())
    after = seen_from(before, lines).found
    back = shapely.transform(after.face.plan, lines.on_sheet)
    assert shapely.hausdorff_distance(back, before.found.face.plan) < 1e-9
    assert lines.on_sheet(after.face.foot[None, :])[0] == pytest.approx(before.found.face.foot)
    along = np.array(
        [(lines.x, lines.y), (lines.x - 100 * math.sin(lines.turn), lines.y + 100 * math.cos(lines.turn))]
    )
    # On the centre line that was shown the face is as high as it was.
    assert after.plane.heights(lines.seen_from(along)) == pytest.approx(
        before.found.plane.heights(along), abs=1e-9
    )


# A whole picture


def drawn(about: Lines) -> Image:
    picture = np.full((1700, 800, 3), 240, np.uint8)
    places = np.round((about.on_sheet(BODY) - [LEFT, TOP]) * [FINE, -FINE]).astype(np.int32)
    cv2.fillPoly(picture, [places], (40, 60, 90), cv2.LINE_AA)
    at = np.round((about.on_sheet(HOLE)[0] - [LEFT, TOP]) * [FINE, -FINE]).astype(int)
    cv2.circle(picture, (int(at[0]), int(at[1])), round(5 * FINE), (225, 225, 225), -1, cv2.LINE_AA)
    return picture


@lru_cache(maxsize=1)
def tilted() -> tuple[FaceSeen, Lines]:
    """A flat picture of the head, turned by 3 degrees, its neck going out below, and where its nut lies."""
    turn, nut = math.radians(3.0), np.array([2.0, 12.0])
    about = Lines(float(nut[0]), float(nut[1]), turn)
    known = KnownPoints((0.0, 0.0), (799.0, 0.0), 799.0 / FINE)
    seen = face_in_flat(drawn(about), known, cut_at_nut=False)
    # Places of the glass begin in the middle of the lowest row of the picture, NECK below that.
    glass = seen.view
    pixel = (nut - [LEFT, TOP]) * [FINE, -FINE]
    at = np.linalg.solve(glass.matrix[:, :2], pixel - glass.matrix[:, 2])  # type: ignore[attr-defined]
    return seen, Lines(float(at[0]), float(at[1]), turn)


def test_a_head_that_lies_askew_is_read_by_the_lines_that_are_shown() -> None:
    seen, lines = tilted()
    head = head_of(seen, 1.0, lines)
    wanted = shapely.LineString(BODY[2:])
    off = shapely.distance(shapely.points(head.edge), wanted)
    assert np.percentile(off, 95) < DRAWN
    assert head.edge[0] == pytest.approx((21.0, 0.0), abs=DRAWN)
    assert head.edge[-1] == pytest.approx((-21.0, 0.0), abs=DRAWN)
    assert [(rim.x, rim.y) for rim in head.rims] == [pytest.approx(tuple(HOLE[0]), abs=DRAWN)]
    assert head.middle_spread == SHOWN
    words = [say_note(remark, "mm") for remark in head.remarks]
    assert any("where you showed them" in each for each in words)
    assert not any("cut the picture off" in each for each in words)


def further(lines: Lines, up: float) -> Lines:
    """The same lines so many mm further along the head."""
    x, y = lines.on_sheet(np.array([[0.0, up]]))[0]
    return Lines(float(x), float(y), lines.turn)


def test_a_line_further_up_leaves_a_shorter_head_and_one_beside_it_none() -> None:
    seen, lines = tilted()
    up = further(lines, 30.0)
    head = head_of(seen, 1.0, up)
    assert head.edge[:, 1].max() == pytest.approx(120.0, abs=DRAWN)
    assert head.edge[0, 0] == pytest.approx(32.0, abs=DRAWN)
    beyond = further(lines, 200.0)
    with pytest.raises(PictureError, match="does not reach over the nut line"):
        head_of(seen, 1.0, beyond)


def test_the_lines_to_begin_from_lie_in_the_middle_where_the_wood_leaves() -> None:
    seen, lines = tilted()
    begin = lines_found(seen)
    assert begin.x == pytest.approx(lines.x, abs=2.5)
    assert begin.turn == 0.0
