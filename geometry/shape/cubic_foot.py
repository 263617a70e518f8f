"""The place of a cubic nearest to a point, from one that is near it: quicker than searching the whole cubic."""

from __future__ import annotations

from functools import lru_cache
from math import hypot

from geometry.shape.cubic import Cubic
from geometry.shape.point import Point

_LOOKED = tuple(step / 16 for step in range(17))
"""Parameters looked at first: the next of them is near enough for Newton's method on any fair curve."""

_ROUNDS = 12
_SETTLED = 1e-10
"""A step in mm along the curve that changes nothing any more."""

_STRAY = 0.01
"""mm; a place so much further from the point than the near one lies on another branch of the curve."""

_Powers = tuple[float, float, float, float]


def cubic_foot(cubic: Cubic, point: Point, near: Point) -> Point:
    """The place of the cubic nearest to `point`, next to `near` on it.

    Newton's method on the square of the distance; where it does not settle, the search of the whole cubic answers.
    """
    (x0, x1, x2, x3), (y0, y1, y2, y3), places = _looked(cubic)
    t = min(places, key=lambda each: (each[1] - near.x) ** 2 + (each[2] - near.y) ** 2)[0]
    for _ in range(_ROUNDS):
        away_x = x0 + t * (x1 + t * (x2 + t * x3)) - point.x
        away_y = y0 + t * (y1 + t * (y2 + t * y3)) - point.y
        ahead_x, ahead_y = x1 + t * (2 * x2 + 3 * t * x3), y1 + t * (2 * y2 + 3 * t * y3)
        speed = ahead_x * ahead_x + ahead_y * ahead_y
        slope = speed + away_x * (2 * x2 + 6 * t * x3) + away_y * (2 * y2 + 6 * t * y3)
        # Where the distance does not bend upwards, a step as for a straight line.
        slope = slope if slope > speed / 10 else speed
        if slope <= 0:
            break
        following = min(1.0, max(0.0, t - (away_x * ahead_x + away_y * ahead_y) / slope))
        settled = abs(following - t) * speed**0.5 <= _SETTLED
        t = following
        if settled:
            x, y = x0 + t * (x1 + t * (x2 + t * x3)), y0 + t * (y1 + t * (y2 + t * y3))
            if hypot(x - point.x, y - point.y) <= point.distance(near) + _STRAY:
                return Point(x, y)
            break
    return cubic.nearest(point).point


@lru_cache(maxsize=512)
def _looked(cubic: Cubic) -> tuple[_Powers, _Powers, tuple[tuple[float, float, float], ...]]:
    """The coefficients of 1, t, t^2 and t^3 in x and in y, and some places (t, x, y)."""
    controls = cubic.controls
    x, y = _powers(*(each.x for each in controls)), _powers(*(each.y for each in controls))
    return x, y, tuple((t, *(a + t * (b + t * (c + t * d)) for a, b, c, d in (x, y))) for t in _LOOKED)  # type: ignore[misc]


def _powers(a: float, b: float, c: float, d: float) -> _Powers:
    return a, 3 * (b - a), 3 * (a - 2 * b + c), d - a + 3 * (b - c)
