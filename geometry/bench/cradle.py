"""Blocks, wedges and boards that hold a head square under the drill."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import msgspec

from geometry.bench.head_rest import HeadRest, head_rest
from geometry.bench.side_face import StandOff, side_face, stands_off
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle, Line
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import SAWN, show_length
from geometry.trade.shop import CradleSizes
from geometry.trade.units import Units

# Sizes in mm; workshop practice, no source.
FOLLOWS = 0.01
"""A block follows the head where its face is no further off than the gap and this."""

LEAST_WALL = 15.0
"""Least width of a block behind its hollowest place."""

SHORTEST = 25.0
"""Least length of a block, and of the stretch in which the two blocks face each other."""

_FROM_NUT = 3.0  # no block begins nearer to the nut line
_SCREW_HOLE = 4.5  # diameter of the holes for the screws that hold blocks and stops on the base plate

THIN_END = 12.0
"""Width of the thin end of a wedge."""

STOP_WIDTH = 25.0
"""Width of the stop screwed behind a pair of wedges."""

MARGIN = 10.0
"""How far the base plate stands out over the stops and the tip."""

_LEDGE = 2.0  # how far it stands out under the blocks at the nut
_SCREW_INSET = 9.0


class Block(msgspec.Struct, frozen=True):
    """A block beside the head, in head mm: `outline` counter-clockwise, `face` the part of it that follows the head.

    `inner` and `outer` are distances from the centre line, of its hollowest place and of its straight outer face.
    """

    side: str
    outline: Contour
    face: Contour
    low: float
    high: float
    inner: float
    outer: float
    screws: tuple[Circle, ...]
    stands_off: tuple[StandOff, ...]

    @property
    def length(self) -> float:
        """Length in mm along the centre line."""
        return self.high - self.low

    @property
    def width(self) -> float:
        """Width in mm of the stock that it is cut from."""
        return self.outline.bounds.width

    def mirrored(self, side: str) -> Block:
        """The mirror image in the centre line."""
        return msgspec.structs.replace(
            self,
            side=side,
            outline=self.outline.mirrored().reversed(),
            face=self.face.mirrored(),
            screws=tuple(hole.mirrored() for hole in self.screws),
        )


class Wedges(msgspec.Struct, frozen=True):
    """A pair of opposing wedges and the stop behind them, at their places on the base plate, in head mm."""

    side: str
    inner: Contour
    outer: Contour
    stop: Contour
    screws: tuple[Circle, ...]


class Cradle(msgspec.Struct, frozen=True):
    """Everything that holds one head, in head mm as the face shows it.

    `base` is the base plate, and the backing board on it. `thickness` is that of the blocks. `thick_end` and
    `wedge_length` are the sizes of each of the four equal wedges. `unbacked` are the labels of bores that
    do not lie over the base plate whole.
    """

    edge: Edge
    sizes: CradleSizes
    left: Block
    right: Block
    wedges: tuple[Wedges, Wedges]
    base: Bounds
    thickness: float
    thick_end: float
    wedge_length: float
    unbacked: tuple[str, ...]
    rest: HeadRest

    @property
    def blocks(self) -> tuple[Block, Block]:
        """The left and the right block, as the face shows them."""
        return self.left, self.right


def cradle(
    build: Build, layout: Layout, sizes: CradleSizes, kerf: float = 0.0, units: Units = "mm"
) -> Cradle:
    """What holds the head of a build; corners are opened for the cutter, or for a `kerf` (mm) that is wider.

    Raises ValueError, with a sentence for the maker, where no blocks can be made.
    """
    edge = _sound_edge(layout)
    cutter = max(sizes.cutter, kerf)
    lowest = max(_FROM_NUT, build.head.back_flat_from)
    right = _block(edge.contour, sizes, cutter, lowest + _LEDGE, "right", units)
    left = _block(edge.contour.mirrored().reversed(), sizes, cutter, lowest + _LEDGE, "left", units).mirrored(
        "left"
    )
    low, high = max(left.low, right.low), min(left.high, right.high)
    if high - low < SHORTEST:
        message = (
            f"There are no blocks for this head: less than {show_length(SHORTEST, units)} of its two sides "
            "lie across from each other."
        )
        raise ValueError(message)
    thick_end = THIN_END + (high - low) / sizes.wedge_taper
    pairs = tuple(_wedges(block, low, high, thick_end) for block in (left, right))
    reach_out = thick_end + THIN_END + STOP_WIDTH + MARGIN
    top = max(edge.top, left.high, right.high) + MARGIN
    base = Bounds(-left.outer - reach_out, lowest, right.outer + reach_out, top)
    return Cradle(
        edge=edge,
        sizes=sizes,
        left=left,
        right=right,
        wedges=(pairs[0], pairs[1]),
        base=base,
        thickness=sizes.block_thickness or max(build.head.thickness_nut, build.head.thickness_tip),
        thick_end=thick_end,
        wedge_length=high - low,
        unbacked=tuple(
            post.label for post in layout.posts if not base.grown(SAME - post.bore / 2).contains(post.at)
        ),
        rest=head_rest(build, sizes),
    )


def _sound_edge(layout: Layout) -> Edge:
    if layout.edge is None or not outline_is_sound(layout.edge):
        message = "There are no blocks for this head: its outline is open or crosses itself."
        raise ValueError(message)
    return layout.edge


def _block(edge: Contour, sizes: CradleSizes, cutter: float, lowest: float, side: str, units: Units) -> Block:
    """The block at the right of an edge."""
    face = side_face(edge, sizes.gap, cutter, lowest)
    if face is None or face.end.y - face.start.y < SHORTEST:
        message = (
            f"There is no {side} block for this head: less than {show_length(SHORTEST, units)} of its {side} side "
            "runs along the neck."
        )
        raise ValueError(message)
    bounds = face.bounds
    outer = max(bounds.left + sizes.block_width, bounds.right + LEAST_WALL)
    low, high = face.start.y, face.end.y
    corners = (face.start, Point(outer, low), Point(outer, high), face.end)
    rim = tuple(Line(one, two) for one, two in pairwise(corners))
    return Block(
        side=side,
        outline=Contour((*rim, *face.reversed().segments), closed=True),
        face=face,
        low=low,
        high=high,
        inner=bounds.right,
        outer=outer,
        screws=_screws(outer - LEAST_WALL / 2, low, high),
        stands_off=stands_off(face, edge, sizes.gap, FOLLOWS),
    )


def _screws(x: float, low: float, high: float) -> tuple[Circle, ...]:
    return tuple(Circle(Point(x, y), _SCREW_HOLE / 2) for y in (low + _SCREW_INSET, high - _SCREW_INSET))


def _wedges(block: Block, low: float, high: float, thick_end: float) -> Wedges:
    """The wedges beside a block: the inner one is thick towards the tip, the outer one towards the nut."""
    sign = -1.0 if block.side == "left" else 1.0
    start = block.outer
    behind = start + THIN_END + thick_end
    inner = ((start, low), (start + THIN_END, low), (start + thick_end, high), (start, high))
    outer = ((start + THIN_END, low), (behind, low), (behind, high), (start + thick_end, high))
    stop = ((behind, low), (behind + STOP_WIDTH, low), (behind + STOP_WIDTH, high), (behind, high))
    screws = _screws(sign * (behind + STOP_WIDTH / 2), low, high)
    return Wedges(block.side, _loop(inner, sign), _loop(outer, sign), _loop(stop, sign), screws)


def _loop(corners: tuple[tuple[float, float], ...], sign: float) -> Contour:
    """A closed polyline, counter-clockwise, on the right (`sign` 1) or mirrored on the left (-1)."""
    points = [Point(sign * x, y) for x, y in corners]
    return through(points if sign > 0 else points[::-1], closed=True)


# What is sawn


class CradlePart(msgspec.Struct, frozen=True, gc=False):
    """So many equal pieces of wood; lengths in mm."""

    name: str
    number: int
    length: float
    width: float
    thickness: float


def cradle_parts(cradle: Cradle) -> tuple[CradlePart, ...]:
    """All pieces, blocks first; those that a head does not need are left out."""
    sizes, rest, base = cradle.sizes, cradle.rest, cradle.base
    long, thick = cradle.wedge_length, cradle.thickness
    every = (
        *(
            CradlePart(f"{block.side.capitalize()} block", 1, block.length, block.width, thick)
            for block in cradle.blocks
        ),
        CradlePart("Wedge", 4, long, cradle.thick_end, thick),
        CradlePart("Stop", 2, long, STOP_WIDTH, thick),
        CradlePart("Base plate", 1, base.height, base.width, sizes.base),
        CradlePart("Backing board, scrap", 1, base.height, base.width, sizes.backing),
        CradlePart("Riser, face up", 1, base.height, base.width, rest.riser),
        CradlePart("Riser, face down", 1, base.height, base.width, rest.riser_face_down),
        CradlePart(f"Packing under the {rest.packed_end}", 1, base.height, 20.0, rest.packing),
    )
    return tuple(part for part in every if part.thickness > SAME)


def block_remarks(cradle: Cradle, units: Units) -> Iterator[str]:
    """What the maker must know about the blocks, a sentence each."""
    for block in cradle.blocks:
        if block.width > cradle.sizes.block_width + SAME:
            wide, stock, wall = (
                show_length(each, units, SAWN) for each in (block.width, cradle.sizes.block_width, LEAST_WALL)
            )
            yield (
                f"The {block.side} block needs a board {wide} wide instead of {stock}, so that {wall} of wood stays "
                "behind its deepest hollow."
            )
        for off in block.stands_off:
            low, high = (show_length(each, units, SAWN) for each in (off.low, off.high))
            yield (
                f"From {low} to {high} off the nut line the {block.side} block stands up to "
                f"{show_length(off.most, units)} off the head, more than the gap of "
                f"{show_length(cradle.sizes.gap, units)}: there the cutter cannot follow, or the block would not slide "
                "on."
            )
    if cradle.unbacked:
        bores = ", ".join(cradle.unbacked)
        yield f"Not over the backing board: bore {bores}. Put scrap under it, or it breaks out at the back."
