"""The head and beside it, height by height, how much the strings use of what a timber code would allow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from export.drawing import Anchor, Drawing, Mark, Role, Room, Text, reduced, reduced_point
from export.sheets.face import path_marks
from export.sheets.head import centre_line, extent_at, head_lines, keep_clear, old_holes
from export.sheets.strength_plot import (
    APART,
    BEYOND,
    KEY,
    SIZE,
    Fit,
    Scale,
    curves,
    grid,
    heights,
    keys,
    scale_for,
    shown,
)
from export.text import CAP, width
from geometry.bench.strength import BEFORE_NUT, Station, Strength
from geometry.bench.strength_words import is_beyond
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

_GAP = 7.0
_CAPTION = 8.0  # room in mm for a line below that tells the scale
_OFF, _FREE = 1.6, 0.6  # mm from the line of the weakest place to its word, and from that to the curves
_OVER = 4.0  # how far in mm the line of the weakest place runs over the side of the head
_LEAST = 0.2  # the head is never drawn smaller than this share of its size
_SQUEEZED = 0.8  # where the room is less than this share of what both take, the head is left out
_LEAST_PLOT = 30.0  # mm
_UPRIGHT = 2.0  # without its head a plot is at most so many times as high as it is wide


def fit_to(build: Build, layout: Layout, room: Room, units: Units) -> Fit:
    """The fit to `room` (width and height in mm): true size at most."""
    size = Drawing(tuple(_face(build, layout))).bounds
    plot = min(62.0, max(40.0, 0.36 * room[0]))
    figures = width(show_length(layout.top, units), SIZE)
    beside = _GAP + figures + plot + 2 * SIZE + _OVER
    round_it = 3 * KEY + 2 * SIZE + BEYOND + _CAPTION
    across, up = (room[0] - beside) / size.width, (room[1] - round_it) / (layout.top + BEFORE_NUT)
    if room[0] < _SQUEEZED * (beside + _LEAST * size.width):
        plot = max(_LEAST_PLOT, room[0] - figures - 2 * SIZE)
        return Fit(min(1.0, up, _UPRIGHT * plot / (layout.top + BEFORE_NUT)), plot, head=False)
    return Fit(max(_LEAST, min(1.0, across, up)), plot)


def strength_drawing(build: Build, layout: Layout, found: Strength, units: Units, fit: Fit) -> Drawing:
    """The face of the head with the weakest place, and the plot with the same heights at its right.

    Without a figure the plot shows stresses instead; a fit without the head leaves the plot only.
    """
    face, left = Drawing(()), width(show_length(layout.top, units), SIZE)
    labels = _labels(layout, fit.factor) if fit.head else ()
    if fit.head:
        face = reduced(Drawing(tuple(_face(build, layout))), fit.factor)
        left += face.bounds.right + _GAP
        face += Drawing(tuple(Mark(Role.LABEL, label, f"post {label.words}") for label in labels))
    what = shown(found, units)
    scale = scale_for(found, what, left, fit)
    drawn = [(line.role, curve) for line in what.lines for curve in curves(found.stations, line, scale)]
    marks = [*grid(scale, what.limit, units), *keys(scale, what), *(Mark(*each) for each in drawn)]
    weakest = found.weakest
    if weakest is not None:
        ring = Circle(Point(scale.x(what.figure(weakest)), weakest.y * fit.factor), 1.4)
        role = Role.STOP if found.told and is_beyond(found.use(weakest)) else Role.WATCH
        taken = (*labels, *heights(scale, units))
        marks += [Mark(role, shape, "weakest") for shape in _at_weakest(layout, weakest, scale, ring, taken)]
        marks.append(Mark(Role.NOTES, _word(scale, ring.centre.y, [curve for _, curve in drawn])))
    return face + Drawing(tuple(marks))


# The head


def _face(build: Build, layout: Layout) -> Iterator[Mark]:
    yield from _neck(layout)
    yield from head_lines(build, layout)
    yield centre_line(-BEFORE_NUT, layout.top + BEYOND)
    yield from keep_clear(build)
    yield from old_holes(build)
    yield from path_marks(layout)
    for post in layout.posts:
        yield Mark(Role.BORE, Circle(post.at, post.bore / 2), f"post {post.label}")


def _labels(layout: Layout, factor: float) -> tuple[Text, ...]:
    """The labels of the posts, each in the middle of its bore, on the head drawn `factor` times as large as it is."""
    down = Vector(0.0, -SIZE * CAP / 2)
    return tuple(
        Text(reduced_point(post.at, factor) + down, SIZE, post.label, anchor="middle", bold=True)
        for post in layout.posts
    )


def _neck(layout: Layout) -> Iterator[Mark]:
    """The sides of the neck as far as it is reckoned with."""
    if layout.edge is not None:
        for end in (layout.edge.left_end, layout.edge.right_end):
            yield Mark(Role.REFERENCE, through((end, Point(end.x, -BEFORE_NUT))), "neck")


# The weakest place


def _at_weakest(
    layout: Layout, weakest: Station, scale: Scale, ring: Circle, taken: tuple[Text, ...]
) -> Iterator[Contour | Circle]:
    """A line across head and plot that strikes out no words, and the ring where it meets the curve."""
    yield ring
    side = extent_at(layout, max(0.0, weakest.y))
    left = (side[0].x if side else 0.0) * scale.fit.factor - _OVER if scale.fit.head else scale.left
    for start, end in _beside(taken, left, scale.right, ring.centre.y):
        yield through((Point(start, ring.centre.y), Point(end, ring.centre.y)))


def _beside(labels: tuple[Text, ...], left: float, right: float, y: float) -> Iterator[tuple[float, float]]:
    """The stretches of a level line from `left` to `right` that keep clear of the labels."""
    boxes = [label.bounds.grown(APART / 2) for label in labels]
    for box in sorted((box for box in boxes if box.bottom < y < box.top), key=lambda box: box.left):
        if box.left > left:
            yield left, box.left
        left = max(left, box.right)
    yield left, right


def _word(scale: Scale, y: float, drawn: Sequence[Contour]) -> Text:
    """The word at the line of the weakest place: over or under it, at the end where it keeps clear of the curves."""
    ends: tuple[tuple[float, Anchor], ...] = ((scale.right - APART, "end"), (scale.left + APART, "start"))
    places = [
        Text(Point(x, y + up), SIZE, "weakest", anchor=anchor, bold=True)
        for up in (_OFF, -_OFF - SIZE * CAP)
        for x, anchor in ends
    ]
    boxes = [text.bounds.grown(_FREE) for text in places]
    clear = (not any(_meets(curve, box) for curve in drawn) for box in boxes)
    return next((text for text, free in zip(places, clear, strict=True) if free), places[0])


def _meets(curve: Contour, box: Bounds) -> bool:
    """Whether a curve of short steps comes into a box."""
    return any(box.contains(point) for point in curve.points)
