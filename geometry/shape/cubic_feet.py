"""Places of cubics nearest to points, for many at once, from places that are near them already."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from geometry.shape.close import Floats
from geometry.shape.cubic import Cubic
from geometry.shape.point import Point

_PARAMETERS = np.arange(17) / 16
"""Where each curve is looked at first: the next of them is near enough for Newton's method on any fair curve."""

_POWERS = _PARAMETERS ** np.arange(4)[:, None]
_TO_POWERS = np.array([[1.0, 0, 0, 0], [-3, 3, 0, 0], [3, -6, 3, 0], [-1, 3, -3, 1]])
"""Control points to the coefficients of 1, t, t^2 and t^3."""

_ROUNDS = 12
_SETTLED = 1e-10
"""Steps in mm along the curve that change nothing any more."""

_STRAY = 0.01
"""mm; a place so much further from the point than the near one lies on another branch of the curve."""


def cubic_feet(cubics: Sequence[Cubic], points: Floats, near: Floats) -> Floats:
    """The places (k, 2) of cubics (k,) nearest to points (k, 2), each next to the place `near` (k, 2) on its curve.

    Newton's method on the square of the distance; where it does not settle, the exact search of the cubic answers.
    """
    controls = np.array([[(each.x, each.y) for each in cubic.controls] for cubic in cubics])
    powers = _TO_POWERS @ controls
    looked = np.einsum("pt,kpa->kta", _POWERS, powers)
    away = looked - near[:, None]
    t = _PARAMETERS[np.argmin(np.einsum("kta,kta->kt", away, away), axis=1)]
    settled = np.zeros(len(t), dtype=bool)
    for _ in range(_ROUNDS):
        offset, velocity, bend = _around(powers, t, points)
        speed = _dot(velocity, velocity)
        slope = speed + _dot(offset, bend)
        # Where the distance does not bend upwards, a step as for a straight line.
        slope = np.where(slope > speed / 10, slope, speed)
        wanted = t - _dot(offset, velocity) / np.where(slope > 0, slope, 1.0)
        following = np.clip(wanted, 0.0, 1.0)
        settled = np.abs(following - t) * np.sqrt(speed) <= _SETTLED
        t = following
        if settled.all():
            break
    offset = _around(powers, t, points)[0]
    feet: Floats = points + offset
    astray = np.hypot(*offset.T) > np.hypot(*(near - points).T) + _STRAY
    for number in np.flatnonzero(astray | ~settled).tolist():
        place = cubics[number].nearest(Point(*points[number].tolist())).point
        feet[number] = place.x, place.y
    return feet


def _around(powers: Floats, t: Floats, points: Floats) -> tuple[Floats, Floats, Floats]:
    """Ways (k, 2) from points to the curves at t (k,), velocities and accelerations there."""
    t = t[:, None]
    one, two, three = powers[:, 1], powers[:, 2], powers[:, 3]
    offset = powers[:, 0] + t * (one + t * (two + t * three)) - points
    return offset, one + t * (2 * two + 3 * t * three), 2 * two + 6 * t * three


def _dot(one: Floats, two: Floats) -> Floats:
    found: Floats = one[:, 0] * two[:, 0] + one[:, 1] * two[:, 1]
    return found
