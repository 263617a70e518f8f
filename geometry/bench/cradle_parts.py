"""The list of what is sawn for a cradle, and what is to be known about each piece."""

from __future__ import annotations

import msgspec

from geometry.bench.cradle import LEAST_WALL, STOP_WIDTH, Block, Cradle
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import SAWN, show_length
from geometry.trade.units import Units


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
    riser = [
        CradlePart(name, 1, base.height, base.width, height)
        for name, height in (("Riser, face up", rest.riser), ("Riser, face down", rest.riser_face_down))
        if height > SAME
    ]
    packing = (
        [CradlePart(f"Packing under the {rest.packed_end}", 1, base.height, 20.0, rest.packing)]
        if rest.packing > SAME
        else []
    )
    blocks = [
        CradlePart(f"{block.side.capitalize()} block", 1, block.length, block.width, cradle.thickness)
        for block in cradle.blocks
    ]
    long, thick = cradle.wedge_length, cradle.thickness
    return (
        *blocks,
        CradlePart("Wedge", 4, long, cradle.thick_end, thick),
        CradlePart("Stop", 2, long, STOP_WIDTH, thick),
        CradlePart("Base plate", 1, base.height, base.width, sizes.base),
        CradlePart("Backing board, scrap", 1, base.height, base.width, sizes.backing),
        *riser,
        *packing,
    )


def block_remarks(cradle: Cradle, units: Units) -> tuple[str, ...]:
    """What the maker must know about the blocks, a sentence each."""
    said: list[str] = []
    for block in cradle.blocks:
        if block.width > cradle.sizes.block_width + SAME:
            wide, stock, wall = (
                show_length(each, units, SAWN) for each in (block.width, cradle.sizes.block_width, LEAST_WALL)
            )
            said.append(
                f"The {block.side} block needs a board {wide} wide instead of {stock}, so that {wall} of wood stays "
                "behind its deepest hollow."
            )
        said += _stand_off_remarks(block, cradle, units)
    if cradle.unbacked:
        bores = ", ".join(cradle.unbacked)
        said.append(
            f"Not over the backing board: bore {bores}. Put scrap under it, or it breaks out at the back."
        )
    return tuple(said)


def _stand_off_remarks(block: Block, cradle: Cradle, units: Units) -> list[str]:
    return [
        f"From {show_length(off.low, units, SAWN)} to {show_length(off.high, units, SAWN)} off the nut line the "
        f"{block.side} block stands up to {show_length(off.most, units)} off the head, more than the gap of "
        f"{show_length(cradle.sizes.gap, units)}: there the cutter cannot follow, or the block would not slide on."
        for off in block.stands_off
    ]
