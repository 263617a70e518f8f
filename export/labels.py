"""Finds a free place for every label beside what it names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise
from typing import assert_never

import msgspec

from export.drawing import Anchor, Drawing, Mark, Role, Text
from export.field import APART, Field
from export.text import ASCENT, DESCENT, LEADING, width
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle, Line
from geometry.shape.tolerance import SAME

GAP = 0.6
"""Least blank in mm round a label."""

NEAR = (0.8, 1.6, 2.6)
"""How far in mm beyond its clear radius a label may stand without a leader."""

FAR = tuple(4.0 + 3.0 * step for step in range(40))
"""How far in mm beyond its clear radius a label with a leader is tried."""


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
    near = next(_free_places(request, NEAR, field, region), None)
    if near is not None:
        return near, None
    crossing: tuple[_Place, Line | None] | None = None
    for place in _free_places(request, FAR, field, region):
        leader = _leader(request, place.box)
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
    return place, _leader(request, place.box)


def _leader(request: Request, box: Bounds) -> Line | None:
    """From the edge of what is kept clear to just short of the box; None where there is no way to go."""
    near = Point(
        min(max(request.anchor.x, box.left), box.right), min(max(request.anchor.y, box.bottom), box.top)
    )
    if near.distance(request.anchor) < request.clear + GAP:
        return None
    way = (near - request.anchor).unit()
    return Line(request.anchor + way * request.clear, near - way * (GAP / 2))


def words_in(request: Request, box: Bounds, side: Anchor) -> Iterator[Mark]:
    """The lines of a label in its box, in line at one side of it."""
    x = {"start": box.left, "middle": box.centre.x, "end": box.right}[side]
    top = box.top - request.height * ASCENT
    for index, line in enumerate(request.lines):
        at = Point(x, top - index * LEADING * request.height)
        text = Text(at, request.height, line, anchor=side, bold=request.bold)
        yield Mark(request.role, text)
