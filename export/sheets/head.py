"""Marks of the head that its drawings share, all in head mm as the face shows them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from export.drawing import Drawing, Mark, Role
from export.labels import Request, anywhere, in_step, on_line
from export.text import SMALLEST
from geometry.bench.bore_fit import inch_drill
from geometry.bench.hollows import cuts
from geometry.bench.small_holes import old_hole_names
from geometry.document.build import Build, Region, RoundRegion
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.contour import Contour, through
from geometry.shape.crossing import meetings
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle, Cubic, Line
from geometry.shape.tolerance import FLAT, SAME
from geometry.trade.bore_fit import Fit
from geometry.trade.quantities import show_diameter, show_fine
from geometry.trade.shop import Shop

_BEYOND = 3.0  # how far in mm the arms of a crosshair run past the circle of their hole
_FAR = 5000.0  # longer in mm than any head
_CLEAR = 0.7  # how far in mm from the centre the arms of a crosshair end, so that a punch finds the bare dot
_DOT = 0.18  # radius in mm of the dot at the centre of a hole

LEAST_RING = 0.5
"""Radius in mm from which a dotted ring is drawn: on our own pages at 600 dots an inch one of 0.3 was two specks beside
its dot, one of 0.7 a ring."""

LABEL = 1.02 * SMALLEST
"""Font size in mm of labels on the head."""

NAME = 3.4
"""Font size in mm of the names of posts."""

ROOM = (174.0, 210.0)
"""Width and height in mm that both A4 and Letter leave a drawing under three cautions."""

_HATCH = 2.5
_ARMS = tuple(Vector(1.0, 0.0).turned(quarter * math.pi / 2) for quarter in range(4))


# Words


def diameter_words(fit: Fit, shop: Shop) -> str:
    """A hole to drill in both measures: "10.0 mm · 25/64 in", the inches by the drill that makes it as well."""
    return f"{show_diameter(fit.diameter)} · {inch_words(fit, shop)}"


def inch_words(fit: Fit, shop: Shop) -> str:
    """The inch drill that makes a hole as well as one in mm, or its diameter where there is none: "#54", "0.693 in"."""
    found = inch_drill(fit, shop)
    return show_fine(fit.diameter, "inch") if found is None else found.name


# Lines


def crosshair(at: Point, radius: float, name: str, *, beyond: float = _BEYOND) -> Iterator[Mark]:
    """Four arms that run `beyond` past a circle of `radius` and stop just short of a dot at its centre."""
    for arm in _ARMS:
        yield Mark(Role.CROSSHAIR, Contour((Line(at + arm * _CLEAR, at + arm * (radius + beyond)),)), name)
    yield Mark(Role.CENTRE_DOT, Circle(at, _DOT), name)


def nut_ends(build: Build, layout: Layout) -> tuple[Point, Point]:
    """The left and the right end of the nut line: where the edge leaves it, or half the nut either way."""
    if layout.edge is not None:
        return layout.edge.left_end, layout.edge.right_end
    half = build.nut.width / 2
    return Point(-half, 0.0), Point(half, 0.0)


def extent_at(layout: Layout, y: float) -> tuple[Point, Point] | None:
    """The outermost places where the edge crosses height `y`, from left to right; None where it does not."""
    if layout.edge is None:
        return None
    places = [place for _, place in _cut(layout.edge, Point(-_FAR, y), Point(_FAR, y))]
    if len(places) < 2:
        return None
    return min(places, key=lambda place: place.x), max(places, key=lambda place: place.x)


def tip(layout: Layout) -> tuple[Point, Vector] | None:
    """Where the centre line leaves the head at its tip, and the unit direction of the edge there, leftwards.

    Where it leaves over a long side instead, as on a head that leans, the highest place of the edge.
    """
    found = _leaves(layout)
    if found is None or layout.edge is None:
        return None
    direction, place = found
    if abs(direction.x) < abs(direction.y):
        return _summit(layout.edge), Vector(-1.0, 0.0)
    return place, direction if direction.x <= 0 else -direction


def centre_end(layout: Layout) -> Point | None:
    """Where the centre line leaves the head, at its tip or over a long side; None where it does not."""
    found = _leaves(layout)
    return None if found is None else found[1]


def _leaves(layout: Layout) -> tuple[Vector, Point] | None:
    """Direction and place of the edge where the centre line leaves the head."""
    if layout.edge is None or layout.edge.top <= SAME:
        return None
    found = _cut(layout.edge, Point(0.0, SAME), Point(0.0, layout.edge.top + 1.0))
    return max(found, key=lambda each: each[1].y, default=None)


def _summit(edge: Edge) -> Point:
    """The highest place of an edge."""
    places = [place for _, place in _cut(edge, Point(-_FAR, edge.top), Point(_FAR, edge.top))]
    places += [segment.end for segment in edge.contour.segments]
    highest = max(place.y for place in places)
    level = [place.x for place in places if place.y >= highest - SAME]
    return Point((min(level) + max(level)) / 2, highest)


def _cut(edge: Edge, start: Point, end: Point) -> list[tuple[Vector, Point]]:
    """Directions and places where a straight line cuts the edge; only pieces that may reach it are asked."""
    line = Line(start, end)
    across = line.tangent_at(0.0).left
    aside = (edge.pieces.tops - [start.x, start.y]) @ [across.x, across.y]
    near = np.flatnonzero(np.abs(aside) <= edge.pieces.size + SAME)
    segments = [edge.contour.segments[number] for number in near.tolist()]
    return [
        (segment.tangent_at(segment.nearest(place).t), place)
        for segment in segments
        if not isinstance(segment, Cubic)
        for place in meetings(segment, line)
    ]


def centre_line(low: float, high: float) -> Mark:
    """The centre line between two heights in mm."""
    return Mark(Role.CENTRE_LINE, through((Point(0.0, low), Point(0.0, high))), "centre line")


def head_lines(build: Build, layout: Layout) -> Iterator[Mark]:
    """The edge, the nut line and the line from which the back is flat."""
    if layout.edge is not None:
        yield Mark(Role.OUTLINE, layout.edge.contour, "outline")
    left, right = nut_ends(build, layout)
    if left.distance(right) > SAME:
        yield Mark(Role.NUT_LINE, through((left, right)), "nut line")
    flat = extent_at(layout, build.head.back_flat_from)
    if flat is not None and flat[0].distance(flat[1]) > SAME:
        yield Mark(Role.BACK_FLAT, through(flat), "flat back")


def old_holes(build: Build) -> Iterator[Mark]:
    """What has been drilled before."""
    return (Mark(Role.OLD_HOLE, Circle(hole.at, hole.diameter / 2), hole.key) for hole in build.old_holes)


def keep_clear(build: Build) -> Iterator[Mark]:
    """The regions where no hole may come, hatched."""
    for region in build.keep_clear:
        shape = region_shape(region)
        yield Mark(Role.KEEP_CLEAR, shape, region.name)
        points = circle_points(shape) if isinstance(shape, Circle) else list(shape.points)
        for start, end in hatching(points):
            yield Mark(Role.KEEP_CLEAR, Contour((Line(start, end),)), region.name)


def region_shape(region: Region) -> Circle | Contour:
    """The edge of a region; a polygon whose corners all lie on one place is shown as a small circle."""
    if isinstance(region.shape, RoundRegion):
        return Circle(region.shape.centre, region.shape.radius)
    corners = region.shape.points
    if all(corner == corners[0] for corner in corners):
        return Circle(corners[0], _CLEAR)
    return through(corners, closed=True)


def circle_points(circle: Circle) -> list[Point]:
    """Points of a circle whose chords stray by less than FLAT."""
    count = max(12, math.ceil(math.pi / math.sqrt(2 * FLAT / max(circle.radius, 1.0))))
    turns = (math.tau * number / count for number in range(count))
    return [circle.centre + Vector(circle.radius, 0.0).turned(turn) for turn in turns]


def hatching(points: list[Point]) -> Iterator[tuple[Point, Point]]:
    """Slanting lines 2.5 mm apart inside a polygon; where it crosses itself, every other part is filled."""
    turn = math.pi / 4
    flat = [(point - Point(0.0, 0.0)).turned(-turn) for point in points]
    low, high = min(point.y for point in flat), max(point.y for point in flat)
    for step in range(math.floor(low / _HATCH) + 1, math.ceil(high / _HATCH)):
        y = step * _HATCH
        for left, right in cuts(flat, y):
            if right - left > SAME:
                start, end = Vector(left, y).turned(turn), Vector(right, y).turned(turn)
                yield Point(start.x, start.y), Point(end.x, end.y)


# Labels


def shared_labels(build: Build, layout: Layout, drawing: Drawing, region: Bounds) -> Drawing:
    """Labels of the start of the flat back, of keep-clear regions and of old holes."""
    marks = Drawing()
    flat = extent_at(layout, build.head.back_flat_from)
    if flat is not None:
        marks = on_line("back flat from here", LABEL, flat, drawing) or marks
    return marks + anywhere(tuple(_requests(build)), drawing + marks, region)


def region_names(build: Build) -> tuple[str, ...]:
    """Short names of the regions to keep clear, for the drawing: K1, K2, ..."""
    return tuple(f"K{number}" for number in range(1, len(build.keep_clear) + 1))


def _requests(build: Build) -> Iterator[Request]:
    for name, region in zip(region_names(build), build.keep_clear, strict=True):
        bounds = region_shape(region).bounds
        yield Request(bounds.centre, (name,), LABEL, min(bounds.width, bounds.height) / 2, bold=True)
    for name, hole in zip(old_hole_names(build), build.old_holes, strict=True):
        yield Request(hole.at, (name,), LABEL, hole.diameter / 2, bold=True)


def rowwise(layout: Layout, requests: dict[str, Request], drawing: Drawing, region: Bounds) -> Drawing:
    """Labels of posts, by post key, in step along each row if that can be, else each where it can."""
    marks = Drawing()
    for posts in row_posts(layout):
        wishes = [requests[post.key] for post in posts]
        row = in_step(wishes, posts[0].side_sign, drawing + marks, region)
        marks += row if row is not None else anywhere(wishes, drawing + marks, region)
    return marks


def row_posts(layout: Layout) -> list[tuple[PlacedPost, ...]]:
    """The posts by row, in the order in which they are placed."""
    return [tuple(posts) for _, posts in groupby(layout.posts, key=lambda post: post.row)]


def ring(post: PlacedPost) -> float:
    """Radius in mm of all that is drawn round a post on the face, its crosshair left out."""
    return max(post.bore, post.hardware.collar_diameter) / 2
