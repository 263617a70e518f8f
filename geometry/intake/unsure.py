"""How sure places in a picture are: what other cameras that fit the markers as well would have made of them."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from geometry.intake.camera import STEP, Camera
from geometry.intake.face_edge import Face, outward
from geometry.intake.glass import Glass
from geometry.intake.rectified import Plane, View
from geometry.intake.rims import Rim
from geometry.shape.close import Floats

_BASE = 0.04  # mm, one standard deviation: what print, paper and flatness make, no source

NUT = 0.08
"""mm, one standard deviation: how well the middle between the ends of the nut is seen; as made-up photos show."""

_EDGE = 0.35  # pixels of the picture, one standard deviation at a place of an edge; as made-up photos show
_CALIPERS = 0.1  # mm, one standard deviation of a thickness that was measured by hand


def edge_spreads(
    edge: Floats,
    face: Face,
    view: View,
    others: Sequence[Camera],
    plane: Plane,
    fine: float,
    middle: float = NUT,
) -> Floats:
    """Standard deviations (n,) in mm square to an open, counter-clockwise edge (n, 2) of the face on its plane.

    `fine` is how many pixels a mm has, `middle` the standard deviation of the middle of the nut in mm.
    """
    out = outward(edge)
    variance = _BASE**2 + (_EDGE / fine) ** 2 + (middle * out[:, 0]) ** 2
    if isinstance(view, Camera):
        upper = face.hides_wall(edge) > 0
        heights = np.where(upper, plane.heights(edge), 0.0)
        moves = [_moved(edge, view, other, heights) for other in others]
        moves.append(np.where(upper[:, None], (edge - view.foot) * _CALIPERS / view.height, 0.0))
        for move in moves:
            # The nut is laid in the middle afterwards, so what moves both its ends alike is of no account.
            move[:, 0] -= (move[0, 0] + move[-1, 0]) / 2
            variance += np.sum(move * out, axis=1) ** 2
    elif isinstance(view, Glass):
        variance += np.sum((edge - (edge[0] + edge[-1]) / 2) * view.scale_spread * out, axis=1) ** 2
    return np.sqrt(variance)


def rim_spreads(rims: Sequence[Rim], view: View, others: Sequence[Camera], plane: Plane) -> list[Rim]:
    """The rims with what is unsure about the camera in their spreads, but not where the nut is: see NUT."""
    if not rims:
        return []
    at = np.array([(rim.x, rim.y) for rim in rims])
    variance = np.full(len(at), _BASE**2)
    widened = np.zeros(len(at))
    if isinstance(view, Camera):
        high = plane.heights(at)
        for move in (
            *(_moved(at, view, other, high) for other in others),
            (at - view.foot) * _CALIPERS / view.height,
        ):
            variance += np.sum(move**2, axis=1)
        nearer = max((abs(other.height / view.height - 1) / STEP for other in others), default=0.0)
        widened += nearer * high / view.height
    elif isinstance(view, Glass):
        variance += np.sum((at - [0.0, at[:, 1].min()]) ** 2, axis=1) * view.scale_spread**2
        widened += view.scale_spread
    return [
        msgspec.structs.replace(
            rim,
            centre_spread=float(np.sqrt(rim.centre_spread**2 + more)),
            diameter_spread=float(np.hypot(np.hypot(rim.diameter_spread, _BASE), wider * rim.diameter)),
        )
        for rim, more, wider in zip(rims, variance, widened, strict=True)
    ]


def _moved(places: Floats, camera: Camera, other: Camera, heights: Floats) -> Floats:
    """How far (n, 2) places at their heights lie elsewhere by one standard deviation: one step of Newton's method."""
    seen, would = camera.pixels(places, heights), other.pixels(places, heights)
    right = other.pixels(places + np.array([1.0, 0.0]), heights) - would
    up = other.pixels(places + np.array([0.0, 1.0]), heights) - would
    moved = np.linalg.solve(np.stack([right, up], axis=-1), (seen - would)[..., None])[..., 0] / STEP
    return np.asarray(moved, float)
