"""The nut's sheet: a paper strip to glue on the blank, the blank at full size, and what to file and to sand."""

from __future__ import annotations

import math
from collections.abc import Iterator

from export.drawing import Drawing, Room, Sheet
from export.flow import NARROW, Block, Column, Paragraph, Row, Table, flow, laid_out
from export.sheet_kind import Machine, SheetKind
from export.sheets.cautions import FOR_NUT
from export.sheets.nut_views import end_view, front_view, strip, top_view
from export.sheets.table import heading, side_by_side, stacked
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.nut_slots import Slot, blank_height, finished_height, from_bass_end, nut_slots
from geometry.layout.slots import margins_to
from geometry.shape.point import Vector
from geometry.shape.segment import Bounds
from geometry.shape.tolerance import SAME
from geometry.trade.nut_work import LOWERED, NARROWEST_FILE, WIDEST_ALLOWANCE, file_suits, nearest_file
from geometry.trade.quantities import (
    CLOSE,
    FILED,
    UNKNOWN,
    bare_gauge,
    bare_length,
    length_unit,
    show_angle,
    show_length,
    show_share,
    with_sign,
)
from geometry.trade.shop import Shop
from geometry.trade.units import Units

_NAME, _TITLE = "nut", "Nut: paper strip, slots and heights"
_GAP = 5.0

SOURCES = (
    "Slot allowance, share that stands proud, clearances over fret 1 and oversize: common practice, no source. Fall, "
    "actions over fret 12 and usual heights: from memory. All of them can be changed in the build."
)
"""What the numbers of the sheet are worth."""


def nut_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """The nut on one sheet where it fits `room` (width and height in mm), else the drawing and then its table.

    Nothing without strings.
    """
    slots = nut_slots(build, layout)
    if not slots:
        return ()
    drawing = _drawn(build, slots, room[0])
    table = slot_table(build, slots, shop)
    tables = (table,) if room[0] >= NARROW else table.halves(5)
    blocks: tuple[Block, ...] = (*tables, *nut_remarks(build, slots, shop))
    below = laid_out(blocks, room[0])
    whole = drawing + below.moved(Vector(0.0, drawing.bounds.bottom - _GAP))
    if whole.bounds.height <= room[1] and whole.bounds.width <= room[0] + SAME:
        return (_sheet(whole, room[0]),)
    pages = flow(blocks, f"{_NAME}-table", f"{_TITLE}: sizes", *room)
    return (_sheet(drawing, room[0]), *pages)


def _sheet(drawing: Drawing, wide: float) -> Sheet:
    at = drawing.bounds
    bounds = Bounds(0.0, at.bottom, max(wide, at.right), at.top)
    return Sheet(_NAME, _TITLE, bounds, drawing)


NUT = SheetKind(
    name=_NAME,
    title=_TITLE,
    draw=nut_sheets,
    cautions=FOR_NUT,
    absent="the build has no strings yet.",
    machine=Machine(),
)


def _drawn(build: Build, slots: tuple[Slot, ...], wide: float) -> Drawing:
    """Strip and views beside each other where there is room, else below each other, from an upper left corner."""
    paper = stacked((heading("Strip: cut out, fold, glue on"), strip(build, slots)), 2.5)
    end = "treble" if build.bass_sign < 0 else "bass"
    views = stacked(
        (
            heading(f"From above, from the frets, from the {end} end"),
            top_view(build, slots),
            _front_and_end(build, slots),
        ),
        2.5,
    )
    beside = side_by_side((paper, views), 2 * _GAP)
    return beside if beside.bounds.width <= wide else stacked((paper, views), _GAP)


def _front_and_end(build: Build, slots: tuple[Slot, ...]) -> Drawing:
    """The end at the right of the front, their bottoms level."""
    front, end = front_view(build, slots), end_view(build, slots)
    return front + end.moved(Vector(front.bounds.right + _GAP - end.bounds.left, 0.0))


# The table


def slot_table(build: Build, slots: tuple[Slot, ...], shop: Shop) -> Table:
    """One row for each slot, treble-most string first."""
    unit = length_unit(shop.units)
    columns = (
        Column("String", 1.5),
        Column(f"Gauge {unit}", 1.2, "end"),
        Column(f"From bass end {unit}", 1.4, "end"),
        Column(f"Slot wide {unit}", 1.2, "end"),
        Column("Nearest file", 2.1, "end"),
        Column(f"Deep {unit}", 1.2, "end"),
        Column(f"Top at {unit}", 1.2, "end"),
        Column(f"Floor over frets {unit}", 1.4, "end"),
        Column("Falls", 1.0, "end"),
        Column("Turned", 1.7, "end"),
    )
    return Table(columns, tuple(Row(_cells(build, slot, shop)) for slot in slots))


