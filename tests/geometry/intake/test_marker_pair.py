"""A long head on two taped sheets: how they lie to each other is found, and what cannot be told apart is refused."""

from __future__ import annotations

import math
from functools import lru_cache

import cv2
import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geometry.intake.camera import calibrated
from geometry.intake.joint import FARTHEST, MOST_TURNED, say_joint
from geometry.intake.marker_cells import marker_cells
from geometry.intake.marker_pair import MARKER_PAIRS, Joint, MarkerPair
from geometry.intake.marker_sheet import MARKER_SHEETS, Marker
from geometry.intake.markers_seen import MarkersSeen, find_markers
from geometry.intake.picture_error import PictureError
from geometry.shape.point import Point
from geometry.trade.certainty import GIVE
from geometry.trade.sentence import say_note
from tests.photographed_heads import edge_of, errors, head_in_photo, head_in_scan, holes_of, layout_of
from tests.photographs import Floats, Image, Scene, camera_of, outline_of, photograph, smaller

PAIR = MARKER_PAIRS["A4"]
TAPED = Joint(1.2, -2.3, math.radians(0.7))
LONG = 300.0  # mm: no head is as long, and no sheet of A4


def taped(joint: Joint) -> MarkerPair:
    return msgspec.structs.replace(PAIR, joint=joint)


def stretched() -> tuple[Floats, list[tuple[float, float, float]]]:
    """The edge and the holes of a head that is drawn as long as LONG."""
    bass = layout_of("four-string-bass")
    edge = edge_of(bass)
    by = LONG / float(edge[:, 1].max())
    return edge * [1.0, by], [(x, y * by, d) for x, y, d in holes_of(bass)]


def scene(joint: Joint, scale: float = 0.55) -> Scene:
    edge, holes = stretched()
    whole = Scene(
        outline_of(edge), holes, sheet=taped(joint), above=(3.0, 206.0, 560.0), focal=2900.0, tilt=(6.0, -5.0)
    )
    return smaller(whole, scale)


@lru_cache(maxsize=1)
def photo() -> Image:
    return photograph(scene(TAPED))


def exactly_seen(pair: MarkerPair) -> MarkersSeen:
    """All markers of a pair where a camera without any error has them."""
    camera = camera_of(scene(pair.joint))
    corners = np.array([marker.corners for marker in pair.markers])
    flat = np.concatenate([corners, np.zeros((*corners.shape[:2], 1))], axis=2).reshape(-1, 3)
    pixels = camera.pixels(flat).reshape(-1, 4, 2)
    return MarkersSeen(PAIR, PAIR.markers, pixels)


@settings(max_examples=6, deadline=None)
@given(st.floats(-8, 8), st.floats(-8, 8), st.floats(-3, 3))
def test_the_joint_is_found_to_a_hundredth_of_a_millimetre(across: float, up: float, degrees: float) -> None:
    joint, at = Joint(across, up, math.radians(degrees)), scene(Joint())
    known = calibrated(exactly_seen(taped(joint)), at.wide, at.high)
    assert isinstance(known.sheet, MarkerPair)
    found = known.sheet.joint
    assert (found.across, found.up) == pytest.approx((across, up), abs=0.01)
    assert found.turn == pytest.approx(joint.turn, abs=1e-4)


def test_a_long_head_is_read_off_a_pair_that_is_taped_askew() -> None:
    edge, holes = stretched()
    seen = head_in_photo(photo(), 15.0)
    off = errors(seen, edge, holes, GIVE)
    assert np.percentile(off.edge, 95) < 0.4
    assert (off.missed, off.invented) == (0, 0)
    assert off.centres.max() < 0.3
    words = [say_note(remark, "mm") for remark in seen.remarks]
    assert any(each.startswith("The two sheets are taped 2.") and "too close" in each for each in words)


def test_what_is_well_taped_is_not_told() -> None:
    assert say_joint(Joint()) is None
    told = say_joint(Joint(-0.8, 1.5, math.radians(0.5)))
    assert told is not None
    assert "1.5 mm too far apart" in say_note(told, "mm")
    assert "0.80 mm to the left" in say_note(told, "mm")


@pytest.mark.parametrize(
    "joint", [Joint(0.0, FARTHEST + 3), Joint(FARTHEST + 3), Joint(0.0, 0.0, math.radians(MOST_TURNED + 1))]
)
def test_a_joint_that_nobody_tapes_is_refused(joint: Joint) -> None:
    at = scene(Joint())
    with pytest.raises(PictureError, match="expected it taped to the line"):
        calibrated(exactly_seen(taped(joint)), at.wide, at.high)


def test_only_one_of_the_pair_is_refused_and_a_scan_of_it() -> None:
    for half, name in ((PAIR.lower, "upper"), (PAIR.upper, "lower")):
        with pytest.raises(PictureError, match=f"0 markers of the {name} sheet of the pair are seen"):
            find_markers(drawn(half.markers))
    with pytest.raises(PictureError, match="a pair of sheets is for photos"):
        head_in_scan(np.repeat(drawn(PAIR.markers)[..., None], 3, axis=2))


def test_sheets_that_are_alike_or_of_two_kinds_are_refused() -> None:
    lower = PAIR.lower.markers
    again = [higher(each) for each in lower]
    with pytest.raises(PictureError, match="sheets that are alike cannot be told apart"):
        find_markers(drawn((*lower, *again)))
    other = MARKER_PAIRS["Letter"].upper.markers
    with pytest.raises(
        PictureError, match="of different sheets are seen, a pair for Letter and a pair for A4"
    ):
        find_markers(drawn((*lower, *other)))
    up = [higher(each) for each in MARKER_SHEETS["A4"].markers]
    with pytest.raises(PictureError, match="one for A4"):
        find_markers(drawn((*lower, *up)))


def higher(marker: Marker) -> Marker:
    """A marker as much higher as another sheet lies above the first."""
    return msgspec.structs.replace(marker, centre=Point(marker.centre.x, marker.centre.y + 240.0))


def drawn(markers: tuple[Marker, ...] | list[Marker]) -> Image:
    """Markers as a printer that makes no mistake draws them, 3 pixels to a mm."""
    fine, left, top = 3.0, -110.0, 500.0
    picture = np.full((1700, 660), 255, np.uint8)
    for marker in markers:
        box = marker.bounds
        x, y, side = round((box.left - left) * fine), round((top - box.top) * fine), round(marker.side * fine)
        cells = marker_cells(marker.number).astype(np.uint8) * 255
        picture[y : y + side, x : x + side] = cv2.resize(cells, (side, side), interpolation=cv2.INTER_NEAREST)
    return picture
