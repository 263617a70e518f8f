"""Writes a sheet as a DXF file for cutters and routers, in millimetres."""

from __future__ import annotations

import io
import math
from collections.abc import Hashable, Iterator
from contextlib import contextmanager
from typing import Any, Literal, assert_never

from ezdxf._options import options
from ezdxf.document import Drawing as Document
from ezdxf.entities.lwpolyline import LWPolylinePoints
from ezdxf.enums import TextEntityAlignment
from ezdxf.lldxf.types import DXFTag, DXFVertex
from ezdxf.math import bulge_to_arc

from export.drawing import Drawing, Mark, Sheet, Text
from export.machine import lines_of, operation_of
from export.text import CAP
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line, Segment
from geometry.shape.tolerance import SAME
from geometry.trade.escapes import in_dxf

Version = Literal["R2000", "R12", "plain"]
"""Kinds of DXF: two releases of the format, and R12 with lines, arcs and circles alone, which every reader knows."""

_AIR = 1.1  # how much higher than what is drawn the view is that a program opens with
_ANCHORS = {
    "start": TextEntityAlignment.LEFT,
    "middle": TextEntityAlignment.CENTER,
    "end": TextEntityAlignment.RIGHT,
}


def write_dxf(sheet: Sheet, version: Version = "R2000") -> bytes:
    """The sheet as a DXF file, the same bytes for the same sheet.

    A layer is an operation of the machine and has its colour, which every entity takes from it. Circles are CIRCLE;
    contours are one polyline each with arcs as bulges, in the plain version LINE and ARC one after the other. Words lie
    on a layer that is off and frozen, so that no machine engraves them by mistake, and count for no extents. The notes
    of the sheet stand as comments at the head of the file. Cubics are a programming error: they are made arcs long
    before.
    """
    drawing = _without_doubles(sheet.drawing)
    with _same_bytes():
        document: Any = Document.new("R2000" if version == "R2000" else "R12")
        _header(document, version, _shown(drawing))
        _layers(document, drawing)
        space = document.modelspace()
        for mark in drawing.marks:
            _mark(space, mark, version)
        assert not document.audit().has_errors, "the DXF file is not sound"
        target = io.StringIO(newline="")
        target.writelines(f"999\n{in_dxf(line)}\n" for note in sheet.notes for line in lines_of(note))
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


def _shown(drawing: Drawing) -> Bounds:
    """The box round what is seen; round everything where nothing is."""
    seen = Drawing(tuple(mark for mark in drawing.marks if operation_of(mark).shown))
    return (seen if seen.marks else drawing).bounds


def _header(document: Any, version: Version, bounds: Bounds) -> None:
    # DXF reference, header section: unit 4 is millimetres (R12 has no place for it), 1 is metric, 2 decimal.
    if version == "R2000":
        document.header["$INSUNITS"] = 4
    document.header["$MEASUREMENT"] = 1
    document.header["$LUNITS"] = 2
    document.modelspace().reset_extents((bounds.left, bounds.bottom, 0.0), (bounds.right, bounds.top, 0.0))
    # The view is as wide as it is high, whatever the window of the reader.
    side = max(bounds.width, bounds.height)
    document.set_modelspace_vport(height=_AIR * side, center=(bounds.centre.x, bounds.centre.y))


def _layers(document: Any, drawing: Drawing) -> None:
    done = {operation_of(mark).name: operation_of(mark) for mark in drawing.marks}
    for name in sorted(done):
        layer = document.layers.add(name, color=done[name].aci)
        if not done[name].shown:
            # Some programs show what is off; what is frozen they leave out.
            layer.off()
            layer.freeze()


def _mark(space: Any, mark: Mark, version: Version) -> None:
    on = {"layer": operation_of(mark).name}
    match mark.shape:
        case Circle(centre=centre, radius=radius):
            space.add_circle((centre.x, centre.y), radius, dxfattribs=on)
        case Contour() as contour:
            _contour(space, contour, version, on)
        case Text() as text:
            attributes = {**on, "rotation": math.degrees(text.angle)}
            entity = space.add_text(in_dxf(text.words), height=text.height * CAP, dxfattribs=attributes)
            entity.set_placement((text.at.x, text.at.y), align=_ANCHORS[text.anchor])
        case _:
            assert_never(mark.shape)


def _contour(space: Any, contour: Contour, version: Version, on: dict[str, str]) -> None:
    if version == "plain":
        for piece in _pieces(contour):
            _piece(space, piece, on)
        return
    add = space.add_lwpolyline if version == "R2000" else space.add_polyline2d
    line = add(_vertices(contour), format="xyb", close=contour.closed, dxfattribs=on)
    if version == "R2000":
        line.lwpoints = _EveryBulge(line.lwpoints)


class _EveryBulge(LWPolylinePoints):
    """Vertices that are written with their bulge where it is 0 too: some readers carry the last one on."""

    def dxftags(self) -> Iterator[DXFTag]:
        for x, y, *_, bulge in self:
            yield DXFVertex(self.VERTEX_CODE, (x, y))
            yield DXFTag(self.BULGE_CODE, bulge)


def _piece(space: Any, piece: Segment, on: dict[str, str]) -> None:
    start, end, bulge = (piece.start.x, piece.start.y), (piece.end.x, piece.end.y), _bulge(piece)
    if abs(bulge) < SAME:
        space.add_line(start, end, dxfattribs=on)
        return
    centre, first, last, radius = bulge_to_arc(start, end, bulge)
    space.add_arc(centre, radius, math.degrees(first), math.degrees(last), dxfattribs=on)


def _without_doubles(drawing: Drawing) -> Drawing:
    """The drawing without what a machine would cut twice or could not cut at all."""
    kept = {key: mark for mark in reversed(drawing.marks) if (key := _key(mark)) is not None}
    return Drawing(tuple(reversed(kept.values())))


def _key(mark: Mark) -> Hashable | None:
    """Equal for two marks that give the same cut, either way round; None for no cut at all."""
    layer = operation_of(mark).name
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
