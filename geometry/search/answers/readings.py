"""Where a drilled hole really is, from caliper readings between its rim and edges or other bores."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

import msgspec
import numpy as np
import shapely

from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector
from geometry.shape.shapes import places_at, shortest
from geometry.shape.tolerance import SAME

Kind = Literal["between", "across", "nut", "side", "left", "right", "centre"]

ALONE: tuple[Kind, ...] = ("nut", "side", "left", "right", "centre")
"""Readings that go to no other hole."""

AGREE = 0.2
"""Readings that fit one place within this, in mm, agree; calipers over wood are good for 0.1 mm, no source."""

LONGEST = 500.0
"""Calipers do not reach further, in mm; common practice, no source."""

_WEAK = 0.25  # below this singular value an error of reading grows more than fourfold in some direction
_FARTHEST_STEP = 5.0  # no step of the search is longer, in mm: holes miss by less

STEPS = 50


class Reading(msgspec.Struct, frozen=True):
    """What the calipers read, in mm, from the rim of the hole on the face.

    "between" is over the wood to the nearest rim of bore `post` (a key), "across" to its farthest rim from the hole's
    own farthest one; "nut" is square to the nut line, "side" the shortest way to the edge of the head, "left" and
    "right" that to the edge on that side of the tip, "centre" square from the nearest rim to the centre line.
    """

    kind: Kind
    length: float
    post: str | None = None


class Located(msgspec.Struct, frozen=True):
    """The place that fits all readings best.

    `residuals` are reading less place, in mm, in their order. `untold` is the direction of length 1 in which the
    readings hardly tell the place, None where they tell it. `suspect` is the number of the reading without which all
    others agree, None where they agree anyway or where it cannot be told.
    """

    at: Point
    residuals: tuple[float, ...]
    untold: Vector | None
    suspect: int | None

    @property
    def largest(self) -> float:
        """The largest residual in mm, without its sign."""
        return max((abs(each) for each in self.residuals), default=0.0)

    @property
    def agree(self) -> bool:
        """Whether the readings do not contradict each other."""
        return self.largest <= AGREE


def located(layout: Layout, mark: Point, diameter: float, readings: Sequence[Reading]) -> Located:
    """Where the hole of `diameter` mm is that should be at `mark`, by least squares from there (Gauss-Newton).

    Bores that readings go to are where the layout has them; without an edge there is no reading to the side.
    """
    at, slopes, left = _fitted(layout, mark, diameter, readings)
    sizes = np.zeros(2)
    ways = np.eye(2)
    if len(readings):
        _, found, ways = np.linalg.svd(slopes)
        sizes[: len(found)] = found
    untold = Vector(float(ways[1, 0]), float(ways[1, 1])) if sizes[1] < _WEAK else None
    residuals = tuple(left.tolist())
    suspect = None
    if untold is None and max(abs(each) for each in residuals) > AGREE:
        suspect = _suspect(layout, mark, diameter, readings)
    return Located(at, residuals, untold, suspect)


def _fitted(
    layout: Layout, mark: Point, diameter: float, readings: Sequence[Reading]
) -> tuple[Point, Floats, Floats]:
    """The place, the slopes (k, 2) of the readings there, and what each reads more than it should (k,)."""
    at = mark
    slopes, left = _compared(layout, at, diameter, readings)
    for _ in range(STEPS if len(readings) else 0):
        # Of all steps that fit alike the shortest is taken: what the readings do not tell stays as marked.
        step = np.linalg.lstsq(slopes, left, rcond=_WEAK / 10)[0]
        length = float(np.hypot(*step))
        if length < SAME / 10:
            break
        step *= min(1.0, _FARTHEST_STEP / length)
        at = at + Vector(float(step[0]), float(step[1]))
        slopes, left = _compared(layout, at, diameter, readings)
    return at, slopes, left


def _compared(
    layout: Layout, at: Point, diameter: float, readings: Sequence[Reading]
) -> tuple[Floats, Floats]:
    slopes, left = [], []
    hole = Bored(at, diameter)
    for reading in readings:
        length, way = expected(layout.edge, hole, reading, other_bore(layout, reading))
        slopes.append((way.x, way.y))
        left.append(reading.length - length)
    return np.array(slopes).reshape(-1, 2), np.array(left)


def other_bore(layout: Layout, reading: Reading) -> Bored | None:
    """The bore that a reading goes to, as the layout has it; None for one that goes to none."""
    if reading.post is None:
        return None
    post = layout.post(reading.post)
    return Bored(post.at, post.bore)


class Bored(msgspec.Struct, frozen=True):
    """A hole where it is, and how wide it is on the face, in mm."""

    at: Point
    diameter: float


def expected(edge: Edge | None, hole: Bored, reading: Reading, other: Bored | None) -> tuple[float, Vector]:
    """What the calipers would read from a hole, in mm, and the direction in which that grows.

    `edge` is asked for readings to a side, `other` is the bore that "between" and "across" go to.
    """
    at, radius = hole.at, hole.diameter / 2
    match reading.kind:
        case "nut":
            return at.y - radius, Vector(0.0, 1.0)
        case "centre":
            return abs(at.x) - radius, Vector(1.0 if at.x >= 0 else -1.0, 0.0)
        case "side" | "left" | "right":
            assert edge is not None, "no reading to the side without an edge"
            distance, way = _to_side(edge, at, reading.kind)
            return distance - radius, way
        case "between" | "across":
            assert other is not None, "a reading between bores names the other one"
            way = at - other.at
            radii = radius + other.diameter / 2
            sign = 1.0 if reading.kind == "across" else -1.0
            return way.length + sign * radii, way.unit() if way.length > SAME else Vector(0.0, 1.0)


def _to_side(edge: Edge, at: Point, kind: Literal["side", "left", "right"]) -> tuple[float, Vector]:
    place = np.array([(at.x, at.y)])
    distances, feet = edge.distance(place)
    if kind != "side":
        to_half, feet, _ = shortest(_halves(edge)[kind == "left"], places_at(place))
        # Off the wood both halves are on the other side of the hole.
        distances = np.copysign(to_half, distances)
    distance, way = float(distances[0]), at - Point(float(feet[0, 0]), float(feet[0, 1]))
    if abs(distance) <= SAME:
        return distance, Vector(0.0, 0.0)
    return distance, way / distance


@lru_cache(maxsize=4)
def _halves(edge: Edge) -> tuple[shapely.LineString, shapely.LineString]:
    """The edge to the right of the tip and to the left of it."""
    places = shapely.get_coordinates(edge.line)
    tip = int(places[:, 1].argmax())
    return shapely.LineString(places[: tip + 1]), shapely.LineString(places[tip:])


def _suspect(layout: Layout, mark: Point, diameter: float, readings: Sequence[Reading]) -> int | None:
    """The reading without which the others agree; nobody can tell from three, of which any two agree."""
    if len(readings) < 4:
        return None
    left_over = []
    for number in range(len(readings)):
        others = [each for n, each in enumerate(readings) if n != number]
        _, slopes, left = _fitted(layout, mark, diameter, others)
        told = np.linalg.svd(slopes, compute_uv=False)[1] >= _WEAK
        left_over.append(float(np.abs(left).max()) if told else np.inf)
    best = int(np.argmin(left_over))
    return best if left_over[best] <= AGREE else None
