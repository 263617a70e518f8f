"""The list of what is sawn for a cradle, and how it is put together."""

from __future__ import annotations

import math
from collections.abc import Iterator

from export.drawing import Drawing, Room, Sheet
from export.sheets.head import ROOM
from export.sheets.table import GAP, divided, heading, paged, pages_of, paragraphs, stacked
from geometry.bench.cradle import Cradle, block_remarks, cradle_parts
from geometry.bench.press_words import MEANING, press_rows, say_press, ways_of
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.trade.quantities import SAWN, show_length
from geometry.trade.shop import Shop
from geometry.trade.units import Units

PART_HEADS = ("Part", "Number", "Length", "Width", "Thickness")
WAYS = (
    "In a vice or clamp: head and blocks on the backing board, jaws on the outer faces of the blocks. No base plate.",
    "Screwed: both blocks screwed through the backing board into the base plate, the head taped on between them.",
    "With wedges: stops screwed on, blocks loose; drive each pair from both ends, by turns, until nothing moves.",
    "Tape the sides of the head first. No tuner and no bushing is on the head yet.",
    "A head that narrows to its tip is pushed out that way: tighten gently, or screw a scrap against the tip.",
    "Set the table square to the spindle; try with a square on the face of the head before the first bore.",
)
"""How to hold a head with the parts, a sentence each."""


def list_sheets(
    build: Build, layout: Layout, made: Cradle, shop: Shop, room: Room = ROOM
) -> tuple[Sheet, ...]:
    """The parts, what to know about the blocks, how to hold them, what each way asks of a press: pages of `room`."""
    wide, units = min(room[0], ROOM[0]) - 2.0, shop.units
    blocks = [divided("Parts", PART_HEADS, part_rows(made, units))]
    said = cradle_remarks(build, made, units)
    if said:
        blocks.append(stacked((heading("Note"), paragraphs(said, wide)), 1.5))
    blocks.append(stacked((heading("Three ways to hold the blocks"), paragraphs(WAYS, wide)), 1.5))
    blocks += _press(layout, made, shop, wide)
    return pages_of("cradle-parts", "Parts that hold the head", paged(blocks, room[1] - 2.0, 2 * GAP))


def _press(layout: Layout, made: Cradle, shop: Shop, wide: float) -> Iterator[Drawing]:
    """What each way asks of a drill press, as a table and in words; nothing without bores."""
    ways = ways_of(made, layout)
    if ways:
        yield divided("The drill press", *press_rows(ways, shop))
        yield paragraphs((*say_press(made, layout, shop), MEANING), wide)


def part_rows(made: Cradle, units: Units) -> tuple[tuple[str, ...], ...]:
    """A row for each part: its name, how many, and its sizes."""
    return tuple(
        (
            part.name,
            str(part.number),
            *(show_length(each, units, SAWN) for each in (part.length, part.width, part.thickness)),
        )
        for part in cradle_parts(made)
    )


def cradle_remarks(build: Build, made: Cradle, units: Units) -> tuple[str, ...]:
    """What to know about the blocks before they are sawn."""
    return (*block_remarks(made, units), *_thickness_remarks(build, made, units))


def _thickness_remarks(build: Build, made: Cradle, units: Units) -> tuple[str, ...]:
    """What follows when the blocks are not as thick as the head."""
    head = max(build.head.thickness_nut, build.head.thickness_tip)
    own = show_length(made.thickness, units)
    if made.thickness > head + 0.5:
        return (f"Blocks {own} thick stand over the face: see that the chuck does not come down on them.",)
    if made.thickness < math.ceil(head) / 2:
        return (f"Blocks {own} thick hold less than half of the head's sides: take a thicker board.",)
    return ()
