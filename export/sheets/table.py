"""Small tables and short instructions, each from its upper left corner, and where they stand by a drawing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from export.drawing import NO_SCALE, REDUCED, Drawing, Mark, Role, Room, Sheet, Text, fitted, joined
from export.labels import field_of
from export.text import ASCENT, DESCENT, LEADING, width, wrapped
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle

SIZE = 2.6
"""Font size in mm of tables and instructions."""

GAP = 4.0
"""Blank in mm between the blocks of a column."""

_PAD = 1.1
_ROW = SIZE * 1.6
_HEADING = 3.4


def table(heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...]) -> Drawing:
    """A table as wide as its words ask; the first column stands left, the others, numbers, right."""
    assert all(len(row) == len(heads) for row in rows), "every row fills every column"
    sizes = [
        max(width(line[column], SIZE, bold=line is heads) for line in (heads, *rows)) + 2 * _PAD
        for column in range(len(heads))
    ]
    marks: list[Mark] = []
    for number, line in enumerate((heads, *rows), 1):
        rule = Role.TABLE_HEAD if number == 1 else Role.TABLE
        marks += _cells(line, sizes, -_ROW * number, bold=number == 1)
        marks.append(_rule(rule, sum(sizes), -_ROW * number))
    return Drawing(tuple(marks))


def _cells(line: tuple[str, ...], sizes: list[float], bottom: float, *, bold: bool) -> Iterator[Mark]:
    baseline = bottom + (_ROW - SIZE * (ASCENT - DESCENT)) / 2
    left = 0.0
    for column, (words, size) in enumerate(zip(line, sizes, strict=True)):
        at = Point(left + (size - _PAD if column else _PAD), baseline)
        yield Mark(Role.NOTES, Text(at, SIZE, words, anchor="end" if column else "start", bold=bold))
        left += size


def _rule(role: Role, length: float, y: float) -> Mark:
    return Mark(role, through((Point(0.0, y), Point(length, y))))


def heading(words: str) -> Drawing:
    """One line in larger, bold type."""
    return Drawing((Mark(Role.TITLE, Text(Point(0.0, -_HEADING * ASCENT), _HEADING, words, bold=True)),))


def paragraphs(sentences: tuple[str, ...], room: float) -> Drawing:
    """The sentences below each other, wrapped at `room` mm, a little blank between them."""
    marks: list[Mark] = []
    down = SIZE * ASCENT
    for sentence in sentences:
        for line in wrapped(sentence, room, SIZE):
            marks.append(Mark(Role.NOTES, Text(Point(0.0, -down), SIZE, line)))
            down += SIZE * LEADING
        down += SIZE * 0.5
    return Drawing(tuple(marks))


def stacked(blocks: tuple[Drawing, ...], gap: float = GAP) -> Drawing:
    """Drawings below each other, `gap` mm apart, left sides in line; the first begins at y = 0."""
    placed: list[Drawing] = []
    top = 0.0
    for block in blocks:
        bounds = block.bounds
        placed.append(block.moved(Vector(-bounds.left, top - bounds.top)))
        top -= bounds.height + gap
    return joined(placed)


def paged(blocks: Sequence[Drawing], tall: float, gap: float = GAP) -> list[Drawing]:
    """The blocks below each other in their order, on as many pages `tall` mm high as they take; none is divided."""
    pages: list[Drawing] = []
    for block in blocks:
        together = stacked((*pages[-1:], block), gap)
        if pages and together.bounds.height <= tall:
            pages[-1] = together
        else:
            pages.append(stacked((block,)))
    return pages


def pages_of(name: str, title: str, pages: Sequence[Drawing]) -> tuple[Sheet, ...]:
    """Pages to read as sheets, numbered from the second one on; what shows an outline does so smaller than it is."""
    return tuple(
        fitted(
            name if number == 1 else f"{name}-{number}",
            title,
            page,
            margin=1.0,
            scale=REDUCED if page.only(Role.OUTLINE).marks else NO_SCALE,
        )
        for number, page in enumerate(pages, 1)
    )


def side_by_side(blocks: tuple[Drawing, ...], gap: float = GAP) -> Drawing:
    """Drawings beside each other, `gap` mm apart, tops in line; the first begins at the origin."""
    placed: list[Drawing] = []
    left = 0.0
    for block in blocks:
        bounds = block.bounds
        placed.append(block.moved(Vector(left - bounds.left, -bounds.top)))
        left += bounds.width + gap
    return joined(placed)


def divided(
    title: str, heads: tuple[str, ...], rows: tuple[tuple[str, ...], ...], columns: int = 1
) -> Drawing:
    """A table under its title, cut into so many columns of rows that stand beside each other."""
    each = max(1, -(-len(rows) // columns))
    parts = tuple(table(heads, rows[first : first + each]) for first in range(0, max(1, len(rows)), each))
    return stacked((heading(title), side_by_side(parts)), gap=1.5)


def arranged(drawing: Drawing, blocks: Sequence[Drawing], wide: Drawing, room: Room) -> Drawing:
    """The drawing with its tables in a column at the right, or in a band below, or else in free corners.

    `blocks` make the column or fill the corners, `wide` is the band; the first arrangement that keeps to
    `room` (width and height in mm) is taken, or the one that exceeds it least.
    """
    at = drawing.bounds
    column = stacked(tuple(blocks))
    beside = drawing + _cornered(column, Point(at.right + 1.5 * GAP, at.top))
    below = drawing + _cornered(wide, Point(at.left, at.bottom - 1.5 * GAP))
    for simple in (beside, below):
        if fits(simple, room):
            return simple
    possible = [each for each in (beside, below, _packed(drawing, blocks, room)) if each is not None]
    return min(possible, key=lambda each: _excess(each.bounds, room))


def with_table(
    name: str,
    title: str,
    drawing: Drawing,
    blocks: tuple[Drawing, ...],
    wide: Drawing,
    room: Room,
    seam_avoid: tuple[Circle, ...],
) -> tuple[Sheet, ...]:
    """One sheet with its tables, or, where both together exceed `room`, the drawing and then its tables."""
    inner = (room[0] - 2.0, room[1] - 2.0)
    whole = arranged(drawing, blocks, wide, inner)
    if fits(whole, inner):
        return (fitted(name, title, whole, margin=1.0, seam_avoid=seam_avoid),)
    return (
        fitted(name, title, drawing, margin=1.0, seam_avoid=seam_avoid),
        fitted(f"{name}-table", f"{title}: sizes", wide, margin=1.0, scale=NO_SCALE),
    )


def fits(drawing: Drawing, room: Room) -> bool:
    """Whether a drawing keeps to `room` (width and height in mm)."""
    return _excess(drawing.bounds, room) <= 0


def _excess(bounds: Bounds, room: Room) -> float:
    return max(0.0, bounds.width - room[0]) + max(0.0, bounds.height - room[1])


def _packed(drawing: Drawing, blocks: Sequence[Drawing], room: Room) -> Drawing | None:
    """The drawing with each block at the first free place: under the one before it, else from the right and the top."""
    at = drawing.bounds
    if _excess(at, room) > 0:
        return None
    under: list[Point] = []
    for block in blocks:
        size, field = block.bounds, field_of(drawing)
        right, top = at.left + max(room[0], at.width) - size.width, at.top
        low = at.bottom + size.height
        places = [place for place in under if place.x <= right and place.y >= low] + [
            Point(right - 3.0 * across, top - 3.0 * down)
            for across in range(1 + int((right - at.left) / 3.0))
            for down in range(1 + max(0, int((at.height - size.height) / 3.0)))
        ]
        boxes = [Bounds(each.x, each.y - size.height, each.x + size.width, each.y) for each in places]
        corner = next((places[number] for number in field.free_among(boxes, 0.75 * GAP, None)), None)
        if corner is None:
            return None
        drawing += _cornered(block, corner)
        under = [Point(corner.x, corner.y - size.height - GAP)]
    return drawing


def _cornered(drawing: Drawing, corner: Point) -> Drawing:
    """The drawing displaced so that the upper left corner of its bounds lies at a place."""
    bounds = drawing.bounds
    return drawing.moved(corner - Point(bounds.left, bounds.top))
