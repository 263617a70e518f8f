"""The printed drill guide seen from the face: what is plate, what is fence, what is open.

The plate lies on the face, its flat end against the nut. Fences hang down on both sides of the head, so that it cannot
turn; near the tip there are none, for the nut alone stops it lengthwise. Through a notch at either end and slots on the
middle the centre line is seen, through gaps in the fences the edge of the head.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations, product

import msgspec
import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from export.drawing import Text
from export.sheet_kind import SheetError, refuse_sheet
from export.sheets.guide import PILOT, edge_to_guide
from export.sheets.strokes import LETTERS, strokes
from geometry.layout.layout import Layout
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import show_length
from geometry.trade.shop import Shop

# Sizes in mm; workshop practice, no source.
THICKNESS = 8.0
"""Of the plate: as long as this the bit is led, and it stands as high against the nut."""

FENCE_DEEP, FENCE_WIDE = 8.0, 4.0
"""How far a fence reaches down beside the head, and how thick it is."""

# No fence so near to the nut line, where the neck's heel may swell, and so near to the tip.
_NUT_FREE, _TIP_FREE = 4.0, 12.0

CHAMFER = 0.8
"""Of the guide holes' mouths, so that a bit finds in."""

CHORD = 0.005
"""By so much the straight pieces of a curve stray from it; a tenth of a layer."""

_NOTCH, _TIP_NOTCH = 3.0, 6.0  # depth of the notches at the nut and at the tip, behind the tip of the head

SLOT = (3.0, 10.0)
GAP = (4.0, 10.0)
"""Across and along: of a slot on the centre line; of a gap in a fence, across from the edge inwards."""

_LETTER, _PEN = 6.0, 0.9  # font size of numbers and width of their lines


DOWEL, DOWEL_DEEP = 3.0, 12.0
"""Diameter and depth of the holes for the dowels that join two pieces; beside one the plate is 2.5 mm thick."""


class Plan(msgspec.Struct, frozen=True):
    """Areas in mm as the face shows them, x to the right and y from the nut line to the tip.

    `head` is the head itself; `plate` and `fence` have their notches, slots and gaps cut out, but not the guide holes
    and not the `numbers`, which are sunk into the plate's upper side. `clearance` is between fence and head.
    """

    head: BaseGeometry
    plate: BaseGeometry
    fence: BaseGeometry
    numbers: BaseGeometry
    guides: tuple[Circle, ...]
    clearance: float


def plan(layout: Layout, shop: Shop, fingerprint: str) -> Plan:
    """The guide for a head, with holes for a pilot bit, or for metal bushings where the shop has such.

    Raises SheetError where no such guide can be made.
    """
    edge = edge_to_guide(layout)
    # A printed hole comes out narrower than drawn by about the clearance; a bushing is pressed into it.
    diameter = PILOT + shop.print_clearance if shop.guide_bushing is None else shop.guide_bushing
    guides = tuple(Circle(post.at, diameter / 2) for post in layout.posts)
    labels = tuple(post.label for post in layout.posts)
    head = _area(edge.contour.closed_by_line())
    around = head.buffer(shop.print_clearance + FENCE_WIDE, quad_segs=quarter(FENCE_WIDE))
    bores = shapely.union_all([_disc(hole, CHAMFER) for hole in guides])
    _refuse_thin(guides, labels, around, shop)
    openings = _openings(head, bores, shop.print_wall)
    plate = around.intersection(_from(0.0, around)).difference(openings)
    inner = head.buffer(shop.print_clearance, quad_segs=quarter(FENCE_WIDE))
    _, _, _, top = head.bounds
    beside = _from(_NUT_FREE, around).difference(_from(top - _TIP_FREE, around))
    fence = around.difference(inner).intersection(beside).difference(openings)
    fence = _thick_parts(fence, shop.print_wall)
    _refuse_turning(fence)
    numbers = _numbers(guides, labels, fingerprint, plate.difference(bores))
    return Plan(head, plate, fence, numbers, guides, shop.print_clearance)


def fits_bed(wide: float, long: float, shop: Shop) -> bool:
    """Whether something of these sides in mm lies on the bed of the shop's printer, this way or turned."""
    bed = (shop.bed_width, shop.bed_depth)
    return (wide <= bed[0] and long <= bed[1]) or (long <= bed[0] and wide <= bed[1])


def _area(contour: Contour) -> BaseGeometry:
    points = [(point.x, point.y) for point in contour.flatten(CHORD)]
    return shapely.make_valid(shapely.Polygon(points))


def quarter(radius: float) -> int:
    """Into how many chords a quarter of a circle is cut."""
    return math.ceil(math.pi / 4 / math.acos(1 - CHORD / radius))


def _disc(hole: Circle, wider: float = 0.0) -> BaseGeometry:
    radius = hole.radius + wider
    return shapely.Point(hole.centre.x, hole.centre.y).buffer(radius, quad_segs=quarter(radius))


