"""How the head lies level under the drill, from the side: face up on a riser or at the table's edge, and face down."""

from __future__ import annotations

import math
from collections.abc import Iterator

import msgspec

from export.drawing import Drawing, Mark, Role, Room, Sheet, Text, reduced
from export.sheets.head import LABEL, ROOM
from export.sheets.table import divided, heading, paged, pages_of, paragraphs, stacked
from export.text import LEADING, width
from geometry.bench.cradle import Cradle
from geometry.bench.head_rest import SUPPORT, HeadRest
from geometry.bench.press_words import say_edge
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.side_view import head_and_neck, over_fingerboard
from geometry.shape.contour import Contour, rectangle, through
from geometry.shape.point import Point
from geometry.shape.segment import Bounds
from geometry.shape.tolerance import SAME
from geometry.trade.quantities import SAWN, show_length, typed_number
from geometry.trade.units import Units

_SCALES = (1, 2, 5, 10, 15, 20, 50)
_PAST = 40.0  # mm of neck drawn past the far station
_EDGE = 30.0  # mm of the table's edge drawn
_HANGS = 14.0  # mm of support drawn below the neck at the table's edge


class _View(msgspec.Struct, frozen=True):
    """One side view: `level` is the height of the face over the table, `over` the height of the fingerboard.

    `up` is 1 face up and -1 face down; supports stand at `heights`; the table ends at `ends`, or not.
    """

    title: str
    level: float
    up: float
    heights: tuple[float, float]
    riser: float
    ends: float | None = None


def rest_sheets(
    build: Build, layout: Layout, made: Cradle, units: Units, room: Room = ROOM
) -> tuple[Sheet, ...]:
    """Side views to a scale that fits, the heights of the supports, what to check before drilling: pages of `room`."""
    wide = min(room[0], ROOM[0]) - 2.0
    scale, views = rest_views(build, made, units, wide)
    first = stacked((heading(f"From the side, 1:{scale}"), views[0]))
    words = paragraphs(tuple(rest_remarks(build, layout, made, units)), wide)
    pages = paged((first, *views[1:], _table(made, units), words), room[1] - 2.0)
    return pages_of("cradle-level", "The head level under the drill", pages)


def rest_views(build: Build, made: Cradle, units: Units, wide: float) -> tuple[int, tuple[Drawing, ...]]:
    """The side views to a scale at which they keep to `wide` mm, and that scale: 1 to so many."""
    views: tuple[Drawing, ...] = ()
    for scale in _SCALES:
        views = tuple(_drawn(build, made, view, scale, units) for view in _views(build, made))
        if max(view.bounds.width for view in views) <= wide:
            return scale, views
    return _SCALES[-1], views


def _views(build: Build, made: Cradle) -> Iterator[_View]:
    rest, thick = made.rest, build.head.thickness_nut
    on_riser = (rest.near.on_riser, rest.far.on_riser)
    what = "on a riser" if rest.riser > SAME else "flat on the table"
    yield _View(f"Face up, {what}", rest.stack + rest.riser + thick, 1.0, on_riser, rest.riser)
    if rest.riser > SAME:
        edge = (rest.near.at_edge, rest.far.at_edge)
        yield _View("Face up, at the table's edge", rest.stack + thick, 1.0, edge, 0.0, -made.base.bottom)
    down = (rest.near.face_down, rest.far.face_down)
    yield _View("Face down", rest.stack + rest.riser_face_down, -1.0, down, rest.riser_face_down)


# One view, drawn in true mm with the tip at the left and the table's top at y = 0, then made smaller


def _drawn(build: Build, made: Cradle, view: _View, scale: int, units: Units) -> Drawing:
    board = over_fingerboard(build, made.rest.far.along + _PAST)
    marks = [
        *_boards(made, view),
        Mark(Role.OUTLINE, _wood(build, made, view), "head and neck"),
        Mark(Role.CENTRE_LINE, through([_placed(corner, view) for corner in board]), "fingerboard"),
        *_supports(made.rest, view),
        *_drill(build, made, view),
    ]
    small = reduced(Drawing(tuple(marks)), 1 / scale)
    words = Drawing(tuple(_words(made.rest, view, scale, units)))
    title = Text(Point(0.0, 0.0), LABEL * 1.1, view.title, bold=True)
    return stacked((Drawing((Mark(Role.TITLE, title),)), small + words), 1.0)


def _boards(made: Cradle, view: _View) -> Iterator[Mark]:
    """The table's top, and riser, base plate and backing on it."""
    left, right = -made.base.top, -made.base.bottom
    far = made.rest.far.away + _PAST
    table = [Point(left - 10.0, 0.0), Point(far if view.ends is None else view.ends, 0.0)]
    if view.ends is not None:
        table.append(Point(view.ends, -_EDGE))
    yield Mark(Role.FENCE, through(table), "table")
    low = 0.0
    for name, thick in (
        ("riser", view.riser),
        ("base plate", made.sizes.base),
        ("backing", made.sizes.backing),
    ):
        if thick > SAME:
            yield Mark(Role.PLATE, rectangle(Bounds(left, low, right, low + thick)), name)
        low += thick


