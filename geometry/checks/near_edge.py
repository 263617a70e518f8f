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
from geometry.shape.shapes import Shapes, areas_of, places_at, shortest
from geometry.shape.tolerance import SAME

FINER = 26
"""So many places from one to the next where it is deepest: steps of a hundredth of a mm."""

STEPS = 0.25
"""mm between the places looked at along what lies on the wrong side of the edge, to say how far."""


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

    For parts of a shape that lie on the wrong side of the line; 0 where the shape has none.
    """
    corners = shapely.get_coordinates(shapely.segmentize(shape, STEPS))
    if not len(corners):
        place = shapely.get_coordinates(line)[0]
        return 0.0, place, place
    distance, _, _ = shortest(line, places_at(corners))
    finer = _finer(corners, np.flatnonzero(distance >= distance.max() - STEPS / 2))
    distance, there, here = shortest(line, places_at(finer))
    worst = int(np.argmax(distance))
    return -float(distance[worst]), here[worst], there[worst]


def _finer(corners: Floats, near: Indices) -> Floats:
    """Places round those corners on the way to their neighbours, FINER to each.

    Between two of them a distance cannot be more than half a step larger than at either, so that the largest is there.
    """
    shares = np.linspace(0.0, 1.0, FINER)[:, None, None]
    found = [corners[near]]
    for step in (-1, 1):
        one, two = corners[near], corners[np.clip(near + step, 0, len(corners) - 1)]
        # Where a ring ends another may begin, far off.
        beside = np.hypot(*(two - one).T) <= STEPS * (1 + SAME)
        found.append((one + (two - one) * shares)[:, beside].reshape(-1, 2))
    return np.concatenate(found)
