"""Which of a drawing's curves is the head, which are holes, and what the others are."""

from __future__ import annotations

import math
import re
from collections import Counter

import msgspec
import numpy as np
import shapely

from geometry.intake.circles import fitted_circle, off_circle
from geometry.intake.dense import distinct, lengths_along, signed_area
from geometry.intake.drawn import Curve, DrawingError, Drawn, Thing
from geometry.shape.close import Floats, Indices

_ROUND_CORNERS = 12  # a polygon of fewer corners is no circle, even if it is regular
_ROUND = 0.02  # how far points of a circle may lie off it, as a share of its radius
_LARGEST_GAP = 0.35  # the open end of a head at the nut takes at most so much of its whole edge
_FRAME_SHARE = 0.15  # a rectangle that holds a shape of this share of its area is the edge of a sheet

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
        if gap > _LARGEST_GAP * (gap + lengths_along(points)[-1]):
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
    return any(_FRAME_SHARE * full < _area(each) < 0.98 * full for each in inside)


def circle_of(curve: Curve) -> Circular | None:
    """The circle that a closed curve is, or a polygon of many corners; None where it is none."""
    points = distinct(curve.points)
    if not curve.closed or len(points) < _ROUND_CORNERS:
        return None
    middle, scale = points.mean(axis=0), float(np.ptp(points, axis=0).max())
    if scale <= 0:
        return None
    local = (points - middle) / scale
    circle = fitted_circle(local)
    if circle is None or np.abs(off_circle(local, circle)).max() > _ROUND * circle[2]:
        return None
    x, y, radius = circle.tolist()
    away = local - [x, y]
    angles = np.sort(np.arctan2(away[:, 1], away[:, 0]))
    if np.diff(np.append(angles, angles[0] + 2 * np.pi)).max() > np.pi / 4:
        return None
    return Circular(float(middle[0] + scale * x), float(middle[1] + scale * y), scale * radius)


def area_shape(points: Floats) -> shapely.Geometry:
    """The area inside points (n, 2), mended where the line crosses itself."""
    shape = shapely.Polygon(points)
    return shape if shape.is_valid else shapely.buffer(shape, 0.0)


# Loose lines joined end to end, and lines that were drawn twice taken once


JOIN = 0.003
"""How far ends may lie apart that belong together, as a share of the drawing's size: half a millimetre on a head."""

_SAME_PLACE = 1e-4  # the same for lines that count as one drawn twice
_SAME_LENGTH = 0.01  # as a share: the chords of one curve, cut more or less finely, differ by less


def size_of(curves: tuple[Curve, ...] | list[Curve]) -> float:
    """The larger side of the upright rectangle round all curves, 0 where there are none."""
    if not curves:
        return 0.0
    low = np.min([curve.points.min(axis=0) for curve in curves], axis=0)
    high = np.max([curve.points.max(axis=0) for curve in curves], axis=0)
    return float((high - low).max())


def without_doubles(curves: tuple[Curve, ...], left_out: Counter[Thing]) -> list[Curve]:
    """The curves, each of those that lie on each other once."""
    grain = max(_SAME_PLACE * size_of(curves), 1e-12)
    kept: list[Curve] = []
    lengths: dict[tuple[object, ...], list[float]] = {}
    for curve in curves:
        known, length = lengths.setdefault(_fingerprint(curve, grain), []), _length(curve)
        # A circle and the square about it have one box, and not one length.
        if any(math.isclose(length, each, rel_tol=_SAME_LENGTH) for each in known):
            left_out["double"] += 1
        else:
            known.append(length)
            kept.append(curve)
    return kept


def _length(curve: Curve) -> float:
    ways = np.diff(curve.points, axis=0, append=curve.points[:1] if curve.closed else curve.points[-1:])
    return float(np.hypot(*ways.T).sum())


