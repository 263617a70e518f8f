"""What the files must say: the drawn outline, the bores, and how they are held against what was read."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

import numpy as np
import pytest
import shapely

from geometry.layout.layout import Layout
from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Cubic, Line, Segment
from geometry.shape.tolerance import PRINT
from tests.agreement.reading import CHORD, Drawn, Points, Ring, bezier, ring_of

SCALE = 1e-5
"""How far the scale of a file may be from 1."""


def outline(layout: Layout, *, mirror: bool = False) -> Points:
    """Points of the edge as the maker drew it, whose chords stray CHORD mm at most."""
    assert layout.edge is not None
    points = sampled(layout.edge.drawn)
    return points * (-1.0, 1.0) if mirror else points


def sampled(contour: Contour) -> Points:
    """Points on a contour whose chords stray CHORD mm at most, from its segments' definitions."""
    start = contour.segments[0].start
    pieces = [np.array([(start.x, start.y)]), *map(_sampled, contour.segments)]
    return np.concatenate(pieces)


def _sampled(segment: Segment) -> Points:
    start, end = (segment.start.x, segment.start.y), (segment.end.x, segment.end.y)
    match segment:
        case Cubic(leave=leave, arrive=arrive):
            handles = (start[0] + leave.x, start[1] + leave.y), (end[0] + arrive.x, end[1] + arrive.y)
            return bezier((start, *handles, end))
        case Arc(bulge=bulge) if abs(bulge) > 1e-9:
            return _on_arc(complex(*start), complex(*end), bulge)
        case Line() | Arc():
            return np.array([end])


def _on_arc(start: complex, end: complex, bulge: float) -> Points:
    """The bulge is the tangent of a quarter of the turn (DXF reference, LWPOLYLINE, group code 42)."""
    turn = 4 * math.atan(bulge)
    centre = (start + end) / 2 + 1j * (end - start) * (1 - bulge**2) / (4 * bulge)
    step = 2 * math.acos(max(0.0, 1 - CHORD / abs(start - centre)))
    count = max(1, math.ceil(abs(turn) / step))
    places = centre + (start - centre) * np.exp(1j * turn * np.arange(1, count + 1) / count)
    return np.column_stack((places.real, places.imag))


def farthest(points: Points, line: Points) -> float:
    """How far in mm the farthest of the points is from a polyline."""
    pieces = np.asarray(shapely.linestrings(np.stack((line[:-1], line[1:]), axis=1)))
    _, distances = shapely.STRtree(pieces).query_nearest(
        shapely.points(points), return_distance=True, all_matches=False
    )
    return float(distances.max())


def filled_in(points: Points, step: float = 0.5) -> Points:
    """The points, and more on every chord longer than `step` mm, so that straight runs are sampled too."""
    lengths = np.hypot(*np.diff(points, axis=0).T)
    extra = [
        points[at]
        + (points[at + 1] - points[at]) * np.linspace(0.0, 1.0, math.ceil(lengths[at] / step))[:, None]
        for at in np.flatnonzero(lengths > step)
    ]
    return np.concatenate((points, *extra))


def assert_same_line(read: Points, wanted: Points, tolerance: float = PRINT) -> None:
    """No point of either strays from the other."""
    assert farthest(filled_in(read), wanted) <= tolerance
    assert farthest(filled_in(wanted), read) <= tolerance


class Hole(NamedTuple):
    """A circle that must be in a file: centre and radius in mm."""

    x: float
    y: float
    radius: float


def bores(layout: Layout, *, mirror: bool = False) -> list[Hole]:
    """Every bore as it goes through the head."""
    sign = -1.0 if mirror else 1.0
    return [Hole(sign * post.at.x, post.at.y, post.hardware.bore.through / 2) for post in layout.posts]


def rings(strokes: Iterable[Drawn]) -> list[Ring]:
    """The circles among closed strokes."""
    found = [ring_of(each.points) for each in strokes if len(each.points) > 8]
    return [ring for ring in found if ring.strays < PRINT]


