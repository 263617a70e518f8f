"""What is drawn in a file, read by libraries that did not write it, as points in millimetres with y up."""

from __future__ import annotations

import ctypes
import io
import math
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

import numpy as np
import pdfplumber
import pyogrio
import pypdfium2
import pypdfium2.raw as pdfium
import shapely
import svgelements
from numpy.typing import NDArray

Points = NDArray[np.float64]

MILLIMETRE = 25.4 / 72
"""A unit of PDF user space in mm: ISO 32000-1, 8.3.2.3."""

CHORD = 1e-5
"""How far in mm the chords between the points may stray from the curve that was read."""


class Drawn(NamedTuple):
    """One stroke: points on it, weight of its line in mm, colour (0 to 255) and whether it is curved or filled.

    `clip` is the region outside of which it is not shown, in page mm (left, bottom, right, top).
    """

    points: Points
    weight: float
    colour: tuple[int, ...]
    curved: bool
    filled: bool
    layer: str = ""
    clip: tuple[float, float, float, float] | None = None

    def looks(self, weight: float, colour: tuple[int, ...] = (0, 0, 0), *, filled: bool = False) -> bool:
        """Whether the stroke has this weight (mm) and colour."""
        return abs(self.weight - weight) < 0.001 and self.colour == colour and self.filled == filled

    def moved(self, x: float, y: float) -> Drawn:
        """The stroke displaced."""
        return self._replace(points=self.points + np.array((x, y)))


class Ring(NamedTuple):
    """A circle fitted to a stroke, and how far the stroke strays from it, all in mm."""

    x: float
    y: float
    radius: float
    strays: float


def ring_of(points: Points) -> Ring:
    """The circle that fits points best in the sense of least squares."""
    middle = points.mean(axis=0)
    about = points - middle
    left = np.column_stack((2 * about, np.ones(len(about))))
    (x, y, rest), *_ = np.linalg.lstsq(left, (about**2).sum(axis=1), rcond=None)
    radius = math.sqrt(rest + x * x + y * y)
    strays = np.abs(np.hypot(about[:, 0] - x, about[:, 1] - y) - radius).max()
    return Ring(middle[0] + x, middle[1] + y, radius, float(strays))


def bezier(controls: Sequence[tuple[float, float]], chord: float = CHORD) -> Points:
    """Points on a cubic, the start left out, whose chords stray `chord` at most."""
    a, b, c, d = np.asarray(controls, dtype=float)
    # The second derivative is at most six times the larger second difference of the controls.
    bend = 6 * max(np.hypot(*(a - 2 * b + c)), np.hypot(*(b - 2 * c + d)))
    count = max(1, math.ceil(math.sqrt(bend / (8 * chord))))
    t = np.linspace(0.0, 1.0, count + 1)[1:, None]
    u = 1 - t
    return np.asarray(a * u**3 + 3 * b * u**2 * t + 3 * c * u * t**2 + d * t**3)


def _traced(steps: Sequence[tuple[str, tuple[tuple[float, float], ...]]]) -> Points:
    """The points of a path of moves (m), lines (l), curves (c) and closings (h), already in mm."""
    points: list[Points] = []
    for kind, places in steps:
        if kind == "c":
            points.append(bezier((tuple(points[-1][-1]), *places)))
        elif kind == "h":
            points.append(points[0][:1])
        else:
            points.append(np.asarray(places, dtype=float))
    return np.concatenate(points)


# PDF, read by pdfplumber (pdfminer)


def plumbed(pdf: bytes) -> list[list[Drawn]]:
    """The strokes of every page as pdfplumber finds them."""
    with pdfplumber.open(io.BytesIO(pdf)) as document:
        return [[_plumbed(page, each) for each in _paths(page)] for page in document.pages]


def _paths(page: Any) -> Iterator[Any]:
    yield from (*page.lines, *page.rects, *page.curves)


def _plumbed(page: Any, each: Any) -> Drawn:
    high = float(page.height)
    steps = [
        (kind, tuple((x * MILLIMETRE, (high - y) * MILLIMETRE) for x, y in places))
        for kind, *places in each["path"]
    ]
    colour = tuple(round(255 * part) for part in each["stroking_color"])
    curved = any(kind == "c" for kind, _ in steps)
    return Drawn(_traced(steps), each["linewidth"] * MILLIMETRE, colour, curved, bool(each["fill"]))


# PDF, read by PDFium


