"""The runs of the edge that stand across the grain, and how far a bore is from them along it."""

from __future__ import annotations

import math
from functools import lru_cache

import msgspec
import numpy as np

from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Line
from geometry.shape.tolerance import SAME

STEEP = math.pi / 4
"""From this angle to the grain on, an edge is an end; flatter runs are sides, which the wall check holds."""


class Caps(msgspec.Struct, frozen=True, eq=False):
    """Runs (m,) of an edge in grain coordinates: u across the grain, v along it.

    Each run is a function v(u) from `first` to `last`: straight (`radius` 0) from `low_v` to `high_v`, or an arc about
    (`centre_u`, `centre_v`) on its upper (`side` 1) or lower (-1) half.
    """

    grain: Vector
    first: Floats
    last: Floats
    low_v: Floats
    high_v: Floats
    centre_u: Floats
    centre_v: Floats
    radius: Floats
    side: Floats

    def along_grain(self, at: Floats, half: Floats) -> tuple[Floats, Floats]:
        """Least distances (n,) along the grain from places (n, 2) to an end, over strips of half width `half` (n,).

        Measured tipward from the line through each place square to the grain; infinite where no end is met. Also the
        places (n, 2) met.
        """
        across, grain = self.grain.right, self.grain
        u = at @ np.array([across.x, across.y])
        v = at @ np.array([grain.x, grain.y])
        if not len(self.first) or not len(at):
            return np.full(len(at), np.inf), at
        low = np.maximum(self.first, (u - half)[:, None])
        high = np.minimum(self.last, (u + half)[:, None])
        middle = np.clip(np.broadcast_to(self.centre_u, low.shape), low, high)
        us = np.stack([low, middle, high])
        ahead = self._v(us) - v[None, :, None]
        ahead = np.where((low < high - SAME)[None] & (ahead > SAME), ahead, np.inf)
        flat = ahead.transpose(1, 0, 2).reshape(len(at), -1)
        best = np.argmin(flat, axis=1)
        rows = np.arange(len(at))
        found = flat[rows, best]
        u_met = us.transpose(1, 0, 2).reshape(len(at), -1)[rows, best]
        v_met = v + np.where(np.isfinite(found), found, 0.0)
        places = np.outer(u_met, [across.x, across.y]) + np.outer(v_met, [grain.x, grain.y])
        return found, places

    def _v(self, u: Floats) -> Floats:
        """Height along the grain of each run at u (..., m)."""
        width = np.where(self.last > self.first, self.last - self.first, 1.0)
        straight = self.low_v + (self.high_v - self.low_v) * (u - self.first) / width
        root = np.sqrt(np.maximum(0.0, self.radius**2 - (u - self.centre_u) ** 2))
        found: Floats = np.where(self.radius > 0, self.centre_v + self.side * root, straight)
        return found


Run = tuple[float, float, float, float, float, float, float, float]


@lru_cache(maxsize=16)
def caps_of(edge: Contour, grain_deg: float) -> Caps:
    """The ends among the lines and arcs of an edge, for grain turned `grain_deg` from the centre line."""
    grain = Vector(0.0, 1.0).turned(math.radians(grain_deg))
    # Grain has no sense; the tip is where ends are looked for.
    grain = -grain if grain.y < 0 else grain
    runs: list[Run] = []
    for piece in edge.segments:
        if isinstance(piece, Arc) and not piece.is_straight:
            runs += _arc_runs(piece, grain)
        else:
            runs += _line_runs(Line(piece.start, piece.end), grain)
    table = np.array(runs).reshape(-1, 8)
    return Caps(grain, *(table[:, column] for column in range(8)))


def _local(point: Point, grain: Vector) -> tuple[float, float]:
    place = Vector(point.x, point.y)
    return place.dot(grain.right), place.dot(grain)


def _line_runs(line: Line, grain: Vector) -> list[Run]:
    (u0, v0), (u1, v1) = sorted((_local(line.start, grain), _local(line.end, grain)))
    # An edge at exactly 45 degrees counts as an end.
    if u1 - u0 < abs(v1 - v0) - SAME or u1 - u0 < SAME:
        return []
    return [(u0, u1, v0, v1, (u0 + u1) / 2, 0.0, 0.0, 0.0)]


def _arc_runs(arc: Arc, grain: Vector) -> list[Run]:
    """The parts of an arc within 45 degrees of its highest and lowest place along the grain."""
    u, v = _local(arc.centre, grain)
    start = arc.start_angle - grain.angle + math.pi / 2
    low, high = sorted((start, start + arc.sweep))
    runs: list[Run] = []
    for side, middle in ((1.0, math.pi / 2), (-1.0, -math.pi / 2)):
        for turn in range(-2, 3):
            first = max(low, middle - STEEP + turn * math.tau)
            last = min(high, middle + STEEP + turn * math.tau)
            if last > first:
                ends = sorted((u + arc.radius * math.cos(first), u + arc.radius * math.cos(last)))
                runs.append((ends[0], ends[1], 0.0, 0.0, u, v, arc.radius, side))
    return runs
