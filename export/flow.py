"""Running text and tables, divided into sheets of one page each."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator

import msgspec

from export.drawing import NO_SCALE, Anchor, Drawing, Mark, Role, Sheet, Text
from export.text import ASCENT, DESCENT, LEADING, shortened, wrapped
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds

NARROW = 150.0
"""mm; tables of many columns are halved on paper that has less room than this."""

BODY = 2.9
"""Font size in mm of running text and tables."""

_HEADS = (4.6, 3.6)  # font sizes in mm of headings of the first and the second level

_ENDLESS = 5000.0
_PAD = 1.0
_ASIDE = 1.6


class Heading(msgspec.Struct, frozen=True):
    """A line in larger, bold type; never the last thing on a page."""

    words: str
    level: int = 1


class Paragraph(msgspec.Struct, frozen=True):
    """Words that run over as many lines as they need."""

    words: str
    role: Role = Role.NOTES
    bold: bool = False


class Space(msgspec.Struct, frozen=True):
    """Blank paper, `height` mm; dropped where a page begins."""

    height: float = 3.0


class Column(msgspec.Struct, frozen=True):
    """A column of a table: its head, its share of the width, and where its cells stand."""

    head: str
    share: float = 1.0
    anchor: Anchor = "start"


class Row(msgspec.Struct, frozen=True):
    """One row of a table, a cell for every column; the first cell is painted in the style of `role`."""

    cells: tuple[str, ...]
    role: Role = Role.NOTES
    bold: bool = False


class Table(msgspec.Struct, frozen=True):
    """Rows under heads that are repeated on every page."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    def __post_init__(self) -> None:
        assert all(len(row.cells) == len(self.columns) for row in self.rows), "every row fills every column"

    def halves(self, first: int) -> tuple[Table, Table]:
        """The first so many columns, and the others with the first column again before them, for narrow paper."""
        return self._of(range(first)), self._of((0, *range(first, len(self.columns))))

    def part(self, first: int, last: int | None = None) -> Table:
        """The rows from `first` up to `last`, counted from 0, `last` not among them; to the end without it."""
        return Table(self.columns, self.rows[first:last])

    def _of(self, places: Iterable[int]) -> Table:
        """The columns at these places."""
        chosen = tuple(places)
        rows = (Row(tuple(row.cells[n] for n in chosen), row.role, row.bold) for row in self.rows)
        return Table(tuple(self.columns[n] for n in chosen), tuple(rows))


Block = Heading | Paragraph | Space | Table


class _Strip(msgspec.Struct, frozen=True):
    """Something that is not divided: its height in mm, and its marks measured from its upper left corner.

    `keep` holds it on the page of what follows; `head` is what is repeated above it where a page begins.
    """

    height: float
    marks: tuple[Mark, ...] = ()
    keep: bool = False
    blank: bool = False
    head: _Strip | None = None


def flow(
    blocks: Iterable[Block], name: str, title: str, width: float, height: float, notes: tuple[str, ...] = ()
) -> tuple[Sheet, ...]:
    """The blocks as sheets of `width` by `height` mm, one page each, as many as they take (never none).

    A row or a line is never divided between two pages; one cell over half a page is cut with an ellipsis.
    """
    longest = max(1, int(height / (2 * BODY * LEADING)))
    strips = [strip for block in blocks for strip in _strips(block, width, longest)]
    pages = list(_paged(strips, height)) or [[]]
    bounds = Bounds(0.0, -height, width, 0.0)
    names = [name] if len(pages) == 1 else [f"{name}-{number}" for number in range(1, len(pages) + 1)]
    return tuple(
        Sheet(each, title, bounds, _stacked(page), notes, scale=NO_SCALE)
        for each, page in zip(names, pages, strict=True)
    )


def laid_out(blocks: Iterable[Block], width: float) -> Drawing:
    """The blocks below each other, as high as it takes, from an upper left corner at the origin."""
    (sheet,) = flow(blocks, "", "", width, _ENDLESS)
    return sheet.drawing


def rows_fitting(table: Table, width: float, height: float) -> int:
    """How many rows of the table, from the first, go with its head into `width` by `height` mm."""

    def needed(count: int) -> float:
        return laid_out((table.part(0, count),), width).bounds.height

    return bisect_right(range(1, len(table.rows) + 1), height, key=needed)


