"""Oriented rectangles (bodies, washers, plates, buttons) and the gaps between them and discs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.close import Flags, Floats, Indices, dot
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector

if TYPE_CHECKING:
    import numpy.typing as npt


class Box(msgspec.Struct, frozen=True, forbid_unknown_fields=True, gc=False):
    """A rectangle around `centre`, its first axis in the unit direction `along`, half sizes in mm."""

    centre: Point
    along: Vector
    half_along: float
    half_across: float

    @property
    def across(self) -> Vector:
        """The unit direction of the second axis, to the left of the first."""
        return self.along.left

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """The corners counter-clockwise, first the one behind and to the right of the centre."""
        step, side = self.along * self.half_along, self.across * self.half_across
        return (
            self.centre - step - side,
            self.centre + step - side,
            self.centre + step + side,
            self.centre - step + side,
        )

    @property
    def bounds(self) -> Bounds:
        """The upright rectangle around the box."""
        return bounds_of(self.corners())

    @property
    def row(self) -> tuple[float, float, float, float, float, float]:
        """The box as a row for `box_gaps`."""
        return (
            self.centre.x,
            self.centre.y,
            self.along.x,
            self.along.y,
            self.half_along,
            self.half_across,
        )

    def mirrored(self) -> Box:
        """The mirror image in the y axis."""
        return Box(self.centre.mirrored, self.along.mirrored, self.half_along, self.half_across)

    def moved(self, step: Vector) -> Box:
        """The box displaced by `step`."""
        return Box(self.centre + step, self.along, self.half_along, self.half_across)

    def contour(self) -> Contour:
        """The edge of the box, closed and counter-clockwise; a box without area is a programming error."""
        return through(self.corners(), closed=True)

    def contains(self, point: Point) -> bool:
        """Whether the point lies inside or on the edge."""
        offset = point - self.centre
        return (
            abs(offset.dot(self.along)) <= self.half_along
            and abs(offset.dot(self.across)) <= self.half_across
        )


def rows(boxes: Sequence[Box]) -> Floats:
    """The boxes as an array (n, 6): centre x, y, direction x, y, half sizes along and across."""
    return np.array([box.row for box in boxes], float).reshape(-1, 6)


def box_gaps(boxes: Floats, i: Indices, j: Indices) -> tuple[Floats, Floats, Floats]:
    """The gaps (k,) between boxes i (k,) and j (k,) of an array (n, 6) as of `rows`, and both places (k, 2).

    The distance is exact; negative is the depth along the side direction that parts the two soonest.
    """
    one, other = boxes[i], boxes[j]
    corners, other_corners = _corners(one), _corners(other)
    depth, axis, of_one = _depths(one, other)
    distance, here, there = _apart(one, other, corners, other_corners)
    for row in np.flatnonzero(depth < 0).tolist():
        distance[row] = depth[row]
        if of_one[row]:
            there[row] = _furthest(other_corners[:, row], -axis[row])
            here[row] = there[row] - axis[row] * depth[row]
        else:
            here[row] = _furthest(corners[:, row], axis[row])
            there[row] = here[row] + axis[row] * depth[row]
    return distance, here, there


def box_disc_gaps(
    boxes: npt.ArrayLike, centres: npt.ArrayLike, radii: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """The gaps (k,) between boxes (k, 6) and discs around centres (k, 2), the places on both (k, 2).

    Negative is how far the disc reaches into the box, measured the shortest way out.
    """
    table, places = np.asarray(boxes, float), np.asarray(centres, float)
    distance, nearest, outward = _edge(table, places)
    radius = np.asarray(radii, float)
    there = places - outward * radius[:, None]
    return distance - radius, nearest, there


def _axes(boxes: Floats) -> tuple[Floats, Floats]:
    """The unit directions (k, 2) along and across."""
    along = boxes[:, 2:4]
    return along, np.stack([-along[:, 1], along[:, 0]], axis=1)


def _corners(boxes: Floats) -> Floats:
    """The corners (4, k, 2) counter-clockwise."""
    along, across = _axes(boxes)
    step, side = along * boxes[:, 4:5], across * boxes[:, 5:6]
    centre = boxes[:, :2]
    return np.stack([centre - step - side, centre + step - side, centre + step + side, centre - step + side])


def _into(boxes: Floats, places: Floats) -> Floats:
    """Places (..., k, 2) in the axes of the boxes (k, 6)."""
    along, across = _axes(boxes)
    offset = places - boxes[:, :2]
    return np.stack([dot(offset, along), dot(offset, across)], axis=-1)


def _out_of(boxes: Floats, local: Floats) -> Floats:
    """Places (..., k, 2) from the axes of the boxes (k, 6)."""
    along, across = _axes(boxes)
    places: Floats = boxes[:, :2] + local[..., :1] * along + local[..., 1:] * across
    return places


def _apart(
    one: Floats, other: Floats, corners: Floats, other_corners: Floats
) -> tuple[Floats, Floats, Floats]:
    """Distances (k,) of boxes that do not overlap, places on one and on the other: from some corner."""
    half, other_half = one[:, 4:6], other[:, 4:6]
    feet = _out_of(other, np.clip(_into(other, corners), -other_half, other_half))
    other_feet = _out_of(one, np.clip(_into(one, other_corners), -half, half))
    heres, theres = np.concatenate([corners, other_feet]), np.concatenate([feet, other_corners])
    way = heres - theres
    distances = np.hypot(way[..., 0], way[..., 1])
    best, row = np.argmin(distances, axis=0), np.arange(len(one))
    return distances[best, row], heres[best, row], theres[best, row]


def _depths(one: Floats, other: Floats) -> tuple[Floats, Floats, Flags]:
    """How far apart (k,) boxes are along the best of their four axes, that axis (k, 2) from one to the other.

    The third array says whether it is an axis of the first box.
    """
    axes = np.stack([*_axes(one), *_axes(other)])
    between = dot(axes, other[:, :2] - one[:, :2])
    apart = np.abs(between) - _half_width(one, axes) - _half_width(other, axes)
    best, row = np.argmax(apart, axis=0), np.arange(len(one))
    sign = np.where(between[best, row] < 0, -1.0, 1.0)
    return apart[best, row], axes[best, row] * sign[:, None], best < 2


def _half_width(boxes: Floats, axes: Floats) -> Floats:
    """Half the extent (..., k) of boxes (k, 6) along unit axes (..., k, 2)."""
    along, across = _axes(boxes)
    width: Floats = np.abs(dot(axes, along)) * boxes[:, 4]
    width += np.abs(dot(axes, across)) * boxes[:, 5]
    return width


def _furthest(corners: Floats, axis: Floats) -> Floats:
    """The corner (2,) of several (4, 2) that lies furthest along an axis."""
    furthest: Floats = corners[int(np.argmax(corners @ axis))]
    return furthest


def _edge(boxes: Floats, places: Floats) -> tuple[Floats, Floats, Floats]:
    """Signed distances (k,) of places (k, 2) to boxes, negative inside, and the nearest edge places (k, 2).

    The third array (k, 2) is the unit direction out of the box at that place, towards a place outside.
    """
    local, half = _into(boxes, places), boxes[:, 4:6]
    over = np.abs(local) - half
    inside = np.all(over <= 0, axis=1)
    # From inside the shortest way out is across the nearer side.
    out_first = over[:, 0] >= over[:, 1]
    side = np.where(local < 0, -1.0, 1.0)
    leaving = side * np.stack([out_first, ~out_first], axis=1)
    foot = np.clip(local, -half, half)
    foot_inside = np.where(leaving != 0, side * half, local)
    way = local - foot
    length = np.hypot(way[:, 0], way[:, 1])
    outward = np.where(inside[:, None], leaving, way / np.where(length > 0, length, 1.0)[:, None])
    nearest = np.where(inside[:, None], foot_inside, foot)
    distance = np.where(inside, over.max(axis=1), length)
    along, across = _axes(boxes)
    return distance, _out_of(boxes, nearest), outward[:, :1] * along + outward[:, 1:] * across
