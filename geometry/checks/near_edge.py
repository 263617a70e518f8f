"""How far everything is from the edge, asked in one go: it costs far less than asking part by part."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import msgspec
import numpy as np
import shapely

from geometry.layout.edge import Edge
from geometry.shape.box import Box, corners_of, rows
from geometry.shape.close import Floats, Indices
from geometry.shape.shapes import Shapes, areas_of, lines_of, places_at, shortest
from geometry.shape.tolerance import PRINT

STEPS = 2.0
"""mm at most between the first places looked at along what lies on the wrong side of the edge, to say how far."""

NEAR_DEEPEST = PRINT / 4
"""mm by which there may be a deeper place than the one that is told."""


class ToEdge(msgspec.Struct, frozen=True):
    """Signed distances (k,) in mm of places (k, 2) to the edge, positive over wood, and the nearest places there."""

    at: Floats
    distance: Floats
    foot: Floats


class ShapesToEdge(msgspec.Struct, frozen=True):
    """Shapes (n,) against the edge.

    Their least distances (n,) in mm, 0 where the edge runs through, and the places (n, 2) on the shape and the edge.
    """

    shapes: Shapes
    distance: Floats
    here: Floats
    there: Floats


class NearEdge(msgspec.Struct, frozen=True):
    """What the checks of the edge need to know of posts, small holes, seats, buttons and string legs."""

    posts: ToEdge
    holes: ToEdge
    seats: ShapesToEdge
    buttons: ShapesToEdge
    legs: ShapesToEdge


def polygons_of(boxes: Sequence[Box]) -> Shapes:
    """Boxes (n,) as areas."""
    return areas_of(corners_of(rows(boxes)))


def near_edge(edge: Edge, posts: Floats, holes: Floats, shapes: tuple[Shapes, Shapes, Shapes]) -> NearEdge:
    """Everything against the edge.

    `posts` and `holes` are places (n, 2); `shapes` are seats, buttons and legs of strings.
    """
    places = np.concatenate([posts, holes])
    things = np.concatenate([places_at(places), *shapes])
    distance, there, here = shortest(edge.line, things)
    distance[: len(places)] *= np.where(edge.contains(places), 1.0, -1.0)
    bounds = np.cumsum([0, len(posts), len(holes), *(len(each) for each in shapes)]).tolist()
    spans = [slice(first, last) for first, last in pairwise(bounds)]
    to = [ToEdge(places[span], distance[span], there[span]) for span in spans[:2]]
    of = [ShapesToEdge(things[span], distance[span], here[span], there[span]) for span in spans[2:]]
    return NearEdge(to[0], to[1], of[0], of[1], of[2])


def deepest(shape: shapely.Geometry, line: shapely.Geometry) -> tuple[float, Floats, Floats]:
    """The place (2,) of a shape's edge furthest from a line, its distance in mm, negative, and the place on the line.

    Within NEAR_DEEPEST. For parts of a shape that lie on the wrong side of the line; 0 where the shape has none.
    """
    one, two = _stretches(shapely.segmentize(shape, STEPS))
    if not len(one):
        place = shapely.get_coordinates(line)[0]
        return 0.0, place, place
    chords = _Chords.of(line)
    ones, twos = chords.to(one), chords.to(two)
    far, worst = max(ones.furthest(), twos.furthest(), key=lambda each: each[0])
    while len(still := np.flatnonzero(chords.at_most(ones, twos) > far + NEAR_DEEPEST)):
        ones, twos = ones.some(still), twos.some(still)
        middles = chords.to((ones.at + twos.at) / 2)
        far, worst = max((far, worst), middles.furthest(), key=lambda each: each[0])
        ones, twos = ones.joined(middles), middles.joined(twos)
    distance, there, here = shortest(line, places_at(worst[None]))
    return -float(distance[0]), here[0], there[0]


class _ToChords(msgspec.Struct, frozen=True):
    """Places (n, 2), the numbers (n,) of the chords nearest to them, and how far (n,) in mm those are."""

    at: Floats
    chord: Indices
    distance: Floats

    def some(self, chosen: Indices) -> _ToChords:
        return _ToChords(self.at[chosen], self.chord[chosen], self.distance[chosen])

    def joined(self, other: _ToChords) -> _ToChords:
        both = zip(msgspec.structs.astuple(self), msgspec.structs.astuple(other), strict=True)
        return _ToChords(*(np.concatenate(each) for each in both))

    def furthest(self) -> tuple[float, Floats]:
        worst = int(np.argmax(self.distance))
        return float(self.distance[worst]), self.at[worst]


class _Chords(msgspec.Struct, frozen=True):
    """A line chord by chord (k,)."""

    chords: Shapes
    tree: shapely.STRtree

    @classmethod
    def of(cls, line: shapely.Geometry) -> _Chords:
        corners = shapely.get_coordinates(line)
        chords = lines_of(np.stack([corners[:-1], corners[1:]], axis=1))
        return cls(chords, shapely.STRtree(chords))

    def to(self, at: Floats) -> _ToChords:
        (_, chord), distance = self.tree.query_nearest(places_at(at), return_distance=True, all_matches=False)
        return _ToChords(at, chord, distance)

    def at_most(self, ones: _ToChords, twos: _ToChords) -> Floats:
        """No place between two is further (n,) from the line than this.

        The distance from one chord is largest at one end of a stretch; nor does a distance grow faster than the way.
        """
        from_one = np.maximum(ones.distance, shapely.distance(self.chords[ones.chord], places_at(twos.at)))
        from_two = np.maximum(twos.distance, shapely.distance(self.chords[twos.chord], places_at(ones.at)))
        by_way = (ones.distance + twos.distance + np.hypot(*(twos.at - ones.at).T)) / 2
        least: Floats = np.minimum.reduce([from_one, from_two, by_way])
        return least


def _stretches(shape: shapely.Geometry) -> tuple[Floats, Floats]:
    """Both ends (n, 2) of every straight stretch of a shape's edge: of areas their rings, of lines themselves."""
    parts = shapely.get_parts(shapely.get_parts(shape))
    areas = shapely.get_type_id(parts) == shapely.GeometryType.POLYGON
    rings = np.concatenate([shapely.get_rings(parts[areas]), parts[~areas]])
    corners, ring = shapely.get_coordinates(rings, return_index=True)
    same = np.flatnonzero(ring[1:] == ring[:-1])
    return corners[same], corners[same + 1]
