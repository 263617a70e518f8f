"""The nut line of a head in a drawing: its open end, a line that is called so, or its only straight end."""

from __future__ import annotations

import re
from itertools import pairwise

import msgspec
import numpy as np
import shapely

from geometry.intake.contours import JOIN, Sorted
from geometry.intake.drawn import Curve, DrawingError, Side, refuse_drawing
from geometry.shape.close import Floats, cross

_WAYS: dict[Side, tuple[float, float]] = {"top": (0, 1), "bottom": (0, -1), "left": (-1, 0), "right": (1, 0)}

# How far a straight edge is looked for with, and may stray at most, as shares of the head's size; 0.3 and 0.1 mm.
_ROUGH, _STRAIGHT = 0.002, 0.0006
# An end edge is at least so long, as a share of the head's size: 14 mm on a large one, from memory.
_SHORTEST = 0.08
_LEAN = np.cos(np.radians(30))  # an edge faces a side of the drawing when it does so within 30 degrees

_NUT_NAME = re.compile(r"(?<![a-z])nut(?![a-z])")


class NutLine(msgspec.Struct, frozen=True, eq=False):
    """The ends of a nut line (2,) in units of the drawing, the head to the left of the way from left to right.

    `edge` is the open contour (n, 2) from the right end round the tip to the left end where the nut line is an edge of
    the head; None where it lies across it.
    """

    left: Floats
    right: Floats
    edge: Floats | None = None

    @property
    def width(self) -> float:
        """How far the ends are apart."""
        return float(np.hypot(*(self.right - self.left)))


def nut_line(found: Sorted, side: Side | None, width: float | None = None) -> NutLine:
    """The nut line of a head; `side` is the side of the drawing where it is, `width` how long it is, if known.

    A DrawingError says what is missing where it cannot be told.
    """
    if found.open_at and side is None:
        return NutLine(found.head[-1], found.head[0], found.head)
    if side is None and (line := _named(found)):
        return line
    edges = end_edges(found.head)
    if side is not None:
        return _facing(edges, side)
    if width is not None:
        edges = _only([edge for edge in edges if abs(edge.width - width) <= 0.03 * width], edges)
    edges = _only([edge for edge in edges if _is_under_middle(edge)], edges)
    if len(edges) == 1:
        return edges[0]
    if not edges:
        refuse_drawing(
            "The head has no straight end that could be the nut line; draw it there, or put a line across the "
            'head on a layer called "nut".'
        )
    message = (
        f"The head has {len(edges)} straight ends, and it is not plain at which one the nut is; say at which side of "
        "the drawing: top, bottom, left or right."
    )
    raise DrawingError(message)


def _only(few: list[NutLine], many: list[NutLine]) -> list[NutLine]:
    """The few when they are one, else the many."""
    return few if len(few) == 1 else many


def _is_under_middle(edge: NutLine) -> bool:
    """Whether the middle of the head lies straight before the edge, as it does before a nut, and not before a facet."""
    assert edge.edge is not None, "an edge of the head has its contour"
    middle = np.array(shapely.Polygon(edge.edge).centroid.coords[0]) - (edge.left + edge.right) / 2
    return bool(abs(middle @ (edge.right - edge.left)) <= edge.width**2 / 2)


def _facing(edges: list[NutLine], side: Side) -> NutLine:
    """The edge that faces a side of the drawing most."""
    way = np.array(_WAYS[side])
    faced = [(float(_outward(edge) @ way), edge) for edge in edges]
    best = max(faced, key=lambda pair: pair[0], default=(0.0, None))
    if best[1] is None or best[0] < _LEAN:
        refuse_drawing(
            f"The head has no straight end at the {side} of the drawing that could be the nut line."
        )
    return best[1]


def _outward(edge: NutLine) -> Floats:
    """The unit way out of the head over an edge."""
    along = (edge.right - edge.left) / edge.width
    return np.array([along[1], -along[0]])


def end_edges(head: Floats) -> list[NutLine]:
    """The straight edges (of a closed contour (n, 2), counter-clockwise) beyond which there is nothing of the head.

    Edges along which the head is longer than across them are its sides.
    """
    size = float(np.ptp(head, axis=0).max())
    points = _from_a_corner(head)
    ring = np.vstack([points, points[:1]])
    kept = shapely.get_coordinates(shapely.LineString(ring).simplify(_ROUGH * size))
    numbers = _numbers_of(kept, ring)
    found = []
    for first, last in pairwise(numbers):
        edge = _edge(ring, first, last, size)
        if edge is not None:
            found.append(edge)
    return found


