"""The edge of a head as thousands of points, and distances to it by brute force.

The nut line is no edge: wood goes on into the neck.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from tests.oracle.curve import Floats, Json, Run, unit
from tests.oracle.outline import runs_of

NECK = 100.0
"""mm that the wood is drawn on below the nut line; longer than anything that could reach over its end."""


@dataclass(frozen=True)
class Edge:
    """`points` (n, 2) from the right end of the nut line to the left; `run` and `t` (n,) say where each is from."""

    runs: list[Run]
    points: Floats
    run: Floats
    t: Floats

    @cached_property
    def line(self) -> shapely.LineString:
        line = shapely.LineString(self.points)
        shapely.prepare(line)
        return line

    @cached_property
    def wood(self) -> shapely.Polygon:
        """The head with a piece of a straight neck."""
        right, left = self.points[0], self.points[-1]
        wood = shapely.Polygon([*self.points, (left[0], -NECK), (right[0], -NECK)])
        shapely.prepare(wood)
        return wood

    @cached_property
    def top(self) -> float:
        return float(self.points[:, 1].max())

    @property
    def sound(self) -> bool:
        """Whether it begins and ends on the nut line, right then left, and neither crosses nor touches itself."""
        right, left = self.points[0], self.points[-1]
        ends = abs(right[1]) < 1e-6 and abs(left[1]) < 1e-6 and left[0] < 0 < right[0]
        return bool(ends and self.line.is_simple and self.points[1:-1, 1].min(initial=1.0) > -1e-6)

    def distances(self, points: Floats) -> Floats:
        """Distances (n,) of points (n, 2), negative off the wood."""
        dots = shapely.points(points)
        distance = shapely.distance(self.line, dots)
        return np.where(shapely.contains(self.wood, dots), distance, -distance)

    def distance(self, point: Floats) -> float:
        return float(self.distances(point[None, :])[0])

    def foot(self, point: Floats) -> Floats:
        """The place of the drawn edge nearest to a point: on the nearest chord, then on the run between its ends."""
        start, end = self.points[:-1], self.points[1:]
        way = end - start
        share = np.clip(
            ((point - start) * way).sum(axis=1) / np.maximum((way * way).sum(axis=1), 1e-18), 0.0, 1.0
        )
        away = np.linalg.norm(start + share[:, None] * way - point, axis=1)
        nearest = int(np.argmin(away))
        beside = range(max(nearest - 1, 0), min(nearest + 2, len(start)))
        places = [self._finer(point, chord) for chord in beside]
        return min(places, key=lambda place: float(np.linalg.norm(place - point)))

    def _finer(self, point: Floats, first: int) -> Floats:
        """The nearest place between two neighbouring samples, on ever finer ones."""
        run = self.runs[int(self.run[first + 1])]
        low = float(self.t[first]) if self.run[first] == self.run[first + 1] else 0.0
        high = float(self.t[first + 1])
        for _ in range(6):
            t = np.linspace(low, high, 65)
            places = run.places(t)
            nearest = int(np.argmin(np.linalg.norm(places - point, axis=1)))
            low, high = float(t[max(nearest - 1, 0)]), float(t[min(nearest + 1, 64)])
        return np.asarray(places[nearest])

    def way_out(self, point: Floats, sign: int) -> tuple[Floats, Floats]:
        """Directions along the edge towards the tip and out of the wood, at the place nearest to a point.

        `sign` is that of x on the side of the row: up the right side the edge runs its own way.
        """
        foot = self.foot(point)
        away = foot - point
        if float(np.linalg.norm(away)) < 1e-6:
            return self._way_at(foot, sign)
        out = unit(away) * (1.0 if self.wood.contains(shapely.Point(point)) else -1.0)
        return np.array([-out[1], out[0]]) * sign, out

    def _way_at(self, foot: Floats, sign: int) -> tuple[Floats, Floats]:
        nearest = int(np.argmin(np.linalg.norm(self.points - foot, axis=1)))
        way = self.runs[int(self.run[nearest])].ways(self.t[nearest : nearest + 1])[0]
        return way * sign, np.array([way[1], -way[0]])

    def steep_to(self, grain: Floats, degrees: float) -> tuple[Floats, Floats]:
        """Starts and ends (n, 2) of fine chords where the drawn edge stands at so many degrees or more to the grain."""
        most = math.cos(math.radians(degrees)) + 1e-9
        starts, ends = [], []
        for run in self.runs:
            t = run.samples()
            steep = abs(run.ways(t) @ grain) <= most
            turns = np.flatnonzero(steep[1:] != steep[:-1])
            finer = [np.linspace(t[n], t[n + 1], 201) for n in turns]
            t = np.unique(np.concatenate([t, *finer]))
            steep, places = abs(run.ways(t) @ grain) <= most, run.places(t)
            both = steep[1:] & steep[:-1]
            starts.append(places[:-1][both])
            ends.append(places[1:][both])
        return np.concatenate(starts), np.concatenate(ends)


def edge_of(build: Json) -> Edge:
    """The edge of a build, sampled."""
    runs = [run for run in runs_of(build) if run.chord > 1e-9 or run.leave is not None]
    points, numbers, params = [runs[0].start[None, :]], [np.zeros(1)], [np.zeros(1)]
    for number, run in enumerate(runs):
        t = run.samples()[1:]
        points.append(run.places(t))
        numbers.append(np.full(len(t), number))
        params.append(t)
    return Edge(runs, np.concatenate(points), np.concatenate(numbers), np.concatenate(params))


def hollows(edge: Edge) -> float:
    """The least radius in mm at which the edge bends away from the wood, 0 at a corner that does; infinite without."""
    least = math.inf
    for run in edge.runs:
        bend = run.curvature(np.linspace(0, 1, 20001) if run.leave is not None else np.array([0.5]))
        sharpest = float(-bend.min())
        least = min(least, 1 / sharpest if sharpest > 1e-9 else math.inf)
    for one, two in zip(edge.runs[:-1], edge.runs[1:], strict=True):
        before, after = one.ways(np.array([1.0]))[0], two.ways(np.array([0.0]))[0]
        if before[0] * after[1] - before[1] * after[0] < -0.01:
            least = 0.0
    return least
