"""Sheets placed on paper: the values that the PDF and the preview take."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import product

import msgspec

from export.drawing import TRUE_SIZE, Drawing, Sheet, Text
from export.furniture import Frame, Tile, frame, furniture, rulers
from export.labels import obstacles_of
from export.paper import Paper, Stamp
from export.tiles import BORDER, OVERLAP, Span, crosses, joint_marks, neighbours, spans
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.shape.tolerance import FLAT, SAME
from geometry.trade.escapes import quoted
from geometry.trade.shop import PrinterProfile


class Matrix(msgspec.Struct, frozen=True, array_like=True, gc=False):
    """From sheet mm to page mm: scale by `a` across and `d` up, then shift by (`e`, `f`). No turning."""

    a: float = 1.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def at(self, point: Point) -> Point:
        """Where a point of the sheet lands on the page."""
        return Point(self.a * point.x + self.e, self.d * point.y + self.f)

    def box(self, bounds: Bounds) -> Bounds:
        """Where a region of the sheet lands on the page."""
        low = self.at(Point(bounds.left, bounds.bottom))
        high = self.at(Point(bounds.right, bounds.top))
        return Bounds(low.x, low.y, high.x, high.y)


class Placed(msgspec.Struct, frozen=True):
    """A sheet on a page; nothing is shown outside `clip`, a region in page mm (None: all is shown)."""

    sheet: Sheet
    matrix: Matrix = Matrix()
    clip: Bounds | None = None


class Page(msgspec.Struct, frozen=True):
    """One side of paper, `width` by `height` mm, origin at its lower left corner, y up."""

    width: float
    height: float
    placed: tuple[Placed, ...]


_AIR = 0.6  # mm above a page to read
_THIN = 1.0  # a mark narrower than this, in mm, is taken for a line along the seam
_LEAST = 4 * OVERLAP  # a part smaller than this, in mm, is all overlap


class _Part(msgspec.Struct, frozen=True):
    """What one page is to show of a sheet, before its number is known."""

    sheet: Sheet
    paper: Paper
    frame: Frame
    region: Bounds
    tile: Tile | None = None
    joint: Sheet | None = None


def paginate(sheet: Sheet, stamp: Stamp) -> tuple[Page, ...]:
    """The pages of one sheet on the stamp's paper: upright, else lying, else divided over as few as it takes.

    Everything is at true size; the printer's factors scale the drawing and the rulers, never page or
    margins, and on a lying page each the other axis. Raises ValueError when the paper is too small for its
    rulers or for any part of the drawing.
    """
    return paginate_all((sheet,), stamp)


def paginate_all(sheets: Iterable[Sheet], stamp: Stamp) -> tuple[Page, ...]:
    """The pages of several sheets, numbered through; see `paginate`."""
    return paginate_each((sheet, stamp) for sheet in sheets)


def paginate_each(stamped: Iterable[tuple[Sheet, Stamp]]) -> tuple[Page, ...]:
    """The pages of several sheets, each with a stamp of its own, numbered through; see `paginate`."""
    parts = [(part, stamp) for sheet, stamp in stamped for part in _parts(sheet, stamp)]
    return tuple(_page(part, stamp, number, len(parts)) for number, (part, stamp) in enumerate(parts, 1))


def room(sheet: Sheet, stamp: Stamp) -> tuple[float, float]:
    """Width and height in sheet mm that `sheet`, with its notes and cautions, may have upright."""
    area = frame(sheet, stamp.paper, stamp).area
    return _capacity(area, stamp.printer_on(stamp.paper))


def room_for(stamp: Stamp, cautions: tuple[str, ...] = (), scale: str = TRUE_SIZE) -> tuple[float, float]:
    """Width and height in mm that the paper of a stamp has for a sheet with these cautions, drawn at a scale."""
    nothing = Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=cautions, scale=scale)
    return room(nothing, stamp)


def _capacity(area: Bounds, printer: PrinterProfile) -> tuple[float, float]:
    return area.width / printer.factor_x, area.height / printer.factor_y


def _parts(sheet: Sheet, stamp: Stamp) -> list[_Part]:
    papers = (stamp.paper, stamp.paper.landscape)
    frames = [frame(sheet, paper, stamp) for paper in papers]
    for paper, division in zip(papers, frames, strict=True):
        across, up = _capacity(division.area, stamp.printer_on(paper))
        if sheet.bounds.width <= across + SAME and sheet.bounds.height <= up + SAME:
            return [_Part(sheet, paper, division, sheet.bounds)]
    divided = [_tiles(sheet, paper, division, stamp) for paper, division in zip(papers, frames, strict=True)]
    possible = [parts for parts in divided if parts]
    if not possible:
        message = f"The paper {stamp.paper.name} is too small for {quoted(sheet.title)} with its cautions and notes."
        raise ValueError(message)
    return min(possible, key=len)


def _tiles(sheet: Sheet, paper: Paper, division: Frame, stamp: Stamp) -> list[_Part]:
    """The parts of a divided sheet, row by row from the top; none when the page has no room for a part."""
    across, up = _capacity(division.area.grown(-BORDER), stamp.printer_on(paper))
    if min(across, up) < _LEAST:
        return []
    holes = [hole.bounds for hole in sheet.seam_avoid]
    columns = spans(_across(sheet.bounds), across, map(_across, holes), _unwelcome(sheet, _across))
    rows = spans(_up(sheet.bounds), up, map(_up, holes), _unwelcome(sheet, _up))
    at = crosses(columns, rows, obstacles_of(sheet.drawing, FLAT))
    parts = []
    for (row, high), (column, wide) in product(enumerate(rows[::-1], 1), enumerate(columns, 1)):
        region = Bounds(wide.low, high.low, wide.high, high.high)
        tile = Tile(column, row, len(columns), len(rows))
        joint = joint_marks(region, tile, columns, rows, at)
        parts.append(_Part(sheet, paper, division, region, tile, joint))
    return parts


def _unwelcome(sheet: Sheet, along: Callable[[Bounds], Span]) -> list[Span]:
    """What a seam should not run through or upon: words, and lines that run the way it does."""
    marks = [(mark.shape, along(mark.bounds)) for mark in sheet.drawing.marks]
    return [span for shape, span in marks if isinstance(shape, Text) or span.length < _THIN]


def _across(bounds: Bounds) -> Span:
    return Span(bounds.left, bounds.right)


def _up(bounds: Bounds) -> Span:
    return Span(bounds.bottom, bounds.top)


def _page(part: _Part, stamp: Stamp, number: int, count: int) -> Page:
    printer, region = stamp.printer_on(part.paper), part.region
    a, d = printer.factor_x, printer.factor_y
    area = part.frame.area
    matrix = Matrix(a, d, area.centre.x - a * region.centre.x, area.centre.y - d * region.centre.y)
    if part.sheet.scale != TRUE_SIZE:
        # What is read begins at the upper left, with a little air.
        matrix = Matrix(a, d, area.left - a * region.left, area.top - _AIR - d * region.top)
    box = matrix.box(region)
    placed = [Placed(part.sheet, matrix, box if part.tile else None)]
    if part.joint:
        placed.append(Placed(part.joint, matrix))
    placed += [Placed(ruler, Matrix(a, d, zero.x, zero.y)) for ruler, zero in rulers(part.frame)]
    round_it = furniture(part.sheet, part.paper, stamp, part.frame, number, count, part.tile)
    if part.tile:
        names = Drawing(tuple(neighbours(box, part.tile)))
        round_it = msgspec.structs.replace(round_it, drawing=round_it.drawing + names)
    placed.append(Placed(round_it))
    return Page(part.paper.width, part.paper.height, tuple(placed))
