"""The marks that help to join the pages of a divided drawing."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import QUARTER, Drawing, Mark, Role, Text
from export.field import Field
from export.furniture import SMALL, Tile
from export.labels import Obstacles
from export.sheet import Sheet
from export.text import CAP, shortened
from export.tiles import OVERLAP, Span, seams_between
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle, Line
from geometry.shape.tolerance import SAME

BORDER = 4.5
"""Width in mm of the band round a part in which the names of its neighbours stand."""

_ARM, _RING = 4.0, 2.0


def crosses(columns: tuple[Span, ...], rows: tuple[Span, ...], obstacles: Obstacles) -> tuple[Point, ...]:
    """Places on the seams for registration crosses, two to each side of a part, off obstacles if possible.

    Both pages that meet at a seam show the same places of the sheet, so that they can be laid on each other.
    """
    field = Field.of(obstacles.boxes, obstacles.circles, obstacles.lines)
    upright = [
        _free(field, [Point(seam, y) for y in _stations(row, place)])
        for seam in seams_between(columns)
        for row in rows
        for place in (0, 1)
    ]
    lying = [
        _free(field, [Point(x, seam) for x in _stations(column, place)])
        for seam in seams_between(rows)
        for column in columns
        for place in (0, 1)
    ]
    return tuple(dict.fromkeys((*upright, *lying)))


def _stations(span: Span, half: int) -> list[float]:
    """Places along one half of a stretch, the farthest out first, off the overlaps at its ends."""
    low, high = span.low + OVERLAP + _ARM, span.high - OVERLAP - _ARM
    middle = (span.low + span.high) / 2
    if high <= low:
        return [middle]
    count = 24
    start = low if half == 0 else high
    return [start + (middle - start) * step / count for step in range(count)]


def _free(field: Field, places: list[Point]) -> Point:
    for place in places:
        if field.free(Bounds(place.x, place.y, place.x, place.y).grown(_ARM), 1.0, None):
            return place
    return places[0]


def joint_marks(
    region: Bounds, tile: Tile, columns: tuple[Span, ...], rows: tuple[Span, ...], at: tuple[Point, ...]
) -> Sheet:
    """The crosses that lie whole in `region`, its seams, and its edges where a neighbour goes on; in sheet mm."""
    whole = region.grown(SAME - _ARM)
    marks = [
        *(mark for place in at if whole.contains(place) for mark in _cross(place)),
        *(Mark(Role.SEAM, line, "seam") for line in _seams(region, columns, rows)),
        *(Mark(Role.TILE_EDGE, line, "end of this page") for line in _edges(region, tile)),
    ]
    return Sheet("joint", "Marks for joining", region, Drawing(tuple(marks)))


def _cross(place: Point) -> Iterator[Mark]:
    x, y = place.x, place.y
    yield Mark(Role.REGISTRATION, _line(x - _ARM, y, x + _ARM, y))
    yield Mark(Role.REGISTRATION, _line(x, y - _ARM, x, y + _ARM))
    yield Mark(Role.REGISTRATION, Circle(place, _RING))


def _seams(region: Bounds, columns: tuple[Span, ...], rows: tuple[Span, ...]) -> Iterator[Contour]:
    for x in seams_between(columns):
        if region.left < x < region.right:
            yield _line(x, region.bottom, x, region.top)
    for y in seams_between(rows):
        if region.bottom < y < region.top:
            yield _line(region.left, y, region.right, y)


def _edges(region: Bounds, tile: Tile) -> Iterator[Contour]:
    left, bottom, right, top = region.left, region.bottom, region.right, region.top
    if tile.column > 1:
        yield _line(left, bottom, left, top)
    if tile.column < tile.columns:
        yield _line(right, bottom, right, top)
    if tile.row > 1:
        yield _line(left, top, right, top)
    if tile.row < tile.rows:
        yield _line(left, bottom, right, bottom)


def neighbours(box: Bounds, tile: Tile) -> Iterator[Mark]:
    """Beside each edge of a part, which part goes on there; `box` is the part's place in page mm."""
    middle, drop = box.centre, SMALL * CAP
    if tile.column > 1:
        at = Point(box.left - 1.2, middle.y)
        yield _name(at, tile.name_at(tile.row, tile.column - 1), box.height, QUARTER)
    if tile.column < tile.columns:
        at = Point(box.right + 1.2 + drop, middle.y)
        yield _name(at, tile.name_at(tile.row, tile.column + 1), box.height, QUARTER)
    if tile.row > 1:
        yield _name(Point(middle.x, box.top + 1.2), tile.name_at(tile.row - 1, tile.column), box.width, 0.0)
    if tile.row < tile.rows:
        at = Point(middle.x, box.bottom - 1.2 - drop)
        yield _name(at, tile.name_at(tile.row + 1, tile.column), box.width, 0.0)


def _name(at: Point, part: str, room: float, angle: float) -> Mark:
    words = shortened(f"Join part {part} here: lay cross on cross", room, SMALL)
    return Mark(Role.TITLE, Text(at, SMALL, words, angle, "middle"))


def _line(x: float, y: float, to_x: float, to_y: float) -> Contour:
    return Contour((Line(Point(x, y), Point(to_x, to_y)),), closed=False)
