"""Dense contours as arrays: spacing, directions, how much they waver, drawing on, cutting at a line, evening halves."""

from __future__ import annotations

import numpy as np
import shapely

from geometry.shape.close import Floats, cross, dot

GAP = 0.25
"""mm between the points of a dense contour at most."""


def lengths_along(points: Floats) -> Floats:
    """The way (n,) in mm along points (n, 2) from the first."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate([[0.0], np.cumsum(steps)])


def distinct(points: Floats, least: float = 1e-6) -> Floats:
    """The points (n, 2) without those nearer than `least` mm to the one before; the last one always stays."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    kept = points[np.concatenate([[True], steps > least])]
    return kept if len(kept) < 2 else np.vstack([kept[:-1], points[-1:]])


def dense(points: Floats, gap: float = GAP) -> Floats:
    """The points (n, 2), and as many more between them that none is further than `gap` mm from the next."""
    along = lengths_along(points)
    parts = np.maximum(1, np.ceil(np.diff(along) / gap)).astype(int)
    share = np.concatenate([np.arange(count) / count for count in parts])
    start = np.repeat(np.arange(len(parts)), parts)
    between: Floats = points[start] + share[:, None] * (points[start + 1] - points[start])
    return np.vstack([between, points[-1:]])


def even(points: Floats, step: float) -> Floats:
    """Points (k, 2) on the polyline through points (n, 2), evenly about `step` mm apart, both ends kept."""
    along = lengths_along(points)
    count = max(2, round(along[-1] / step) + 1)
    return at_lengths(points, along, np.linspace(0.0, along[-1], count))


def at_lengths(points: Floats, along: Floats, wanted: Floats) -> Floats:
    """Places (..., 2) on the polyline through points (n, 2) after ways (...) in mm, `along` (n,) being its own."""
    return np.stack([np.interp(wanted, along, points[:, 0]), np.interp(wanted, along, points[:, 1])], axis=-1)


def scatter(points: Floats) -> float:
    """How far points (n, 2) of a contour waver about their own smooth course, in mm: a standard deviation.

    From the distances to a parabola through the points of 6 mm around each, by their median, so that corners do not
    count; 1.4826 makes a median of distances the standard deviation of a normal scatter.
    """
    places = even(points, GAP)
    reach = 12
    if len(places) <= 2 * reach:
        return 0.0
    middle = places[reach:-reach]
    course = np.gradient(places, axis=0)[reach:-reach]
    unit = course / np.maximum(np.hypot(*course.T), 1e-12)[:, None]
    strays = cross(unit, middle - _parabolas(places, reach))
    return float(1.4826 * np.median(np.abs(strays)))


def _parabolas(places: Floats, reach: int) -> Floats:
    """Evenly spaced places (n, 2) without the first and last `reach`, each moved to the parabola through its window."""
    offsets = np.arange(-reach, reach + 1.0)
    powers = np.stack([np.ones_like(offsets), offsets, offsets**2], axis=1)
    windows = np.lib.stride_tricks.sliding_window_view(places, 2 * reach + 1, axis=0)
    # The row of the hat matrix that gives the smoothed middle.
    smoothed: Floats = windows @ np.linalg.pinv(powers)[0]
    return smoothed