def _from(y: float, around: BaseGeometry) -> BaseGeometry:
    left, _, right, top = around.bounds
    return shapely.box(left - 1.0, y, right + 1.0, top + 1.0)


# Why there is none


def _refuse_thin(guides: Sequence[Circle], labels: Sequence[str], around: BaseGeometry, shop: Shop) -> None:
    """Refuse holes with less plastic between them, to the nut or to the rim than the shop's least wall."""
    wall, chamfers = show_length(shop.print_wall, shop.units), CHAMFER
    for (one, name), (two, other) in combinations(zip(guides, labels, strict=True), 2):
        if one.centre.distance(two.centre) - one.radius - two.radius - 2 * chamfers < shop.print_wall - SAME:
            refuse_sheet(
                f"Guide holes for bores {name} and {other} leave less than {wall} between them. "
                "Use a smaller bushing."
            )
    rim = around.boundary
    for hole, name in zip(guides, labels, strict=True):
        to_nut = hole.centre.y - _NOTCH * (abs(hole.centre.x) < _NOTCH + hole.radius)
        room = min(shapely.Point(hole.centre.x, hole.centre.y).distance(rim), to_nut)
        if room - hole.radius - chamfers < shop.print_wall - SAME:
            refuse_sheet(
                f"The guide hole for bore {name} leaves less than {wall} to the rim of the guide. "
                "Use a smaller bushing."
            )


def _refuse_turning(fence: BaseGeometry) -> None:
    left, _, right, _ = fence.bounds if not fence.is_empty else (0.0,) * 4
    if not left < 0.0 < right:
        refuse_sheet(
            "There is no drill guide to print for this head: no fence finds room on both of its sides."
        )


# What is open


def _openings(head: BaseGeometry, bores: BaseGeometry, wall: float) -> BaseGeometry:
    """Notches, slots on the centre line, gaps at the edges; what would leave too thin a wall to a bore stays away."""
    _, _, _, top = head.bounds
    middle = head.intersection(shapely.box(-SAME, 0.0, SAME, top + 1.0))
    # A head may lie beside the centre line: then nothing of it is to be seen.
    found = [] if middle.is_empty else list(_on_the_middle(middle.bounds[3], bores, wall))
    for side in (-1.0, 1.0):
        found += _gap(head, shapely.union_all([bores, *found]), wall, side)
    return shapely.union_all(found)


def _on_the_middle(tip: float, bores: BaseGeometry, wall: float) -> Iterator[BaseGeometry]:
    """A notch at the nut, one at the tip of the head at that height, and the first and the last slot between them."""
    low, over = tip - _TIP_NOTCH, tip + 50.0
    nut = shapely.Polygon([(-_NOTCH, -1.0), (-_NOTCH, 0.0), (0.0, _NOTCH), (_NOTCH, 0.0), (_NOTCH, -1.0)])
    wedge = shapely.Polygon([(0.0, low), (-over, low + over), (over, low + over)])
    notches = (nut, wedge.intersection(shapely.box(-_TIP_NOTCH, 0.0, _TIP_NOTCH, over)))
    found = [each for each in notches if each.distance(bores) >= wall]
    yield from found
    slots = [_across(0.0, SLOT[0], y, SLOT[1]) for y in np.arange(_NOTCH + SLOT[1], low - SLOT[1], 1.0)]
    taken = shapely.union_all([bores, *found])
    free = [slot for slot in slots if slot.distance(taken) >= 2 * wall]
    yield from free[:1]
    if free and free[-1].distance(free[0]) >= 2 * wall:
        yield free[-1]


def _across(middle: float, width: float, y: float, height: float) -> BaseGeometry:
    return shapely.box(middle - width / 2, y - height / 2, middle + width / 2, y + height / 2)


def _gap(head: BaseGeometry, kept: BaseGeometry, wall: float, side: float) -> list[BaseGeometry]:
    """The place nearest to the middle of a side where the edge of the head can be shown, if there is one."""
    _, low, _, top = head.bounds
    middle = (low + top) / 2
    heights = np.arange(_NUT_FREE + 2 * GAP[1], top - _TIP_FREE - 2 * GAP[1], 1.0)
    for y in sorted(heights.tolist(), key=lambda y: abs(y - middle)):
        reaches = [_edge_at(head, each, side) for each in (y - GAP[1] / 2, y, y + GAP[1] / 2)]
        if not all(map(math.isfinite, reaches)):
            continue
        # From inside the narrowest place of the edge there to beyond the fence.
        inner, outer = side * (min(reaches) - GAP[0]), side * (max(reaches) + 2 * FENCE_WIDE)
        box = shapely.box(min(inner, outer), y - GAP[1] / 2, max(inner, outer), y + GAP[1] / 2)
        if box.distance(kept) >= wall:
            return [box]
    return []


def _edge_at(head: BaseGeometry, y: float, side: float) -> float:
    """How far from the centre line the head reaches on a side at that height; not a number where it has ended."""
    left, _, right, _ = head.intersection(_across(0.0, 1000.0, y, SAME)).bounds
    return right if side > 0 else -left


