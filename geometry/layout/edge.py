"""The edge of the head as lines and arcs, and the wood it encloses."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise

import msgspec
import numpy as np
import shapely

from geometry.document.build import Build
from geometry.document.outline import Curve, Node, Nodes, Starter
from geometry.document.outline_nodes import run_between
from geometry.document.starters import starter_contour
from geometry.shape.biarc import arcs_and_origins
from geometry.shape.close import Flags, Floats, Indices, dot, left
from geometry.shape.contour import Contour
from geometry.shape.cubic import cubic_foot
from geometry.shape.pieces import Pieces, flattened, pieces_of
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Cubic, Line, Segment
from geometry.shape.shapes import OftenAsked, places_at, shortest
from geometry.shape.tolerance import ARCS, CHORD, SAME

INTO_NECK = 60.0
"""How far in mm the wood is taken to go on into the neck, for inside tests."""

SQUARE = 0.999
"""Cosine above which a way to the edge is square to it; arcs turn by a tenth of the 2.6 degrees it allows."""

MOST_CROSSINGS = 12
"""So many places where an outline crosses itself are told; nobody untangles more at a time."""


class Edge(msgspec.Struct, frozen=True, eq=False):
    """The edge of a head.

    `drawn` is the open contour from the right nut end round the tip to the left one as the maker drew it, `contour`
    the same as lines and tangent-continuous arcs within ARCS, `origins` the segment of `drawn` that each piece of it
    follows, `region` the contour closed 60 mm into the neck. `crossings` are places where it meets itself, the first
    MOST_CROSSINGS of them, `top` is the y of the tip. `chords` are those of the contour within CHORD, `area` is that of
    head and neck within them.
    """

    drawn: Contour
    contour: Contour
    origins: tuple[int, ...]
    region: Contour
    pieces: Pieces
    chords: OftenAsked
    area: OftenAsked
    crossings: tuple[Point, ...]
    top: float

    @property
    def line(self) -> shapely.Geometry:
        """The contour as chords, of which distances to the edge are asked."""
        return self.chords.here()

    @property
    def wood(self) -> shapely.Geometry:
        """The area of head and neck, of which it is asked what lies over wood."""
        return self.area.here()

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
        distances, nearest, _ = shortest(self.line, places_at(points))
        return np.where(self.contains(points), distances, -distances), nearest

    def outward(self, at: Floats, near: Floats, piece: Indices) -> Floats:
        """Unit directions (k, 2) out of the head, square to the edge, at its places nearest to places `at` (k, 2).

        `near` are the nearest places (k, 2) of the contour and `piece` the numbers (k,) of the pieces they lie on. The
        directions are those of the edge as it was drawn: its arcs turn a little off it.
        """
        way = self._drawn_feet(at, near, piece) - at
        # The edge runs counter-clockwise: outwards is to its right.
        right = left(self.pieces.directions(near, piece))
        right = -right if self.right_end.x > self.left_end.x else right
        length = np.hypot(way[:, 0], way[:, 1])[:, None]
        out = np.divide(way, length, out=right.copy(), where=length > SAME)
        # From a corner the way may lie far off the normals of both pieces that meet there.
        inside = (dot(out, right) > SQUARE) | self.contains(at)
        return np.where(inside[:, None] | (length <= SAME), out, -out)

    def _drawn_feet(self, at: Floats, near: Floats, piece: Indices) -> Floats:
        """The places (k, 2) of the edge as drawn that are nearest to places, next to those of its arcs."""
        feet = near.copy()
        for row, number in enumerate(piece.tolist()):
            drawn = self.drawn.segments[self.origins[number]]
            if isinstance(drawn, Cubic):
                foot = cubic_foot(drawn, Point(*at[row].tolist()), Point(*near[row].tolist()))
                feet[row] = foot.x, foot.y
        return feet

    def contains(self, points: Floats) -> Flags:
        """Whether each of the points (n, 2) lies over the wood of head and neck."""
        inside: Flags = shapely.contains_xy(self.wood, points[..., 0], points[..., 1])
        return inside


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
    vertices = flattened(pieces, CHORD)
    neck = [(point.x, point.y) for point in region.points[len(contour.segments) + 1 :]]
    return Edge(
        drawn=drawn,
        contour=contour,
        origins=origins,
        region=region,
        pieces=pieces,
        chords=OftenAsked(shapely.LineString(vertices)),
        area=OftenAsked(_wood(np.concatenate([vertices, np.reshape(neck, (-1, 2))]), crossings)),
        crossings=crossings,
        top=_top(contour, pieces),
    )


def _wood(corners: Floats, crossings: tuple[Point, ...]) -> shapely.Geometry:
    """The area within these corners (n, 2), by the parity of what lies between a place and far away.

    A tangle is left as it is: its parts would take minutes, no check asks for them, and places lie in it all the same.
    """
    area = shapely.Polygon(corners)
    return area if len(crossings) >= MOST_CROSSINGS else shapely.make_valid(area)


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
