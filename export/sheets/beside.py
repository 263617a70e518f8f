"""Labels of a row of holes in step: each at the same side of its hole, as a draughtsman sets them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, product

import msgspec

from export.drawing import Anchor, Drawing, Mark, Role
from export.field import Field
from export.labels import GAP, NEAR, Request, box_beside, field_with, obstacles_of, place_labels, words_in
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Line
from geometry.shape.tolerance import FLAT

_ANCHORS: dict[int, Anchor] = {-1: "end", 0: "middle", 1: "start"}
_OFF = 2.0
_FREE = 0.1  # a leader begins so far in mm off what its label keeps clear of
_REACHES = (*NEAR, 4.0, 5.5, 7.0)
_ASIDE = tuple(0.5 * step for step in range(60))
_STEPS = sorted(
    product((0.5 * step for step in range(40)), (2.0 * shift for shift in range(-7, 8))),
    key=lambda each: (each[0] + abs(each[1]), each),
)


def field_of(drawing: Drawing, requests: Sequence[Request] = ()) -> Field:
    """The drawing as a field of obstacles; words, too, keep out of the circles that requests want clear."""
    return field_with(obstacles_of(drawing, FLAT), requests)


def in_step(
    requests: Sequence[Request], sign: int, drawing: Drawing, region: Bounds, *, leaders: bool = False
) -> Drawing | None:
    """Labels that all stand in the same direction and distance from their anchors, none in the way.

    `sign` is that of x on the side of the row. With `leaders`, labels that stand off are led to. None when no
    such direction is free for all.
    """
    field = field_of(drawing, requests)
    ways = ((0, 1), (-sign, 1), (sign, 1), (-sign, 0), (sign, 0), (0, -1), (-sign, -1), (sign, -1))
    for distance, way in product(_REACHES, ways):
        boxes = [box_beside(each, each.size, way, distance) for each in requests]
        led = requests if leaders and distance > NEAR[-1] else ()
        lines = [_leader(request, box) for request, box in zip(led, boxes, strict=False)]
        if _all_free(boxes, field, region) and all(field.off_boxes(line) for line in lines):
            marks = [Mark(Role.LEADER, Contour((line,))) for line in lines]
            words = (words_in(*each, _ANCHORS[way[0]]) for each in zip(requests, boxes, strict=True))
            return Drawing((*chain.from_iterable(words), *marks))
    return None


class Side(msgspec.Struct, frozen=True):
    """A side of a hole to label it from: towards +x or -x, beyond the edge of something at this x in mm."""

    sign: int
    edge: float


def aside(requests: Sequence[Request], sides: Sequence[tuple[Side, ...]], drawing: Drawing) -> Drawing | None:
    """Labels beyond an edge, level with their anchors if they can be, at the ends of leaders that meet no hole.

    Each stands on the first of its sides that has a place; None when one finds none.
    """
    found = obstacles_of(drawing, FLAT)
    field, solid = field_of(drawing, requests), Field.of(found.boxes, found.circles, ())
    marks: list[Mark] = []
    for request, choice in zip(requests, sides, strict=True):
        places = (_beyond(request, side, field, solid) for side in choice)
        place = next((place for place in places if place is not None), None)
        if place is None:
            return None
        box, leader, anchor = place
        marks += words_in(request, box, anchor)
        marks.append(Mark(Role.LEADER, Contour((leader,))))
        field, solid = field.with_box(box).with_lines((leader,)), solid.with_box(box)
    return Drawing(tuple(marks))


def on_line(words: str, height: float, line: tuple[Point, Point], drawing: Drawing) -> Drawing | None:
    """Words just above or below a level line, or off one of its ends; None where all these places are taken."""
    field = field_of(drawing)
    wish = Request(line[0], (words,), height)
    left, right = line
    y, size = left.y, wish.size
    places = [left.x + 1.5 * GAP + step for step in _ASIDE if left.x + step + size.x < right.x]
    corners = [Point(x, low) for x in places for low in (y + 1.2 * GAP, y - 1.2 * GAP - size.y)]
    for off in (_OFF + step for step in range(12)):
        corners += [Point(x, y - size.y / 2) for x in (right.x + off, left.x - off - size.x)]
    for corner in corners:
        box = Bounds(corner.x, corner.y, corner.x + size.x, corner.y + size.y)
        if field.free(box, GAP, None):
            return Drawing(tuple(words_in(wish, box, "start")))
    return None


def anywhere(requests: Sequence[Request], drawing: Drawing, region: Bounds) -> Drawing:
    """Labels at the nearest free places of the region, with leaders where they must stand far off."""
    return Drawing(place_labels(requests, obstacles_of(drawing, FLAT), region))


def _leader(request: Request, box: Bounds) -> Line:
    at = request.anchor
    near = Point(min(max(at.x, box.left), box.right), min(max(at.y, box.bottom), box.top))
    way = (near - at).unit()
    return Line(at + way * (request.clear + _FREE), near - way * (GAP / 2))


def _all_free(boxes: Sequence[Bounds], field: Field, region: Bounds) -> bool:
    for box in boxes:
        if not field.free(box, GAP, region):
            return False
        field = field.with_box(box)
    return True


def _beyond(request: Request, side: Side, field: Field, solid: Field) -> tuple[Bounds, Line, Anchor] | None:
    """The free place beyond the edge that is nearest to it and most nearly level, and the leader to it."""
    size = request.size
    least = request.clear + _OFF
    reach = side.sign * (side.edge - request.anchor.x) + _OFF
    for step, shift in _STEPS:
        near = request.anchor + Vector(side.sign * max(least, reach + step), shift)
        left = near.x if side.sign > 0 else near.x - size.x
        box = Bounds(left, near.y - size.y / 2, left + size.x, near.y + size.y / 2)
        way = (near - request.anchor).unit()
        leader = Line(request.anchor + way * (request.clear + _FREE), near - way * GAP)
        if field.free(box, GAP, None) and solid.unhindered(leader):
            return box, leader, _ANCHORS[side.sign]
    return None
