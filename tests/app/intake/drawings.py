"""Small drawings of heads in closed form, as other programs may write them."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import numpy as np
from ezdxf.filemanagement import new

from app.intake.dxf_reader import read_dxf
from app.intake.svg_reader import read_svg
from geometry.intake.found import Found
from geometry.intake.from_drawing import Asked, found_in
from geometry.shape.close import Floats

CORNERS: Floats = np.array(
    [[22.0, 0.0], [31.0, 25.0], [28.0, 150.0], [0.0, 162.0], [-28.0, 150.0], [-31.0, 25.0], [-22.0, 0.0]]
)
"""A head of straight lines with a pointed tip, 162 mm long, 44 mm wide at the nut."""

BORES = ((20.0, 50.0, 5.0), (19.0, 90.0, 5.0), (-20.0, 50.0, 5.0), (-19.0, 90.0, 4.0))
"""x, y and radius of its holes."""

NO_WISH = Asked()


def svg(body: str, size: str = 'width="200mm" height="200mm" viewBox="-100 -180 200 200"') -> bytes:
    """An SVG file; its y axis points down."""
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'.encode()


def path(corners: Floats = CORNERS, *, closed: bool = True, more: str = "") -> str:
    """The corners as a path."""
    data = " L ".join(f"{x:.6f} {-y:.6f}" for x, y in corners)
    return f'<path d="M {data}{" Z" if closed else ""}" {more}/>'


def circles() -> str:
    return "".join(f'<circle cx="{x}" cy="{-y}" r="{r}"/>' for x, y, r in BORES)


def dxf(draw: Callable[[Any], object], units: int | None = 4, version: str = "R2000") -> bytes:
    """A DXF file with what `draw` puts into its model space."""
    document = new(version)
    if units is not None and version != "R12":
        document.header["$INSUNITS"] = units
    draw(document.modelspace())
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def with_bores(space: Any) -> None:
    for x, y, radius in BORES:
        space.add_circle((x, y), radius)


def svg_head(data: bytes, asked: Asked = NO_WISH) -> Found:
    return found_in(read_svg(data), asked)


def dxf_head(data: bytes, asked: Asked = NO_WISH) -> Found:
    return found_in(read_dxf(data), asked)


def bores_of(found: Found) -> list[tuple[float, float, float]]:
    """x, y and radius of the holes, in the order of BORES."""
    return [(hole.centre.x, hole.centre.y, hole.diameter / 2) for hole in found.holes]


def strays(found: Found, corners: Floats = CORNERS) -> float:
    """The largest distance in mm between a found contour and the lines through corners, either way."""
    import shapely

    return float(shapely.hausdorff_distance(shapely.LineString(found.points), shapely.LineString(corners)))


def corpus_dxf() -> list[bytes]:
    """A polyline with bulges, loose lines and arcs, a spline, blocks, in new and old files."""

    def polyline(space: Any) -> None:
        space.add_lwpolyline([(25, 0, 0), (25, 100, 1), (-25, 100, 0), (-25, 0, 0)], format="xyb", close=True)
        with_bores(space)

    def loose(space: Any) -> None:
        space.add_line((30, 0), (30, 142))
        space.add_arc((22, 142), 8, 0, 90)
        space.add_line((-22, 150), (22, 150))
        space.add_arc((-22, 142), 8, 90, 180)
        space.add_line((-30, 142), (-30, 0))
        with_bores(space)

    def spline(space: Any) -> None:
        space.add_spline([(30, 0), (34, 60), (25, 120), (0, 150), (-25, 120), (-34, 60), (-30, 0)])
        space.add_ellipse((0, 60), (6, 0), 0.5)
        space.add_line((-30, 0), (30, 0))

    def blocks(space: Any) -> None:
        polyline(space.doc.blocks.new("head"))
        space.add_blockref("head", (5, 5), dxfattribs={"rotation": 20})

    return [dxf(polyline), dxf(loose, version="R12"), dxf(spline), dxf(blocks)]
