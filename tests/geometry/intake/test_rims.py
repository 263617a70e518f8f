"""Rims of holes in pictures square onto a face, drawn from two circles whose places are known."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from geometry.intake.rectified import Rectified
from geometry.intake.rim_fit import Below
from geometry.intake.rims import Rim, rims_in
from geometry.shape.close import Floats

FINE, OVER = 8.0, 4
SIZE = 320  # pixels across and down
NEARER = 0.966  # 15 mm under a camera 440 mm up
UPPER = np.array([163.0, 158.5, 36.0])  # centre and radius in pixels


def _disc(circle: Floats) -> np.ndarray:
    """How much of each pixel (high, wide) lies in a circle."""
    fine = (np.arange(SIZE * OVER) + 0.5) / OVER - 0.5
    inside = np.hypot(fine[None] - circle[0], fine[:, None] - circle[1]) < circle[2]
    return np.asarray(cv2.resize(inside.astype(np.float32), (SIZE, SIZE), interpolation=cv2.INTER_AREA))


def _read(below: Below, wood: float, wall: float, paper: float | Floats) -> Rim:
    """The rim that is found where walls of one light lie round paper of another, all of it grey."""
    upper = _disc(UPPER)
    through = np.minimum(upper, _disc(below.seen(UPPER)))
    light = wood * (1 - upper) + wall * (upper - through) + paper * through
    light = cv2.GaussianBlur(light, (0, 0), 0.9)
    random = np.random.default_rng(3)
    light = light * random.normal(1.0, 0.02, light.shape)
    whole = np.repeat(np.asarray(light, np.float32)[..., None], 3, axis=2)
    seen = Rectified(whole, np.ones((SIZE, SIZE), bool), 0.0, 0.0, FINE)
    rims = rims_in(seen, np.ones((SIZE, SIZE), bool), lambda _: below)
    assert len(rims) == 1
    return rims[0]


def _off(rim: Rim) -> tuple[float, float]:
    """How far the centre and the diameter are off, in mm."""
    return float(np.hypot(rim.x - UPPER[0] / FINE, -rim.y - UPPER[1] / FINE)), abs(
        rim.diameter - 2 * UPPER[2] / FINE
    )


@pytest.mark.parametrize("foot", [(163.0, 158.5), (150.0, 170.0), (185.0, 150.0)])
def test_under_the_camera_walls_as_dark_as_the_wood_hide_the_upper_rim(foot: tuple[float, float]) -> None:
    """What is seen is the lower rim, 3.4 % smaller: 0.3 mm in the diameter."""
    centre, diameter = _off(_read(Below(np.array(foot), NEARER), wood=0.02, wall=0.02, paper=0.4))
    assert centre < 0.06
    assert diameter < 0.08


def test_under_the_camera_walls_in_shade_show_the_upper_rim() -> None:
    centre, diameter = _off(_read(Below(np.array([150.0, 170.0]), NEARER), wood=0.4, wall=0.12, paper=0.25))
    assert centre < 0.06
    assert diameter < 0.12


def test_beside_the_camera_both_rims_tell_the_upper_one() -> None:
    centre, diameter = _off(_read(Below(np.array([40.0, 260.0]), NEARER), wood=0.02, wall=0.02, paper=0.4))
    assert centre < 0.08
    assert diameter < 0.12


def test_bright_walls_under_the_camera_are_within_the_stated_spread() -> None:
    """Nothing tells a bright wall from paper there, so the spreads have to hold both."""
    rim = _read(Below(np.array([150.0, 170.0]), NEARER), wood=0.02, wall=0.4, paper=0.4)
    centre, diameter = _off(rim)
    assert centre < 2 * rim.centre_spread
    assert 0.1 < diameter < 2 * rim.diameter_spread


@pytest.mark.parametrize(("foot", "at_rim"), [((250.0, 250.0), 0.42), ((0.0, 0.0), 0.45)])
def test_a_dark_wall_is_no_lower_rim_where_paper_is_as_bright_as_the_wood(
    foot: tuple[float, float], at_rim: float
) -> None:
    """Paper that gets darker towards the middle of the hole: its border hardly shows, and the wall alone tells."""
    below, pixel = Below(np.array(foot), NEARER), np.arange(SIZE)
    across, down, radius = below.seen(UPPER)
    within = (radius - np.hypot(pixel[None] - across, pixel[:, None] - down)) / FINE
    paper = at_rim + (0.3 - at_rim) * np.clip(within / 2.0, 0.0, 1.0)
    centre, diameter = _off(_read(below, wood=0.42, wall=0.2, paper=paper))
    assert centre < 0.15
    assert diameter < 0.2
