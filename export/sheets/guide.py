"""The drill guide: a plate that lies on the face and leads the drill into every bore.

The plate's lower edge is the nut line: it is pushed against the nut, or against a straight piece held there. Sight
windows across the edge of the head show whether the plate lies true, and a notch and windows whether its centre line
does. One corner is cut off, so that nobody lays it on the wrong way up.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import combinations

import msgspec

from export.drawing import Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.labels import Request, anywhere
from export.sheet_kind import Machine, SheetKind, refuse_sheet
from export.sheets.cautions import FOR_GUIDE
from export.sheets.head import diameter_words
from export.sheets.kerf import kerf_gauge, kerf_note, refuse_kerf
from export.sheets.strokes import engraved
from export.sheets.windows import Window, sight_windows, stretch, stretches
from export.tiles import Span
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.edge import Edge
from geometry.layout.layout import Layout
from geometry.shape.contour import Contour, through
from geometry.shape.offset import parallel
from geometry.shape.point import Point
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import Fit
from geometry.trade.quantities import SAWN, show_length
from geometry.trade.shop import Shop
from geometry.trade.units import Units

# Sizes in mm; workshop practice, no source.
PILOT = 2.0
"""Diameter of a guide hole that leads a pilot drill."""

_PILOT_PLAY = 0.05  # so much narrower a bit still runs true in its hole

MARGIN = 24.0
"""How far the plate stands out over the head on three sides."""

SCREW_HOLE = 4.5
"""Diameter of the holes for the screws that hold the plate on a backing board."""

_CORNER = 1.5  # radius of the corners of the windows, unless the tool needs a larger one

LEAST = 4.0
"""Least material between two guide holes, and from a guide hole to the notch in the lower edge."""

_CUT_OFF = 14.0
_SCREW_INSET = 8.0
_NOTCH = 3.0
_CONTINUED = 8.0
_BLANK = 0.5
_FROM_CUTS = 1.2  # least distance in mm of an engraved word from a cut line; nearer, a laser burns it away
_LARGE, _SMALL = 6.0, 4.0


class _Plate(msgspec.Struct, frozen=True):
    """Everything the drawing is made of, true to size."""

    edge: Edge
    bounds: Bounds
    guides: tuple[Circle, ...]
    screws: tuple[Circle, ...]
    windows: tuple[Window, ...]


def guide_sheets(build: Build, layout: Layout, shop: Shop, _room: Room) -> tuple[Sheet, ...]:
    """The plate as its cutter wants it, seen from the face.

    Guide holes have the pilot's diameter, or that of the shop's guide bushing outside; they are drilled and get no
    compensation. Cut lines are moved by half the shop's kerf into the waste. Raises SheetError where no such plate
    can be made.
    """
    guide_bushing, kerf = shop.guide_bushing, shop.kerf
    diameter = PILOT if guide_bushing is None else guide_bushing
    plate = _plate(layout, diameter, shop.units)
    radius = _refuse_kerf(plate, kerf, shop.units)
    # Words find their places by the plate as it will be, openings widened, whatever the kerf is.
    words = tuple(_words(plate, layout, Drawing(_lines(plate, layout, radius, -2 * _FROM_CUTS))))
    drawing = Drawing(
        (*_lines(plate, layout, radius, kerf), *engraved(words), *kerf_gauge(plate.bounds, kerf))
    )
    sheet = fitted(
        "guide",
        "Drill guide, seen from the face",
        drawing,
        notes=tuple(_notes(build, plate, shop)),
        seam_avoid=(*plate.guides, *plate.screws),
    )
    return (sheet,)


GUIDE = SheetKind(name="guide", title="Drill guide", draw=guide_sheets, cautions=FOR_GUIDE, machine=Machine())


def _lines(plate: _Plate, layout: Layout, radius: float, kerf: float) -> tuple[Mark, ...]:
    """What is cut, drilled and engraved, without words; cut lines lie half the `kerf` in the waste."""
    return (
        Mark(Role.CUT_OUTLINE, _outside(plate.bounds, kerf / 2), "plate"),
        *(Mark(Role.WINDOW, window.rim(radius, kerf / 2), "window") for window in plate.windows),
        *(
            Mark(Role.GUIDE_HOLE, hole, f"bore {post.label}")
            for hole, post in zip(plate.guides, layout.posts, strict=True)
        ),
        *(Mark(Role.SCREW, hole, "screw hole") for hole in plate.screws),
        *(Mark(Role.ENGRAVE, line, "edge of the head") for line in _edge_lines(plate)),
        *(Mark(Role.ENGRAVE, line, "centre line") for line in _centre_lines(plate)),
    )


# The plate, or why there is none


def edge_to_guide(layout: Layout) -> Edge:
    """The edge of a head that a guide can be made for; SheetError where it is not sound or nothing is drilled."""
    if layout.edge is None or not outline_is_sound(layout.edge):
        refuse_sheet("There is no drill guide for this head: its outline is open or crosses itself.")
    if not layout.posts:
        refuse_sheet("There is no drill guide for this head: it has no bores.")
    return layout.edge


def _plate(layout: Layout, diameter: float, units: Units) -> _Plate:
    edge = edge_to_guide(layout)
    _refuse_diameter(layout, diameter, units)
    guides = tuple(Circle(post.at, diameter / 2) for post in layout.posts)
    around = edge.contour.bounds
    for hole in guides:
        around = around.joined(hole.bounds)
    bounds = Bounds(around.left - MARGIN, 0.0, around.right + MARGIN, around.top + MARGIN)
    screws = tuple(_screws(bounds))
    notch = Circle(Point(0.0, 0.0), _NOTCH)
    windows = sight_windows(edge, bounds, (*guides, *screws, notch))
    _refuse_blind(windows, diameter, units)
    return _Plate(edge, bounds, guides, screws, windows)


def _refuse_diameter(layout: Layout, diameter: float, units: Units) -> None:
    words = show_length(diameter, units)
    if not SAME < diameter < math.inf:
        refuse_sheet(f"A guide hole needs a diameter of more than nothing, not {words}.")
    for post in layout.posts:
        if post.at.y - diameter / 2 < _NOTCH + LEAST - SAME:
            refuse_sheet(f"A guide hole of {words} for bore {post.label} comes too near to the nut line.")
    for one, other in combinations(layout.posts, 2):
        left = one.at.distance(other.at) - diameter
        if left < LEAST - SAME:
            refuse_sheet(
                f"Guide holes of {words} for bores {one.label} and {other.label} leave less than "
                f"{show_length(LEAST, units)} between them. Use a smaller guide bushing, or pilot holes."
            )


def _refuse_blind(windows: tuple[Window, ...], diameter: float, units: Units) -> None:
    across = [window.box.centre.x for window in windows if window.span is not None]
    if not (any(x < 0 for x in across) and any(x > 0 for x in across)):
        refuse_sheet(
            f"Beside guide holes of {show_length(diameter, units)} there is no room for sight windows on both "
            "sides of the head. Use a smaller guide bushing, or pilot holes."
        )


def _refuse_kerf(plate: _Plate, kerf: float, units: Units) -> float:
    """The radius of the windows' corners for this kerf."""
    refuse_kerf(kerf, units)
    least = min(window.least for window in plate.windows)
    if least <= kerf + SAME:
        refuse_sheet(
            f"A kerf of {show_length(kerf, units)} does not fit into a sight window that is "
            f"{show_length(least, units)} wide. Cut the plate with a narrower tool."
        )
    return max(_CORNER, kerf / 2)


