"""Small tables and short instructions that stand beside a drawing, each from its upper left corner."""

from __future__ import annotations

from collections.abc import Iterator

from export.drawing import Drawing, Mark, Role, Text, joined
from export.text import ASCENT, DESCENT, LEADING, width, wrapped
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector

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
