"""What is printed under a head to lay it on is not taken for a part of it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from geometry.intake.face_found import over_centre_line, take_out_centre_line
from geometry.intake.marker_pair import MARKER_PAIRS, Joint
from geometry.intake.marker_sheet import MARKER_SHEETS
from geometry.intake.rectified import Rectified
from geometry.intake.silhouette import STEP, Silhouette
from geometry.shape.close import Floats

SHEET = MARKER_SHEETS["A4"]
FINE = 6.0


def sheet_picture(line_at: float = 0.0) -> Rectified:
    """White paper, 40 by 40 mm round the origin, with a centre line 0.4 mm wide and wood right of x = 5."""
    pixels = round(40 * FINE) + 1
    x = -20.0 + np.arange(pixels) / FINE
    row = np.where(np.abs(x - line_at) <= 0.2, 0.4, 0.9)
    row[x >= 5.0] = 0.2
    light = np.tile(row[None, :, None], (pixels, 1, 3)).astype(np.float32)
    return Rectified(light, np.ones((pixels, pixels), bool), -20.0, 20.0, FINE)


def test_the_centre_line_is_taken_out_and_wood_stays() -> None:
    before, after = sheet_picture(), sheet_picture()
    take_out_centre_line(after, SHEET)
    x = -20.0 + np.arange(before.light.shape[1]) / FINE
    assert (after.light[:, x < 5.0] > 0.85).all()
    assert (after.light[:, x >= 5.0] == before.light[:, x >= 5.0]).all()
    assert (before.light[:, np.abs(x) <= 0.2] < 0.5).all()


def test_wood_on_the_line_keeps_its_edge() -> None:
    picture = sheet_picture()
    wood = np.arange(picture.light.shape[1]) / FINE > 20.3
    picture.light[:, wood] = 0.2
    take_out_centre_line(picture, SHEET)
    assert (picture.light[:, wood] == np.float32(0.2)).all()


def test_the_upper_line_of_a_pair_is_looked_for_where_its_joint_has_it() -> None:
    pair = MARKER_PAIRS["A4"]
    askew = type(pair)(pair.lower, pair.upper, Joint(across=2.5))
    x = -20.0 + np.arange(sheet_picture().light.shape[1]) / FINE
    straight, moved = sheet_picture(2.5), sheet_picture(2.5)
    take_out_centre_line(moved, askew)
    assert (moved.light[:, x < 5.0] > 0.85).all()
    take_out_centre_line(straight, pair)
    assert (straight.light[:, x < 5.0] < 0.5).any()


def slanting(degrees: float) -> Floats:
    """A closed, counter-clockwise edge whose left side crosses the centre line at y = 60, so many degrees from it."""
    lean = math.tan(math.radians(degrees))
    corners = np.array([(-60 * lean, 0.0), (40.0, 0.0), (40.0, 120.0), (60 * lean, 120.0)])
    parts = [
        np.linspace(one, other, max(2, round(math.dist(one, other) / STEP)), endpoint=False)
        for one, other in zip(corners, np.roll(corners, -1, axis=0), strict=True)
    ]
    return np.vstack(parts)


@pytest.mark.parametrize("degrees", [12.0, 30.0])
def test_an_edge_that_follows_the_line_for_a_while_is_drawn_straight_over_it(degrees: float) -> None:
    true = slanting(degrees)
    taken = true.copy()
    on_line = (np.abs(true[:, 0]) < 0.5) & (np.abs(true[:, 1] - 60) < 10)
    taken[on_line, 0] = -0.5
    drawn = over_centre_line(Silhouette(taken, np.ones(len(taken), bool)))
    lean = math.tan(math.radians(degrees))
    side = (np.abs(drawn.places[:, 1] - 60) < 30) & (drawn.places[:, 0] < 30)
    off = (drawn.places[side, 0] - (drawn.places[side, 1] - 60) * lean) * math.cos(math.radians(degrees))
    assert np.abs(taken[side, 0] - (taken[side, 1] - 60) * lean).max() > 0.4
    assert np.abs(off).max() < 0.02


def test_a_point_that_lies_on_the_line_is_left_alone() -> None:
    corners = np.array([(-20.0, 0.0), (20.0, 0.0), (0.0, 100.0)])
    places = np.vstack(
        [
            np.linspace(one, other, 200, endpoint=False)
            for one, other in zip(corners, np.roll(corners, -1, axis=0), strict=True)
        ]
    )
    drawn = over_centre_line(Silhouette(places, np.ones(len(places), bool)))
    assert (drawn.places == places).all()
