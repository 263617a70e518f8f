"""Bodies as they are looked at: turned, in parallel projection, far sides before near ones."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from export.solid.body import Piece
from geometry.shape.close import Floats

BESIDE = 8.0
"""mm between two pieces."""

_LIGHT = np.array([-0.35, 0.45, 0.82])  # from where it comes, over the left shoulder of who looks
_DARKEST = 0.4


class Seen(msgspec.Struct, frozen=True):
    """Sides that are turned to who looks, in the order in which to paint them.

    `corners` (n, 3, 2) in mm round the middle of the body, x to the right and y up; `light` (n) from 0 to 1.
    """

    corners: Floats
    light: Floats


def triangles_of(pieces: Sequence[Piece]) -> Floats:
    """All triangles (n, 3, 3) in mm, pieces side by side, their middle at the origin."""
    placed, left = [], 0.0
    for piece in pieces:
        low, high = piece.corners.min(axis=0), piece.corners.max(axis=0)
        step = np.array([left - low[0], 0.0, 0.0])
        placed.append((piece.corners + step)[piece.triangles])
        left += high[0] - low[0] + BESIDE
    whole = np.concatenate(placed)
    ends = whole.reshape(-1, 3)
    return np.asarray(whole - (ends.min(axis=0) + ends.max(axis=0)) / 2)


def seen(triangles: Floats, about: float, tilt: float) -> Seen:
    """The triangles turned by `about` round the upright axis, then leant towards who looks by `tilt`, both in radians.

    With both 0 one looks down on the bed, its far side up; with a tilt of a quarter turn along it. Painter's order by
    the middle of each side: neighbours of very different size may come out of order, which nothing is measured by.
    """
    spin = np.array([[np.cos(about), -np.sin(about), 0], [np.sin(about), np.cos(about), 0], [0, 0, 1]])
    lean = np.array([[1, 0, 0], [0, np.cos(tilt), np.sin(tilt)], [0, -np.sin(tilt), np.cos(tilt)]])
    turned = triangles @ (lean @ spin).T
    across = np.cross(turned[:, 1] - turned[:, 0], turned[:, 2] - turned[:, 0])
    facing = across[:, 2] > 0
    turned, across = turned[facing], across[facing]
    light = (across / np.linalg.norm(across, axis=1, keepdims=True)) @ _LIGHT
    order = np.argsort(turned[:, :, 2].max(axis=1))
    return Seen(turned[order][:, :, :2], (_DARKEST + (1 - _DARKEST) * light.clip(0.0, 1.0))[order])
