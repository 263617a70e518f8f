"""Circles through places that are mostly on one: by the agreement of three at a time, then by least squares."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from geometry.intake.dense import squared
from geometry.shape.close import Floats, cross


def consensus(
    places: Floats, tolerance: float, guess: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64] | None:
    """The circle (centre and radius) that most places (n, 2) lie on within a tolerance; None where there is none.

    It is as large as the `guess`, or nearly; strays count little in the end.
    """
    random = np.random.default_rng(len(places))
    threes = np.array([random.choice(len(places), 3, replace=False) for _ in range(60)])
    circles = _through(places[threes])
    circles = circles[(circles[:, 2] > 0.5 * guess[2]) & (circles[:, 2] < 1.8 * guess[2])]
    if not len(circles):
        return None
    away = np.linalg.norm(places - circles[:, None, :2], axis=2) - circles[:, None, 2]
    best: Floats = circles[int((np.abs(away) < tolerance).sum(axis=1).argmax())]
    for _ in range(3):
        near = np.abs(off_circle(places, best)) < tolerance
        fitted = fitted_circle(places[near]) if near.sum() >= 6 else None
        if fitted is None:
            return None
        best = fitted
    return _steadied(places[np.abs(off_circle(places, best)) < tolerance], best, tolerance / 4)


def _steadied(places: Floats, circle: npt.NDArray[np.float64], scale: float) -> npt.NDArray[np.float64]:
    """The circle again, places counting less the more times `scale` they lie beside it (Cauchy's weights)."""
    for _ in range(8):
        weights = 1 / (1 + (off_circle(places, circle) / scale) ** 2)
        fitted = fitted_circle(places, weights) if len(places) >= 6 else None
        if fitted is None:
            return circle
        circle = fitted
    return circle


def _through(threes: Floats) -> Floats:
    """The circles (n, 3) through three places each (n, 3, 2), without those of places on a line."""
    to_second, to_third = threes[:, 1] - threes[:, 0], threes[:, 2] - threes[:, 0]
    twice = 2 * cross(to_second, to_third)
    bent = np.abs(twice) > 1e-9 * np.maximum(squared(to_second), squared(to_third))
    b, c, twice = to_second[bent], to_third[bent], twice[bent]
    x = (c[:, 1] * squared(b) - b[:, 1] * squared(c)) / twice
    y = (b[:, 0] * squared(c) - c[:, 0] * squared(b)) / twice
    return np.column_stack([threes[bent, 0, 0] + x, threes[bent, 0, 1] + y, np.hypot(x, y)])


def fitted_circle(places: Floats, weights: Floats | None = None) -> npt.NDArray[np.float64] | None:
    """The circle of least squares through places, None where they lie on a line.

    Of x^2 + y^2 - 2 a x - 2 b y - c (I. Kasa, A circle fitting procedure and its error analysis, 1976), which is exact
    for points on a circle.
    """
    middle = places.mean(axis=0)
    x, y = (places - middle).T
    terms = np.column_stack([2 * x, 2 * y, np.ones_like(x)])
    root = np.ones(len(places)) if weights is None else np.sqrt(weights)
    solved, _, rank, _ = np.linalg.lstsq(root[:, None] * terms, root * (x * x + y * y), rcond=1e-9)
    if rank < 3:
        return None
    radius = float(np.sqrt(max(solved[2] + solved[0] ** 2 + solved[1] ** 2, 0.0)))
    return np.array([solved[0] + middle[0], solved[1] + middle[1], radius])


def off_circle(places: Floats, circle: Floats) -> Floats:
    """How far (n,) places lie outside a circle."""
    return np.asarray(np.linalg.norm(places - circle[:2], axis=1) - circle[2], float)
