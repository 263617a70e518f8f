"""The silhouette of a round head whose shadow on the paper looks half like wood."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
import pytest

from geometry.intake.rectified import Rectified
from geometry.intake.silhouette import silhouette_of
from geometry.intake.wood_in_picture import Wood

FINE, RADIUS, SIZE = 8.0, 20.0, 60.0  # pixels in a mm, mm, mm


def _plain(place: npt.NDArray[np.floating]) -> Rectified:
    """A picture of nothing, whose pixels lie at `place` mm (n,) across and up."""
    side = len(place)
    colours, known = np.zeros((side, side, 3), np.float32), np.ones((side, side), bool)
    return Rectified(colours, known, float(place[0]), float(-place[0]), FINE)


@pytest.mark.parametrize("wide", [0.8, 1.6, 3.0])
def test_an_edge_behind_deep_shadow_is_found_and_counts_as_seen(wide: float) -> None:
    # On the right the paper looks like wood by just more than a half for `wide` mm, and by less beyond.
    pixels = round(SIZE * FINE)
    place = (np.arange(pixels) + 0.5) / FINE - SIZE / 2
    x, y = np.meshgrid(place, -place)
    from_middle = np.hypot(x, y)
    paper = np.where(x > 5.0, np.where(from_middle < RADIUS + wide, 0.53, 0.41), 0.0)
    wood = np.clip((RADIUS - from_middle) * FINE + 0.5, 0.0, 1.0)
    share = cv2.GaussianBlur((wood + (1 - wood) * paper).astype(np.float32), (0, 0), 1.0)
    picture = _plain(place)
    assert (share > 0.5)[pixels // 2, round((SIZE / 2 + RADIUS + wide / 2) * FINE)]
    found = silhouette_of(picture, Wood(np.asarray(share, np.float32), share > 0.5))
    off = np.abs(np.hypot(*found.places.T) - RADIUS)
    # At both ends of the shadow the rough edge has a step, which is drawn over.
    away = np.abs(found.places[:, 0] - 5.0) > 4.0
    assert np.percentile(off[away], 95) < 0.05
    assert found.seen[away].mean() > 0.97


@pytest.mark.parametrize("to_hole", [False, True])
def test_the_border_of_a_shine_that_goes_into_the_head_is_no_edge(to_hole: bool) -> None:
    """From a narrow mouth a bright spot goes 9 mm into a half-plane of wood, and perhaps to the dark rim of a hole."""
    pixels = round(SIZE * FINE)
    place = (np.arange(pixels) + 0.5) / FINE - SIZE / 2
    x, y = np.meshgrid(place, -place)
    wood = np.clip((20.0 - np.maximum(np.abs(x), np.abs(y))) * FINE + 0.5, 0.0, 1.0)
    bright = 1.0 / (1.0 + np.exp((np.hypot(x - 15.0, y) - 7.0) / 0.8))
    share = wood * (1 - bright)
    if to_hole:
        share = np.where(np.hypot(x - 9.0, y) < 3.0, 1.0, share)
    share = cv2.GaussianBlur(share.astype(np.float32), (0, 0), 1.0)
    picture = _plain(place)
    found = silhouette_of(picture, Wood(np.asarray(share, np.float32), share > 0.5))
    at_side = (np.abs(found.places[:, 1]) < 15.0) & (found.places[:, 0] > 0)
    assert np.abs(found.places[at_side, 0] - 20.0).max() < 0.5
    assert not found.seen[at_side & (np.abs(found.places[:, 1]) < 2.0)].any()


def test_a_tongue_that_is_hardly_seen_is_not_cut_off() -> None:
    """It goes out of the head, not into it: 2 mm wide and 8 mm long, as faint as in shine."""
    pixels = round(SIZE * FINE)
    place = (np.arange(pixels) + 0.5) / FINE - SIZE / 2
    x, y = np.meshgrid(place, -place)
    body = np.maximum(np.abs(x), np.abs(y)) < 15.0
    tongue = (np.abs(y) < 1.0) & (x > 0) & (x < 23.0)
    share = cv2.GaussianBlur(np.where(body, 1.0, np.where(tongue, 0.2, 0.0)).astype(np.float32), (0, 0), 1.0)
    picture = _plain(place)
    found = silhouette_of(picture, Wood(np.asarray(share, np.float32), body | tongue))
    assert found.places[:, 0].max() > 21.0
