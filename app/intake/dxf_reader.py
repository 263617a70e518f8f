"""Curves of a DXF file: lines, arcs, ellipses, polylines with bulges, splines, blocks, as ezdxf reads them."""

from __future__ import annotations

import io
import logging
import math
import re
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import chain, islice, pairwise
from typing import Any

import numpy as np

from geometry.intake.drawn import FINE, Curve, DrawingError, Drawn, Thing, gathered, meets_itself, usable
from geometry.shape.arc import Arc
from geometry.shape.point import Point
from geometry.trade.escapes import quoted

_UNITS = {
    1: 25.4,
    2: 304.8,
    4: 1.0,
    5: 10.0,
    6: 1000.0,
    8: 2.54e-5,
    9: 0.0254,
    10: 914.4,
    13: 1e-3,
    14: 100.0,
}
"""DXF reference, header section: what $INSUNITS numbers are in mm, those that a head may be drawn in."""

_MOST_OF_ONE = 20_000  # points along one spline or ellipse; a smooth one takes some hundreds

_DRAWN = {"LINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE", "LWPOLYLINE", "POLYLINE"}
_KINDS: dict[str, Thing] = {
    "TEXT": "text",
    "MTEXT": "text",
    "ATTRIB": "text",
    "ATTDEF": "text",
    "DIMENSION": "dimension",
    "LEADER": "dimension",
    "HATCH": "hatch",
    "POINT": "point",
    "IMAGE": "image",
}


def read_dxf(data: bytes) -> Drawn:
    """The curves of a DXF file in its own units; DrawingError says in a sentence what is wrong with it."""
    refuse_size(data)
    with _quietly():
        return _read(data)


@contextmanager
def _quietly() -> Iterator[None]:
    """Keeps the library from telling on stderr what it mends, and gives its log back as it was."""
    log = logging.getLogger("ezdxf")
    before, log.disabled = log.disabled, True
    try:
        yield
    finally:
        log.disabled = before


def _read(data: bytes) -> Drawn:
    document = _parsed(data)
    refuse_blocks(document)
    left_out: Counter[Thing] = Counter()
    try:
        parts = (_curves(entity, left_out) for entity in _entities(document, left_out))
        found = gathered(chain.from_iterable(parts))
    except DrawingError:
        raise
    except Exception as error:
        # What is broken within an entity surfaces as whatever the library stumbles on there.
        raise DrawingError(_broken(error)) from None
    number = document.header.get("$INSUNITS", 0)
    unit = _UNITS.get(number if isinstance(number, int) else 0)
    if unit is None:
        return Drawn(found, 1.0, False, "the drawing does not say its unit", left_out)
    return Drawn(found, unit, True, "", left_out)


def _parsed(data: bytes) -> Any:
    """The document, mended as far as the library can."""
    from ezdxf import recover
    from ezdxf.lldxf.const import DXFError

    try:
        document, _ = recover.read(io.BytesIO(data), errors="ignore")
    except DXFError as error:
        raise DrawingError(_broken(error)) from None
    except Exception as error:
        # A broken table or handle ends in as many kinds of exceptions.
        raise DrawingError(_broken(error)) from None
    return document


def _broken(error: Exception) -> str:
    words = re.sub(r"\s+", " ", str(error)).strip()[:80].rstrip(".") or type(error).__name__
    return f"The DXF is broken: {words}."


def _entities(document: Any, left_out: Counter[Thing]) -> Iterator[Any]:
    """What is drawn in the model space, blocks taken apart, without layers that are off or frozen."""
    from ezdxf.disassemble import recursive_decompose

    hidden = {layer.dxf.name.lower() for layer in document.layers if layer.is_off() or layer.is_frozen()}
    for entity in recursive_decompose(document.modelspace()):
        kind = entity.dxftype()
        if entity.dxf.get("layer", "0").lower() in hidden or entity.dxf.get("invisible", 0):
            left_out["hidden"] += 1
        elif kind in _DRAWN:
            yield entity
        else:
            left_out[_KINDS.get(kind, "other")] += 1


def _curves(entity: Any, left_out: Counter[Thing]) -> Iterator[Curve]:
    name = str(entity.dxf.get("layer", ""))
    kind = entity.dxftype()
    if kind == "POLYLINE" and not (entity.is_2d_polyline or entity.is_3d_polyline):
        left_out["mesh"] += 1
        return
    points = np.array([(each[0], each[1]) for each in _points(entity, kind)], float).reshape(-1, 2)
    if not usable(points):
        left_out["point"] += 1
        return
    closed = kind == "CIRCLE" or bool(getattr(entity, "is_closed", False) or getattr(entity, "closed", False))
    yield Curve(points, closed or meets_itself(points), name)


