"""The caliper card: the readings that prove, with the tuners still in their box, that the holes are right."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

import msgspec
import numpy as np

from export.drawing import NO_SCALE, REDUCED, Drawing, Mark, Role, Room, Sheet, Text, reduced, reduced_point
from export.flow import BODY, Block, Column, Heading, Paragraph, Row, Table, flow, laid_out
from export.labels import Request, anywhere
from export.sheet_kind import SheetKind
from export.sheets.legend import ring_cell
from geometry.checks.judge import Level, findings
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.names import natural
from geometry.layout.parts import PlacedPost
from geometry.search.rings.allowance import exact_rings
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import CLOSE, UNKNOWN, bare_length, length_unit
from geometry.trade.shop import Shop
from geometry.trade.units import Units

_NAME, _TITLE = "calipers", "Caliper card"
_LEAST_WIDTH, _MOST_WIDTH = 160.0, 190.0
_TABLE_SHARE = 0.75
_SKETCH_HEIGHT = (62.0, 80.0)
_GAP = 4.0


_HOW_TO = (
    "Wood between: a large (outside) jaw in each hole, closed over the wood. Far edges: a small (inside) jaw in "
    "each hole, opened. Their mean is the distance of the centres, whatever diameter was drilled; half their "
    "difference is the diameter. While every bore is off by no more than its ring, along and across taken together, "
    "nothing breaks. A reading that is off by more than the ring, between two bores by more than both rings together, "
    "tells of a missed hole: have it judged as one before anything is fitted."
)


class Reading(msgspec.Struct, frozen=True, gc=False):
    """Two bores of diameters `here` and `there`, `centres` mm apart."""

    name: str
    centres: float
    here: float
    there: float

    @property
    def between(self) -> float:
        """What the outside jaws read over the wood between the nearest edges, in mm."""
        return self.centres - (self.here + self.there) / 2

    @property
    def across(self) -> float:
        """What the inside jaws read between the edges farthest apart, in mm."""
        return self.centres + (self.here + self.there) / 2


class EdgeReading(msgspec.Struct, frozen=True, gc=False):
    """The rim of the bore of a post: square to the nut line, and to the nearest place of the head's edge, in mm."""

    post: str
    name: str
    diameter: float
    to_nut: float
    to_side: float


def caliper_sheets(build: Build, layout: Layout, shop: Shop, room: Room) -> tuple[Sheet, ...]:
    """All readings of the drilled head with room to write, and a sketch with the names of the bores.

    A page has `room` (width and height in mm). Where it is too small for all this, the tables run over as many pages
    as they take, without the sketch.
    """
    watched = tuple(_watched(build, layout, shop.units)) if layout.posts else ()
    # One page to hold beside the head is worth more than what the report says too.
    for said in (watched, ()) if room[0] >= _LEAST_WIDTH else ():
        card = _card(build, layout, shop, said, min(room[0], _MOST_WIDTH), room[1])
        if card.bounds.height <= room[1] + SAME:
            return (card,)
    blocks = (*watched, *_upper_blocks(layout, shop.units), *_lower_blocks(build, layout, shop.units))
    return flow(blocks, _NAME, _TITLE, *room)


CALIPERS = SheetKind(name=_NAME, title=_TITLE, draw=caliper_sheets, reads=True)


def _watched(build: Build, layout: Layout, units: Units) -> Iterator[Block]:
    """What works and a maker should know, a line each; what is at stop stands in the report."""
    watched = [each for each in findings(build, layout) if each.level is Level.WATCH]
    if watched:
        yield Heading("To look at first", 2)
        yield from (Paragraph(words) for words in dict.fromkeys(say(each, units) for each in watched))


def _card(
    build: Build, layout: Layout, shop: Shop, watched: tuple[Block, ...], wide: float, high: float
) -> Sheet:
    """Everything on one sheet, the sketch beside the lower table."""
    upper = laid_out((*watched, *_upper_blocks(layout, shop.units)), wide)
    lower = laid_out(tuple(_lower_blocks(build, layout, shop.units)), wide * _TABLE_SHARE)
    top = upper.bounds.bottom - _GAP
    tall = min(max(high + top, _SKETCH_HEIGHT[0]), _SKETCH_HEIGHT[1])
    place = Bounds(wide * _TABLE_SHARE + _GAP, top - tall, wide, top)
    sketch = _sketch(layout, place) if layout.edge and layout.posts else Drawing()
    drawing = upper + lower.moved(Vector(0.0, top)) + sketch
    bounds = Bounds(0.0, drawing.bounds.bottom - 1.0, wide, 0.0)
    return Sheet(
        _NAME, _TITLE, bounds.joined(drawing.bounds), drawing, scale=REDUCED if sketch.marks else NO_SCALE
    )


# Readings


def readings(layout: Layout, diameter: Callable[[PlacedPost], float]) -> tuple[Reading, ...]:
    """Neighbours of each row, its first and last bore, then bores that face each other across the head."""
    rows = _rows(layout)
    pairs = [pair for row in rows for pair in pairwise(row)]
    pairs += [(row[0], row[-1]) for row in rows if len(row) > 2]
    pairs += _facing(layout.posts)
    return tuple(
        Reading(f"{a.label} – {b.label}", a.at.distance(b.at), diameter(a), diameter(b)) for a, b in pairs
    )


def _rows(layout: Layout) -> list[list[PlacedPost]]:
    rows: dict[str, list[PlacedPost]] = {}
    for post in layout.posts:
        rows.setdefault(post.row, []).append(post)
    return list(rows.values())


