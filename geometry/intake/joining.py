"""Loose lines joined end to end, and lines that were drawn twice taken once."""

from __future__ import annotations

import math
from collections import Counter

import numpy as np

from geometry.intake.drawn import Curve, Thing
from geometry.shape.close import Floats, Indices

JOIN = 0.003
"""How far ends may lie apart that belong together, as a share of the drawing's size: half a millimetre on a head."""

SAME_PLACE = 1e-4
"""The same for lines that count as one drawn twice."""

SAME_LENGTH = 0.01
"""As a share: the chords of one curve, cut more or less finely, differ by less."""


def size_of(curves: tuple[Curve, ...] | list[Curve]) -> float:
    """The larger side of the upright rectangle round all curves, 0 where there are none."""
    if not curves:
        return 0.0
    low = np.min([curve.points.min(axis=0) for curve in curves], axis=0)
    high = np.max([curve.points.max(axis=0) for curve in curves], axis=0)
    return float((high - low).max())


def without_doubles(curves: tuple[Curve, ...], left_out: Counter[Thing]) -> list[Curve]:
    """The curves, each of those that lie on each other once."""
    grain = max(SAME_PLACE * size_of(curves), 1e-12)
    kept: list[Curve] = []
    lengths: dict[tuple[object, ...], list[float]] = {}
    for curve in curves:
        known, length = lengths.setdefault(_fingerprint(curve, grain), []), _length(curve)
        # A circle and the square about it have one box, and not one length.
        if any(math.isclose(length, each, rel_tol=SAME_LENGTH) for each in known):
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
