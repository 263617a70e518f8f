"""Writes a sheet as a DXF file for cutters and routers, in millimetres."""

from __future__ import annotations

import io
import math
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from typing import Any, Literal, assert_never

from ezdxf._options import options
from ezdxf.document import Drawing as Document
from ezdxf.enums import TextEntityAlignment

from export.drawing import Drawing, Mark, Role, Text
from export.sheet import Sheet
from export.style import STYLES
from export.text import CAP, LEADING, SMALLEST
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line, Segment
from geometry.shape.tolerance import SAME
from geometry.trade.escapes import in_dxf

Version = Literal["R2000", "R12"]

REFERENCE = 100.0
"""Side in mm of the square that shows the scale of the file."""

_OFF_SHEET = 10.0
_NOTES = STYLES[Role.NOTES].layer
_ANCHORS = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}


def write_dxf(sheet: Sheet, version: Version = "R2000", notes: tuple[str, ...] = ()) -> bytes:
    """The sheet as a DXF file, the same bytes for the same sheet.

    Circles are CIRCLE, contours are one polyline each with arcs as bulges, every entity takes its colour
    from the layer of its role. Words, the `notes` too, lie on a layer that is off, so that no machine
    engraves them by mistake. A square of 100 mm under the drawing shows the scale, for R12 has no place for
    the unit. Cubics are a programming error: they are made arcs long before.
    """
    drawing = _without_doubles(sheet.drawing + _reference(sheet, notes))
    with _same_bytes():
        document: Any = Document.new(version)
        _header(document, version, drawing.bounds)
        _layers(document, drawing)
        space = document.modelspace()
        for mark in drawing.marks:
            _mark(space, mark, version)
        assert not document.audit().has_errors, "the DXF file is not sound"
        target = io.StringIO(newline="")
        document.write(target)
        return target.getvalue().encode("ascii")


@contextmanager
def _same_bytes() -> Iterator[None]:
    """Lets ezdxf write fixed dates and identifiers, and gives its own setting back."""
    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _header(document: Any, version: Version, bounds: Bounds) -> None:
    # DXF reference, header section: unit 4 is millimetres (R12 has no place for it), 1 is metric, 2 decimal.
    if version != "R12":
        document.header["$INSUNITS"] = 4
    document.header["$MEASUREMENT"] = 1
    document.header["$LUNITS"] = 2
    document.modelspace().reset_extents((bounds.left, bounds.bottom, 0.0), (bounds.right, bounds.top, 0.0))


def _layers(document: Any, drawing: Drawing) -> None:
    looks = {STYLES[_layer_role(mark)].layer: STYLES[_layer_role(mark)] for mark in drawing.marks}
    for name in sorted(looks):
        layer = document.layers.add(name, color=looks[name].aci)
        if not looks[name].plot:
            # Some programs show what is off; what is frozen they leave out.
            layer.off()
            layer.freeze()


def _layer_role(mark: Mark) -> Role:
    return Role.NOTES if isinstance(mark.shape, Text) else mark.role


def _mark(space: Any, mark: Mark, version: Version) -> None:
    on = {"layer": STYLES[_layer_role(mark)].layer}
    match mark.shape:
        case Circle(centre=centre, radius=radius):
            space.add_circle((centre.x, centre.y), radius, dxfattribs=on)
        case Contour() as contour:
            add = space.add_polyline2d if version == "R12" else space.add_lwpolyline
            add(_vertices(contour), format="xyb", close=contour.closed, dxfattribs=on)
        case Text() as text:
            attributes = {**on, "rotation": math.degrees(text.angle)}
            entity = space.add_text(in_dxf(text.words), height=text.height * CAP, dxfattribs=attributes)
            entity.set_placement((text.at.x, text.at.y), align=_ANCHORS[text.anchor])
        case _:
            assert_never(mark.shape)


def _reference(sheet: Sheet, notes: tuple[str, ...]) -> Drawing:
    """The square that shows the scale, under the sheet, and the words that belong to it."""
    left, top = sheet.bounds.left, sheet.bounds.bottom - _OFF_SHEET
    right, bottom = left + REFERENCE, top - REFERENCE
    corners = (Point(left, bottom), Point(right, bottom), Point(right, top), Point(left, top))
    unit = "This square measures 100 mm by 100 mm. Unit: millimetre."
    lines = (unit, sheet.title, *sheet.cautions, *sheet.notes, *notes)
    size = 1.5 * SMALLEST
    words = [
        Mark(Role.NOTES, Text(Point(right + _OFF_SHEET, top - LEADING * size * number), size, line))
        for number, line in enumerate(lines, 1)
    ]
    return Drawing((Mark(Role.REFERENCE, through(corners, closed=True), "100 mm"), *words))


def _without_doubles(drawing: Drawing) -> Drawing:
    """The drawing without what a machine would cut twice or could not cut at all."""
    kept = {key: mark for mark in reversed(drawing.marks) if (key := _key(mark)) is not None}
    return Drawing(tuple(reversed(kept.values())))


def _key(mark: Mark) -> Hashable | None:
    """Equal for two marks that give the same cut, either way round; None for no cut at all."""
    layer = STYLES[_layer_role(mark)].layer
    match mark.shape:
        case Circle(centre=centre, radius=radius):
            return (layer, _rounded(centre), round(radius, 6)) if radius > SAME else None
        case Contour() as contour:
            pieces = frozenset(map(_piece_key, _pieces(contour)))
            return (layer, pieces) if pieces else None
        case Text() as text:
            return (layer, text) if text.words.strip() else None
        case _:
            assert_never(mark.shape)


def _pieces(contour: Contour) -> list[Segment]:
    return [piece for piece in contour.segments if piece.start.distance(piece.end) > SAME]


def _piece_key(piece: Segment) -> Hashable:
    start, end, bulge = _rounded(piece.start), _rounded(piece.end), round(_bulge(piece), 6)
    return (start, end, bulge) if start < end else (end, start, -bulge)


def _rounded(point: Point) -> tuple[float, float]:
    return round(point.x, 6) + 0.0, round(point.y, 6) + 0.0


def _vertices(contour: Contour) -> list[tuple[float, float, float]]:
    vertices = [(piece.start.x, piece.start.y, _bulge(piece)) for piece in _pieces(contour)]
    return vertices if contour.closed else [*vertices, (contour.end.x, contour.end.y, 0.0)]


def _bulge(segment: Segment) -> float:
    match segment:
        case Line():
            return 0.0
        case Arc(bulge=bulge):
            return bulge
        case Cubic():
            message = "cubics become arcs before a machine file is written"
            raise AssertionError(message)
        case _:
            assert_never(segment)
