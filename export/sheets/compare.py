"""Two heads side by side at one scale, and what differs between them in tables below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from export.drawing import REDUCED, Drawing, Mark, Role, Room, Sheet, Text, joined, reduced, reduced_point
from export.flow import (
    BODY,
    NARROW,
    Block,
    Column,
    Heading,
    Paragraph,
    Row,
    Table,
    flow,
    laid_out,
    rows_fitting,
)
from export.labels import Request, anywhere
from export.sheets.back import back_marks
from export.sheets.face import bore_marks, nut_marks, path_marks, ring_marks
from export.sheets.head import head_lines, old_holes
from export.sheets.report import LEVEL_ROLES, LEVEL_WORDS
from export.sheets.table import stacked
from export.text import LEADING, width, wrapped
from geometry.checks.words import headline
from geometry.search.answers.compare import SHOWN, Comparison, Side
from geometry.search.answers.compare_words import (
    CHECK_HEADS,
    HOLE_HEADS,
    NAMES,
    NUMBER_HEADS,
    check_cells,
    differing,
    hole_cells,
    number_cells,
    say_verdicts,
)
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.units import Units

_NAME, _TITLE = "compare", "Comparison of two heads"
_GAP = 3.0

SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 50.0, 100.0)
"""Both heads are drawn 1 : one of these."""

_HEIGHT_SHARE = 0.42  # how much of the height of a page the heads take at most

_SHOWN = (Role.OUTLINE, Role.NUT_LINE, Role.NUT, Role.STRING_PATH, Role.BORE, Role.WASHER, Role.MARGIN_RING)
_BEHIND = (Role.BODY, Role.PLATE, Role.BUTTON)

HOW = (
    "Better: which head is ahead on this line, by level and then by margin; empty where no difference shows. "
    "■ stop, ▲ watch, ✓ fine. Margin: how far the closest is from its limit. Dashed circles in B: the bores of A "
    "where they lie elsewhere."
)


def compare_sheets(found: Comparison, units: Units, room: Room) -> tuple[Sheet, ...]:
    """The comparison on pages of `room` (width and height in mm); one page where everything has room."""
    wide, high = room
    top = stacked((laid_out(_head(found), wide), _heads(found, (wide, high * _HEIGHT_SHARE))), gap=_GAP)
    rest: tuple[Table, ...] = tuple(_tables(found, units, narrow=wide < NARROW))
    while rest:
        count = rows_fitting(rest[0], wide, high - top.bounds.height - 2 * _GAP)
        if count:
            top = stacked((top, laid_out((rest[0].part(0, count),), wide)), gap=_GAP)
        if count < len(rest[0].rows):
            rest = (rest[0].part(count), *rest[1:])
            break
        rest = rest[1:]
    # A label that finds no room on a crowded head may stand outside.
    first = Sheet(_NAME, _TITLE, Bounds(0.0, -high, wide, 0.0).joined(top.bounds), top, scale=REDUCED)
    return (first, *flow(rest, f"{_NAME}-more", _TITLE, wide, high)) if rest else (first,)


# Words


def _head(found: Comparison) -> tuple[Block, ...]:
    verdicts = (Paragraph(sentence, bold=True) for sentence in say_verdicts(found))
    names = (
        Heading(f"{name}: {side.name}", 2) for name, side in zip(NAMES, (found.one, found.two), strict=True)
    )
    return (*names, *verdicts, Paragraph(HOW))


def _tables(found: Comparison, units: Units, *, narrow: bool) -> Iterator[Table]:
    shares = (3.05, 2.35, 2.35, 2.1, 1.4)
    numbers = tuple(Row(number_cells(number, units)) for number in found.numbers)
    yield Table(_columns(NUMBER_HEADS, shares), numbers)
    holes = tuple(Row(hole_cells(line, units)) for line in found.holes)
    if holes:
        table = Table(_columns(HOLE_HEADS, (0.9, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 1.2, 2.4)), holes)
        yield from table.halves(4) if narrow else (table,)
    checks = tuple(_check_rows(found, units))
    if checks:
        yield Table(_columns(CHECK_HEADS, shares), checks)


def _columns(heads: tuple[str, ...], shares: tuple[float, ...]) -> tuple[Column, ...]:
    last = len(heads) - 1
    return tuple(
        Column(head, share, "start" if n in (0, last) else "end")
        for n, (head, share) in enumerate(zip(heads, shares, strict=True))
    )


def _check_rows(found: Comparison, units: Units) -> Iterator[Row]:
    """The checks worth a line; bold where the level differs."""
    for line in differing(found.checks):
        bold = line.levels[0] is not line.levels[1]
        yield Row(check_cells(line, units), LEVEL_ROLES[line.worst], bold=bold)


# Heads


def _heads(found: Comparison, room: Room) -> Drawing:
    """Both heads beside each other under their names, nut lines level, at one scale that fits."""
    half = (room[0] - _GAP) / 2
    both = (_marks(found.one), _marks(found.two) + _ghosts(found))
    scale = _scale([each.bounds for each in both], (half - 4 * BODY, room[1] - 7 * BODY))
    middles = (half / 2, 1.5 * half + _GAP)
    sides = tuple(zip((found.one, found.two), both, middles, strict=True))
    heads = joined([_small(side, drawing, scale, x) for side, drawing, x in sides])
    top, low = heads.bounds.top + BODY, heads.bounds.bottom - 1.6 * BODY
    words = [
        Text(Point(x, top), BODY, _caption(name, side, half), anchor="middle", bold=True)
        for name, (side, _, x) in zip(NAMES, sides, strict=True)
    ]
    told = f"The face with the tuners behind it, both heads at 1:{scale:g}. Look at it, do not lay it on the work."
    words += [
        Text(Point(room[0] / 2, low - number * LEADING * BODY), BODY, line, anchor="middle")
        for number, line in enumerate(wrapped(told, room[0], BODY))
    ]
    return heads + Drawing(tuple(Mark(Role.NOTES, text) for text in words))


def _scale(sizes: Sequence[Bounds], room: Room) -> float:
    """The first of the scales at which every head has room."""
    needed = max(max(size.width / room[0], size.height / room[1]) for size in sizes)
    return next((scale for scale in SCALES if scale >= needed - SAME), SCALES[-1])


def _marks(side: Side) -> Drawing:
    """A head as the face shows it, with its tuners behind and the rings of its holes."""
    build, layout = side.build, side.layout
    behind = Drawing(tuple(back_marks(build, layout))).only(*_BEHIND)
    face = (
        *head_lines(build, layout),
        *old_holes(build),
        *nut_marks(build, layout),
        *path_marks(layout),
        *bore_marks(layout),
        *ring_marks(side.allowance.rings),
    )
    return behind + Drawing(face).only(*_SHOWN)


def _ghosts(found: Comparison) -> Drawing:
    """The bores of the first head where the second has them elsewhere."""
    there = {post.label: post for post in found.two.layout.posts}
    marks = (
        Mark(Role.OLD_HOLE, Circle(post.at, post.bore / 2), f"post {post.label} of {NAMES[0]}")
        for post in found.one.layout.posts
        if post.label in there and there[post.label].at.distance(post.at) >= SHOWN["mm"]
    )
    return Drawing(tuple(marks))


def _small(side: Side, drawing: Drawing, scale: float, x: float) -> Drawing:
    """A head made smaller, its middle at `x`, with the names of its posts."""
    small = reduced(drawing, 1 / scale)
    wishes = [
        Request(
            reduced_point(post.at, 1 / scale), (post.label,), BODY, clear=post.bore / 2 / scale, bold=True
        )
        for post in side.layout.posts
    ]
    whole = small + anywhere(wishes, small, small.bounds.grown(2 * BODY))
    return whole.moved(Vector(x - small.bounds.centre.x, 0.0))


def _caption(name: str, side: Side, room: float) -> str:
    """The level of a head, and what follows from it where that has room."""
    level = f"{name}: {LEVEL_WORDS[side.level]}"
    whole = f"{level}. {headline(side.found)}"
    return whole if width(whole, BODY, bold=True) <= room else level
