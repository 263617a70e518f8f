"""The summary of several nut widths: a chart of what limits a head at each of them, and the numbers below it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby, pairwise

import msgspec

from export.drawing import NO_SCALE, QUARTER, Anchor, Drawing, Mark, Role, Room, Sheet, Text
from export.flow import NARROW, Block, Column, Heading, Paragraph, Row, Table, flow, laid_out, rows_fitting
from export.sheets.report import LEVEL_ROLES, LEVEL_WORDS
from export.sheets.strength_plot import nice_step
from export.sheets.table import stacked
from export.text import CAP, width
from geometry.search.refitting.widths import Member, say_avoid, say_best, say_limit, say_narrowest, to_avoid
from geometry.search.rings.allowance import rounded_down
from geometry.shape.contour import rectangle, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle
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


# The chart: axes, ticks, two lines, and stretches to avoid


_SIZE = 2.6  # font size in mm of the words of a chart

_TICK = 1.2
_MARKER = 0.9
_HATCH = 4.2
_LEFT, _BELOW, _ABOVE = 13.0, 11.0, 9.0  # room in mm for the words round the plot
_MOST_TICKS = 8

Show = Callable[[float], str]


class Curve(msgspec.Struct, frozen=True):
    """A line of the chart: a value for each x, None where there is none, and what it is called."""

    name: str
    values: tuple[float | None, ...]


class Chart(msgspec.Struct, frozen=True):
    """What a chart shows: curves over rising `at`, and spans of x to avoid; `across` and `up` name the axes."""

    at: tuple[float, ...]
    first: Curve
    second: Curve
    avoid: tuple[tuple[float, float], ...]
    across: str
    up: str


class _Scale(msgspec.Struct, frozen=True):
    """From values to places: the plot in mm and the values at its sides."""

    plot: Bounds
    low_x: float
    high_x: float
    low: float
    high: float

    def x(self, value: float) -> float:
        return self.plot.left + self.plot.width * (value - self.low_x) / (self.high_x - self.low_x)

    def y(self, value: float) -> float:
        return self.plot.bottom + self.plot.height * (value - self.low) / (self.high - self.low)


def chart_drawing(chart: Chart, size: Room, show_x: Show, show_y: Show) -> Drawing:
    """The chart, `size` (width and height in mm) large from the origin up; numbers are written by the two shows."""
    plot = Bounds(_LEFT, _BELOW, size[0], size[1] - _ABOVE)
    ticks = _ticks(chart)
    low_x, high_x = _span(chart.at)
    scale = _Scale(plot, low_x, high_x, ticks[0], ticks[-1])
    marks = (
        *_avoided(chart, scale),
        *_up_axis(ticks, scale, show_y, chart.up),
        *_across_axis(chart, scale, show_x),
        *_curve(chart.at, chart.first, Role.CURVE, scale),
        *_curve(chart.at, chart.second, Role.SECOND_CURVE, scale),
        *_legend(chart, scale),
    )
    return Drawing(marks)


def _span(at: Sequence[float]) -> tuple[float, float]:
    """The values at the sides: half a step beyond the first and the last one."""
    if len(at) == 1:
        return at[0] - 1.0, at[0] + 1.0
    return at[0] - (at[1] - at[0]) / 2, at[-1] + (at[-1] - at[-2]) / 2


# Axes


def _ticks(chart: Chart) -> list[float]:
    """The marked values of the upright axis; 0 is among them, and all curves lie between the first and the last."""
    values = [value for curve in (chart.first, chart.second) for value in curve.values if value is not None]
    low, high = min([0.0, *values]), max([0.0, *values])
    step = nice_step(max(high - low, 0.01), _MOST_TICKS - 2)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    return [number * step for number in range(first, max(last, 1) + 1)]


def _up_axis(ticks: list[float], scale: _Scale, show: Show, name: str) -> Iterator[Mark]:
    plot = scale.plot
    yield _line(Role.TABLE_HEAD, Point(plot.left, plot.bottom), Point(plot.left, plot.top))
    for value in ticks:
        y = scale.y(value)
        role = Role.TABLE_HEAD if value == 0 else Role.TABLE
        yield _line(role, Point(plot.left, y), Point(plot.right, y))
        at = Point(plot.left - _TICK, y - _SIZE * CAP / 2)
        yield Mark(Role.NOTES, Text(at, _SIZE, show(value), anchor="end"))
    middle = Point(_SIZE, plot.centre.y)
    yield Mark(Role.NOTES, Text(middle, _SIZE, name, QUARTER, "middle"))


def _across_axis(chart: Chart, scale: _Scale, show: Show) -> Iterator[Mark]:
    plot, named = scale.plot, -math.inf
    yield _line(Role.TABLE_HEAD, Point(plot.left, plot.bottom), Point(plot.right, plot.bottom))
    for value in chart.at:
        x, words = scale.x(value), show(value)
        yield _line(Role.TABLE_HEAD, Point(x, plot.bottom), Point(x, plot.bottom - _TICK))
        half = width(words, _SIZE) / 2
        if x - half > named and x + half <= plot.right:
            at = Point(x, plot.bottom - _TICK - _SIZE)
            yield Mark(Role.NOTES, Text(at, _SIZE, words, anchor="middle"))
            named = x + half + _SIZE / 2
    foot = Point(plot.centre.x, plot.bottom - _TICK - 2.7 * _SIZE)
    yield Mark(Role.NOTES, Text(foot, _SIZE, chart.across, anchor="middle"))


def _line(role: Role, start: Point, end: Point) -> Mark:
    return Mark(role, through((start, end)))


# Curves


def _curve(at: Sequence[float], curve: Curve, role: Role, scale: _Scale) -> Iterator[Mark]:
    """A line through its values, broken where there is none, with a marker on each."""
    places = [
        None if value is None else Point(scale.x(x), scale.y(value))
        for x, value in zip(at, curve.values, strict=True)
    ]
    for there, run in groupby(places, key=lambda place: place is not None):
        points = [place for place in run if place is not None]
        if there and len(points) > 1:
            yield Mark(role, through(points), curve.name)
    yield from (_marker(role, place, curve.name) for place in places if place is not None)


def _marker(role: Role, at: Point, name: str) -> Mark:
    """A ring on the first curve, a square on the second, so that no one needs the dashes to tell them apart."""
    if role is Role.CURVE:
        return Mark(role, Circle(at, _MARKER), name)
    square = Bounds(at.x - _MARKER, at.y - _MARKER, at.x + _MARKER, at.y + _MARKER)
    return Mark(Role.SECOND_MARKER, rectangle(square), name)


def _legend(chart: Chart, scale: _Scale) -> Iterator[Mark]:
    left, y = scale.plot.left, scale.plot.top + 4.5
    for curve, role in ((chart.first, Role.CURVE), (chart.second, Role.SECOND_CURVE)):
        yield _line(role, Point(left, y), Point(left + 10.0, y))
        yield _marker(role, Point(left + 5.0, y), curve.name)
        text = Text(Point(left + 12.0, y - _SIZE * CAP / 2), _SIZE, curve.name)
        yield Mark(Role.NOTES, text)
        left += 12.0 + text.width + 8.0
    if chart.avoid:
        box = Bounds(left, y - 1.5, left + 10.0, y + 1.5)
        yield from _hatched(box)
        yield Mark(Role.NOTES, Text(Point(left + 12.0, y - _SIZE * CAP / 2), _SIZE, "avoid"))


# Stretches to avoid


def _avoided(chart: Chart, scale: _Scale) -> Iterator[Mark]:
    for low, high in chart.avoid:
        left, right = scale.x(max(low, scale.low_x)), scale.x(min(high, scale.high_x))
        yield from _hatched(Bounds(left, scale.plot.bottom, right, scale.plot.top))


def _hatched(box: Bounds) -> Iterator[Mark]:
    """A box with lines that rise from left to right at half a right angle."""
    yield Mark(Role.AVOID, rectangle(box), "avoid")
    count = int((box.width + box.height) / _HATCH)
    for number in range(1, count + 1):
        # Where the line y = x - offset enters and leaves the box, measured from its upper left corner.
        offset = number * _HATCH - box.height
        start, end = max(0.0, offset), min(box.width, offset + box.height)
        if end - start > _SIZE / 10:
            yield _line(
                Role.AVOID,
                Point(box.left + start, box.bottom + start - offset),
                Point(box.left + end, box.bottom + end - offset),
            )


def spans_to_avoid(at: Sequence[float], runs: Sequence[tuple[int, int]]) -> tuple[tuple[float, float], ...]:
    """Spans of x round runs of values, each half-way to its neighbours."""
    low, high = _span(at)
    borders = [low, *((one + two) / 2 for one, two in pairwise(at)), high]
    return tuple((borders[first], borders[last + 1]) for first, last in runs)