def _stacked(page: list[_Strip]) -> Drawing:
    marks: list[Mark] = []
    down = 0.0
    for strip in page:
        marks.extend(mark.moved(Vector(0.0, -down)) for mark in strip.marks)
        down += strip.height
    return Drawing(tuple(marks))


def _paged(strips: list[_Strip], height: float) -> Iterator[list[_Strip]]:
    page: list[_Strip] = []
    for group in _groups(strips):
        if page and _height(page) + _height(group) > height:
            yield page
            page = []
        if not page:
            group = _topped(group)
        page.extend(group)
    if page:
        yield page


def _groups(strips: list[_Strip]) -> Iterator[list[_Strip]]:
    """What stays together: headings, and heads of tables, with the strip that follows them."""
    group: list[_Strip] = []
    for strip in strips:
        group.append(strip)
        if not strip.keep:
            yield group
            group = []
    if group:
        yield group


def _topped(group: list[_Strip]) -> list[_Strip]:
    """The group as it begins a page: without blank paper, under the head of its table."""
    solid = [strip for strip in group if not strip.blank]
    if solid and solid[0].head is not None:
        return [solid[0].head, *solid]
    return solid


def _height(strips: list[_Strip]) -> float:
    return sum(strip.height for strip in strips)


def _strips(block: Block, width: float, longest: int) -> Iterator[_Strip]:
    match block:
        case Heading(words=words, level=level):
            size = _HEADS[level - 1]
            yield _Strip(size * 0.7, blank=True, keep=True)
            lines = _lines(words, width, size, Role.TITLE, bold=True)
            yield from (msgspec.structs.replace(line, keep=True) for line in lines)
            yield _Strip(size * 0.2, keep=True)
        case Paragraph(words=words, role=role, bold=bold):
            yield from _lines(words, width, BODY, role, bold=bold)
            yield _Strip(BODY * 0.6, blank=True)
        case Space(height=height):
            yield _Strip(height, blank=True)
        case Table(columns=columns, rows=rows):
            heads = Row(tuple(column.head for column in columns), Role.TABLE_HEAD, bold=True)
            head = _row(heads, columns, width, longest, Role.TABLE_HEAD)
            yield msgspec.structs.replace(head, keep=True)
            for row in rows:
                strip = _row(row, columns, width, longest, Role.TABLE)
                yield msgspec.structs.replace(strip, head=head)
            yield _Strip(BODY, blank=True)


def _lines(words: str, width: float, size: float, role: Role, *, bold: bool) -> Iterator[_Strip]:
    for line in wrapped(words, width, size, bold=bold):
        text = Text(Point(0.0, -size * ASCENT), size, line, bold=bold)
        yield _Strip(size * LEADING, (Mark(role, text),))


def _row(row: Row, columns: tuple[Column, ...], width: float, longest: int, rule: Role) -> _Strip:
    """A row with a thin line under it, as high as its longest cell."""
    marks: list[Mark] = []
    left, most = 0.0, 1
    whole = sum(column.share for column in columns)
    for index, (cell, column) in enumerate(zip(row.cells, columns, strict=True)):
        wide = width * column.share / whole
        role = row.role if index == 0 or rule is Role.TABLE_HEAD else Role.NOTES
        lines = _cell(cell, wide - 2 * _ASIDE, longest, bold=row.bold)
        at = {"start": left + _ASIDE, "middle": left + wide / 2, "end": left + wide - _ASIDE}[column.anchor]
        for number, line in enumerate(lines):
            place = Point(at, -_PAD - BODY * (ASCENT + LEADING * number))
            marks.append(Mark(role, Text(place, BODY, line, anchor=column.anchor, bold=row.bold)))
        left, most = left + wide, max(most, len(lines))
    height = 2 * _PAD + BODY * (ASCENT + DESCENT + LEADING * (most - 1))
    marks.append(Mark(rule, through((Point(0.0, -height), Point(width, -height)))))
    return _Strip(height, tuple(marks))


def _cell(words: str, room: float, longest: int, *, bold: bool) -> tuple[str, ...]:
    lines = wrapped(words, room, BODY, bold=bold)
    if len(lines) <= longest:
        return lines
    return (*lines[: longest - 1], shortened(f"{lines[longest - 1]} …", room, BODY, bold=bold))
