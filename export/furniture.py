"""What every page carries besides its drawing: title block, cautions, perhaps a banner; rulers if true to size."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from export.drawing import TRUE_SIZE, Drawing, Mark, Role, Sheet, Text
from export.paper import MARGIN, Paper, Stamp
from export.ruler import BAND, inches_beside, longest, ruler
from export.sheets.cautions import CHECK_RULERS
from export.text import CAP, LEADING, shortened, width, wrapped
from geometry.shape.contour import rectangle, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.trade.quantities import RULER, show_length
from geometry.trade.units import INCH, Units

SMALL = 2.6
"""Font size in mm of remarks and facts."""

_BANNER = 5.4  # font size in mm of the banner
_UNNAMED = "Unnamed"  # what the title block calls a build without a name, as the window does

_TITLES = (4.2, 3.6, 3.0)
_GAP = 3.0
_INSET = 1.0
_PAD = 1.8
_BLOCK = 16.0
_LINE = SMALL * 1.45
_BANNER_LINES = 3
_MAP = 26.0


class Tile(msgspec.Struct, frozen=True):
    """Which part of a divided drawing a page shows; column 1 is the leftmost, row 1 the uppermost."""

    column: int
    row: int
    columns: int
    rows: int

    def name_at(self, row: int, column: int) -> str:
        """What the part at a row and a column is called: A, B, C, ... as one reads, from Z on AA, AB, ..."""
        tens, place = divmod((row - 1) * self.columns + column - 1, 26)
        return (chr(ord("A") + tens - 1) if tens else "") + chr(ord("A") + place)

    @property
    def name(self) -> str:
        """What this part is called."""
        return self.name_at(self.row, self.column)


class Frame(msgspec.Struct, frozen=True):
    """Where things go on a page, all in page mm.

    `area` is free for the drawing. The zeros of the rulers lie at `across_at` and `up_at`, their lengths in
    true mm are `across` and `up`; both are 0 on a page to read, where nothing is to be measured.
    """

    area: Bounds
    block: Bounds
    across: int
    across_at: Point
    up: int
    up_at: Point
    banner: Bounds | None
    banner_lines: tuple[str, ...]
    lines: tuple[tuple[str, bool], ...]
    lines_top: float


def frame(sheet: Sheet, paper: Paper, stamp: Stamp) -> Frame:
    """How a page of `paper` (already lying the way it is printed) is divided for `sheet`.

    Title block at the foot, the cautions and notes above it. On a page that is true to size the upright ruler has a
    column at the left, and the lying one stands between title block and cautions.
    """
    printer, measured = stamp.printer_on(paper), sheet.scale == TRUE_SIZE
    column = MARGIN + BAND * printer.factor_x if measured else MARGIN - _GAP
    left, right, top = column + _GAP, paper.width - MARGIN, paper.height - MARGIN
    banner, banner_lines = _banner_box(stamp, left, right, top)
    ruler_bottom = MARGIN + _BLOCK + (_LINE + 1.0 if measured else 0.0)
    band = BAND * printer.factor_y if measured else 0.0
    lines = tuple(_remarks(sheet, right - left))
    lines_top = ruler_bottom + band + (1.5 + _LINE * len(lines) if lines else 0.0)
    return Frame(
        area=Bounds(left, lines_top + _GAP, right, top if banner is None else banner.bottom - _GAP),
        block=Bounds(left, MARGIN, right, MARGIN + _BLOCK),
        across=longest((right - left - _INSET) / printer.factor_x) if measured else 0,
        across_at=Point(left + _INSET, ruler_bottom + band / 2),
        up=longest((top - MARGIN - _INSET) / printer.factor_y) if measured else 0,
        up_at=Point(MARGIN + BAND * printer.factor_x / 2, MARGIN + _INSET),
        banner=banner,
        banner_lines=banner_lines,
        lines=lines,
        lines_top=lines_top,
    )


def rulers(frame: Frame) -> tuple[tuple[Sheet, Point], ...]:
    """The two rulers at true size, and where on the page their zeros lie; none on a page to read."""
    if not frame.across:
        return ()
    lying, standing = ruler(frame.across, upright=False), ruler(frame.up, upright=True)
    return (lying, frame.across_at), (standing, frame.up_at)


def furniture(
    sheet: Sheet, paper: Paper, stamp: Stamp, frame: Frame, number: int, count: int, tile: Tile | None
) -> Sheet:
    """Everything round the drawing but the rulers, in page mm: page `number` of `count`."""
    marks = (
        *_banner(frame),
        *_lines(frame),
        *_instruction(frame, stamp.units),
        *_block(sheet, paper, stamp, frame.block, (number, count), tile),
    )
    return Sheet("furniture", "Title block", Bounds(0.0, 0.0, paper.width, paper.height), Drawing(marks))


def _banner_box(stamp: Stamp, left: float, right: float, top: float) -> tuple[Bounds | None, tuple[str, ...]]:
    if not stamp.banner:
        return None, ()
    room = right - left - 8.0
    first = wrapped(stamp.banner, room, _BANNER, bold=True)
    lines = first[:_BANNER_LINES]
    if len(first) > _BANNER_LINES:
        rest = " ".join(first[_BANNER_LINES - 1 :])
        lines = (*lines[:-1], shortened(rest, room, _BANNER, bold=True))
    high = _BANNER * LEADING * len(lines) + 3.0
    return Bounds(left, top - high, right, top), lines


def _banner(frame: Frame) -> Iterator[Mark]:
    if frame.banner is None:
        return
    yield Mark(Role.BANNER_FRAME, rectangle(frame.banner.grown(-0.5)), "banner")
    step = _BANNER * LEADING
    below = frame.banner.top - 1.5 - (step + _BANNER * CAP) / 2
    for index, words in enumerate(frame.banner_lines):
        at = Point(frame.banner.centre.x, below - index * step)
        yield Mark(Role.BANNER, Text(at, _BANNER, words, anchor="middle", bold=True))


def _remarks(sheet: Sheet, room: float) -> Iterator[tuple[str, bool]]:
    cautions = [each for each in sheet.cautions if sheet.scale == TRUE_SIZE or each != CHECK_RULERS]
    for caution in cautions:
        for line in wrapped(f"⚠ {caution}", room, SMALL, bold=True):
            yield line, True
    for note in sheet.notes:
        for line in wrapped(note, room, SMALL):
            yield line, False


def _lines(frame: Frame) -> Iterator[Mark]:
    for index, (words, bold) in enumerate(frame.lines):
        at = Point(frame.block.left, frame.lines_top - _LINE * index - SMALL)
        yield Mark(Role.CAUTION if bold else Role.NOTES, Text(at, SMALL, words, bold=bold))


def _instruction(frame: Frame, units: Units) -> Iterator[Mark]:
    if not frame.across:
        return
    across, up = (_to_measure(length, units) for length in (frame.across, frame.up))
    words = f"Print at 100 % (actual size). Here 0 to {across}; at the side 0 to {up}."
    room = frame.block.width
    if len(wrapped(words, room, SMALL, bold=True)) > 1:
        words = f"Print at 100 % (actual size). 0 to {across}."
    at = Point(frame.block.left, frame.block.top + 1.6)
    yield Mark(Role.TITLE, Text(at, SMALL, words, bold=True))


def _to_measure(length: int, units: Units) -> str:
    """The last long line of a ruler of `length` mm, and what it must measure: in inches by the scale in inches."""
    last = length if units == "mm" else inches_beside(length)
    full = length if units == "mm" else last * INCH
    return f"{last} must measure {show_length(full, units, RULER)}"


def _block(
    sheet: Sheet, paper: Paper, stamp: Stamp, block: Bounds, page: tuple[int, int], tile: Tile | None
) -> Iterator[Mark]:
    yield Mark(Role.TITLE_FRAME, rectangle(block), "title block")
    right = block.right - (_MAP if tile else 0.0)
    divide = block.left + (right - block.left) * 0.55
    dividers = (divide, right) if tile else (divide,)
    for x in dividers:
        yield Mark(Role.TITLE, through((Point(x, block.bottom), Point(x, block.top))))
    room = divide - block.left - 2 * _PAD
    name, size = _sized(stamp.build or _UNNAMED, room, bold=True)
    yield Mark(Role.TITLE, Text(Point(block.left + _PAD, block.top - 6.0), size, name, bold=True))
    title, size = _sized(sheet.title, room, bold=False)
    yield Mark(Role.TITLE, Text(Point(block.left + _PAD, block.bottom + 3.2), size, title))
    for index, words in enumerate(_facts(sheet, paper, stamp, page, tile)):
        at = Point(divide + _PAD, block.top - 4.0 - 4.6 * index)
        line = shortened(words, right - divide - 2 * _PAD, SMALL)
        yield Mark(Role.TITLE, Text(at, SMALL, line))
    if tile:
        yield from _map(tile, Bounds(right, block.bottom, block.right, block.top))


def _sized(words: str, room: float, *, bold: bool) -> tuple[str, float]:
    """The words and the largest font size at which they fit in `room` mm; cut if none does."""
    for size in _TITLES:
        if width(words, size, bold=bold) <= room:
            return words, size
    return shortened(words, room, _TITLES[-1], bold=bold), _TITLES[-1]


def _facts(
    sheet: Sheet, paper: Paper, stamp: Stamp, page: tuple[int, int], tile: Tile | None
) -> Iterator[str]:
    yield "  ·  ".join(each for each in (sheet.scale, paper.name, stamp.fingerprint) if each)
    if sheet.scale == TRUE_SIZE:
        name = f"  ·  {stamp.printer.name}" if stamp.printer.name else ""
        yield f"Printer {stamp.printer.correction}{name}"
    part = f"  ·  part {tile.name} of {tile.columns * tile.rows}" if tile else ""
    date = f"  ·  {stamp.date}" if stamp.date else ""
    yield f"Page {page[0]} of {page[1]}{part}{date}"


def _map(tile: Tile, room: Bounds) -> Iterator[Mark]:
    """A small picture of how the pages lie together, this one tinted."""
    wide = min((room.width - 2 * _PAD) / tile.columns, 9.0)
    high = min((room.height - 2 * _PAD) / tile.rows, 6.0)
    left = room.centre.x - wide * tile.columns / 2
    top = room.centre.y + high * tile.rows / 2
    cells = [(row, column) for row in range(1, tile.rows + 1) for column in range(1, tile.columns + 1)]
    # This page comes first, so that its tint does not hide the lines of the others.
    for row, column in sorted(cells, key=lambda cell: cell != (tile.row, tile.column)):
        low = Point(left + wide * (column - 1), top - high * row)
        square = rectangle(Bounds(low.x, low.y, low.x + wide, low.y + high))
        if (row, column) == (tile.row, tile.column):
            yield Mark(Role.TILE_HERE, square, "this page")
        letter = tile.name_at(row, column)
        yield Mark(Role.TILE_MAP, square, letter)
        name = Text(Point(low.x + wide / 2, low.y + (high - SMALL * CAP) / 2), SMALL, letter, 0.0, "middle")
        if name.width + 0.8 < wide and high > SMALL + 0.4:
            yield Mark(Role.TITLE, name)
