"""Where a drawing that is too large for one page is divided, and the marks that help to join its pages."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from itertools import pairwise

import msgspec

from export.drawing import QUARTER, Drawing, Mark, Role, Sheet, Text
from export.field import Field
from export.furniture import SMALL, Tile
from export.labels import Obstacles
from export.text import CAP, shortened
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle, Line
from geometry.shape.tolerance import SAME

OVERLAP = 10.0
"""Width in mm of the band that two neighbouring pages both show."""

CLEAR = 1.0
"""How far in mm a seam keeps off a hole."""


class Span(msgspec.Struct, frozen=True, gc=False):
    """A stretch of one axis or along a line, in mm."""

    low: float
    high: float

    @property
    def length(self) -> float:
        """Length in mm."""
        return self.high - self.low


class _Avoid(msgspec.Struct, frozen=True):
    holes: tuple[Span, ...]
    words: tuple[Span, ...]


def spans(
    whole: Span, room: float, holes: Iterable[Span] = (), words: Iterable[Span] = ()
) -> tuple[Span, ...]:
    """The stretches that pages of `room` mm show, in rising order; neighbours share `OVERLAP` mm.

    The seam runs along the middle of the overlap. It keeps off `holes` when it can: a page more is taken
    when that saves a crossing. Among the places that are left it takes one with few `words` in the overlap.
    """
    if whole.length <= room:
        return (whole,)
    avoid = _Avoid(tuple(holes), tuple(words))
    step = room - OVERLAP
    assert step > 0, "the page is smaller than the overlap"
    fewest = max(2, math.ceil((whole.length - OVERLAP) / step - 1e-9))
    choices = [_seams(whole, count, step, avoid) for count in (fewest, fewest + 1)]
    best = min(choices, key=lambda seams: sum(_crossed(seam, CLEAR, avoid.holes) for seam in seams))
    return _between(whole, best)


def seams_between(pieces: tuple[Span, ...]) -> tuple[float, ...]:
    """The places of the seams between neighbouring stretches."""
    return tuple((before.high + after.low) / 2 for before, after in pairwise(pieces))


def _between(whole: Span, seams: tuple[float, ...]) -> tuple[Span, ...]:
    lows = (whole.low, *(seam - OVERLAP / 2 for seam in seams))
    highs = (*(seam + OVERLAP / 2 for seam in seams), whole.high)
    return tuple(Span(low, high) for low, high in zip(lows, highs, strict=True))


def _seams(whole: Span, count: int, step: float, avoid: _Avoid) -> tuple[float, ...]:
    # With half an overlap cut off either end, every page spans at most `step` from seam to seam.
    last, end = whole.low + OVERLAP / 2, whole.high - OVERLAP / 2
    seams: list[float] = []
    for left in range(count - 1, 0, -1):
        even = last + (end - last) / (left + 1)
        last = _seam(even, max(last, end - left * step), min(last + step, end), avoid)
        seams.append(last)
    return tuple(seams)


def _seam(wanted: float, low: float, high: float, avoid: _Avoid) -> float:
    band = OVERLAP / 2 + CLEAR

    def badness(place: float) -> tuple[int, int, int, float]:
        across, beside = _crossed(place, CLEAR, avoid.holes), _crossed(place, band, avoid.holes)
        return across, beside, _crossed(place, band, avoid.words), abs(place - wanted)

    edges = [(span, by) for span in avoid.holes for by in (CLEAR, band)] + [
        (span, band) for span in avoid.words
    ]
    beside = [place for span, by in edges for place in (span.low - by, span.high + by)]
    return min((place for place in (wanted, low, high, *beside) if low <= place <= high), key=badness)


def _crossed(place: float, by: float, holes: tuple[Span, ...]) -> int:
    return sum(hole.low - by < place < hole.high + by for hole in holes)


# Marks that help to join the pages


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
        *(Mark(Role.SEAM, line, "seam") for line in _seam_lines(region, columns, rows)),
        *(Mark(Role.TILE_EDGE, line, "end of this page") for line in _edges(region, tile)),
    ]
    return Sheet("joint", "Marks for joining", region, Drawing(tuple(marks)))


def _cross(place: Point) -> Iterator[Mark]:
    x, y = place.x, place.y
    yield Mark(Role.REGISTRATION, _line(x - _ARM, y, x + _ARM, y))
    yield Mark(Role.REGISTRATION, _line(x, y - _ARM, x, y + _ARM))
    yield Mark(Role.REGISTRATION, Circle(place, _RING))


def _seam_lines(region: Bounds, columns: tuple[Span, ...], rows: tuple[Span, ...]) -> Iterator[Contour]:
    for x in seams_between(columns):
        if region.left < x < region.right:
            yield _line(x, region.bottom, x, region.top)
    for y in seams_between(rows):
        if region.bottom < y < region.top:
            yield _line(region.left, y, region.right, y)


def _goes_on(tile: Tile) -> Iterator[tuple[int, int]]:
    """Columns and rows from a part to each neighbour that it has: left, right, above, below."""
    for across, down in ((-1, 0), (1, 0), (0, -1), (0, 1)):
        if 1 <= tile.column + across <= tile.columns and 1 <= tile.row + down <= tile.rows:
            yield across, down


def _edges(region: Bounds, tile: Tile) -> Iterator[Contour]:
    left, bottom, right, top = region.left, region.bottom, region.right, region.top
    sides = {
        (-1, 0): (left, bottom, left, top),
        (1, 0): (right, bottom, right, top),
        (0, -1): (left, top, right, top),
        (0, 1): (left, bottom, right, bottom),
    }
    return (_line(*sides[way]) for way in _goes_on(tile))


def neighbours(box: Bounds, tile: Tile) -> Iterator[Mark]:
    """Beside each edge of a part, which part goes on there; `box` is the part's place in page mm."""
    middle, drop = box.centre, SMALL * CAP
    places = {
        (-1, 0): Point(box.left - 1.2, middle.y),
        (1, 0): Point(box.right + 1.2 + drop, middle.y),
        (0, -1): Point(middle.x, box.top + 1.2),
        (0, 1): Point(middle.x, box.bottom - 1.2 - drop),
    }
    for across, down in _goes_on(tile):
        part = tile.name_at(tile.row + down, tile.column + across)
        room, angle = (box.height, QUARTER) if across else (box.width, 0.0)
        yield _name(places[across, down], part, room, angle)


def _name(at: Point, part: str, room: float, angle: float) -> Mark:
    words = shortened(f"Join part {part} here: lay cross on cross", room, SMALL)
    return Mark(Role.TITLE, Text(at, SMALL, words, angle, "middle"))


def _line(x: float, y: float, to_x: float, to_y: float) -> Contour:
    return Contour((Line(Point(x, y), Point(to_x, to_y)),), closed=False)
