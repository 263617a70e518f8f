"""The head and beside it, height by height, how many times the strings' pull its wood holds."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from itertools import groupby

import msgspec

from export.drawing import Drawing, Mark, Role, Text
from export.sheets.face import path_marks
from export.sheets.head import centre_line, extent_at, head_lines, keep_clear, old_holes
from export.sheets.reduced import reduced, reduced_point
from export.text import ASCENT, CAP, width
from geometry.bench.strength import BEFORE_NUT, Station, Strength
from geometry.build.build import Build
from geometry.build.lengths import Units, show_length
from geometry.layout.layout import Layout
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle

_GAP = 7.0
_SIZE = 2.6
_APART = 1.0  # mm that marked values keep between them; those that cannot are left out
_KEY = 4.2  # from one line of words above the plot to the next, in mm
_BEYOND = 3.0  # how far in mm the centre line runs past the tip
_STEP: dict[Units, float] = {"mm": 20.0, "inch": 25.4}

_CAPTION = 8.0  # room in mm for a line below that tells the scale
_OVER = 4.0  # how far in mm the line of the weakest place runs over the side of the head
_LEAST = 0.2  # the head is never drawn smaller than this share of its size
_SQUEEZED = 0.8  # where the room is less than this share of what both take, the head is left out
_LEAST_PLOT = 30.0  # mm
_UPRIGHT = 2.0  # without its head a plot is at most so many times as high as it is wide

Value = Callable[[Station], float]


class Fit(msgspec.Struct, frozen=True, gc=False):
    """How head and plot keep to a page: the head is drawn `factor` times as large as it is, the plot `plot` mm wide.

    Where there is room for the plot only, `head` is False; heights are then `factor` times as large as they are.
    """

    factor: float = 1.0
    plot: float = 62.0
    head: bool = True


class _Scale(msgspec.Struct, frozen=True):
    """A plot with a logarithmic scale across: where it begins in mm, the values at its sides, its marked values.

    Heights go up as those of the head beside it, to the tip's y of `tip`.
    """

    left: float
    low: float
    high: float
    lines: tuple[float, ...]
    fit: Fit
    tip: float

    @property
    def factor(self) -> float:
        return self.fit.factor

    @property
    def bottom(self) -> float:
        return -BEFORE_NUT * self.factor

    @property
    def top(self) -> float:
        return self.tip * self.factor

    @property
    def right(self) -> float:
        return self.left + self.fit.plot

    def x(self, value: float) -> float:
        """Where a value stands; what lies outside stands at the side."""
        kept = min(self.high, max(self.low, value))
        return self.left + self.fit.plot * math.log(kept / self.low) / math.log(self.high / self.low)


def fit_to(build: Build, layout: Layout, room: tuple[float, float], units: Units) -> Fit:
    """The fit to `room` (width and height in mm): true size at most."""
    size = Drawing(tuple(_face(build, layout))).bounds
    plot = min(62.0, max(40.0, 0.36 * room[0]))
    heights = width(show_length(layout.top, units), _SIZE)
    beside = _GAP + heights + plot + 2 * _SIZE + _OVER
    round_it = 3 * _KEY + 2 * _SIZE + _BEYOND + _CAPTION
    across, up = (room[0] - beside) / size.width, (room[1] - round_it) / (layout.top + BEFORE_NUT)
    if room[0] < _SQUEEZED * (beside + _LEAST * size.width):
        plot = max(_LEAST_PLOT, room[0] - heights - 2 * _SIZE)
        return Fit(min(1.0, up, _UPRIGHT * plot / (layout.top + BEFORE_NUT)), plot, head=False)
    return Fit(max(_LEAST, min(1.0, across, up)), plot)


def strength_drawing(build: Build, layout: Layout, found: Strength, units: Units, fit: Fit) -> Drawing:
    """The face of the head with the weakest place, and the plot with the same heights at its right.

    Without a figure the plot shows stresses instead; a fit without the head leaves the plot only.
    """
    face, left = Drawing(()), width(show_length(layout.top, units), _SIZE)
    labels = _labels(layout, fit.factor) if fit.head else ()
    if fit.head:
        face = reduced(Drawing(tuple(_face(build, layout))), fit.factor)
        left += face.bounds.right + _GAP
        face += Drawing(tuple(Mark(Role.LABEL, label, f"post {label.words}") for label in labels))
    if found.told:
        scale = _Scale(left, 0.5, 100.0, (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0), fit, layout.top)
        title, names = "times what the strings pull", ("all four counted", "plain section")
        values: tuple[Value, Value] = (found.ratio, found.nominal)
    else:
        scale = _Scale(left, 0.1, 100.0, (0.1, 0.3, 1.0, 3.0, 10.0, 30.0, 100.0), fit, layout.top)
        title, names = "stress in MPa", ("at the rim of holes", "plain section")
        values = (lambda station: station.at_rim), (lambda station: station.bending)
    marks = [*_grid(scale, units), *_heading(scale, title)]
    roles = (Role.CURVE, Role.SECOND_CURVE)
    for number, (role, name, value) in enumerate(zip(roles, names, values, strict=True)):
        marks += _curve(found.stations, value, role, scale)
        marks += _key(scale, role, name, number)
    return face + Drawing((*marks, *_weakest(layout, found, scale, labels)))


# The head


def _face(build: Build, layout: Layout) -> Iterator[Mark]:
    yield from _neck(layout)
    yield from head_lines(build, layout)
    yield centre_line(-BEFORE_NUT, layout.top + _BEYOND)
    yield from keep_clear(build)
    yield from old_holes(build)
    yield from path_marks(layout)
    for post in layout.posts:
        yield Mark(Role.BORE, Circle(post.at, post.bore / 2), f"post {post.label}")


def _labels(layout: Layout, factor: float) -> tuple[Text, ...]:
    """The labels of the posts, each in the middle of its bore, on the head drawn `factor` times as large as it is."""
    down = Vector(0.0, -_SIZE * CAP / 2)
    return tuple(
        Text(reduced_point(post.at, factor) + down, _SIZE, post.label, anchor="middle", bold=True)
        for post in layout.posts
    )


def _neck(layout: Layout) -> Iterator[Mark]:
    """The sides of the neck as far as it is reckoned with."""
    if layout.edge is not None:
        for end in (layout.edge.left_end, layout.edge.right_end):
            yield Mark(Role.REFERENCE, through((end, Point(end.x, -BEFORE_NUT))), "neck")


# The plot


def _grid(scale: _Scale, units: Units) -> Iterator[Mark]:
    """Upright lines for values, that of 1 stronger, and level ones for heights over the nut."""
    end = -math.inf
    for value in scale.lines:
        x = scale.x(value)
        role = Role.TABLE_HEAD if value == 1 else Role.TABLE
        yield Mark(role, through((Point(x, scale.bottom), Point(x, scale.top))))
        at = Point(x, scale.bottom - 1.0 - _SIZE * ASCENT)
        text = Text(at, _SIZE, f"{value:g}", anchor="middle")
        if text.bounds.left > end + _APART:
            end = text.bounds.right
            yield Mark(Role.NOTES, text)
    step = _STEP[units]
    for number in range(int(scale.tip / step) + 1):
        y = number * step * scale.factor
        role = Role.TABLE_HEAD if number == 0 else Role.TABLE
        yield Mark(role, through((Point(scale.left, y), Point(scale.right, y))))
        at = Point(scale.left - 1.2, y - _SIZE * CAP / 2)
        yield Mark(
            Role.NOTES, Text(at, _SIZE, show_length(number * step, units) if number else "nut", anchor="end")
        )


def _heading(scale: _Scale, title: str) -> Iterator[Mark]:
    at = Point(scale.left if scale.fit.head else 0.0, scale.top + _BEYOND + 2 * _KEY)
    yield Mark(Role.NOTES, Text(at, _SIZE, title, bold=True))


def _key(scale: _Scale, role: Role, name: str, number: int) -> Iterator[Mark]:
    """A piece of the line and its name, above the plot."""
    y = scale.top + _BEYOND + _KEY * (1 - number)
    middle = y + _SIZE * CAP / 2
    yield Mark(role, through((Point(scale.left, middle), Point(scale.left + 8.0, middle))))
    yield Mark(Role.NOTES, Text(Point(scale.left + 9.5, y), _SIZE, name))


def _curve(stations: tuple[Station, ...], value: Value, role: Role, scale: _Scale) -> Iterator[Mark]:
    """The stretches of a curve where there is something to show: a pull, and a value within the scale."""
    places = [(value(station), station.y * scale.factor) for station in stations]
    for shown, group in groupby(places, key=lambda place: 0 < place[0] <= scale.high):
        points = [Point(scale.x(number), y) for number, y in group]
        if shown and len(points) > 1:
            yield Mark(role, through(points))


def _weakest(layout: Layout, found: Strength, scale: _Scale, labels: tuple[Text, ...]) -> Iterator[Mark]:
    """A line across head and plot at the weakest place, and a ring where it meets the curve.

    The line strikes out none of the `labels` on the head.
    """
    weakest = found.weakest
    if weakest is None:
        return
    value = found.ratio(weakest) if found.told else weakest.at_rim
    role = Role.STOP if found.told and value < 1 else Role.WATCH
    y, side = weakest.y * scale.factor, extent_at(layout, max(0.0, weakest.y))
    left = (side[0].x if side else 0.0) * scale.factor - _OVER if scale.fit.head else scale.left
    ring = Circle(Point(scale.x(value), y), 1.4)
    for start, end in _beside(labels, left, scale.right, y):
        yield Mark(role, through((Point(start, y), Point(end, y))), "weakest")
    yield Mark(role, ring, "weakest")
    # Where the figure is least, both curves run right of it.
    free = found.told and ring.bounds.left - scale.left > width("weakest", _SIZE, bold=True) + 2 * _APART
    at = Point(scale.left + _APART if free else scale.right, y + 1.0)
    yield Mark(Role.NOTES, Text(at, _SIZE, "weakest", anchor="start" if free else "end", bold=True))


def _beside(labels: tuple[Text, ...], left: float, right: float, y: float) -> Iterator[tuple[float, float]]:
    """The stretches of a level line from `left` to `right` that keep clear of the labels."""
    boxes = [label.bounds.grown(_APART / 2) for label in labels]
    for box in sorted((box for box in boxes if box.bottom < y < box.top), key=lambda box: box.left):
        if box.left > left:
            yield left, box.left
        left = max(left, box.right)
    yield left, right
