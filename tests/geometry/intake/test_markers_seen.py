"""Corners from the sides of markers, on a sheet that is drawn square on, where every corner is known."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from geometry.intake.camera import Glass
from geometry.intake.marker_cells import marker_cells
from geometry.intake.marker_sheet import CELLS, MARKER_SHEETS
from geometry.intake.markers_seen import Grey, MarkersSeen, by_sides, find_markers

SHEET = MARKER_SHEETS["A5"]
FINE = 7.0  # pixels in a mm
OVER = 8  # times finer that it is drawn


def _drawn(softness: float) -> tuple[Grey, Glass]:
    """The sheet in black on white, `softness` pixels of blur in linear light, and how it lies."""
    frame = SHEET.frame.grown(8.0)
    fine = FINE * OVER
    high, wide = (OVER * round(size * FINE) for size in (frame.height, frame.width))
    ink = np.ones((high, wide), np.float32)
    for marker in SHEET.markers:
        box = marker.bounds
        x, y = round((box.left - frame.left) * fine), round((frame.top - box.top) * fine)
        size = round(marker.side * fine)
        cells = marker_cells(marker.number).astype(np.float32)
        ink[y : y + size, x : x + size] = cv2.resize(cells, (size, size), interpolation=cv2.INTER_NEAREST)
    light = cv2.GaussianBlur(
        cv2.resize(ink, (wide // OVER, high // OVER), interpolation=cv2.INTER_AREA), (0, 0), softness
    )
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-6) ** (1 / 2.4) - 0.055)
    # The middle of the first pixel lies half a pixel within the frame.
    at = np.array([-frame.left * FINE - 0.5, frame.top * FINE - 0.5])
    glass = Glass(np.array([[FINE, 0.0, at[0]], [0.0, -FINE, at[1]]]), 0.0, on_sheet=True)
    return np.asarray(np.round(coded * 255), np.uint8), glass


def _off(seen: MarkersSeen, glass: Glass) -> np.ndarray:
    true = glass.pixels(seen.places.reshape(-1, 2), 0.0)
    return np.asarray(np.linalg.norm(seen.corners.reshape(-1, 2) - true, axis=1))


@pytest.mark.parametrize("softness", [0.8, 1.6])
def test_corners_are_where_the_sides_meet_however_soft_the_picture_is(softness: float) -> None:
    grey, glass = _drawn(softness)
    seen = find_markers(grey)
    # Told a little wrong, as a first guess is.
    rough = Glass(glass.matrix + np.array([[0.002, 0.0, 0.4], [0.0, 0.001, -0.3]]), 0.0, on_sheet=True)
    met = by_sides(grey, rough, seen, SHEET)
    # Drawn on whole eighths of a pixel; each side is off by half of one at most.
    assert _off(met, glass).max() < 0.5 / OVER * np.sqrt(2) + 0.03
    assert np.median(_off(met, glass)) < np.median(_off(seen, glass)) / 2


def test_what_covers_a_side_does_not_move_it() -> None:
    grey, glass = _drawn(1.0)
    seen = find_markers(grey)
    marker = seen.markers[0]
    at = glass.pixels(np.array([[marker.bounds.left, marker.centre.y]]), 0.0)[0]
    cell = marker.side / CELLS * FINE
    spot = tuple(np.round(at).astype(int).tolist())
    covered = np.asarray(cv2.circle(grey.copy(), spot, round(0.7 * cell), 120, -1), np.uint8)
    met = by_sides(covered, glass, seen, SHEET)
    assert _off(met, glass).max() < 0.12
    # With hardly anything of the side left, the corners stay where they were found.
    tall = (round(0.7 * cell), round(0.5 * marker.side * FINE))
    hidden = np.asarray(cv2.ellipse(grey.copy(), spot, tall, 0, 0, 360, 120, -1), np.uint8)
    met = by_sides(hidden, glass, seen, SHEET)
    assert (met.corners[0, [0, 3]] == seen.corners[0, [0, 3]]).all()
    assert (met.corners[0, 1] != seen.corners[0, 1]).any()
    # With nothing of it left either, and without a word of numpy's about that.
    wide = (round(1.5 * cell), round(0.9 * marker.side * FINE))
    gone = np.asarray(cv2.ellipse(grey.copy(), spot, wide, 0, 0, 360, 120, -1), np.uint8)
    met = by_sides(gone, glass, seen, SHEET)
    assert (met.corners[0, [0, 3]] == seen.corners[0, [0, 3]]).all()
