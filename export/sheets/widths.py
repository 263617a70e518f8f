"""The summary of several nut widths: a chart of what limits a head at each of them, and the numbers below it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from export.drawing import NO_SCALE, Anchor, Drawing, Room, Sheet
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow, laid_out, rows_fitting
from export.sheets.chart import Chart, Curve, chart_drawing, spans_to_avoid
from export.sheets.report import LEVEL_ROLES, LEVEL_WORDS
from export.sheets.table import stacked
from geometry.search.refitting.widths import Member, say_avoid, say_best, say_limit, say_narrowest, to_avoid
from geometry.search.rings.allowance import rounded_down
from geometry.shape.segment import Bounds
from geometry.trade.quantities import length_word, show_length, show_quantity, show_radius, typed_number
from geometry.trade.units import INCH, Units

_NAME, _TITLE = "widths", "Nut widths: one head, several nuts"
_CHART = 92.0  # height in mm of the chart
_GAP = 2.0

MARGIN_NAME = "worst margin to stop"
RING_NAME = "smallest ring"

_WHAT = (
    "Worst margin: how far the closest length is from its stop limit; below 0 it is beyond. Smallest ring: how far all "
    "holes may miss their marks at once. Hatched: something is at stop, do not build this width as it is."
)


def widths_sheets(members: Sequence[Member], units: Units, room: Room) -> tuple[Sheet, ...]:
    """The chart and the table of all widths, on one page of `room` (width and height in mm) where both have room."""
    wide, high = room
    page = Bounds(0.0, -high, wide, 0.0)
    top = stacked((laid_out(_head(members, units), wide), _chart(members, units, wide)), gap=_GAP)
    table = _table(members, units, wide)
    count = rows_fitting(table, wide, high - top.bounds.height - _GAP)
    if count:
        top = stacked((top, laid_out((table.part(0, count),), wide)), gap=_GAP)
    # On the smallest paper the chart may need more than one page: the sheet is then divided.
    first = Sheet(_NAME, _TITLE, page.joined(top.bounds), top, scale=NO_SCALE)
    if count == len(members):
        return (first,)
    return (first, *flow((table.part(count),), f"{_NAME}-table", _TITLE, wide, high))


def _head(members: Sequence[Member], units: Units) -> Iterator[Block]:
    yield Heading(say_avoid(members, units))
    best = say_best(members, units)
    if best:
        yield Paragraph(best, bold=True)
    yield Paragraph(_WHAT)


def _chart(members: Sequence[Member], units: Units, wide: float) -> Drawing:
    widths = tuple(member.width for member in members)
    unit = INCH if units == "inch" else 1.0
    margins = tuple(None if member.margin is None else member.margin / unit for member in members)
    chart = Chart(
        at=widths,
        first=Curve(MARGIN_NAME, margins),
        second=Curve(RING_NAME, tuple(member.smallest / unit for member in members)),
        avoid=spans_to_avoid(widths, to_avoid(members)),
        across="nut width",
        up=length_word(units),
    )
    return chart_drawing(chart, (wide, _CHART), lambda x: show_length(x, units), typed_number)


def _table(members: Sequence[Member], units: Units, wide: float) -> Table:
    """One row for each width; on narrow paper without what ends the smallest ring."""
    narrow = wide < NARROW
    shares = (17.5, 17.0, 18.5, 32.0, 16.0, 20.0) if narrow else (17.5, 18.0, 18.5, 49.0, 16.0, 55.0)
    heads = ("Verdict", "Nut", "Margin", "of", "Ring", "of hole" if narrow else "of hole, ended alone by")
    anchors: tuple[Anchor, ...] = ("start", "end", "end", "start", "end", "start")
    columns = tuple(Column(*each) for each in zip(heads, shares, anchors, strict=True))
    return Table(columns, tuple(_row(member, units, narrow=narrow) for member in members))


def _row(member: Member, units: Units, *, narrow: bool) -> Row:
    ring = say_narrowest(member)
    cells = (
        LEVEL_WORDS[member.level],
        show_length(member.width, units),
        "–" if member.margin is None else show_quantity(member.margin, "mm", units),
        say_limit(member),
        show_radius(rounded_down(member.smallest), units),
        ring.partition(":")[0] if narrow else ring,
    )
    return Row(cells, LEVEL_ROLES[member.level], bold=member.stopped)