# Shapes


def _outside(bounds: Bounds, out: float) -> Contour:
    """The plate's outline `out` mm outside of itself: a notch at the nut, the upper right corner cut off."""
    corners = (
        Point(bounds.left, bounds.bottom),
        Point(-_NOTCH, bounds.bottom),
        Point(0.0, bounds.bottom + _NOTCH),
        Point(_NOTCH, bounds.bottom),
        Point(bounds.right, bounds.bottom),
        Point(bounds.right, bounds.top - _CUT_OFF),
        Point(bounds.right - _CUT_OFF, bounds.top),
        Point(bounds.left, bounds.top),
    )
    (outline,) = parallel(through(corners, closed=True), -out)
    return outline


def _screws(bounds: Bounds) -> Iterator[Circle]:
    inner = bounds.grown(-_SCREW_INSET)
    # At the upper right the corner is cut off: the hole sits lower there.
    for x, y in (
        (inner.left, inner.bottom),
        (inner.right, inner.bottom),
        (inner.right, inner.top - _CUT_OFF),
        (inner.left, inner.top),
    ):
        yield Circle(Point(x, y), SCREW_HOLE / 2)


def _edge_lines(plate: _Plate) -> Iterator[Contour]:
    """The edge of the head, engraved from the rims of its windows on."""
    contour = plate.edge.contour
    shown = [window.span for window in plate.windows if window.span is not None]
    end = contour.length
    wanted = [Span(max(0.0, each.low - _CONTINUED), min(end, each.high + _CONTINUED)) for each in shown]
    for span in stretches(wanted, shown):
        line = stretch(contour, span)
        if all(_gap(line, hole) > _BLANK for hole in plate.guides):
            yield line


