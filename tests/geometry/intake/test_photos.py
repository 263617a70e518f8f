"""Heads read from made-up photos and scans whose truth is known, and what is said of those that cannot be read."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import lru_cache

import cv2
import numpy as np
import pytest
import shapely

from geometry.intake.camera import HEIGHT_SPREAD, CameraTold, calibrated
from geometry.intake.face_edge import Lifted, above_nut, bridged, face_of, guessed
from geometry.intake.lines import KnownPoints
from geometry.intake.marker_sheet import MARKER_SHEETS
from geometry.intake.markers_seen import MarkersSeen, find_markers, say_seen
from geometry.intake.picture_error import PictureError
from geometry.intake.rectified import Plane
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import say_note
from tests.photographed_heads import (
    edge_of,
    errors,
    head_in_flat,
    head_in_photo,
    head_in_scan,
    holes_of,
    layout_of,
)
from tests.photographs import (
    EBONY,
    MAPLE,
    Floats,
    Image,
    Scene,
    camera_of,
    outline_of,
    photograph,
    smaller,
)

HEAD = layout_of("three-plus-three")
PLAIN = smaller(
    Scene(outline_of(edge_of(HEAD)), holes_of(HEAD), wide=3000, high=2250, above=(-4.0, 92.0, 400.0)), 0.55
)


@lru_cache(maxsize=4)
def taken(scene: str) -> Image:
    return photograph(SCENES[scene])


SCENES = {
    "plain": PLAIN,
    "maple in shadow": replace(
        PLAIN, wood=MAPLE, shadow=0.45, light=(-0.2, 0.2), roll=270.0, covered=(24, 30), tilt=(-6.0, 5.0)
    ),
    "ebony with lean": replace(
        PLAIN,
        wood=EBONY,
        taper=6.0,
        radial=(-0.06, 0.03),
        centre_off=(5.0, -4.0),
        in_hole=0.3,
        noise=0.01,
    ),
}


@pytest.mark.parametrize("name", SCENES)
def test_edge_and_holes_are_where_they_were_photographed(name: str) -> None:
    scene = SCENES[name]
    seen = head_in_photo(
        taken(name), scene.thickness, math.radians(scene.taper), told_focal=scene.focal * 1.02
    )
    off = errors(seen, edge_of(HEAD), list(scene.holes), GIVE)
    assert np.percentile(off.edge, 95) < 0.3
    assert np.percentile(off.edge, 95) < seen.edge_give < 0.8
    assert (off.missed, off.invented) == (0, 0)
    assert off.centres.max(initial=0.0) < 0.25
    assert (off.centres <= off.centre_gives).sum() >= 0.8 * len(off.centres)
    assert np.abs(off.diameters).max(initial=0.0) < 0.2


def test_a_forgotten_thickness_is_far_off_and_the_scale_of_the_print_goes_into_all() -> None:
    forgotten = errors(head_in_photo(taken("plain"), 1.0), edge_of(HEAD), holes_of(HEAD), GIVE)
    assert np.percentile(forgotten.edge, 95) > 1.0
    larger = head_in_photo(taken("plain"), 15.0 * 1.03, printed=1.03)
    off = shapely.distance(shapely.points(larger.edge / 1.03), shapely.LineString(edge_of(HEAD)))
    assert np.percentile(off, 95) < 0.3
    assert larger.rims[0].diameter == pytest.approx(holes_of(HEAD)[0][2] * 1.03, abs=0.2)


def test_a_shine_over_the_edge_is_told() -> None:
    scene = replace(PLAIN, shine=(34.0, 90.0, 7.0, 0.9))
    seen = head_in_photo(photograph(scene), 15.0)
    assert any("The edge is not seen" in say_note(remark, "mm") for remark in seen.remarks)
    off = errors(seen, edge_of(HEAD), list(scene.holes), GIVE)
    assert np.percentile(off.seen, 95) <= seen.edge_give
    assert off.seen.max() < 1.0
    assert 5.0 < seen.guessed < 0.2 * seen.long


def test_a_scan_has_no_perspective() -> None:
    """Scaled by a little more across than along, as scanners do; the frame of the sheet lies askew on the glass."""
    flat = replace(
        PLAIN,
        thickness=0.01,
        tilt=(0.0, 0.0),
        radial=(0.0, 0.0),
        shadow=0.1,
        in_hole=0.0,
        focal=170000.0,
        roll=3.0,
    )
    upright = replace(flat, wide=950, high=1250, above=(0.0, 92.0, 170000.0 / 4.3))
    seen = head_in_scan(photograph(upright))
    off = errors(seen, edge_of(HEAD), [], GIVE)
    assert np.percentile(off.edge, 95) < 0.1
    with pytest.raises(PictureError, match="no scan"):
        head_in_scan(taken("plain"))


def test_a_head_that_gets_thinner_to_the_tip_is_read_on_its_own_plane() -> None:
    """16 mm at the nut, 8 mm at the tip, far beside the camera: taken as 12 mm all over it comes out askew."""
    scene = smaller(replace(PLAIN, thickness=16.0, at_tip=8.0, above=(30.0, 60.0, 430.0)), 0.7)
    picture = photograph(scene)
    told = errors(
        head_in_photo(picture, 16.0, told_focal=scene.focal, at_tip=8.0), edge_of(HEAD), holes_of(HEAD), GIVE
    )
    level = errors(head_in_photo(picture, 12.0, told_focal=scene.focal), edge_of(HEAD), holes_of(HEAD), GIVE)
    assert np.percentile(told.edge, 95) < 0.3
    assert told.centres.max() < 0.2
    assert np.percentile(level.edge, 95) > 2 * np.percentile(told.edge, 95)
    assert level.centres.max() > 2 * told.centres.max()


def flat_picture() -> Image:
    """Drawn outright: a tapered head 100 mm long, 44 mm wide at the nut and 60 mm at the tip, at 254 dpi."""
    picture: Image = np.full((1300, 1000, 3), 240, np.uint8)
    corners = np.array([(280, 1149), (720, 1149), (800, 150), (200, 150)])
    cv2.fillPoly(picture, [corners], (40, 60, 90))
    return picture


def test_two_places_of_known_distance_tell_the_scale_of_a_flat_picture() -> None:
    """Ten pixels a mm: from 100, 200 to 900, 800 are 1000 pixels, so 100 mm."""
    seen = head_in_flat(flat_picture(), KnownPoints((100.0, 200.0), (900.0, 800.0), 100.0))
    wide, high = np.ptp(seen.edge, axis=0)
    assert (wide, high) == pytest.approx((60.0, 99.9), abs=0.2)
    assert "flat picture" in say_note(seen.remarks[0], "mm")
    twice = head_in_flat(flat_picture(), KnownPoints((100.0, 200.0), (900.0, 800.0), 200.0))
    assert np.ptp(twice.edge, axis=0) == pytest.approx((120.0, 199.8), abs=0.4)
    # Pointed at by a pixel and measured by 0.2 mm, a short distance tells less than a long one.
    short = head_in_flat(flat_picture(), KnownPoints((100.0, 200.0), (180.0, 260.0), 10.0))
    assert short.edge_give > 4 * seen.edge_give
    with pytest.raises(PictureError, match="outside the picture"):
        head_in_flat(flat_picture(), KnownPoints((100.0, 200.0), (1900.0, 800.0), 100.0))
    with pytest.raises(PictureError, match="20 pixels apart"):
        head_in_flat(flat_picture(), KnownPoints((100.0, 200.0), (100.0, 220.0), 2.0))


def test_wood_that_goes_on_below_a_flat_picture_has_its_nut_where_it_is_cut_off() -> None:
    """Cut off below row 899: 44 mm wide at row 1149, 60 mm at row 150, so 48 mm there; ten rows a mm."""
    seen = head_in_flat(np.ascontiguousarray(flat_picture()[:900]), 254.0)
    (right, first), (left, last) = seen.edge[0], seen.edge[-1]
    assert (first, last) == pytest.approx((0.0, 0.0), abs=1e-6)
    assert right - left == pytest.approx(48.0, abs=0.2)
    assert np.ptp(seen.edge[:, 1]) == pytest.approx(75.0, abs=0.2)
    assert any("cut the picture off there" in say_note(remark, "mm") for remark in seen.remarks)
    whole = head_in_flat(flat_picture(), 254.0)
    assert not any("cut the picture off there" in say_note(remark, "mm") for remark in whole.remarks)


def test_a_scan_without_a_sheet_goes_by_its_dpi() -> None:
    seen = head_in_flat(flat_picture(), 254.0)
    wide, high = np.ptp(seen.edge, axis=0)
    assert wide == pytest.approx(60.0, abs=0.2)
    assert high == pytest.approx(99.9, abs=0.2)
    assert seen.edge[0, 0] - seen.edge[-1, 0] == pytest.approx(44.0, abs=0.4)
    assert "254 dpi" in say_note(seen.remarks[0], "mm")


# What cannot be read


def test_says_which_markers_are_covered_and_which_are_outside() -> None:
    grey = cv2.cvtColor(taken("maple in shadow"), cv2.COLOR_BGR2GRAY)
    seen = find_markers(np.asarray(grey, np.uint8))
    words = say_seen(seen, grey.shape)
    assert words == "19 of 21 markers seen: bottom right and right are covered"
    turned = np.asarray(cv2.cvtColor(taken("plain"), cv2.COLOR_BGR2GRAY), np.uint8)
    whole = find_markers(turned)
    tops = whole.corners[-5:].reshape(-1, 2)
    cut = turned[:, : int(tops[:, 0].min())]
    with pytest.raises(
        PictureError, match=r"16 of 21 markers seen: .*top.* are outside the picture; expected 10"
    ):
        find_markers(cut)


def test_refuses_pictures_without_sheet_or_head() -> None:
    blank = np.full((600, 800, 3), 200, np.uint8)
    with pytest.raises(PictureError, match="no marker of the sheet is seen"):
        head_in_photo(blank, 15.0)
    empty = replace(PLAIN, outline=np.array([(-1.0, -59), (1, -59), (1, -58), (-1, -58)]), holes=())
    with pytest.raises(PictureError, match=r"no head is seen|cannot be told"):
        head_in_photo(photograph(empty), 15.0)


def test_refuses_a_head_that_reaches_the_markers() -> None:
    edge = edge_of(HEAD)
    long = np.array([1.0, 1.1]) * edge
    with pytest.raises(PictureError, match="reaches the markers at the tip"):
        head_in_photo(photograph(replace(PLAIN, outline=outline_of(long), holes=())), 15.0)


def test_a_camera_held_level_is_asked_for_its_height() -> None:
    """Square on, a small head from near by and a large one from afar look alike."""
    picture = photograph(replace(PLAIN, tilt=(0.0, 0.0)))
    with pytest.raises(PictureError, match="Say what the camera height over the sheet was") as refused:
        head_in_photo(picture, 15.0)
    assert "held level" in say_note(refused.value, "mm")
    # Measured 8 mm wrong.
    told = head_in_photo(picture, 15.0, told_height=camera_of(PLAIN).place[2] + 8.0)
    off = errors(told, edge_of(HEAD), holes_of(HEAD), GIVE)
    assert np.percentile(off.edge, 95) < 0.2
    assert np.percentile(off.edge, 95) < told.edge_give < 0.5
    assert (off.centres <= off.centre_gives).all()
    for wrong in (45.0, 1800.0):
        with pytest.raises(PictureError, match="the picture tells that it was between"):
            head_in_photo(picture, 15.0, told_height=wrong)


# The camera and the planes, in closed form


@pytest.mark.parametrize("off", [-10.0, 0.0, 10.0])
def test_a_told_height_tells_the_focal_length_of_a_camera_held_level(off: float) -> None:
    """What one knows of the other: a square-on picture tells their quotient."""
    level = replace(PLAIN, tilt=(0.0, 0.0), radial=(0.0, 0.0))
    height = level.above[2]
    known = calibrated(_corners_seen(level), level.wide, level.high, CameraTold(height=height + off))
    assert known.camera.height == pytest.approx(height + off, abs=1.5)
    assert known.camera.matrix[0, 0] == pytest.approx(level.focal * (1 + off / height), rel=0.005)
    assert HEIGHT_SPREAD / height == pytest.approx(known.height_spread, rel=0.2)
    untold = calibrated(_corners_seen(level), level.wide, level.high)
    assert untold.height_spread > 3 * known.height_spread


def _corners_seen(scene: Scene) -> MarkersSeen:
    sheet = MARKER_SHEETS["A4"]
    places = np.array([marker.corners for marker in sheet.markers])
    flat = np.concatenate([places.reshape(-1, 2), np.zeros((places.size // 2, 1))], axis=1)
    return MarkersSeen(sheet, sheet.markers, camera_of(scene).pixels(flat).reshape(places.shape))


def test_exact_corners_give_the_camera_back() -> None:
    true = camera_of(PLAIN)
    found = calibrated(_corners_seen(PLAIN), PLAIN.wide, PLAIN.high)
    assert found.camera.matrix[0, 0] == pytest.approx(PLAIN.focal, rel=0.02)
    assert np.allclose(found.camera.place, true.place, atol=8.0)
    assert found.camera.error < 0.05
    assert 0.0 < found.height_spread < 0.1


def silhouette(shape: shapely.Polygon, foot: tuple[float, float], height: float, thickness: float) -> Floats:
    """What a camera sees of an upright prism on the paper: all its slices, each drawn larger about the foot."""
    slices = [
        shapely.affinity.scale(shape, height / (height - z), height / (height - z), origin=foot)
        for z in np.linspace(0.0, thickness, 60)
    ]
    return shapely.get_coordinates(shapely.segmentize(shapely.union_all(slices), 0.3))[:-1]


@pytest.mark.parametrize("foot", [(0.0, 90.0), (60.0, 150.0), (-50.0, 10.0)])
def test_every_piece_of_the_silhouette_lies_on_its_plane(foot: tuple[float, float]) -> None:
    plan = shapely.Polygon([(-20, -60), (20, -60), (30, 20), (28, 150), (-28, 150), (-30, 20)])
    seen = silhouette(plan, foot, 420.0, 16.0)
    face = face_of(seen, Lifted(np.array(foot), 420.0, Plane(16.0)), 0.0)
    edge = above_nut(face.plan, 5.0)
    assert shapely.distance(shapely.points(edge[1:-1]), plan.exterior).max() < 0.05
    assert edge[0, 0] > 0 > edge[-1, 0]
    assert np.allclose(edge[[0, -1], 1], 5.0)


def test_a_hollow_behind_the_heads_own_edge_is_told_and_drawn_on() -> None:
    """A step out of 15 mm right above the nut, which a camera over the tip cannot look behind."""
    t = np.linspace(0, math.pi / 2, 30)
    corner = np.column_stack([37.0 - 15 * np.cos(t), 6 + 9 * np.sin(t)])
    right = np.vstack([[(22.0, -60.0)], corner, [(37.0, 160.0)]])
    plan = shapely.Polygon(np.vstack([right, right[::-1] * np.array([-1.0, 1.0])]))
    lifted = Lifted(np.array([60.0, 150.0]), 400.0, Plane(16.0))
    face = face_of(silhouette(plan, (60.0, 150.0), 400.0, 16.0), lifted, 0.0)
    edge = above_nut(face.plan, 0.0)
    hidden = guessed(edge, face)
    off = shapely.distance(shapely.points(edge), plan.exterior)
    assert np.max(off) > 1.0
    near = np.convolve(hidden, np.ones(9), "same") > 0
    assert np.max(off, where=~near, initial=0.0) < 0.1
    drawn, ends = bridged(edge, hidden)
    assert len(ends) == 1
    assert shapely.distance(shapely.points(drawn), plan.exterior).max() < np.max(off)