def _fingerprint(curve: Curve, grain: float) -> tuple[object, ...]:
    """What is alike for curves on each other, whichever way they run: their ends and box, rounded."""
    points = curve.points
    ends = sorted(tuple(np.round(end / grain).tolist()) for end in (points[0], points[-1]))
    if curve.closed:
        ends = []
    box = (points.min(axis=0), points.max(axis=0))
    return (curve.closed, *ends, *(tuple(np.round(each / grain).tolist()) for each in box))


def joined(curves: list[Curve], size: float) -> list[Curve]:
    """Closed curves as they are, open ones joined where their ends meet; closed where the last meets the first.

    Nearer ends are joined first, and of as near ones those that run on straightest.
    """
    loose = [curve for curve in curves if not curve.closed]
    mates = _mates(loose, JOIN * size)
    chains = [_chain(loose, mates, start) for start in _starts(loose, mates)]
    return [curve for curve in curves if curve.closed] + [_closed(chain, JOIN * size) for chain in chains]


def _mates(loose: list[Curve], reach: float) -> dict[int, int]:
    """Which end is joined to which: curve k has the ends 2 k (first point) and 2 k + 1 (last)."""
    if len(loose) < 2:
        return {}
    ends = np.array([end for curve in loose for end in (curve.points[0], curve.points[-1])])
    ways = np.array([way for curve in loose for way in _ways_out(curve)])
    one, two = _near(ends, reach)
    other = one // 2 != two // 2
    one, two = one[other], two[other]
    gap = np.hypot(*(ends[one] - ends[two]).T)
    # Ends run on straight when the ways out of both curves are opposite.
    bend = 1 + (ways[one] * ways[two]).sum(axis=1)
    order = np.lexsort((bend, np.round(4 * gap / max(reach, 1e-300))))
    mates: dict[int, int] = {}
    for a, b in zip(one[order].tolist(), two[order].tolist(), strict=True):
        if a not in mates and b not in mates:
            mates[a], mates[b] = b, a
    return mates


def _near(ends: Floats, reach: float) -> tuple[Indices, Indices]:
    from scipy.spatial import cKDTree

    pairs = cKDTree(ends).query_pairs(reach, output_type="ndarray").reshape(-1, 2)
    return pairs[:, 0], pairs[:, 1]


def _ways_out(curve: Curve) -> tuple[Floats, Floats]:
    """Unit ways in which a curve goes on beyond its first and its last point."""
    points = curve.points
    ways = points[0] - points[1], points[-1] - points[-2]
    return ways[0] / max(np.hypot(*ways[0]), 1e-300), ways[1] / max(np.hypot(*ways[1]), 1e-300)


def _starts(loose: list[Curve], mates: dict[int, int]) -> list[int]:
    """An end of every chain from which it is run through: a free one, or any of a ring."""
    starts, seen = [], set()
    free = [end for end in range(2 * len(loose)) if end not in mates]
    for end in [*free, *range(2 * len(loose))]:
        if end // 2 in seen:
            continue
        starts.append(end)
        at = end
        while at // 2 not in seen:
            seen.add(at // 2)
            at = mates.get(at ^ 1, at ^ 1)
    return starts


def _chain(loose: list[Curve], mates: dict[int, int], start: int) -> Curve:
    """The curves from one end on until none is joined, or the first comes again."""
    points, names, end, seen = [], [], start, set()
    while end // 2 not in seen:
        seen.add(end // 2)
        curve = loose[end // 2]
        points.append(curve.points if end % 2 == 0 else curve.points[::-1])
        names.append(curve.name)
        if end ^ 1 not in mates:
            break
        end = mates[end ^ 1]
    return Curve(np.vstack(points), name=" ".join(dict.fromkeys(names)))


def _closed(chain: Curve, reach: float) -> Curve:
    """The chain as a closed curve where its ends meet."""
    gap = float(np.hypot(*(chain.points[0] - chain.points[-1])))
    if len(chain.points) > 3 and gap <= reach < float(np.ptp(chain.points, axis=0).max()):
        return Curve(chain.points, closed=True, name=chain.name)
    return chain
