"""An end of the nut that no picture shows, from the side of the neck below it, drawn on to the nut line.

The sides of a neck are straight there. They may lie higher or lower than the face, as a fingerboard does, and are then
seen as if they were further from the foot of the camera, or nearer: by as much on both sides as the end tells that is
seen. Where both ends are hidden nothing tells it, which makes them less sure.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely

from geometry.intake.dense import lengths_along
from geometry.intake.face_edge import Face, guessed
from geometry.intake.not_seen import shown
from geometry.intake.silhouette import STEP, Silhouette
from geometry.shape.close import Floats

BY_NECK = 0.12
"""mm, one standard deviation of an end of the nut that the side of the neck tells; as made-up photos show."""

HIGHER = 0.012
"""Of its distance from the foot, one standard deviation: how far a side seems out where nothing tells its height, for
6 mm of a fingerboard under a camera half a metre up; common practice, no source."""

_FIRST, _LAST = 2.5, 20.0  # mm below the nut line between which the sides of the neck are taken
_FEWEST = 15
_SPAN = 8.0  # mm of a side that must be seen
_STRAIGHT = 0.1  # mm that the places of a side lie beside a straight line on average
_WIDER = 0.05  # of its distance from the foot that a side may seem further out or in, for up to 25 mm of half a metre
_AT_END = 2.5  # mm from an end of the edge


def ends_by_neck(
    edge: Floats, pieces: Sequence[Floats], face: Face, silhouette: Silhouette, nut: float
) -> tuple[Floats, float | None]:
    """The open edge (n, 2) with its hidden ends at the nut where the neck has them.

    And how well the neck tells the middle between the ends, one standard deviation in mm; None where it tells nothing.
    `pieces` are the ends (2, 2) of what was drawn by guess; a piece at an end of the edge is bent to the new one.
    """
    runs = [_run_at(edge, ends) for ends in pieces]
    hidden = {run[0]: run[1] for run in runs if run is not None}
    sides = [_side(face, silhouette, nut, number) for number in (0, 1)]
    if not hidden or sides[0] is None or sides[1] is None:
        return edge, None
    of_neck = sides[0], sides[1]
    foot = float(face.foot[0]) if face.lifted is not None else sum(of_neck) / 2
    if len(hidden) == 2:
        wider, spread = 0.0, HIGHER * abs(sum(of_neck) / 2 - foot)
    else:
        seen = 1 - next(iter(hidden))
        off = of_neck[seen] - foot
        wider = (float(edge[-seen, 0]) - of_neck[seen]) / off if abs(off) > 1.0 else 0.0
        spread = 0.0
    if abs(wider) > _WIDER:
        return edge, None
    for number, meets in hidden.items():
        edge = _bent(edge, number, meets, of_neck[number] + wider * (of_neck[number] - foot))
    return edge, math.hypot(BY_NECK / 2, spread)


def _run_at(edge: Floats, ends: Floats) -> tuple[int, int] | None:
    """At which end of the edge a piece lies, 0 at its begin, and the number of the place where it meets the rest."""
    near = sorted(int(np.hypot(*(edge - end).T).argmin()) for end in ends)
    along = lengths_along(edge)
    if along[near[0]] < _AT_END:
        return 0, near[1]
    if along[-1] - along[near[1]] < _AT_END:
        return 1, near[0]
    return None


def _side(face: Face, silhouette: Silhouette, nut: float, number: int) -> float | None:
    """X where the right (0) or the left (1) side of the neck, drawn on, meets the nut line."""
    ring = shapely.geometry.polygon.orient(face.plan).exterior
    places = shapely.get_coordinates(shapely.segmentize(ring, STEP))[:-1]
    below = nut - places[:, 1]
    near = (below > _FIRST) & (below < _LAST)
    middle = float(np.mean(places[near, 0])) if near.any() else 0.0
    of_side = places[near & ((places[:, 0] > middle) if number == 0 else (places[:, 0] < middle))]
    # Counter-clockwise: up on the right, down on the left.
    of_side = of_side[np.argsort(of_side[:, 1] if number == 0 else -of_side[:, 1])]
    if len(of_side) < _FEWEST:
        return None
    return _drawn_on(of_side[shown(of_side, silhouette, face) & ~guessed(of_side, face)], nut)


def _drawn_on(places: Floats, nut: float) -> float | None:
    """X at the nut line of the straight line through places (n, 2), strays left out."""
    for _ in range(3):
        if len(places) < _FEWEST or np.ptp(places[:, 1]) < _SPAN:
            return None
        slope, at_nut = np.polyfit(places[:, 1] - nut, places[:, 0], 1)
        off = np.abs(places[:, 0] - at_nut - slope * (places[:, 1] - nut))
        kept = off <= max(3 * float(np.median(off)), 0.03)
        if kept.all():
            break
        places = places[kept]
    return float(at_nut) if float(off.mean()) < _STRAIGHT else None


def _bent(edge: Floats, number: int, meets: int, end: float) -> Floats:
    """The edge with what lies between a place and its right (0) or left (1) end drawn to that end's new x."""
    along = lengths_along(edge)
    first, last = (0, meets) if number == 0 else (meets, len(edge) - 1)
    left = np.abs(along[first : last + 1] - along[meets]) / max(along[last] - along[first], 1e-9)
    found = edge.copy()
    found[first : last + 1, 0] += (end - edge[-number, 0]) * left**2
    return found