def rendered(pdf: bytes) -> list[list[Drawn]]:
    """The strokes of every page as PDFium finds them."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        return [
            [_by_pdfium(each.raw) for each in page.get_objects([pdfium.FPDF_PAGEOBJ_PATH])]
            for page in document
        ]
    finally:
        document.close()


def _by_pdfium(raw: Any) -> Drawn:
    matrix = pdfium.FS_MATRIX()
    assert pdfium.FPDFPageObj_GetMatrix(raw, matrix)
    count = pdfium.FPDFPath_CountSegments(raw)
    steps = list(_steps([pdfium.FPDFPath_GetPathSegment(raw, index) for index in range(count)], matrix))
    weight = ctypes.c_float()
    assert pdfium.FPDFPageObj_GetStrokeWidth(raw, weight)
    red, green, blue, opaque = (ctypes.c_uint() for _ in range(4))
    assert pdfium.FPDFPageObj_GetStrokeColor(raw, red, green, blue, opaque)
    fill, stroked = ctypes.c_int(), ctypes.c_int()
    assert pdfium.FPDFPath_GetDrawMode(raw, fill, stroked)
    return Drawn(
        points=_traced(steps),
        weight=weight.value * MILLIMETRE,
        colour=(red.value, green.value, blue.value),
        curved=any(kind == "c" for kind, _ in steps),
        filled=bool(fill.value),
        clip=_clip(raw),
    )


_KINDS = {pdfium.FPDF_SEGMENT_MOVETO: "m", pdfium.FPDF_SEGMENT_LINETO: "l", pdfium.FPDF_SEGMENT_BEZIERTO: "c"}


def _steps(
    segments: Sequence[Any], matrix: Any = None
) -> Iterator[tuple[str, tuple[tuple[float, float], ...]]]:
    places: list[tuple[float, float]] = []
    for segment in segments:
        x, y = ctypes.c_float(), ctypes.c_float()
        assert pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        kind = _KINDS[pdfium.FPDFPathSegment_GetType(segment)]
        places.append(_mapped(x.value, y.value, matrix))
        # PDFium gives the two handles and the end of a curve one by one.
        if kind != "c" or len(places) == 3:
            yield kind, tuple(places)
            places = []
        if pdfium.FPDFPathSegment_GetClose(segment):
            yield "h", ()


def _mapped(x: float, y: float, matrix: Any) -> tuple[float, float]:
    if matrix is not None:
        x, y = matrix.a * x + matrix.c * y + matrix.e, matrix.b * x + matrix.d * y + matrix.f
    return x * MILLIMETRE, y * MILLIMETRE


def _clip(raw: Any) -> tuple[float, float, float, float] | None:
    clip = pdfium.FPDFPageObj_GetClipPath(raw)
    if not clip or pdfium.FPDFClipPath_CountPaths(clip) < 1:
        return None
    count = pdfium.FPDFClipPath_CountPathSegments(clip, 0)
    points = _traced(list(_steps([pdfium.FPDFClipPath_GetPathSegment(clip, 0, n) for n in range(count)])))
    (left, bottom), (right, top) = points.min(axis=0), points.max(axis=0)
    return float(left), float(bottom), float(right), float(top)


# DXF, read by GDAL


def from_dxf(dxf: bytes) -> list[Drawn]:
    """The strokes of a DXF file as GDAL finds them, arcs in steps of a fiftieth of a degree; words left out."""
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.02"})
    try:
        about, _, shapes, (layers, *_) = pyogrio.raw.read(dxf)
    finally:
        pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": None})
    assert about["fields"][0] == "Layer"
    lines = zip(shapely.from_wkb(shapes), layers, strict=True)
    return [
        Drawn(shapely.get_coordinates(shape), 0.0, (), curved=False, filled=False, layer=layer)
        for shape, layer in lines
        if not isinstance(shape, shapely.Point)
    ]


# SVG, read by svgelements


def from_svg(svg: bytes) -> list[Drawn]:
    """The strokes of an SVG file as svgelements finds them, in mm from its lower left corner, y up."""
    document = svgelements.SVG.parse(io.BytesIO(svg), reify=True)
    # The reader's pixels per millimetre are its own; the view box is in mm and says how many there are.
    pixel = document.viewbox.width / document.width
    assert math.isclose(pixel, 25.4 / 96, rel_tol=1e-6)
    found = []
    for shape in document.elements():
        if isinstance(shape, svgelements.Shape):
            path = svgelements.Path(shape)
            steps = [each for each in path if not isinstance(each, svgelements.Move)]
            points = np.concatenate([_from_svg(each, pixel) for each in steps])
            points[:, 1] = document.viewbox.height - points[:, 1]
            colour = (shape.stroke.red, shape.stroke.green, shape.stroke.blue)
            filled = shape.fill.value is not None
            found.append(Drawn(points, shape.stroke_width * pixel, colour, curved=False, filled=filled))
    return found


def _from_svg(segment: Any, pixel: float) -> Points:
    count = 1
    if isinstance(segment, svgelements.Arc):
        # A chord of this length strays CHORD from a circle.
        count = max(8, math.ceil(segment.length() / math.sqrt(8 * segment.rx * CHORD / pixel)))
    shares = np.linspace(0.0, 1.0, count + 1)
    return np.array([(place.x * pixel, place.y * pixel) for place in map(segment.point, shares)])