def assert_same_holes(found: Sequence[Ring], wanted: Sequence[Hole]) -> None:
    """Each circle that is wanted is there once, in its place and size, and no other is."""
    assert len(found) == len(wanted)
    left = list(found)
    for hole in wanted:
        nearest = min(left, key=lambda ring: math.dist((ring.x, ring.y, ring.radius), hole))
        assert math.dist((nearest.x, nearest.y), (hole.x, hole.y)) <= PRINT
        assert abs(nearest.radius - hole.radius) <= PRINT
        left.remove(nearest)


def to_head(strokes: Sequence[Drawn], layout: Layout, weight: float) -> list[Drawn]:
    """The strokes in head mm, found by the nut line alone, whose length must be true.

    The nut line is the one level stroke of two points and this weight that is as long as the nut is wide.
    """
    wide = nut_length(layout)
    (nut,) = [line for line in level_lines(strokes, weight) if abs(np.ptp(line[:, 0]) / wide - 1.0) <= SCALE]
    return about_nut(strokes, nut)


def about_nut(strokes: Sequence[Drawn], nut: Points) -> list[Drawn]:
    """The strokes displaced so that the middle of the nut line comes to the origin."""
    x, y = nut.mean(axis=0)
    return [each.moved(-x, -y) for each in strokes]


def nut_length(layout: Layout) -> float:
    """Length of the nut line in mm; its middle is the origin of head mm."""
    assert layout.edge is not None
    start, end = layout.edge.drawn.start, layout.edge.drawn.end
    assert abs(start.x + end.x) < PRINT
    return start.distance(end)


def level_lines(strokes: Iterable[Drawn], weight: float) -> list[Points]:
    """Ends of the level lines of a weight in mm."""
    lines = [each.points for each in strokes if each.looks(weight) and len(each.points) == 2]
    return [line for line in lines if abs(np.ptp(line[:, 1])) < PRINT]


class Ruler(NamedTuple):
    """Places of a ruler's ticks in mm from its zero, rising; the sixteenths of an inch stand opposite."""

    millimetres: Points
    sixteenths: Points


def ruler(strokes: Iterable[Drawn], *, upright: bool) -> Ruler:
    """The ruler that lies along the foot of a page or stands at its side."""
    turned = [
        np.column_stack((each.points[:, 1], -each.points[:, 0])) if upright else each.points
        for each in strokes
        if each.looks(0.1) and len(each.points) == 2
    ]
    level = [line for line in turned if np.ptp(line[:, 1]) < PRINT and np.ptp(line[:, 0]) > 90.0]
    base = max(level, key=lambda line: float(np.ptp(line[:, 0])))
    (zero, end), foot = np.sort(base[:, 0]), float(base[0, 1])
    ticks = [
        (line[0, 0], float(np.abs(line[:, 1] - foot).max() * np.sign(line[:, 1].sum() - 2 * foot)))
        for line in turned
        if np.ptp(line[:, 0]) < PRINT
        and np.abs(line[:, 1] - foot).min() < PRINT
        and zero - PRINT <= line[0, 0] <= end + PRINT
    ]
    above = np.sort([place - zero for place, side in ticks if side > 0])
    below = np.sort([place - zero for place, side in ticks if side < 0])
    return Ruler(above, below)


def assert_ruler_is_true(found: Ruler, factor: float = 1.0) -> None:
    """Every tick is where a ruler of 100, 150 or 200 mm has it, times the printer's factor."""
    length = len(found.millimetres) - 1
    assert length in {100, 150, 200}
    assert len(found.sixteenths) == 16 * length // 25 + 1
    assert found.millimetres == pytest.approx(factor * np.arange(length + 1), abs=PRINT)
    inches = factor * np.arange(len(found.sixteenths)) * 25.4 / 16
    assert found.sixteenths == pytest.approx(inches, abs=PRINT)
