"""Whether the bodies of a row stand in line, so that a straightedge lays them out."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.box import Box
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME

# mm; a body further off a straightedge shows light under it, which an eye sees. Workshop practice, no source.
_OFF_LINE = 0.2

OFF_TURN = 0.5
"""Degrees; a body that is turned further than this touches a straightedge with one corner: its far corner, some 20 mm
off, stands away by about 0.2 mm. Workshop practice, no source."""


Laid = Literal["straightedge", "comb", "back"]
"""What bodies are turned by before their screws are drilled: a straightedge, combs, or the drawing of the back."""


def laid_by(layout: Layout) -> Laid:
    """What turns all bodies of the rows that have screws or pins as the layout has them.

    A straightedge where all of these rows are in line, combs where tuners have bodies or seats to lay between lines.
    """
    held = {key for hole in layout.holes for key in hole.owners}
    rows = [row for row in _rows(layout) if held.intersection(post.key for post in row)]
    if all(map(in_line, rows)):
        return "straightedge"
    return "comb" if all(body_of(post) is not None for row in rows for post in row) else "back"


def bent_by(before: Layout, after: Layout) -> frozenset[str]:
    """The keys of the rows that are straight before a change, and are not after it."""
    straight = {row[0].row for row in _rows(before) if not _bent(row)}
    return frozenset(row[0].row for row in _rows(after) if row[0].row in straight and _bent(row))


def _bent(row: Sequence[PlacedPost]) -> bool:
    """Whether a row looks bent: two posts always stand on one line, only their bodies may turn against each other."""
    if len(row) != 2:
        return not in_line(row)
    boxes = [box for post in row if (box := body_of(post)) is not None]
    return len(boxes) == 2 and abs(math.degrees(_turn(boxes[0].along, boxes[1].along))) > OFF_TURN


def _rows(layout: Layout) -> list[tuple[PlacedPost, ...]]:
    return [tuple(posts) for _, posts in groupby(layout.posts, key=lambda post: post.row)]


def in_line(posts: Sequence[PlacedPost]) -> bool:
    """Whether the bodies of the posts of a row lie against one straight line, as near as a straightedge shows it.

    Bodies, else seats; tuners without either are held against it by the middles of their bores. A plate is straight
    itself.
    """
    if len(posts) < 2 or posts[0].hardware.plate is not None:
        return True
    boxes = [box for post in posts if (box := body_of(post)) is not None]
    if len(boxes) < len(posts):
        return _off([post.at - posts[0].at for post in posts]) <= _OFF_LINE
    outward = posts[0].tuner.outward
    inner = [_flank(box, outward) - _flank(boxes[0], outward) for box in boxes]
    line = inner[-1] if inner[-1].length > SAME else boxes[0].along
    turned = max(abs(math.degrees(_turn(line, box.along))) for box in boxes)
    return turned <= OFF_TURN and _off(inner) <= _OFF_LINE


def body_of(post: PlacedPost) -> Box | None:
    """What of a tuner lies against a straightedge: its body, else its seat."""
    return post.body if post.body is not None else post.seat


def _flank(box: Box, outward: Vector) -> Vector:
    """The middle of the side of a box that looks away from the buttons, from the origin."""
    inwards = box.across if box.across.dot(outward) < 0 else -box.across
    middle = box.centre + inwards * box.half_across
    return Vector(middle.x, middle.y)


def _turn(one: Vector, other: Vector) -> float:
    """The angle in radians between two lines, counter-clockwise, from -pi/2 to pi/2."""
    turn = math.atan2(one.cross(other), one.dot(other))
    return turn - math.copysign(math.pi, turn) if abs(turn) > math.pi / 2 else turn


def _off(ways: Sequence[Vector]) -> float:
    """How far in mm places stand off the line through the first and the last, given from the first."""
    last = ways[-1]
    if last.length <= SAME:
        return max(way.length for way in ways)
    return max(abs(last.unit().cross(way)) for way in ways)