def smoothed(points: Floats, reach: float) -> Floats:
    """The polyline through points (n, 2) evenly spaced and smoothed by parabolas `reach` mm to both sides.

    Towards the ends the windows shrink; both ends stay.
    """
    places = even(points, GAP)
    for steps in range(min(round(reach / GAP), (len(places) - 1) // 2), 1, -1):
        inner = _parabolas(places, steps)
        if steps == round(reach / GAP):
            places = np.vstack([places[:steps], inner, places[-steps:]])
        else:
            places[steps], places[-1 - steps] = inner[0], inner[-1]
    return places


def slopes(places: Floats, reach: int) -> tuple[Floats, Floats]:
    """Directions (k,) in radians in which evenly spaced places (k, 2) are arrived at and left, by straight fits.

    Over `reach` steps before and after; where so many are missing the direction is not a number.
    """
    weights = np.arange(reach + 1) - reach / 2
    windows = np.lib.stride_tricks.sliding_window_view(places, reach + 1, axis=0) @ weights
    angles = np.arctan2(windows[:, 1], windows[:, 0])
    missing = np.full(reach, np.nan)
    return np.concatenate([missing, angles]), np.concatenate([angles, missing])


def evened(points: Floats) -> Floats:
    """The right half (k, 2) of a contour (n, 2) that runs over the centre line x = 0: the mean of both halves.

    Each place of the right half is moved half-way to the nearest one of the mirrored left half. The half runs from
    the right end to the tip, which is on the centre line.
    """
    right, left = _halves(points)
    mirrored = left[::-1] * np.array([-1.0, 1.0])
    other = shapely.LineString(mirrored)
    shapely.prepare(other)
    places = dense(right)
    ways = shapely.line_locate_point(other, shapely.points(places))
    feet = shapely.get_coordinates(shapely.line_interpolate_point(other, ways))
    mean: Floats = (places + feet) / 2
    # Both ends stay ends: the nut's by its half width, the tip on the centre line.
    mean[0] = (right[0] + mirrored[0]) / 2
    mean[-1] = [0.0, (right[-1, 1] + mirrored[-1, 1]) / 2]
    return distinct(mean)


def _halves(points: Floats) -> tuple[Floats, Floats]:
    """The contour cut where it crosses the centre line highest; a ValueError where it never does."""
    sides = np.sign(points[:, 0])
    crossings = np.flatnonzero((sides[:-1] >= 0) & (sides[1:] <= 0) & (sides[:-1] != sides[1:]))
    if not len(crossings):
        message = "The outline never crosses the centre line, so that it has no two halves to be made alike."
        raise ValueError(message)
    a, b = points[crossings], points[crossings + 1]
    share = a[:, 0] / (a[:, 0] - b[:, 0])
    places = a + share[:, None] * (b - a)
    best = int(np.argmax(places[:, 1]))
    place, number = places[best : best + 1] * [0.0, 1.0], int(crossings[best])
    return distinct(np.vstack([points[: number + 1], place])), distinct(
        np.vstack([place, points[number + 1 :]])
    )


def parabola_direction(places: Floats, along: Floats, at: float) -> float:
    """The direction in radians of a curve through places (n, 2) after the ways (n,), at the way `at`, by parabolas."""
    offsets = along - at
    powers = np.stack([np.ones_like(offsets), offsets, offsets**2][: min(3, len(offsets))], axis=1)
    slope = np.linalg.lstsq(powers, places, rcond=None)[0][1]
    return float(np.arctan2(slope[1], slope[0]))


def turn_between(before: Floats, after: Floats) -> Floats:
    """Turns (k,) in (-pi, pi] from directions (k,) to others, in radians."""
    turn: Floats = np.angle(np.exp(1j * (after - before)))
    return turn


def signed_area(points: Floats) -> float:
    """The area in mm2 inside points (n, 2) taken as a closed polygon, positive when they run counter-clockwise."""
    return float(np.sum(cross(points, np.roll(points, -1, axis=0))) / 2)


def squared(vectors: Floats) -> Floats:
    """The squares (k,) of the lengths of vectors (k, 2)."""
    return dot(vectors, vectors)


def bridge(before: Floats, first: Floats, last: Floats, beyond: Floats) -> Floats:
    """Places of the cubic (Hermite) from `first` to `last` that goes on as the edge comes and leaves."""
    chord = float(np.linalg.norm(last - first))
    ways = [way / max(float(np.linalg.norm(way)), 1e-9) * chord for way in (first - before, beyond - last)]
    t = np.linspace(0.0, 1.0, max(3, round(chord / 0.3)))[1:-1, None]
    return np.asarray(
        (2 * t**3 - 3 * t**2 + 1) * first
        + (t**3 - 2 * t**2 + t) * ways[0]
        + (3 * t**2 - 2 * t**3) * last
        + (t**3 - t**2) * ways[1],
        float,
    )