def _facing(posts: tuple[PlacedPost, ...]) -> list[tuple[PlacedPost, PlacedPost]]:
    """Each post with the nearest of the other side, every pair once, from the nut to the tip."""
    left = [post for post in posts if post.side_sign < 0]
    right = [post for post in posts if post.side_sign > 0]
    if not left or not right:
        return []
    nearest = [(post, min(right, key=lambda other: post.at.distance(other.at))) for post in left]
    nearest += [(min(left, key=lambda other: post.at.distance(other.at)), post) for post in right]
    pairs = {(one.key, other.key): (one, other) for one, other in nearest}
    return sorted(pairs.values(), key=lambda pair: pair[0].at.y + pair[1].at.y)


def edge_readings(layout: Layout) -> tuple[EdgeReading, ...]:
    """The nearest edge of every bore on the face, where it is largest, to the nut line and to the edge."""
    if layout.edge is None or not layout.posts:
        return ()
    wood, _ = layout.edge.distance(np.array([(post.at.x, post.at.y) for post in layout.posts]))
    return tuple(
        EdgeReading(
            post.key, post.label, post.bore, post.at.y - post.bore / 2, float(distance) - post.bore / 2
        )
        for post, distance in zip(layout.posts, wood, strict=True)
    )


# Tables


def _upper_blocks(layout: Layout, units: Units) -> Iterator[Block]:
    if not layout.posts:
        yield Paragraph("There are no bores to measure yet.", bold=True)
        return
    yield Paragraph(_HOW_TO)
    on_face = readings(layout, lambda post: post.bore)
    on_back = readings(layout, lambda post: post.hardware.bore.through)
    if on_face:
        yield Heading("Bore to bore, on the face", 2)
        yield _pair_table(on_face, units)
    # The back tells something new only about bores that have another diameter there.
    changed = [back for face, back in zip(on_face, on_back, strict=True) if back != face]
    if changed:
        yield Heading("Bore to bore, on the back (through diameter)", 2)
        yield _pair_table(tuple(changed), units)


def _pair_table(pairs: tuple[Reading, ...], units: Units) -> Table:
    columns = (
        Column("Bores", 1.7),
        Column(f"Centres {_unit(units)}", 1.5, "end"),
        Column("Wood between (large jaws)", 1.8, "end"),
        Column("Read", 1.2, "middle"),
        Column("Off by", 1.0, "middle"),
        Column("Far edges (small jaws)", 1.8, "end"),
        Column("Read", 1.2, "middle"),
        Column("Off by", 1.0, "middle"),
    )
    rows = (
        (each.name, _shown(each.centres, units), _shown(each.between, units), _shown(each.across, units))
        for each in pairs
    )
    return Table(
        columns, tuple(Row((name, apart, one, "", "", two, "", "")) for name, apart, one, two in rows)
    )


def _lower_blocks(build: Build, layout: Layout, units: Units) -> Iterator[Block]:
    edges = edge_readings(layout)
    if not edges:
        return
    columns = (
        Column("Bore", 1.4),
        Column(f"⌀ {_unit(units)}", 1.2, "end"),
        Column("Ring", 1.25, "end"),
        Column("To the nut line", 1.4, "end"),
        Column("Read", 1.2, "middle"),
        Column("Off by", 1.1, "middle"),
        Column("To the side", 1.3, "end"),
        Column("Read", 1.2, "middle"),
        Column("Off by", 1.1, "middle"),
    )
    rings = {ring.post: ring_cell(ring, units) for ring in exact_rings(build, layout).rings}
    rows = []
    for each in sorted(edges, key=lambda each: natural(each.name)):
        wide, nut, side = (_shown(value, units) for value in (each.diameter, each.to_nut, each.to_side))
        rows.append(Row((each.name, wide, rings[each.post], nut, "", "", side, "", "")))
    yield Heading("Bore to edges, on the face", 2)
    yield Table(columns, tuple(rows))
    yield Paragraph("From the rim of the bore: square to the nut line, the shortest way to the side.")
    if build.head.edge_face > SAME:
        yield Paragraph(
            "The edge of the face is rounded off: rest the jaw on the side of the head, below it."
        )


def _unit(units: Units) -> str:
    return f"({length_unit(units)})"


def _shown(value: float, units: Units) -> str:
    """A reading as calipers show it; a dash where there is no wood to read."""
    if value <= SAME:
        return UNKNOWN
    return bare_length(value, units, CLOSE)


# Sketch


def _sketch(layout: Layout, place: Bounds) -> Drawing:
    """The head and its bores, reduced to fit `place`, with the names of the bores."""
    assert layout.edge is not None, "a sketch needs an edge"
    box = Bounds(place.left, place.bottom + 2 * BODY, place.right, place.top)
    rim = layout.edge.contour.closed_by_line()
    scale = min(box.width / rim.bounds.width, box.height / rim.bounds.height)
    shift = Vector(box.centre.x - rim.bounds.centre.x * scale, box.top - rim.bounds.top * scale)
    bores = (Mark(Role.DIMENSION, Circle(post.at, post.bore / 2)) for post in layout.posts)
    head = reduced(Drawing((Mark(Role.DIMENSION, rim, "head"), *bores)), scale).moved(shift)
    wishes = [
        Request(reduced_point(post.at, scale) + shift, (post.label,), BODY, post.bore / 2 * scale, bold=True)
        for post in layout.posts
    ]
    at = Point(place.centre.x, head.bounds.bottom - 1.6 * BODY)
    caption = Mark(Role.NOTES, Text(at, BODY, "Face, reduced", anchor="middle"))
    return head + anywhere(wishes, head, box) + Drawing((caption,))
