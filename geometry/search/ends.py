"""How far each bore may move before the grain between it and the tip is too short."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from geometry.checks import wood
from geometry.checks.caps import Caps, caps_of
from geometry.checks.facts import Facts
from geometry.checks.gaps import required
from geometry.shape.arc import Arc
from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.line import Line
from geometry.shape.pieces import Pieces, arrays
from geometry.shape.point import Point
from geometry.shape.segment import Piece
from geometry.shape.tolerance import SAME


def end_slack(facts: Facts) -> tuple[Floats, Floats]:
    """Exact margins (n,) in mm that each post may move in any direction, and the ways (n, 2) that end them soonest.

    A bore keeps its end distance L as long as the line through its middle, as wide as the bore and square to the
    grain, does not meet the ends of the head moved back by L along the grain: a distance of a line to lines and arcs.
    """
    rule = facts.rule("end distance")
    count = len(facts.posts)
    margins, ways = np.full(count, np.inf), np.zeros((count, 2))
    if rule.stop is None:
        return margins, ways
    grain_deg = facts.build.head.grain_deg
    needed = np.broadcast_to(required(rule.stop, facts.bore), (count,))
    across = caps_of(facts.edge.contour, grain_deg).grain.right
    half = (facts.bore / 2)[:, None] * np.array([across.x, across.y])
    for length in np.unique(needed).tolist():
        chosen = np.flatnonzero(needed == length)
        moved = _moved_back(facts.edge.contour, grain_deg, length)
        if moved is None:
            continue
        distance, here, there = moved.segment_distance(
            facts.at[chosen] - half[chosen], facts.at[chosen] + half[chosen]
        )
        margins[chosen], ways[chosen] = distance, there - here
    found = wood.end_distance(facts)
    broken = found.measured - found.stop < -SAME
    margins[found.i[broken]] = (found.measured - found.stop)[broken]
    return margins, ways


@lru_cache(maxsize=32)
def _moved_back(edge: Contour, grain_deg: float, length: float) -> Pieces | None:
    """The ends of a head moved `length` mm towards the nut along the grain; None without any."""
    pieces = list(_pieces(caps_of(edge, grain_deg), length))
    return arrays(pieces, closed=False) if pieces else None


def _pieces(caps: Caps, length: float) -> Iterator[Piece]:
    across, grain = caps.grain.right, caps.grain
    table = (
        caps.first,
        caps.last,
        caps.low_v,
        caps.high_v,
        caps.centre_u,
        caps.centre_v,
        caps.radius,
        caps.side,
    )
    runs = np.column_stack(table).tolist()
    for first, last, low, high, centre_u, centre_v, radius, side in runs:
        bulge = 0.0
        if radius > 0:
            low, high = (centre_v + side * _rise(radius, u - centre_u) for u in (first, last))
            bulge = -side * math.tan((_angle(radius, last - centre_u) - _angle(radius, first - centre_u)) / 4)
        start, end = (
            Point(0.0, 0.0) + across * u + grain * (v - length) for u, v in ((first, low), (last, high))
        )
        if start.distance(end) > SAME:
            yield Arc(start, end, bulge) if bulge else Line(start, end)


def _rise(radius: float, aside: float) -> float:
    return math.sqrt(max(0.0, radius * radius - aside * aside))


def _angle(radius: float, aside: float) -> float:
    return math.asin(min(1.0, max(-1.0, aside / radius)))
