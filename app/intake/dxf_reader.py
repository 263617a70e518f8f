"""Curves of a DXF file: lines, arcs, ellipses, polylines with bulges, splines, blocks, as ezdxf reads them."""

from __future__ import annotations

import io
import logging
import math
import re
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from itertools import islice, pairwise
from typing import Any

import numpy as np

from app.intake.dxf_bounds import refuse_blocks, refuse_size
from geometry.intake.drawn import FINE, Curve, DrawingError, Drawn, Thing, refuse_many, usable
from geometry.shape.arc import Arc
from geometry.shape.point import Point

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

MOST_OF_ONE = 20_000
"""Points along one spline or ellipse; a smooth one takes some hundreds."""

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
    found: list[Curve] = []
    left_out: Counter[Thing] = Counter()
    total = 0
    try:
        for entity in _entities(document, left_out):
            curves = list(_curves(entity, left_out))
            total += sum(len(curve.points) for curve in curves)
            found += curves
            refuse_many(len(found), total)
    except DrawingError:
        raise
    except Exception as error:
        # What is broken within an entity surfaces as whatever the library stumbles on there.
        raise DrawingError(_broken(error)) from None
    number = document.header.get("$INSUNITS", 0)
    unit = _UNITS.get(number if isinstance(number, int) else 0)
    if unit is None:
        return Drawn(tuple(found), 1.0, False, "the drawing does not say its unit", left_out)
    return Drawn(tuple(found), unit, True, "", left_out)


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
    size = float(np.ptp(points, axis=0).max())
    same = len(points) > 3 and float(np.abs(points[0] - points[-1]).max()) <= 1e-6 * size
    yield Curve(points, closed or same, name)


def _points(entity: Any, kind: str) -> list[Any]:
    """Points along an entity, as seen from above."""
    if kind == "LINE":
        return [entity.dxf.start, entity.dxf.end]
    if kind in ("ARC", "CIRCLE"):
        radius = abs(float(entity.dxf.radius))
        return list(entity.flattening(max(FINE * radius, 1e-12))) if _sound(radius) else []
    if kind in ("LWPOLYLINE", "POLYLINE"):
        return _along_polyline(entity, kind)
    found = list(islice(entity.flattening(max(FINE * _reach(entity, kind), 1e-12)), MOST_OF_ONE + 1))
    if len(found) > MOST_OF_ONE:
        # Spoilt knots send the library into ever finer steps.
        message = f"The DXF has a {kind.lower()} that takes more than {MOST_OF_ONE} points to follow."
        raise DrawingError(message)
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
        message = f"The DXF has a {kind.lower()} without a size."
        raise DrawingError(message)
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
