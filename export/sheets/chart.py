"""A chart of quantities in mm against one measure: axes, ticks, two lines, and stretches to avoid."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import groupby, pairwise

import msgspec

from export.drawing import QUARTER, Drawing, Mark, Role, Room, Text
from export.text import CAP, width
from geometry.shape.contour import rectangle, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle

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


def nice_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 5, 10, ... and their tenths that divides a span into so many steps at most."""
    rough = max(span, 1e-9) / most
    power = 10.0 ** math.floor(math.log10(rough) + 1e-9)
    return next(share * power for share in (1.0, 2.0, 5.0, 10.0) if share * power >= rough * (1 - 1e-9))


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