def _thick_parts(area: BaseGeometry, wall: float) -> BaseGeometry:
    """The area without what is thinner than a wall: a cut may leave slivers."""
    half = wall / 2 - CHORD
    return area.buffer(-half, join_style="mitre").buffer(half, join_style="mitre").intersection(area)


# Numbers


def _numbers(
    guides: Sequence[Circle], labels: Sequence[str], fingerprint: str, free: BaseGeometry
) -> BaseGeometry:
    """The name of each bore beside it, and the fingerprint where there is room; what finds none is left out."""
    found: list[BaseGeometry] = []
    room = free.buffer(-_PEN)
    for hole, label in zip(guides, labels, strict=True):
        found += _first_free(label, list(_beside(hole, label)), room, found)
    _, low, _, top = free.bounds
    middles = [Point(x, y) for y, x in product(np.arange(low + 8.0, top - 8.0, 2.0), (0.0, -8.0, 8.0))]
    found += _first_free(fingerprint, middles, room, found)
    return shapely.union_all(found)


def _beside(hole: Circle, label: str) -> Iterator[Point]:
    """Places for the middle of a name round a hole, towards the centre line first."""
    inwards = math.pi if hole.centre.x > 0 else 0.0
    away = hole.radius + CHAMFER + _PEN + 1.0 + _LETTER * 0.35 * max(1.0, 0.8 * len(label))
    for turn in (0.0, 0.5, -0.5, 0.25, -0.25, 1.0):
        angle = inwards + turn * math.pi
        yield hole.centre + Vector(math.cos(angle), math.sin(angle)) * away


def _first_free(
    words: str, middles: Sequence[Point], room: BaseGeometry, taken: Sequence[BaseGeometry]
) -> list[BaseGeometry]:
    if not set(words) <= LETTERS.keys():
        return []
    for middle in middles:
        drawn = _written(words, middle)
        if room.contains(drawn) and all(drawn.distance(each) >= _PEN for each in taken):
            return [drawn]
    return []


def _written(words: str, middle: Point) -> BaseGeometry:
    """Words as areas, with their middle there."""
    text = Text(Point(0.0, 0.0), _LETTER, words, bold=True)
    lines = [
        shapely.LineString([(point.x, point.y) for point in line.flatten(CHORD)]) for line in strokes(text)
    ]
    drawn = shapely.union_all([line.buffer(_PEN / 2, quad_segs=4) for line in lines])
    left, low, right, top = drawn.bounds
    step = np.array([middle.x - (left + right) / 2, middle.y - (low + top) / 2])
    return shapely.transform(drawn, lambda at: at + step)


# In two, where it is larger than the printer's bed


def cut_at(plan: Plan, shop: Shop) -> float | None:
    """The y in mm of the cut across, None where the guide lies on the bed in one piece.

    Raises SheetError where even half of it is too large or no cut misses the holes.
    """
    left, low, right, top = plan.plate.bounds
    if fits_bed(right - left, top - low, shop):
        return None
    y = _clear_height(plan, shop.print_wall)
    if not (fits_bed(right - left, y - low, shop) and fits_bed(right - left, top - y, shop)):
        refuse_sheet("Even in two pieces the guide is larger than the bed of the printer.")
    return y


def _clear_height(plan: Plan, wall: float) -> float:
    """The y nearest to the middle of the plate where a cut misses every hole by a wall."""
    _, low, _, top = plan.plate.bounds
    middle = (low + top) / 2
    heights = np.arange(low + 2 * DOWEL_DEEP, top - 2 * DOWEL_DEEP, 0.5).tolist()
    for y in sorted(heights, key=lambda y: abs(y - middle)):
        clear = all(abs(hole.centre.y - y) >= hole.radius + CHAMFER + wall for hole in plan.guides)
        if clear and dowels_at(plan, y, wall):
            return float(y)
    message = "The guide is larger than the bed of the printer, and no cut across it misses all holes."
    raise SheetError(message)


def dowels_at(plan: Plan, y: float, wall: float) -> list[float]:
    """Where two dowels can sit at a cut, far apart and clear of everything; x in mm, none where there is no room."""
    _, _, right, _ = plan.plate.bounds
    centres = shapely.points([(hole.centre.x, hole.centre.y) for hole in plan.guides])
    holes = shapely.buffer(centres, [hole.radius + CHAMFER for hole in plan.guides])
    solid = plan.plate.difference(shapely.union_all(holes)).buffer(-wall)
    fits = [
        x
        for x in np.arange(-right, right, 0.5).tolist()
        if solid.contains(shapely.box(x - DOWEL / 2, y - DOWEL_DEEP, x + DOWEL / 2, y + DOWEL_DEEP))
    ]
    return [fits[0], fits[-1]] if fits and fits[-1] - fits[0] >= 4 * FENCE_WIDE else []
