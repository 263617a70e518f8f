"""Oriented rectangles (bodies, washers, plates, buttons) and the gaps between them and discs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import msgspec
import numpy as np

from geometry.shape.bounds import Bounds, bounds_of
from geometry.shape.close import Flags, Floats, Indices, dot, left
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.shapes import areas_of, depth_out, shortest
from geometry.shape.tolerance import SAME

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
        return (self.centre.x, self.centre.y, self.along.x, self.along.y, self.half_along, self.half_across)

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


def corners_of(boxes: Floats) -> Floats:
    """The corners (n, 4, 2) of boxes (n, 6) as of `rows`, counter-clockwise."""
    along, across = _axes(boxes)
    step, side, centre = along * boxes[:, 4:5], across * boxes[:, 5:6], boxes[:, :2]
    return np.stack(
        [centre - step - side, centre + step - side, centre + step + side, centre - step + side], axis=1
    )


def box_gaps(boxes: Floats, i: Indices, j: Indices) -> tuple[Floats, Floats, Floats]:
    """The gaps (k,) between boxes i (k,) and j (k,) of an array (n, 6) as of `rows`, and both places (k, 2).

    Negative is the depth along the side direction that parts the two soonest.
    """
    corners = corners_of(boxes)
    shapes = areas_of(corners)
    distance, here, there = shortest(shapes[i], shapes[j])
    # Where sides cross, rounding may leave a way that is not quite nothing.
    meet = np.flatnonzero(distance < SAME)
    if not len(meet):
        return distance, here, there
    depth, axis, of_one = _depths(boxes[i[meet]], boxes[j[meet]])
    for row, deep, way, own in zip(meet.tolist(), depth.tolist(), axis, of_one.tolist(), strict=True):
        distance[row] = deep
        if own:
            there[row] = _furthest(corners[j[row]], -way)
            here[row] = there[row] - way * deep
        else:
            here[row] = _furthest(corners[i[row]], way)
            there[row] = here[row] + way * deep
    return distance, here, there


def box_disc_gaps(
    boxes: npt.ArrayLike, centres: npt.ArrayLike, radii: npt.ArrayLike
) -> tuple[Floats, Floats, Floats]:
    """The gaps (k,) between boxes (k, 6) and discs around centres (k, 2), the places on both (k, 2).

    Negative is how far the disc reaches into the box, measured the shortest way out.
    """
    shapes, places = areas_of(corners_of(np.asarray(boxes, float))), np.asarray(centres, float)
    radius = np.asarray(radii, float)
    distance, here = depth_out(shapes, places)
    out = (places - here) / np.where(distance == 0, 1.0, distance)[:, None]
    return distance - radius, here, places - out * radius[:, None]


def _axes(boxes: Floats) -> tuple[Floats, Floats]:
    """The unit directions (k, 2) along and across."""
    along = boxes[:, 2:4]
    return along, left(along)


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
    return np.asarray(corners[int(np.argmax(corners @ axis))])
