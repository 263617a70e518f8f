"""Where a drill guide gets its sight windows: across the edge of the head, and on the centre line.

An engraved line under a plate cannot be seen, the edge of the wood in a window can.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec
import numpy as np

from export.tiles import Span
from geometry.layout.edge import Edge
from geometry.shape.box import Box, box_disc_gaps, box_gaps, rows
from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.offset import round_corner
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME

CLEAR = 4.0
"""Least material in mm between a window and a hole or another window; workshop practice, no source."""

_RIM = 6.0  # least material in mm between a window and the rim of the plate; workshop practice, no source

_STEP = 0.5
_ALONG_SIDE = 0.75  # an edge counts to a side where its outward direction points there by at least so much
_STRAIGHT = 1.0
_LEAVES = 1.0
# Length along the edge, depth over the wood, depth beyond it: the largest that fits is taken.
_EDGE_SIZES = ((14.0, 5.0, 5.0), (11.0, 4.0, 5.0), (9.0, 3.0, 4.0), (7.0, 2.5, 3.5))
_CENTRE_SIZES = ((12.0, 8.0), (9.0, 6.0))


class Window(msgspec.Struct, frozen=True):
    """A window in the plate; `span` is the stretch of the edge that it shows, None on the centre line."""

    box: Box
    span: Span | None = None

    @property
    def least(self) -> float:
        """The shorter side in mm."""
        return 2 * min(self.box.half_along, self.box.half_across)

    def rim(self, radius: float, inward: float) -> Contour:
        """The rim with corners of `radius` mm, or the path of a tool that stays `inward` mm inside of it."""
        box = self.box
        smaller = Box(box.centre, box.along, box.half_along - inward, box.half_across - inward)
        rim = smaller.contour()
        # From the last corner to the first, so that those that are left keep their numbers.
        for corner in (3, 2, 1, 0) if radius - inward > SAME else ():
            rim = round_corner(rim, corner, radius - inward)
        return rim


class Ground(msgspec.Struct, frozen=True):
    """What windows have to do with: the edge of the head, the plate, its holes, and the windows it has."""

    edge: Edge
    plate: Bounds
    holes: tuple[Circle, ...]
    windows: tuple[Window, ...] = ()

    def free(self, box: Box) -> bool:
        """Whether a window there keeps its distance from everything."""
        inside = self.plate.grown(-_RIM)
        if not all(inside.contains(corner) for corner in box.corners()):
            return False
        if self.holes:
            centres = np.array([(hole.centre.x, hole.centre.y) for hole in self.holes])
            radii = np.array([hole.radius for hole in self.holes])
            gaps, _, _ = box_disc_gaps(rows([box] * len(self.holes)), centres, radii)
            if gaps.min() < CLEAR - SAME:
                return False
        others = rows([box, *(window.box for window in self.windows)])
        count = len(self.windows)
        gaps, _, _ = box_gaps(others, np.zeros(count, dtype=np.intp), np.arange(1, count + 1))
        return bool(np.all(gaps >= CLEAR - SAME))


class _Walk(msgspec.Struct, frozen=True):
    """Places (n, 2) every half millimetre along the edge, how far along (n,), and unit directions (n, 2)."""

    contour: Contour
    along: Floats
    places: Floats
    directions: Floats


def sight_windows(edge: Edge, plate: Bounds, holes: tuple[Circle, ...]) -> tuple[Window, ...]:
    """The windows of a plate over the head, as many of them as find room, with even the smallest size.

    Two on each side, as far from each other as can be; one at the tip, as near the centre line as can be;
    two on the centre line. None comes nearer than CLEAR to a hole or to another, nor nearer than _RIM to the rim.
    """
    walk, ground = _walk(edge.contour), Ground(edge, plate, holes)
    x, y = walk.places[:, 0], walk.places[:, 1]
    outward_x, outward_y = walk.directions[:, 1], -walk.directions[:, 0]
    middle = edge.top / 2
    right, left, tip = outward_x >= _ALONG_SIDE, outward_x <= -_ALONG_SIDE, outward_y >= _ALONG_SIDE
    for chosen, key in (
        (right & (y > middle), -y),
        (left & (y > middle), -y),
        (right & (y <= middle), y),
        (left & (y <= middle), y),
        (tip, np.abs(x)),
    ):
        order = np.flatnonzero(chosen)
        found = _first(ground, walk, order[np.argsort(key[order], kind="stable")].tolist())
        ground = _with(ground, found)
    for heights in (np.arange(_RIM, middle, _STEP), np.arange(edge.top, middle, -_STEP)):
        ground = _with(ground, _on_centre_line(ground, heights.tolist()))
    return ground.windows


def _with(ground: Ground, window: Window | None) -> Ground:
    if window is None:
        return ground
    return msgspec.structs.replace(ground, windows=(*ground.windows, window))


def _walk(contour: Contour) -> _Walk:
    along = np.arange(0.0, contour.length, _STEP)
    at = [contour.at_length(each) for each in along.tolist()]
    places = [contour.segments[index].point_at(t) for index, t in at]
    directions = [contour.segments[index].tangent_at(t) for index, t in at]
    return _Walk(
        contour,
        along,
        np.array([(place.x, place.y) for place in places]),
        np.array([(way.x, way.y) for way in directions]),
    )


# Across the edge


def _first(ground: Ground, walk: _Walk, order: list[int]) -> Window | None:
    """The first place in `order` that has room for a window, at the largest size that has any."""
    for size in _EDGE_SIZES:
        for index in order:
            box = _across_edge(walk, index, size)
            if ground.free(box) and (span := _shown(walk, index, box)) is not None:
                return Window(box, span)
    return None


def _across_edge(walk: _Walk, index: int, size: tuple[float, float, float]) -> Box:
    length, over_wood, beyond = size
    along = Vector(*walk.directions[index].tolist())
    # The edge runs counter-clockwise round the head: outside lies to the right.
    centre = Point(*walk.places[index].tolist()) + along.right * ((beyond - over_wood) / 2)
    return Box(centre, along, length / 2, (over_wood + beyond) / 2)


def _shown(walk: _Walk, index: int, box: Box) -> Span | None:
    """The stretch of the edge in the window; None unless it runs in a nearly straight line right across."""
    offset = walk.places - np.array([box.centre.x, box.centre.y])
    u = offset @ np.array([box.along.x, box.along.y])
    v = offset @ np.array([box.across.x, box.across.y])
    inside = np.flatnonzero((np.abs(u) <= box.half_along) & (np.abs(v) <= box.half_across))
    first, last = int(inside[0]), int(inside[-1])
    if last - first + 1 != len(inside) or first == 0 or last == len(u) - 1:
        return None
    run = v[first - 1 : last + 2]
    if np.ptp(run) > 2 * _STRAIGHT or np.abs(run - v[index]).max() > box.half_across - _LEAVES:
        return None
    along = walk.along
    return Span(
        _rim(walk.contour, box, float(along[first]), float(along[first - 1])),
        _rim(walk.contour, box, float(along[last]), float(along[last + 1])),
    )


def _rim(contour: Contour, box: Box, inside: float, outside: float) -> float:
    """How far along the edge the rim of the window lies, between a place inside and one outside."""
    while abs(outside - inside) > SAME / 10:
        middle = (inside + outside) / 2
        if box.contains(contour.point_at_length(middle)):
            inside = middle
        else:
            outside = middle
    return inside


# On the centre line


def _on_centre_line(ground: Ground, heights: Iterable[float]) -> Window | None:
    """The first of the heights at which a window over the wood alone has room."""
    places = list(heights)
    for tall, wide in _CENTRE_SIZES:
        for height in places:
            box = Box(Point(0.0, height), Vector(0.0, 1.0), tall / 2, wide / 2)
            if ground.free(box) and _over_wood(ground.edge, box):
                return Window(box)
    return None


def _over_wood(edge: Edge, box: Box) -> bool:
    distance, _ = edge.distance(np.array([(corner.x, corner.y) for corner in box.corners()]))
    return bool(distance.min() >= CLEAR)


# Stretches


def stretches(wanted: Iterable[Span], gaps: Iterable[Span]) -> tuple[Span, ...]:
    """What is wanted, joined where it overlaps, without the gaps; in rising order."""
    kept = _joined(wanted)
    for gap in gaps:
        kept = [piece for span in kept for piece in _without(span, gap)]
    return tuple(kept)


def _joined(spans: Iterable[Span]) -> list[Span]:
    joined: list[Span] = []
    for span in sorted(spans, key=lambda each: each.low):
        if joined and span.low <= joined[-1].high:
            joined[-1] = Span(joined[-1].low, max(joined[-1].high, span.high))
        else:
            joined.append(span)
    return joined


def _without(span: Span, gap: Span) -> Iterator[Span]:
    for low, high in ((span.low, min(span.high, gap.low)), (max(span.low, gap.high), span.high)):
        if high - low > _STEP:
            yield Span(low, high)


def stretch(contour: Contour, span: Span) -> Contour:
    """The part of an open contour between two places, given by how far along they lie."""
    upto = contour.split(*contour.at_length(span.high))[0]
    return upto.split(*upto.at_length(span.low))[-1]
