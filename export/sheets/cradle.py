"""What holds the head under the drill, at true size: blocks, wedges, base plate; and how the head lies level.

Paper shows true lines to saw to. The one drawing for machines has every piece apart, its lines moved by half the kerf.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from export.drawing import QUARTER, Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.sheet_kind import Machine, SheetError, SheetKind
from export.sheets.cautions import FOR_CRADLE
from export.sheets.cradle_list import list_sheets
from export.sheets.head import LABEL, ROOM, centre_line, crosshair, nut_ends
from export.sheets.head_rest import rest_sheets
from export.sheets.kerf import cut_line, kerf_note, refuse_kerf
from export.sheets.table import GAP, side_by_side
from geometry.bench.cradle import Cradle, Wedges, cradle
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.contour import Contour, rectangle, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import SAWN, show_length, typed_number
from geometry.trade.shop import Shop
from geometry.trade.units import INCH, Units

_APART = 12.0
_NAME = 4.2
_INSET = 3.5


def cradle_sheets(build: Build, layout: Layout, shop: Shop, room: Room = ROOM) -> tuple[Sheet, ...]:
    """Blocks, wedges, base plate, the way the head lies level, and the list of parts.

    Words keep to `room` (width and height in mm) where they can. Raises SheetError where no blocks can be made.
    """
    made = _made(build, layout, shop)
    return (
        _blocks_sheet(made, shop.units),
        _wedges_sheet(made, shop.units),
        base_sheet(build, layout, made, shop.units),
        *rest_sheets(build, layout, made, shop.units, room),
        *list_sheets(build, layout, made, shop, room),
    )


def _made(build: Build, layout: Layout, shop: Shop, kerf: float = 0.0) -> Cradle:
    try:
        return cradle(build, layout, shop.cradle, kerf, shop.units)
    except ValueError as error:
        raise SheetError(str(error)) from None


def cradle_machine_sheet(build: Build, layout: Layout, shop: Shop) -> Sheet:
    """Every piece once for each time it is cut, none over another; the blocks lie as beside the head, in head mm.

    Lines that are cut are moved by half the shop's kerf into the waste. Raises SheetError as `cradle_sheets`, and for a
    kerf that no piece can take.
    """
    kerf = shop.kerf
    refuse_kerf(kerf, shop.units)
    made = _made(build, layout, shop, kerf)
    marks = [mark for place in _places(made) for mark in place]
    drawing = Drawing(tuple(_compensated(mark, kerf, shop.units) for mark in marks))
    said = kerf_note(kerf, shop.units, "{half} outside")
    return fitted(
        "cradle", "Blocks, wedges, stops and base plate", drawing, notes=(said,), cautions=FOR_CRADLE
    )


CRADLE = SheetKind(
    name="cradle",
    title="Cradle: the head held under the drill",
    draw=cradle_sheets,
    cautions=FOR_CRADLE,
    machine=Machine(cradle_machine_sheet),
)


# Machine file


def _places(made: Cradle) -> Iterator[list[Mark]]:
    """The pieces at their places: blocks about the head, the base plate above, stops and wedges at the right."""
    blocks = [
        mark for block in made.blocks for mark in _piece(block.outline, block.screws, f"{block.side} block")
    ]
    yield blocks
    base = _marks_of_base(made)
    up = Vector(0.0, max(block.high for block in made.blocks) + _APART - made.base.bottom)
    yield [mark.moved(up) for mark in base]
    right = max(made.right.outer, made.base.right) + _APART
    for pair in made.wedges:
        for outline, holes, name in (
            (pair.inner, (), "wedge"),
            (pair.outer, (), "wedge"),
            (pair.stop, pair.screws, "stop"),
        ):
            step = Vector(right - outline.bounds.left, 0.0)
            yield [mark.moved(step) for mark in _piece(outline, holes, name)]
            right += outline.bounds.width + _APART


def _marks_of_base(made: Cradle) -> list[Mark]:
    """The base plate to be cut, with what is screwed on engraved, and its screw holes."""
    screwed = [*(block.outline for block in made.blocks), *(pair.stop for pair in made.wedges)]
    return [
        *_piece(rectangle(made.base), _screws(made), "base plate"),
        *(Mark(Role.ENGRAVE, outline, "place") for outline in screwed),
    ]


def _compensated(mark: Mark, kerf: float, units: Units) -> Mark:
    """The mark as a machine follows it; screw holes are drilled, true to size."""
    if mark.role is not Role.CUT_OUTLINE or not isinstance(mark.shape, Contour) or kerf <= SAME:
        return mark
    return Mark(mark.role, cut_line(mark.shape, kerf, mark.label, units), mark.label)


def _piece(outline: Contour, holes: Iterable[Circle], name: str) -> list[Mark]:
    return [Mark(Role.CUT_OUTLINE, outline, name), *(Mark(Role.SCREW, hole, "screw hole") for hole in holes)]


def _crossed(holes: Iterable[Circle]) -> Iterator[Mark]:
    for hole in holes:
        yield from crosshair(hole.centre, hole.radius, "screw hole", beyond=1.5)


def _footprints(made: Cradle) -> Iterator[tuple[str, Contour]]:
    for block in made.blocks:
        yield "block", block.outline
    for pair in made.wedges:
        yield "wedge", pair.inner
        yield "wedge", pair.outer
        yield "stop", pair.stop


def _screws(made: Cradle) -> tuple[Circle, ...]:
    return tuple(hole for each in (*made.blocks, *made.wedges) for hole in each.screws)


# Paper


def _blocks_sheet(made: Cradle, units: Units) -> Sheet:
    left, right = (_block_drawing(made, index) for index in (0, 1))
    # The blocks may come nearer to each other on paper than the head lets them.
    step = left.bounds.right + _APART - right.bounds.left
    drawing = left + right.moved(Vector(step, 0.0))
    thick, gap = show_length(made.thickness, units), show_length(made.sizes.gap, units)
    note = (
        f"From board {thick} thick, true to size: saw on the waste side. Inner faces stand {gap} off the head, for "
        "tape; outer faces are parallel to the centre line."
    )
    return fitted(
        "cradle-blocks",
        "Blocks, seen from the face",
        drawing,
        notes=(note,),
        seam_avoid=tuple(mark.shape for mark in drawing.marks if isinstance(mark.shape, Circle)),
    )


def _block_drawing(made: Cradle, index: int) -> Drawing:
    block = made.blocks[index]
    sign = -1.0 if index == 0 else 1.0
    middle = (block.low + block.high) / 2
    name = f"{block.side.upper()} BLOCK"
    marks = [*_piece(block.outline, block.screws, f"{block.side} block"), *_crossed(block.screws)]
    marks.append(_upright(Point(sign * (block.outer - _INSET - 1.0), middle), name, sign, _NAME, bold=True))
    marks.append(_upright(Point(sign * (block.outer - _INSET - 8.0), middle), "to the tip →", sign, LABEL))
    return Drawing(tuple(marks))


def _upright(at: Point, words: str, sign: float, size: float, *, bold: bool = False) -> Mark:
    """Words that run up a piece, on the near side of a line at its right (`sign` 1) or its left (-1)."""
    across = Vector(0.0 if sign > 0 else size * 0.7, 0.0)
    return Mark(Role.LABEL, Text(at + across, size, words, QUARTER, "middle", bold=bold))


def _wedges_sheet(made: Cradle, units: Units) -> Sheet:
    pair = made.wedges[1]
    wedge = _standing(Drawing(tuple(_piece(pair.inner, (), "wedge"))), "WEDGE: cut 4")
    stop = (*_piece(pair.stop, pair.screws, "stop"), *_crossed(pair.screws))
    taper, step = made.sizes.wedge_taper, 1.0 if units == "mm" else INCH / 32
    note = (
        f"Taper 1 in {typed_number(taper)}, so that the wedges hold by themselves: no steeper than 1 in 8. Two make a "
        f"pair, thick end by thin end; {show_length(taper * step, units)} of driving takes up "
        f"{show_length(step, units)}. A stop is screwed behind each pair."
    )
    return fitted(
        "cradle-wedges",
        "Wedges and stops",
        side_by_side((wedge, _standing(Drawing(stop), "STOP: cut 2")), 3 * GAP),
        notes=(note,),
    )


def _standing(piece: Drawing, name: str) -> Drawing:
    """A piece with its name along it."""
    bounds = piece.bounds
    # Words stand where a wedge is wide enough at its thin end, too.
    at = Point(bounds.left + 6.0, bounds.centre.y)
    return piece + Drawing((Mark(Role.LABEL, Text(at, _NAME, name, QUARTER, "middle", bold=True)),))


def base_sheet(build: Build, layout: Layout, made: Cradle, units: Units) -> Sheet:
    """The base plate with head, blocks, wedges and stops at their places."""
    left, right = nut_ends(build, layout)
    marks = [
        Mark(Role.CUT_OUTLINE, rectangle(made.base), "base plate"),
        *(Mark(Role.FENCE, outline, name) for name, outline in _footprints(made)),
        Mark(Role.OUTLINE, made.edge.contour, "outline"),
        Mark(Role.NUT_LINE, through((left, right)), "nut line"),
        centre_line(min(0.0, made.base.bottom), made.base.top),
        *(Mark(Role.BORE, Circle(post.at, post.bore / 2), f"post {post.label}") for post in layout.posts),
        *(Mark(Role.SCREW, hole, "screw hole") for hole in _screws(made)),
        *_crossed(_screws(made)),
        *_base_words(made),
    ]
    size = f"{show_length(made.base.width, units, SAWN)} × {show_length(made.base.height, units, SAWN)}"
    note = (
        f"Base plate {size}; on it a backing board as large, drilled into and renewed, then blocks and head."
    )
    holes = (*_screws(made), *(Circle(post.at, post.bore / 2) for post in layout.posts))
    return fitted(
        "cradle-base",
        "Base plate, seen from the face",
        Drawing(tuple(marks)),
        notes=(note,),
        seam_avoid=holes,
    )


def _base_words(made: Cradle) -> Iterator[Mark]:
    for block, pair, sign in zip(made.blocks, made.wedges, (-1.0, 1.0), strict=True):
        y = (block.low + block.high) / 2
        yield _upright(Point(sign * (block.outer - _INSET - 1.0), y), "BLOCK", sign, _NAME, bold=True)
        yield from _pair_words(pair, y)


def _pair_words(pair: Wedges, y: float) -> Iterator[Mark]:
    for outline, name in ((pair.inner, "WEDGE"), (pair.outer, "WEDGE"), (pair.stop, "STOP")):
        points = outline.points
        x = sum(point.x for point in points) / len(points)
        yield Mark(Role.LABEL, Text(Point(x + _NAME * 0.36, y), _NAME, name, QUARTER, "middle", bold=True))