def _from_a_corner(head: Floats) -> Floats:
    """The contour begun at the point furthest from its middle, which is on no straight edge but at its end."""
    middle = head.mean(axis=0)
    return np.roll(head, -int(np.argmax(np.hypot(*(head - middle).T))), axis=0)


def _numbers_of(kept: Floats, ring: Floats) -> list[int]:
    """The numbers in a ring of those of its points that were kept, in order."""
    numbers, begin = [], 0
    for place in kept[:-1]:
        begin += int(np.flatnonzero((ring[begin:] == place).all(axis=1))[0])
        numbers.append(begin)
    return [*numbers, len(ring) - 1]


def _edge(ring: Floats, first: int, last: int, size: float) -> NutLine | None:
    """The run of a ring between two of its points as a nut line, where it can be one."""
    start, end = ring[first], ring[last]
    length = float(np.hypot(*(end - start)))
    if length < _SHORTEST * size:
        return None
    along = (end - start) / length
    above = cross(np.broadcast_to(along, ring.shape), ring - start)
    if np.abs(above[first : last + 1]).max() > _STRAIGHT * size or above.min() < -JOIN * size:
        return None
    if above.max() < 0.9 * np.ptp(ring @ along):
        return None
    # From the right end round the tip back to the left end.
    round_tip = np.vstack([ring[last:-1], ring[: first + 1]])
    return NutLine(start, end, round_tip)


# A line across the head


def _named(found: Sorted) -> NutLine | None:
    """The line that is called nut, cut to where it crosses the head; None where there is none."""
    area = shapely.Polygon(found.head)
    for line in (*found.lines, *found.closed):
        if not _NUT_NAME.search(line.name.lower().replace("_", " ")):
            continue
        ends = _across(line, area)
        if ends is not None:
            return _turned_to_tip(*ends, found.head)
    return None


def _across(line: Curve, area: shapely.Polygon) -> tuple[Floats, Floats] | None:
    """Where the straight line through a drawn one crosses the head; of a closed one its edge nearer to the tip."""
    points = line.points
    start, end = points[0], points[-1]
    if line.closed or len(points) > 2:
        middle = points.mean(axis=0)
        along = np.linalg.svd(points - middle, full_matrices=False)[2][0]
        reach = (points - middle) @ along
        start, end = middle + along * reach.min(), middle + along * reach.max()
        if line.closed:
            start, end = start + _rise(points, along, area), end + _rise(points, along, area)
    length = float(np.hypot(*(end - start)))
    if length == 0 or not area.is_valid:
        return None
    along = (end - start) / length
    far = 2 * max(area.length, length)
    meeting = shapely.LineString([start - along * far, end + along * far]).intersection(area)
    parts = [shapely.get_coordinates(part) for part in shapely.get_parts(meeting)]
    parts = [part for part in parts if len(part) >= 2]
    if not parts:
        return None
    middle = (start + end) / 2
    best = min(parts, key=lambda part: float(np.hypot(*((part[0] + part[-1]) / 2 - middle))))
    return best[0], best[-1]


def _rise(points: Floats, along: Floats, area: shapely.Polygon) -> Floats:
    """From the middle of a closed nut to its side that is nearer to the middle of the head."""
    left = np.array([-along[1], along[0]])
    away = (points - points.mean(axis=0)) @ left
    towards = float((np.array(area.centroid.coords[0]) - points.mean(axis=0)) @ left)
    return np.asarray(left * (away.max() if towards > 0 else away.min()))


def _turned_to_tip(one: Floats, two: Floats, head: Floats) -> NutLine:
    """The nut line from left to right as seen with the wider side above it, which is the head and not the neck."""
    along = (two - one) / np.hypot(*(two - one))
    above = cross(np.broadcast_to(along, head.shape), head - one)
    aside = np.abs((head - (one + two) / 2) @ along)
    sides = [float(np.max(aside[part], initial=0.0)) for part in (above > 0, above < 0)]
    return NutLine(one, two) if sides[0] > sides[1] else NutLine(two, one)
