"""The drilling schedule: every step in its order as a table, and as rows for a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterator

from export.csv import MARKED, write_table
from export.drawing import Room, Sheet
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow
from export.sheet_kind import SheetKind
from export.sheets.cautions import FOR_SCHEDULE, TRY_ON_SCRAP
from geometry.bench.bore_fit import Choice
from geometry.bench.cradle import cradle
from geometry.bench.drilling import schedule
from geometry.bench.fit_words import wood_words
from geometry.bench.operations import Hole, Operation
from geometry.bench.press_words import say_press
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.names import run_words
from geometry.trade.bore_fit import OVERCUT, WORN
from geometry.trade.drills import Drill
from geometry.trade.quantities import (
    CLOSE,
    DEPTH,
    bare_length,
    length_unit,
    show_fine,
    show_length,
    with_sign,
)
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import find_wood

_NAME, _TITLE = "schedule", "Drilling schedule"

HEADER = (
    "step", "operation", "hole", "x_face_mm", "y_face_mm", "bit", "drill", "diameter_mm", "diameter_in", "bore_mm",
    "difference_mm", "inside_fit", "depth_mm", "side", "backing", "stop_mm", "note",
)  # fmt: skip
"""The first line of the schedule's CSV; places in head mm as the face shows them."""

SOURCES = (
    "Fits of pressed bushings by hardness, overcut, allowances, order of work: workshop practice from memory, no "
    "source. Hardness: Wood Handbook. Pilots: National Design Specification, wood screws in withdrawal. Bushings: "
    "measure yours."
)
"""What the numbers of the sheet are worth."""


STOP = (
    "Stop: how far the lowest point of the bit goes below the surface, a twist bit's point counted, a rim or "
    "spur bit by its rim. The backing board takes the rest."
)
"""What the column of stops holds."""


def schedule_sheets(
    build: Build, layout: Layout, shop: Shop, room: Room, *, with_ladder: bool = False
) -> tuple[Sheet, ...]:
    """The steps as sheets of one page each; a page has `room` (width and height in mm). Nothing without tuners.

    `with_ladder`: the ladder of bores stands below, so that nothing is said of scrap.
    """
    steps = schedule(build, layout, shop)
    if not steps:
        return ()
    blocks = tuple(_blocks(build, layout, steps, shop, room[0]))
    if with_ladder:
        blocks = tuple(block for block in blocks if block != Paragraph(TRY_ON_SCRAP))
    return flow(blocks, _NAME, _TITLE, *room)


def _blocks(
    build: Build, layout: Layout, steps: tuple[Operation, ...], shop: Shop, wide: float
) -> Iterator[Block]:
    wood = wood_words(find_wood(build.head.wood, shop.own_woods), build.head.wood, shop.units)
    yield Heading("Every step, in this order")
    yield Paragraph(f"Head: {wood}.", bold=True)
    table = schedule_table(steps, shop.units)
    yield from (table,) if wide >= NARROW else table.halves(5)
    yield from (Paragraph(words) for words in (*on_the_press(build, layout, shop), *remarks(build, shop)))


def on_the_press(build: Build, layout: Layout, shop: Shop) -> tuple[str, ...]:
    """How the head comes under the spindle of the shop's press; nothing where its throat is not known."""
    if shop.press_throat is None:
        return ()
    try:
        made = cradle(build, layout, shop.cradle, units=shop.units)
    except ValueError as error:
        return (f"Whether it fits the drill press is not known. {error}",)
    return tuple(say_press(made, layout, shop))


def remarks(build: Build, shop: Shop) -> tuple[str, ...]:
    """What holds for every step, a sentence each."""
    up, units = build.head.finish_build_up, shop.units
    if up > 0:
        finish = (
            f"Finish that builds up in the bores makes them {show_fine(up, units)} narrower: that is in them."
        )
    else:
        allowance = f"{show_fine(0.1, units)} to {show_fine(0.3, units)}"
        finish = (
            f"Finish that comes later builds up in a bore and makes it {allowance} narrower (common practice, no "
            "source): say so in the build, or ream the finish out by hand, never drive a bushing through it."
        )
    over, worn = show_fine(OVERCUT, units), show_fine(WORN, units)
    wide = (
        f"A hole comes out about {over} wider than its drill, which the fit allows for; {worn} with a worn or "
        "hand-held bit (from memory)."
    )
    return (
        STOP,
        "Over, under: how much wider (+) or narrower (−) the drill is than the build's bore; ! is outside the fit.",
        wide,
        finish,
        TRY_ON_SCRAP,
        SOURCES,
    )


