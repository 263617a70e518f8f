"""How far everything is from the edge, asked in two goes: it costs far less than asking part by part."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec
import numpy as np

from geometry.layout.edge import Edge
from geometry.shape.box import Box, rows
from geometry.shape.close import Flags, Floats


class ToEdge(msgspec.Struct, frozen=True):
    """Signed distances (k,) in mm of places (k, 2) to the edge, positive over wood, and the nearest places there."""

    at: Floats
    distance: Floats
    foot: Floats


class BoxesToEdge(msgspec.Struct, frozen=True):
    """Boxes against the edge.

    `distance` (n,) is the least unsigned distance of their sides, `here` and `there` (n, 2) its ends. `corners`
    (n, 4, 2), and for each whether it lies over wood, `inside` (n, 4).
    """

    distance: Floats
    here: Floats
    there: Floats
    corners: Floats
    inside: Flags


class LegsToEdge(msgspec.Struct, frozen=True):
    """Unsigned distances (m,) of straight legs to the edge, 0 where one crosses it, and the ends of each."""

    distance: Floats
    here: Floats
    there: Floats


class NearEdge(msgspec.Struct, frozen=True):
    """What the checks of the edge need to know of posts, small holes, seats, buttons and string legs."""

    posts: ToEdge
    holes: ToEdge
    seats: BoxesToEdge
    buttons: BoxesToEdge
    legs: LegsToEdge


def corners_of(boxes: Sequence[Box]) -> Floats:
    """Corners (n, 4, 2) of boxes, counter-clockwise."""
    table = rows(boxes)
    along = table[:, 2:4] * table[:, 4:5]
    across = np.stack([-table[:, 3], table[:, 2]], axis=1) * table[:, 5:6]
    centre, one, two = table[:, :2], along + across, along - across
    return np.stack([centre - one, centre + two, centre + one, centre - two], axis=1)


def near_edge(
    edge: Edge,
    posts: Floats,
    holes: Floats,
    seats: Floats,
    buttons: Floats,
    legs: tuple[Floats, Floats],
) -> NearEdge:
    """Everything against the edge.

    `posts` and `holes` are places (n, 2), `seats` and `buttons` corners of boxes (n, 4, 2), `legs` starts and ends
    (m, 2).
    """
    corners = np.concatenate([seats, buttons])
    places = np.concatenate([posts, holes])
    distance, foot = edge.distance(places) if len(places) else (np.empty(0), places)
    inside = edge.contains(corners.reshape(-1, 2)).reshape(-1, 4)
    starts = np.concatenate([corners.reshape(-1, 2), legs[0]])
    ends = np.concatenate([corners[:, [1, 2, 3, 0]].reshape(-1, 2), legs[1]])
    sides = edge.pieces.segment_distance(starts, ends) if len(starts) else (np.empty(0), starts, ends)
    n, m, s = len(posts), len(posts) + len(holes), len(seats)
    boxes = _boxes(corners, inside, sides)
    count = 4 * len(corners)
    return NearEdge(
        posts=ToEdge(posts, distance[:n], foot[:n]),
        holes=ToEdge(holes, distance[n:m], foot[n:m]),
        seats=_part(boxes, slice(0, s)),
        buttons=_part(boxes, slice(s, None)),
        legs=LegsToEdge(sides[0][count:], sides[1][count:], sides[2][count:]),
    )


def _boxes(corners: Floats, inside: Flags, sides: tuple[Floats, Floats, Floats]) -> BoxesToEdge:
    count = len(corners)
    best = np.arange(0, 4 * count, 4)
    if count:
        best = best + np.argmin(sides[0][: 4 * count].reshape(-1, 4), axis=1)
    return BoxesToEdge(
        distance=sides[0][best],
        here=sides[1][best],
        there=sides[2][best],
        corners=corners,
        inside=inside,
    )


def _part(boxes: BoxesToEdge, span: slice) -> BoxesToEdge:
    return BoxesToEdge(
        boxes.distance[span],
        boxes.here[span],
        boxes.there[span],
        boxes.corners[span],
        boxes.inside[span],
    )
