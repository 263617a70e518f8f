"""Where a dense contour has corners: its direction turns at a place, and straight sides meet in it."""

from __future__ import annotations

import math

import numpy as np
import shapely

from geometry.intake.dense import even, lengths_along, slopes, turn_between
from geometry.shape.close import Floats

STEPS = 8
"""Steps of the window over which a turn is looked at."""

LEAST_TURN = math.radians(10)
"""A smaller turn is no corner: within the tolerance it is a bend like any other."""


def corners(points: Floats, tolerance: float, scatter: float) -> Floats:
    """Ways (k,) in mm along a dense contour (n, 2) to its corners, in order, the ends not among them.

    A window is five tolerances long: a rounding that lies within the tolerance of a corner fits in it, so that what
    turns less sharply is a curve. `scatter` is how far the points waver, in mm.
    """
    window = max(5 * tolerance, 20 * scatter)
    places = even(points, window / STEPS)
    step = lengths_along(points)[-1] / max(1, len(places) - 1)
    if len(places) <= 2 * STEPS:
        return np.empty(0)
    arriving, leaving = slopes(places, STEPS)
    turn = turn_between(arriving, leaving)
    found = _peaks(np.abs(np.nan_to_num(turn)), max(LEAST_TURN, 5 * _waver(turn)))
    line = shapely.LineString(points)
    shapely.prepare(line)
    ways = [_way(places, number, line, tolerance) for number in found if _is_sharp(places, turn, number)]
    along = np.array([way for way in ways if way is not None])
    return along[(along > step) & (along < lengths_along(points)[-1] - step)] if len(along) else along


def _waver(turn: Floats) -> float:
    """The standard deviation of turns (k,) in radians that noise makes: from how windows side by side differ."""
    change = np.abs(turn[STEPS:] - turn[:-STEPS])
    return float(1.4826 * np.nanmedian(change)) / math.sqrt(2) if np.isfinite(change).any() else 0.0


def _is_sharp(places: Floats, turn: Floats, number: int) -> bool:
    """Whether a place turns by more than the bend of its sides explains, as they run two windows before and after."""
    first, last = number - 3 * STEPS, number + 3 * STEPS
    if first < 0 or last >= len(places):
        return True
    before, after = places[first : number - STEPS + 1], places[number + STEPS : last + 1]
    ways = [piece[-1] - piece[0] for piece in (before, after)]
    outer = turn_between(*(np.arctan2(way[1], way[0]) for way in ways))
    # The middles of the outer stretches are four windows apart, those of the inner ones one.
    bend = (outer - turn[number]) / 3
    return bool(abs(turn[number] - bend) > max(LEAST_TURN, abs(turn[number]) / 2))


def _peaks(turn: Floats, least: float) -> list[int]:
    """Places that turn more than `least` and more than all within a window."""
    found: list[int] = []
    for number in np.flatnonzero(turn > least):
        around = turn[max(0, number - STEPS) : number + STEPS + 1]
        if turn[number] == around.max() and not (found and number - found[-1] <= STEPS):
            found.append(int(number))
    return found


def _way(places: Floats, number: int, line: shapely.LineString, tolerance: float) -> float | None:
    """The way along the contour to where the sides beside a place meet; None where that is not on the contour."""
    before = places[max(0, number - 3 * STEPS // 2) : number - STEPS // 4 + 1]
    after = places[number + STEPS // 4 : number + 3 * STEPS // 2 + 1]
    meeting = _meeting(before, after)
    if meeting is None or line.distance(shapely.Point(*meeting)) > 0.6 * tolerance:
        return None
    if np.hypot(*(meeting - places[number])) > 8 * tolerance:
        return None
    return float(line.project(shapely.Point(*meeting)))


def _meeting(before: Floats, after: Floats) -> Floats | None:
    """Where straight fits of two runs of places meet; None where they are next to parallel."""
    (one, along), (two, other) = _straight(before), _straight(after)
    turn = along[0] * other[1] - along[1] * other[0]
    if abs(turn) < math.sin(LEAST_TURN) / 2:
        return None
    apart = two - one
    meeting: Floats = one + along * ((apart[0] * other[1] - apart[1] * other[0]) / turn)
    return meeting


def _straight(places: Floats) -> tuple[Floats, Floats]:
    """Middle and direction of the straight line nearest to places (n, 2)."""
    middle = places.mean(axis=0)
    direction: Floats = np.linalg.svd(places - middle, full_matrices=False)[2][0]
    return middle, direction


def to_vertices(points: Floats, ways: Floats, reach: float) -> Floats:
    """The ways (k,) moved to the sharpest point of the contour (n, 2) within `reach` mm: there it was drawn."""
    along = lengths_along(points)
    angles = np.arctan2(*np.diff(points, axis=0).T[::-1])
    turn = np.concatenate([[0.0], np.abs(turn_between(angles[:-1], angles[1:])), [0.0]])
    moved = []
    for way in ways:
        near = np.flatnonzero(np.abs(along - way) <= reach)
        best = near[np.argmax(turn[near])] if len(near) else None
        moved.append(along[best] if best is not None and turn[best] > LEAST_TURN / 2 else way)
    return np.array(moved)
