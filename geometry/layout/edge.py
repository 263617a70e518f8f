"""The edge of the head as lines and arcs, and the wood it encloses."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import msgspec
import numpy as np

from geometry.build.build import Build, Curve, Node, Nodes, Starter
from geometry.build.outline_nodes import run_between
from geometry.build.starters import starter_contour
from geometry.shape.biarc import arcs_and_origins
from geometry.shape.close import Flags, Floats, Indices
from geometry.shape.contour import Contour
from geometry.shape.cubic_feet import cubic_feet
from geometry.shape.pieces import Pieces, pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Cubic, Line, Segment
from geometry.shape.tolerance import ARCS, SAME

INTO_NECK = 60.0
"""How far in mm the wood is taken to go on into the neck, for inside tests."""


MOST_CROSSINGS = 12
"""So many places where an outline crosses itself are told; nobody untangles more at a time."""


class Edge(msgspec.Struct, frozen=True):
    """The edge of a head.

    `drawn` is the open contour from the right nut end round the tip to the left one as the maker drew it, `contour`
    the same as lines and tangent-continuous arcs within ARCS, `origins` the segment of `drawn` that each piece of it
    follows, `region` the contour closed 60 mm into the neck. `crossings` are places where it meets itself, the first
    MOST_CROSSINGS of them, `top` is the y of the tip.
    """

    drawn: Contour
    contour: Contour
    origins: tuple[int, ...]
    region: Contour
    pieces: Pieces
    region_pieces: Pieces
    crossings: tuple[Point, ...]
    top: float

    @property
    def right_end(self) -> Point:
        """Where the edge leaves the nut line on the right."""
        return self.contour.start

    @property
    def left_end(self) -> Point:
        """Where the edge comes back to the nut line on the left."""
        return self.contour.end

    def distance(self, points: Floats) -> tuple[Floats, Floats]:
        """Signed distances (n,) in mm of points (n, 2) to the edge, positive over wood, and the nearest places."""
        distances, nearest, _ = self.pieces.nearest(points)
        return np.where(self.contains(points), distances, -distances), nearest

    def outward(self, points: Floats, inside: Flags | None = None) -> tuple[Floats, Floats]:
        """Distances (n,) in mm of points (n, 2) to the edge, and unit directions (n, 2) square to it, out of the head.

        The directions are those at the nearest places of the edge as it was drawn: its arcs turn a little off it.
        Points are over wood unless `inside` (n,) says that they are not.
        """
        distances, feet, index = self.pieces.nearest(points)
        way = self._drawn_feet(points, feet, index) - points
        length = np.hypot(way[:, 0], way[:, 1])[:, None]
        ahead = self.pieces.directions(feet, index)
        # From a point on the edge there is no way to it: the edge runs counter-clockwise, outwards is to its right.
        beside = np.column_stack([ahead[:, 1], -ahead[:, 0]])
        out = np.where(length > SAME, way / np.maximum(length, SAME), beside)
        if inside is not None:
            out[~inside & (length[:, 0] > SAME)] *= -1.0
        return distances, out

    def _drawn_feet(self, points: Floats, feet: Floats, index: Indices) -> Floats:
        """The nearest places (n, 2) on the drawn edge, from those on the pieces (n,) that follow it."""
        segments = [self.drawn.segments[self.origins[piece]] for piece in index.tolist()]
        curved = [n for n, segment in enumerate(segments) if isinstance(segment, Cubic)]
        if not curved:
            return feet
        found = feet.copy()
        cubics = [segment for segment in segments if isinstance(segment, Cubic)]
        found[curved] = cubic_feet(cubics, points[curved], feet[curved])
        return found

    def contains(self, points: Floats) -> Flags:
        """Whether each of the points (n, 2) lies over the wood of head and neck."""
        return self.region_pieces.contains(points)


def edge_of(build: Build) -> Edge | None:
    """The edge of a build; None when its nodes make no line."""
    return _edge(build.outline, build.nut.width, build.bass_sign)


@lru_cache(maxsize=16)
def _edge(outline: Starter | Nodes, nut_width: float, bass_sign: int) -> Edge | None:
    if isinstance(outline, Starter):
        drawn = starter_contour(outline, nut_width, bass_sign)
    else:
        segments = tuple(_segments(outline.nodes))
        if not segments:
            return None
        drawn = Contour(segments)
    contour, origins = arcs_and_origins(drawn, ARCS)
    region = _closed_into_neck(contour)
    crossings = region.self_crossings(MOST_CROSSINGS)
    pieces = pieces_of(contour)
    return Edge(drawn, contour, origins, region, pieces, pieces_of(region), crossings, _top(contour, pieces))


def _top(contour: Contour, pieces: Pieces) -> float:
    """Y of the highest place: an end, or the crown of an arc that may rise over the ends."""
    highest = float(max(pieces.starts[:, 1].max(), pieces.ends[:, 1].max()))
    rising = np.flatnonzero(pieces.bounds()[:, 3] > highest)
    return max([highest, *(contour.segments[number].bounds.top for number in rising.tolist())])


def _segments(nodes: tuple[Node, ...]) -> Iterator[Segment]:
    """The runs from node to node; nodes on one place draw nothing, unless a curve leaves and comes back."""
    if not nodes:
        return
    place = nodes[0].at
    for one, two in pairwise(nodes):
        if place.distance(two.at) > SAME or isinstance(one.onward, Curve):
            yield run_between(place, one.onward, two.at)
            place = two.at


def _closed_into_neck(contour: Contour) -> Contour:
    """The head with a straight neck below it, so that the nut line is no edge."""
    down = Vector(0.0, -INTO_NECK)
    left, right = contour.end, contour.start
    low = min(left.y, right.y)
    corners = [left, Point(left.x, low) + down, Point(right.x, low) + down, right]
    neck = tuple(Line(one, two) for one, two in pairwise(corners) if one.distance(two) > SAME)
    return Contour(contour.segments + neck, closed=True)