# The table


def schedule_table(steps: tuple[Operation, ...], units: Units) -> Table:
    """One row for each step."""
    unit = length_unit(units)
    columns = (
        Column("", 0.5, "end"),
        Column("Step and holes", 2.9),
        Column("Bit", 1.6),
        Column("Drill", 1.9),
        Column(f"Over, under {unit}", 1.6, "end"),
        Column(f"Depth {unit}", 1.6, "end"),
        Column(f"Stop {unit}", 1.2, "end"),
        Column("From, on", 1.7),
        Column("Note", 7.0),
    )
    return Table(columns, tuple(Row(_cells(number, step, units)) for number, step in enumerate(steps, 1)))


def _cells(number: int, step: Operation, units: Units) -> tuple[str, ...]:
    what = f"{step.name}: {run_words(spot.name for spot in step.spots)}"
    notes = " ".join(step.notes)
    hole = step.hole
    if hole is None:
        return str(number), what, "", "", "", "", "", "", notes
    return (
        str(number),
        what,
        hole.bit,
        *_choice_cells(hole.choice, units),
        "through" if hole.depth is None else short_length(hole.depth, units),
        short_length(hole.stop, units),
        f"{hole.side}, {'backing' if hole.backing else 'clamped'}",
        notes,
    )


def _choice_cells(choice: Choice | None, units: Units) -> tuple[str, str]:
    if choice is None:
        return "none", ""
    off = off_words(choice.difference, units)
    return drill_words(choice.drill), off if choice.inside else f"{off} !"


def drill_words(drill: Drill) -> str:
    """The drill as it is marked, and its diameter in the other measure: "11/32 in, 8.73 mm", "8.8 mm, 0.346 in"."""
    names = [drill.name]
    if drill.series not in ("metric", "own"):
        names.append(show_length(drill.diameter, "mm", CLOSE))
    if drill.series != "fraction":
        names.append(show_length(drill.diameter, "inch", CLOSE))
    return ", ".join(names)


def off_words(difference: float, units: Units) -> str:
    """How much wider or narrower than the bore a drill is, with its sign and without its unit; 0 for neither."""
    off = bare_length(difference, units, CLOSE)
    return with_sign(off) if off.strip("0.") else "0"


def short_length(length: float, units: Units) -> str:
    """A depth as a stop is set, without its unit: to a tenth of a millimetre or a hundredth of an inch."""
    return bare_length(length, units, DEPTH)


# Spreadsheet


def schedule_csv(steps: tuple[Operation, ...], fingerprint: str) -> bytes:
    """One line for each hole of each step, lengths in mm."""
    return write_table((*HEADER, MARKED), ((*line, fingerprint) for line in _lines(steps)))


SCHEDULE = SheetKind(
    reads=True,
    name=_NAME,
    title="Schedule: every drilling step in order",
    draw=schedule_sheets,
    cautions=FOR_SCHEDULE,
    absent="no tuner has its place yet.",
    table=lambda build, layout, shop, mark: schedule_csv(schedule(build, layout, shop), mark),
)


def _lines(steps: tuple[Operation, ...]) -> Iterator[tuple[str | float | None, ...]]:
    for number, step in enumerate(steps, 1):
        notes = " ".join(step.notes)
        for spot in step.spots:
            place = (str(number), step.name, spot.name, spot.at.x, spot.at.y)
            yield (*place, *_hole_cells(step.hole), notes)


def _hole_cells(hole: Hole | None) -> tuple[str | float | None, ...]:
    if hole is None:
        return (None,) * 11
    drill: tuple[str | float | None, ...] = (None, None, None, hole.fit.diameter, None, None)
    if hole.choice is not None:
        found, choice = hole.choice.drill, hole.choice
        drill = (
            found.name,
            found.diameter,
            f"{found.diameter_inch:.4f}",
            hole.fit.diameter,
            choice.difference,
            "yes" if choice.inside else "no",
        )
    depth = "through" if hole.depth is None else hole.depth
    return (hole.bit, *drill, depth, hole.side, "yes" if hole.backing else "no", hole.stop)