def _wood(build: Build, made: Cradle, view: _View) -> Contour:
    """Head and neck in one outline, from the tip along the face."""
    corners = head_and_neck(build.head, made.edge.top, made.rest.far.along + _PAST)
    return through([_placed(corner, view) for corner in corners], closed=True)


def _placed(place: Point, view: _View) -> Point:
    """Where a place of the side view of the head lies over the table, the neck at the right."""
    return Point(-place.y, view.level + view.up * place.x)


def _supports(rest: HeadRest, view: _View) -> Iterator[Mark]:
    for station, height in zip((rest.near, rest.far), view.heights, strict=True):
        left, right = station.away - SUPPORT / 2, station.away + SUPPORT / 2
        yield Mark(Role.BODY, rectangle(Bounds(left, _foot(view, height), right, height)), "support")


def _foot(view: _View, height: float) -> float:
    """How low a support is drawn: to the table, or past its edge a little further than it and the neck."""
    return 0.0 if view.ends is None else min(-_EDGE, height - _HANGS)


def _drill(build: Build, made: Cradle, view: _View) -> Iterator[Mark]:
    """The axis of the spindle, over the middle of the head."""
    x = -(made.base.bottom + made.edge.top) / 2
    high = view.level + (0.0 if view.up > 0 else build.head.thickness_nut)
    yield Mark(Role.CENTRE_LINE, through((Point(x, high + 25.0), Point(x, 0.0))), "spindle")


def _words(rest: HeadRest, view: _View, scale: int, units: Units) -> Iterator[Mark]:
    """The height of each support under it, the second a line lower where both would run into each other."""
    end, line = -math.inf, math.inf
    for name, station, height in zip("AB", (rest.near, rest.far), view.heights, strict=True):
        words = f"{name}: {_height(height, units)}"
        x, y, half = station.away / scale, _foot(view, height) / scale - 1.0 - LABEL, width(words, LABEL) / 2
        if x - half < end + 2 * LABEL:
            y = min(y, line - LABEL * LEADING)
        end, line = x + half, y
        yield Mark(Role.LABEL, Text(Point(x, y), LABEL, words, anchor="middle"))


def _height(height: float, units: Units) -> str:
    return (
        show_length(height, units, SAWN)
        if height >= 0
        else f"{show_length(-height, units, SAWN)} below the table"
    )


# Numbers and words


def _table(made: Cradle, units: Units) -> Drawing:
    heads, rows = support_rows(made, units)
    below = "; below it with −" if any("−" in cell for row in rows for cell in row) else ""
    return divided(f"Heights over the table's top{below}", heads, rows)


def support_rows(made: Cradle, units: Units) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of a table: what each support under the neck is high, over the table's top.

    A flat head neither falls nor rises, and one that needs no riser lies face up in one way only.
    """
    rest, sizes = made.rest, made.sizes
    stations = (rest.near, rest.far)
    columns = {"from nut": [each.along for each in stations]}
    if rest.angle > SAME:
        columns["falls or rises"] = [each.falls for each in stations]
    columns["on riser" if rest.riser > SAME else "face up"] = [each.on_riser for each in stations]
    if rest.riser > SAME:
        columns["at table's edge"] = [each.at_edge for each in stations]
    columns["face down"] = [each.face_down for each in stations]
    names = (
        f"{name}: fret {fret}"
        for name, fret in zip("AB", sorted((sizes.near_fret, sizes.far_fret)), strict=True)
    )
    cells = zip(*columns.values(), strict=True)
    rows = tuple(
        (name, *(show_length(each, units, SAWN) for each in lengths))
        for name, lengths in zip(names, cells, strict=True)
    )
    return ("Support", *columns), rows


def rest_remarks(build: Build, layout: Layout, made: Cradle, units: Units) -> Iterator[str]:
    """What the angle of the head does, and what to check, sentence by sentence."""
    rest, neck = made.rest, build.head.neck_depth
    far, bridge, riser, depth, packing = (
        show_length(each, units, SAWN)
        for each in (rest.far.falls, rest.at_bridge, rest.riser, neck, rest.packing)
    )
    if rest.angle <= SAME:
        yield "The head is flat: face up and face down the neck runs level. Supports keep it from tipping the head."
    else:
        yield (
            f"The head leans by {typed_number(build.head.angle_deg)}°. Face up the neck falls by {far} at B and by "
            f"{bridge} as far out as the bridge; the body hangs past the table."
        )
    if rest.riser > SAME:
        yield (
            f"Either a riser of {riser} lifts the base plate, or the lower end of the base plate lies flush with the "
            f"table's edge and the supports stand on something lower than the table. {say_edge(made, layout, units)}"
        )
    if rest.angle > SAME:
        yield (
            f"Face down the neck rises as much: {far} at B and {bridge} at the bridge. Check chuck, belt cover and "
            "column: lower the chuck by hand beside the body before anything is clamped."
        )
    if rest.packing > SAME:
        yield f"The head tapers in thickness: pack {packing} under the {rest.packed_end}, so that the face lies level."
    yield (
        f"The neck is taken as straight and {depth} deep under the line of the face. Cut the supports a little low, "
        "pad them, and shim until neck and head lie without force. The nut hangs past the base plate."
    )
    yield "Face down, turn the blocks over with the head: what was left is right."