def _cells(build: Build, slot: Slot, shop: Shop) -> tuple[str, ...]:
    name, units = slot.string.name.strip(), shop.units
    return (
        f"{slot.label}  {name}" if name and name != slot.label else slot.label,
        bare_gauge(slot.string.diameter, units),
        bare_length(from_bass_end(build, slot.x), units, CLOSE),
        bare_length(slot.width, units, FILED),
        file_words(slot, shop),
        bare_length(slot.depth, units, FILED),
        bare_length(slot.top, units, FILED),
        bare_length(slot.over_frets, units, FILED),
        UNKNOWN if slot.fall is None else show_angle(math.degrees(slot.fall)),
        turn_words(build, slot),
    )


def file_words(slot: Slot, shop: Shop) -> str:
    """The shop's nearest file and how much wider or narrower it is, marked where it does not suit."""
    file = nearest_file(slot.width, slot.string.diameter, shop.nut_files)
    if file is None:
        return "–"
    off = file - slot.width
    difference = "" if abs(off) < 0.005 else f" ({with_sign(bare_length(off, shop.units, FILED))})"
    mark = "" if file_suits(file, slot.string.diameter) else "▲ "
    return f"{mark}{bare_gauge(file, shop.units)}{difference}"


def turn_words(build: Build, slot: Slot) -> str:
    """How far the slot is turned on its way to the head, and to which side."""
    if slot.turn is None:
        return "–"
    turned = show_angle(abs(math.degrees(slot.turn)))
    # Counter-clockwise is towards -x.
    side = "bass" if slot.turn * build.bass_sign < 0 else "treble"
    return f"{turned} {side}" if turned.strip("0.°") else turned


# Words


def nut_remarks(build: Build, slots: tuple[Slot, ...], shop: Shop) -> Iterator[Paragraph]:
    """What to know about blank, margins, slots, files and heights; what is wrong comes first, in bold."""
    units, high, top = shop.units, blank_height(build.nut, slots), finished_height(slots)
    if high < top - SAME:
        low = show_length(top - high, units)
        words = f"▲ The blank is too low by {low}: it does not reach the finished top of the highest slot."
        yield Paragraph(words, bold=True)
    yield Paragraph(_blank_words(build, high, top, units))
    yield Paragraph(margin_words(build, units))
    yield Paragraph(_slot_words(build, units))
    yield Paragraph(_file_remark(shop))
    yield Paragraph(_height_words(build, units))
    yield Paragraph(SOURCES)


def _blank_words(build: Build, high: float, top: float, units: Units) -> str:
    nut = build.nut
    length = nut.width + 2 * nut.blank_oversize
    sizes = " × ".join(show_length(size, units) for size in (length, nut.thickness, high))
    return (
        f"Blank {sizes} (long, thick, high): {show_length(nut.blank_oversize, units)} over each end, trimmed on "
        f"the instrument. Finished {show_length(nut.width, units)} long, {show_length(top, units, FILED)} high at the "
        "highest slot."
    )


def margin_words(build: Build, units: Units) -> str:
    """The margins with what they are measured to."""
    nut = build.nut
    to = "centre" if margins_to(build) == "centre" else "outer edge"
    return (
        f"Margins: from the finished bass end {show_length(nut.margin_bass, units)} to the {to} of the bass-most "
        f"string, from the treble end {show_length(nut.margin_treble, units)} to the {to} of the treble-most. Places "
        "are those at the edge towards the frets, where the strings bear."
    )


def _slot_words(build: Build, units: Units) -> str:
    nut = build.nut
    fall, wound, plain = (show_share(share) for share in (nut.fall_share, nut.proud_wound, nut.proud_plain))
    return (
        f"Slots: gauge + {show_length(nut.slot_allowance, units)}, round at the bottom. The floor is highest at the "
        f"edge towards the frets and falls towards the tuner by {fall} of the break; the slot is turned towards its "
        f"post by half the splay. Deep: under the finished top there, so that {wound} of a wound string and {plain} of "
        "any other stand proud. Top at: over the bottom of the nut."
    )


def _file_remark(shop: Shop) -> str:
    if not shop.nut_files:
        return "Files: the shop lists none; with its files listed, the nearest stands beside each slot."
    return (
        "Files: in brackets how much wider (+) or narrower (−) than the slot; a narrower one is rocked. "
        f"▲ does not suit: wider than the gauge by more than {show_length(WIDEST_ALLOWANCE, shop.units)}, where the "
        f"string buzzes, or under {show_share(NARROWEST_FILE)} of it."
    )


def _height_words(build: Build, units: Units) -> str:
    nut = build.nut
    clearances, actions = (
        f"{show_length(bass, units)} (bass) to {show_length(treble, units)} (treble)"
        for bass, treble in ((nut.clearance_bass, nut.clearance_treble), (nut.action_bass, nut.action_treble))
    )
    return (
        f"Floor over frets: over a straightedge on the frets, for {clearances} over fret 1 and {actions} over fret "
        f"12, neck straight. For the final height sand the bottom, not the top: {LOWERED:.3f} × (measured − wanted "
        f"over fret 1), as one straight cut from bass to treble; keep {show_length(nut.least_height, units)} at least. "
        "Measured over fret 1: bass ____________ treble ____________"
    )