def _points(entity: Any, kind: str) -> list[Any]:
    """Points along an entity, as seen from above."""
    if kind == "LINE":
        return [entity.dxf.start, entity.dxf.end]
    if kind in ("ARC", "CIRCLE"):
        radius = abs(float(entity.dxf.radius))
        return list(entity.flattening(max(FINE * radius, 1e-12))) if _sound(radius) else []
    if kind in ("LWPOLYLINE", "POLYLINE"):
        return _along_polyline(entity, kind)
    found = list(islice(entity.flattening(max(FINE * _reach(entity, kind), 1e-12)), _MOST_OF_ONE + 1))
    if len(found) > _MOST_OF_ONE:
        # Spoilt knots send the library into ever finer steps.
        raise DrawingError(
            f"The DXF has a {kind.lower()} that takes more than {_MOST_OF_ONE} points to follow."
        )
    return found


def _sound(size: float) -> bool:
    return math.isfinite(size) and 0 < size < 1e9


def _reach(entity: Any, kind: str) -> float:
    """About how large a spline or an ellipse is; a DrawingError where that is no number."""
    if kind == "ELLIPSE":
        reach = float(entity.dxf.major_axis.magnitude)
    else:
        places = [*entity.control_points, *entity.fit_points]
        array = np.array([(place[0], place[1]) for place in places], float).reshape(-1, 2)
        reach = float(np.ptp(array, axis=0).max()) if len(array) > 1 else math.nan
    if not _sound(reach):
        raise DrawingError(f"The DXF has a {kind.lower()} without a size.")
    return reach


def _along_polyline(entity: Any, kind: str) -> list[Any]:
    """Points along a polyline, its bulges as arcs."""
    if kind == "POLYLINE" and entity.is_3d_polyline:
        return list(entity.points_in_wcs())
    if kind == "LWPOLYLINE":
        corners = [(x, y, bulge) for x, y, bulge in entity.get_points("xyb")]
        height = float(entity.dxf.elevation)
    else:
        # Vertices with flag 16 are the frame of a fitted spline, whose own vertices are there as well.
        kept = [vertex for vertex in entity.vertices if not vertex.dxf.flags & 16]
        corners = [(*vertex.dxf.location.vec2, vertex.dxf.get("bulge", 0.0)) for vertex in kept]
        height = 0.0
    if entity.is_closed and corners:
        corners.append((*corners[0][:2], 0.0))
    flat = [(point.x, point.y, height) for point in _with_bulges(corners)]
    return list(entity.ocs().points_to_wcs(flat)) if entity.ocs().transform else flat


def _with_bulges(corners: list[tuple[float, float, float]]) -> list[Point]:
    """Points along corners given by x, y and the bulge of the way to the next."""
    if not corners:
        return []
    found = [Point(float(corners[0][0]), float(corners[0][1]))]
    for before, after in pairwise(corners):
        start, end, bulge = Point(*map(float, before[:2])), Point(*map(float, after[:2])), float(before[2])
        arc = Arc(start, end, bulge)
        round_one = math.isfinite(bulge) and 1e-9 < abs(bulge) < 1e6 and _sound(start.distance(end))
        found += arc.flatten(FINE * arc.length)[1:] if round_one else [end]
    return found


# Bounds, looked at before blocks are taken apart


_LARGEST_DXF = 20_000_000  # bytes
_MOST_ENTITIES = 50_000  # entities once all blocks are taken apart
_DEEPEST = 50  # blocks within blocks


def refuse_size(data: bytes) -> None:
    """A DrawingError for a file that is too large or no DXF by its first bytes."""
    if len(data) > _LARGEST_DXF:
        raise DrawingError(
            f"The DXF is larger than {_LARGEST_DXF // 1_000_000} MB; expected the drawing of one head."
        )
    if data.startswith(b"AutoCAD Binary DXF"):
        raise DrawingError("The DXF is a binary one; save it as a plain (ASCII) DXF.")
    if data[:2] == b"AC" and data[2:6].isdigit():
        raise DrawingError("This is a DWG; save it as a DXF.")
    if b"SECTION" not in data[:100_000]:
        raise DrawingError("The file is no DXF: it has no sections.")


def refuse_blocks(document: Any) -> None:
    """A DrawingError for blocks that hold themselves, or that would become far too many entities."""
    if _Counts(document).of_layout(document.modelspace()) > _MOST_ENTITIES:
        raise DrawingError("The DXF holds, blocks taken apart, far more than the drawing of one head.")


class _Counts:
    """How many entities layouts hold, blocks taken apart."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._known: dict[str, int] = {}
        self._open: list[str] = []

    def of_layout(self, layout: Any) -> int:
        """The entities of a layout, an insert counted as all that it puts there."""
        return sum(self._of(entity) for entity in layout)

    def _of(self, entity: Any) -> int:
        if entity.dxftype() != "INSERT":
            return 1
        copies = max(1, entity.dxf.get("row_count", 1)) * max(1, entity.dxf.get("column_count", 1))
        return 1 + int(copies) * self._of_block(str(entity.dxf.get("name", "")).lower())

    def _of_block(self, name: str) -> int:
        if name in self._open or len(self._open) > _DEEPEST:
            raise DrawingError(f"The DXF has a block that holds itself: {quoted(name[:40])}.")
        if name not in self._known:
            block = self._document.blocks.get(name)
            self._open.append(name)
            self._known[name] = 1 + (self.of_layout(block) if block is not None else 0)
            self._open.pop()
        return self._known[name]