def _gap(line: Contour, hole: Circle) -> float:
    """Distance in mm from a curve to a disc."""
    return line.nearest(hole.centre).distance - hole.radius


def _centre_lines(plate: _Plate) -> Iterator[Contour]:
    """The centre line, engraved from the notch and from the rims of the windows on it."""
    shown = [_upright(window) for window in plate.windows if window.span is None]
    wanted = [Span(each.low - _CONTINUED, each.high + _CONTINUED) for each in shown]
    wanted += [Span(_NOTCH + _BLANK, _NOTCH + _CONTINUED)]
    boxes = [window.box.bounds for window in plate.windows]
    gaps = [Span(box.bottom, box.top) for box in boxes if box.left < 0 < box.right]
    gaps += [
        Span(hole.bounds.bottom - _BLANK, hole.bounds.top + _BLANK)
        for hole in plate.guides
        if abs(hole.centre.x) < hole.radius + _BLANK
    ]
    low, high = Span(-math.inf, _NOTCH + _BLANK), Span(plate.bounds.top - _NOTCH, math.inf)
    for span in stretches(wanted, (*gaps, low, high)):
        yield through((Point(0.0, span.low), Point(0.0, span.high)))


def _upright(window: Window) -> Span:
    return Span(window.box.bounds.bottom, window.box.bounds.top)


# Words


def _words(plate: _Plate, layout: Layout, drawing: Drawing) -> Iterator[Mark]:
    """What is written on the plate: which side is up, where the nut is, the names of the bores."""
    bounds = plate.bounds
    at = Point(bounds.left + 2 * _SCREW_INSET, bounds.top - _SCREW_INSET - _LARGE / 3)
    up = Mark(Role.ENGRAVE, Text(at, _LARGE, "FACE UP", bold=True))
    wishes = [
        Request(hole.centre, (post.label,), _SMALL, hole.radius, Role.ENGRAVE, bold=True)
        for hole, post in zip(plate.guides, layout.posts, strict=True)
    ]
    nut = Request(Point(0.0, 0.0), ("NUT",), _LARGE, _NOTCH + 1.0, Role.ENGRAVE, bold=True)
    yield up
    yield from anywhere((*wishes, nut), drawing + Drawing((up,)), bounds.grown(-1.0)).marks


def pilot_words(shop: Shop) -> str:
    """The pilot bit that a guide hole leads; in inches with the inch drill that serves as well."""
    if shop.units == "mm":
        return show_length(PILOT, "mm")
    return diameter_words(Fit(PILOT, PILOT - _PILOT_PLAY, PILOT, "pilot"), shop)


def _notes(build: Build, plate: _Plate, shop: Shop) -> Iterator[str]:
    units = shop.units
    size = " × ".join(show_length(side, units, SAWN) for side in (plate.bounds.width, plate.bounds.height))
    if shop.guide_bushing is None:
        holes = f"{pilot_words(shop)} for a pilot drill"
    else:
        holes = f"{show_length(shop.guide_bushing, units)} for the guide bushing"
    thick = show_length(max(build.head.thickness_nut, build.head.thickness_tip), units)
    yield f"Plate {size}. The cut-off corner is at the upper right when the face side is up."
    yield (f"Guide holes {holes}: drilled, true to size. Screw holes {show_length(SCREW_HOLE, units)}.")
    yield (
        "Lower edge against the nut; notch on the centre line; the edge of the head in line with the engraved "
        f"lines in every window. Screw the plate to a backing board, with packing as thick as the head ({thick})."
    )
    yield kerf_note(shop.kerf, units, "plate {half} outside", "windows {half} inside")
