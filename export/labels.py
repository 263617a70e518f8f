"""Finds a free place for every label beside what it names, or for those of a row of holes in step."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import chain, pairwise, product
from typing import assert_never

import msgspec

from export.drawing import Anchor, Drawing, Mark, Role, Text
from export.field import APART, Field
from export.text import ASCENT, DESCENT, LEADING, width
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle, Line
from geometry.shape.tolerance import FLAT, SAME

GAP = 0.6
"""Least blank in mm round a label."""

_NEAR = (0.8, 1.6, 2.6)  # how far in mm beyond its clear radius a label may stand without a leader
# How far in mm beyond its clear radius a label with a leader is tried.
_FAR = tuple(4.0 + 3.0 * step for step in range(40))


class Request(msgspec.Struct, frozen=True):
    """A wish for a label of one or more `lines` at a font size of `height` mm.

    It names what is at `anchor`, and stays out of the circle of `clear` mm round it.
    """

    anchor: Point
    lines: tuple[str, ...]
    height: float
    clear: float = 0.0
    role: Role = Role.LABEL
    bold: bool = False

    @property
    def size(self) -> Vector:
        """Width and height in mm of the block of lines."""
        wide = max(width(line, self.height, bold=self.bold) for line in self.lines)
        return Vector(wide, self.height * (ASCENT + DESCENT + LEADING * (len(self.lines) - 1)))


class Obstacles(msgspec.Struct, frozen=True):
    """What labels keep off: boxes and discs whole, and straight lines."""

    boxes: tuple[Bounds, ...] = ()
    circles: tuple[Circle, ...] = ()
    lines: tuple[Line, ...] = ()


def obstacles_of(drawing: Drawing, tolerance: float) -> Obstacles:
    """The marks of a drawing as obstacles; curves become lines that stray by `tolerance` mm at most."""
    boxes: list[Bounds] = []
    circles: list[Circle] = []
    lines: list[Line] = []
    for mark in drawing.marks:
        match mark.shape:
            case Text() as text:
                boxes.append(text.bounds)
            case Circle() as circle:
                circles.append(circle)
            case Contour() as contour:
                points = contour.flatten(tolerance)
                lines.extend(Line(a, b) for a, b in pairwise(points))
            case _:
                assert_never(mark.shape)
    return Obstacles(tuple(boxes), tuple(circles), tuple(lines))


def field_with(obstacles: Obstacles, requests: Iterable[Request]) -> Field:
    """The obstacles as a field; words keep out of the circles that requests want clear too."""
    clear = [Circle(each.anchor, each.clear - SAME) for each in requests if each.clear > SAME]
    return Field.of(obstacles.boxes, (*obstacles.circles, *clear), obstacles.lines)


# The ways a label may lie from its anchor, best first: x and y direction, and which side of the words is
# near.
_EAST: tuple[int, int, Anchor] = (1, 0, "start")
_WAYS: tuple[tuple[int, int, Anchor], ...] = (
    _EAST,
    (-1, 0, "end"),
    (0, 1, "middle"),
    (0, -1, "middle"),
    (1, 1, "start"),
    (-1, 1, "end"),
    (1, -1, "start"),
    (-1, -1, "end"),
)


class _Place(msgspec.Struct, frozen=True):
    box: Bounds
    side: Anchor


def place_labels(requests: Iterable[Request], obstacles: Obstacles, region: Bounds) -> tuple[Mark, ...]:
    """The labels, each at the first free place of a fixed order: the same wishes give the same drawing.

    A label stands close beside its anchor where there is room; else it stands farther off, at the end of a
    leader. No label overlaps an obstacle or another label, nor leaves `region` (mm); when the region is
    full, the labels that are left are stacked to the right of it.
    """
    wishes = tuple(requests)
    field = field_with(obstacles, wishes)
    marks: list[Mark] = []
    for request in wishes:
        place, leader = _chosen(request, field, region)
        marks.extend(words_in(request, place.box, place.side))
        if leader is not None:
            marks.append(Mark(Role.LEADER, Contour((leader,), closed=False)))
        field = field.with_box(place.box).with_lines((leader,) if leader is not None else ())
    return tuple(marks)


def _chosen(request: Request, field: Field, region: Bounds) -> tuple[_Place, Line | None]:
    near = next(_free_places(request, _NEAR, field, region), None)
    if near is not None:
        return near, None
    crossing: tuple[_Place, Line | None] | None = None
    for place in _free_places(request, _FAR, field, region):
        leader = _leader_if_far(request, place.box)
        if leader is None or field.unhindered(leader):
            return place, leader
        if crossing is None and field.off_boxes(leader):
            crossing = place, leader
    return crossing or _outside(request, field, region)


def _free_places(
    request: Request, distances: Iterable[float], field: Field, region: Bounds
) -> Iterator[_Place]:
    places = tuple(_places(request, distances))
    return (places[number] for number in field.free_among([each.box for each in places], GAP, region))


def _places(request: Request, distances: Iterable[float]) -> Iterator[_Place]:
    size = request.size
    for distance in distances:
        for x, y, side in _WAYS:
            yield _Place(box_beside(request, size, (x, y), distance), side)


def box_beside(request: Request, size: Vector, way: tuple[int, int], distance: float) -> Bounds:
    """The box of a label of this size that stands `distance` mm beyond its clear circle, in one of eight ways."""
    x, y = way
    reach = (request.clear + distance) * (0.7071 if x and y else 1.0)
    near = request.anchor + Vector(x * reach, y * reach)
    left, bottom = near.x + size.x * (x - 1) / 2, near.y + size.y * (y - 1) / 2
    return Bounds(left, bottom, left + size.x, bottom + size.y)


def _outside(request: Request, field: Field, region: Bounds) -> tuple[_Place, Line | None]:
    size = request.size
    left, bottom = region.right + APART, region.top - size.y
    while not field.free(Bounds(left, bottom, left + size.x, bottom + size.y), GAP, None):
        bottom -= size.y / 2
    place = _Place(Bounds(left, bottom, left + size.x, bottom + size.y), "start")
    return place, _leader_if_far(request, place.box)


def _nearest(request: Request, box: Bounds) -> Point:
    """The place of a box that is nearest to what its label names."""
    at = request.anchor
    return Point(min(max(at.x, box.left), box.right), min(max(at.y, box.bottom), box.top))


def _leader(request: Request, box: Bounds, free: float = 0.0) -> Line:
    """From `free` mm off the edge of what is kept clear to just short of the box."""
    near = _nearest(request, box)
    way = (near - request.anchor).unit()
    return Line(request.anchor + way * (request.clear + free), near - way * (GAP / 2))


def _leader_if_far(request: Request, box: Bounds) -> Line | None:
    """The leader to a box; None where there is no way to go."""
    far = _nearest(request, box).distance(request.anchor) >= request.clear + GAP
    return _leader(request, box) if far else None


def words_in(request: Request, box: Bounds, side: Anchor) -> Iterator[Mark]:
    """The lines of a label in its box, in line at one side of it."""
    x = {"start": box.left, "middle": box.centre.x, "end": box.right}[side]
    top = box.top - request.height * ASCENT
    for index, line in enumerate(request.lines):
        at = Point(x, top - index * LEADING * request.height)
        text = Text(at, request.height, line, anchor=side, bold=request.bold)
        yield Mark(request.role, text)


# A row of holes in step, as a draughtsman sets their labels


_ANCHORS: dict[int, Anchor] = {-1: "end", 0: "middle", 1: "start"}
_OFF = 2.0
_FREE = 0.1  # a leader begins so far in mm off what its label keeps clear of
_REACHES = (*_NEAR, 4.0, 5.5, 7.0)
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
        led = requests if leaders and distance > _NEAR[-1] else ()
        lines = [_leader(request, box, _FREE) for request, box in zip(led, boxes, strict=False)]
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
    field, solid = field_with(found, requests), Field.of(found.boxes, found.circles, ())
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
