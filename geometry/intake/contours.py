"""Which of a drawing's curves is the head, which are holes, and what the others are."""

from __future__ import annotations

import re
from collections import Counter

import msgspec
import numpy as np
import shapely

from geometry.intake.dense import distinct, lengths_along, signed_area
from geometry.intake.drawn import Curve, DrawingError, Drawn, Thing
from geometry.intake.joining import joined, size_of, without_doubles
from geometry.shape.close import Floats

ROUND_CORNERS = 12
"""A polygon of fewer corners is no circle, even if it is regular."""

ROUND = 0.02
"""How far points of a circle may lie off it, as a share of its radius."""

LARGEST_GAP = 0.35
"""The open end of a head at the nut takes at most so much of its whole edge."""

FRAME_SHARE = 0.15
"""A rectangle that holds a shape of this share of its area is the edge of a sheet."""

_HEAD_NAME = re.compile(r"(?<![a-z])(outline|head|headstock)(?![a-z])")


class Circular(msgspec.Struct, frozen=True):
    """A closed curve that is a circle: its centre and radius in units of the drawing."""

    x: float
    y: float
    radius: float


class Sorted(msgspec.Struct, frozen=True, eq=False):
    """The curves of a drawing by what they are, in its units: the head's points (n, 2), counter-clockwise.

    `open_at` is whether the head is open from its last point to its first, which is then its nut line.
    """

    head: Floats
    open_at: bool
    circles: tuple[Circular, ...]
    closed: tuple[Curve, ...]
    lines: tuple[Curve, ...]
    frames: int
    rivals: int
    left_out: Counter[Thing]


def sort_out(drawn: Drawn) -> Sorted:
    """The head among the curves of a drawing and what else there is; a DrawingError where there is none.

    The head is the curve that is named so, else the largest, closed or open at one end.
    """
    left_out = Counter(drawn.left_out)
    curves = without_doubles(drawn.curves, left_out)
    size = size_of(curves)
    chains = joined(curves, size)
    shapes = [curve for curve in chains if _area(curve) > 1e-4 * size * size]
    round_ones = {id(curve): found for curve in chains if (found := circle_of(curve))}
    rest = [curve for curve in shapes if id(curve) not in round_ones]
    frames = [curve for curve in rest if _is_frame(curve, rest)]
    heads = [curve for curve in rest if not any(curve is frame for frame in frames)]
    if not heads:
        raise DrawingError(_no_head(chains))
    head = _head_of(heads)
    others = [curve for curve in chains if curve is not head and not any(curve is frame for frame in frames)]
    return Sorted(
        _counter_clockwise(head.points),
        not head.closed,
        tuple(round_ones[id(curve)] for curve in others if id(curve) in round_ones),
        tuple(curve for curve in others if curve.closed and id(curve) not in round_ones),
        tuple(curve for curve in others if not curve.closed),
        len(frames),
        sum(_area(curve) > 0.8 * _area(head) for curve in heads if curve is not head),
        left_out,
    )


def _no_head(chains: list[Curve]) -> str:
    if not chains:
        return "The drawing holds no lines or curves."
    count = len(chains)
    return (
        f"The drawing has no closed outline: its {count} line{'s do' if count > 1 else ' does'} not go round a head, "
        "nor nearly."
    )


def _head_of(heads: list[Curve]) -> Curve:
    named = [curve for curve in heads if _HEAD_NAME.search(curve.name.lower().replace("_", " "))]
    return max(named or heads, key=_area)


def _area(curve: Curve) -> float:
    """The area inside a curve; of an open one that leaves more than an end open, none."""
    points = curve.points
    if len(points) < 3:
        return 0.0
    if not curve.closed:
        gap = float(np.hypot(*(points[0] - points[-1])))
        if gap > LARGEST_GAP * (gap + lengths_along(points)[-1]):
            return 0.0
    return abs(signed_area(points))


def _counter_clockwise(points: Floats) -> Floats:
    kept = distinct(points)
    return kept if signed_area(kept) > 0 else kept[::-1]


def _is_frame(curve: Curve, shapes: list[Curve]) -> bool:
    """Whether a curve is an upright rectangle round another shape that is large."""
    low, high = curve.points.min(axis=0), curve.points.max(axis=0)
    full = float(np.prod(high - low))
    if not curve.closed or _area(curve) < 0.999 * full:
        return False
    inside = [
        each
        for each in shapes
        if each is not curve and (each.points >= low).all() and (each.points <= high).all()
    ]
    return any(FRAME_SHARE * full < _area(each) < 0.98 * full for each in inside)


def circle_of(curve: Curve) -> Circular | None:
    """The circle that a closed curve is, or a polygon of many corners; None where it is none.

    By least squares of x^2 + y^2 - 2 a x - 2 b y - c (I. Kasa, A circle fitting procedure and its error analysis,
    1976), which is exact for points on a circle.
    """
    points = distinct(curve.points)
    if not curve.closed or len(points) < ROUND_CORNERS:
        return None
    middle, scale = points.mean(axis=0), float(np.ptp(points, axis=0).max())
    if scale <= 0:
        return None
    local = (points - middle) / scale
    matrix = np.column_stack([2 * local, np.ones(len(local))])
    x, y, rest = np.linalg.lstsq(matrix, (local**2).sum(axis=1), rcond=None)[0]
    radius = float(np.sqrt(max(0.0, rest + x * x + y * y)))
    away = local - [x, y]
    if radius <= 0 or np.abs(np.hypot(*away.T) - radius).max() > ROUND * radius:
        return None
    angles = np.sort(np.arctan2(away[:, 1], away[:, 0]))
    if np.diff(np.append(angles, angles[0] + 2 * np.pi)).max() > np.pi / 4:
        return None
    return Circular(float(middle[0] + scale * x), float(middle[1] + scale * y), scale * radius)


def area_shape(points: Floats) -> shapely.Geometry:
    """The area inside points (n, 2), mended where the line crosses itself."""
    shape = shapely.Polygon(points)
    return shape if shape.is_valid else shapely.buffer(shape, 0.0)
