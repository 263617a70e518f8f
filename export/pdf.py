"""Writes pages as a PDF file at true size."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from io import BytesIO
from typing import Any, assert_never

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from export.curves import Bend, Step, Straight, stroke
from export.drawing import Mark, Text
from export.page import Matrix, Page, Placed
from export.style import STYLES, Style
from export.text import BOLD, REGULAR, visible
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Circle
from geometry.trade.units import INCH

UNIT = 72 / INCH
"""PDF units in a millimetre: ISO 32000-1, 8.3.2.3, a unit of default user space is 1/72 inch."""

_MAKER = "Pegwright"
_NO_DAY = date(2000, 1, 1)


def write_pdf(pages: Iterable[Page], title: str, created: date | None = None) -> bytes:
    """The pages as a PDF 1.7 file, the same bytes for the same pages.

    Viewers are asked not to scale when they print. `created` becomes the date in the file's properties;
    without it a fixed day stands there.
    """
    sides = tuple(pages)
    assert sides, "a document without pages"
    target = BytesIO()
    _register_fonts()
    # Without a first font of ours, one that is not embedded is named on every page.
    first: Any = REGULAR.stem
    canvas: Any = Canvas(target, pageCompression=1, invariant=1, pdfVersion=(1, 7), initialFontName=first)
    _properties(canvas, title, created or _NO_DAY)
    for page in sides:
        canvas.setPageSize((page.width * UNIT, page.height * UNIT))
        for placed in page.placed:
            _draw(canvas, placed)
        canvas.showPage()
    canvas.save()
    return target.getvalue()


def _properties(canvas: Any, title: str, day: date) -> None:
    canvas.setTitle(title)
    canvas.setAuthor(_MAKER)
    canvas.setSubject("Drawing at full scale, 1:1")
    canvas.setCreator(_MAKER)
    canvas.setProducer(_MAKER)
    # ISO 32000-1, table 150: the print dialogue starts with no page scaling.
    canvas.setViewerPreference("PrintScaling", "None")
    # Given always, because otherwise a variable of the environment decides which day is written, and by it the
    # file's identifier, which begins with the time.
    canvas.setDateFormatter(lambda *_: f"D:{day:%Y%m%d}000000+00'00'")
    canvas._doc.signature = hashlib.md5(f"{day}".encode(), usedforsecurity=False)  # noqa: SLF001


@lru_cache(maxsize=1)
def _register_fonts() -> None:
    # reportlab looks fonts up by name in a list of its own.
    for path in (REGULAR, BOLD):
        pdfmetrics.registerFont(TTFont(path.stem, str(path)))


def _draw(canvas: Any, placed: Placed) -> None:
    canvas.saveState()
    canvas.setLineJoin(1)
    if placed.clip is not None:
        clip = placed.clip
        frame = canvas.beginPath()
        frame.rect(clip.left * UNIT, clip.bottom * UNIT, clip.width * UNIT, clip.height * UNIT)
        canvas.clipPath(frame, stroke=0, fill=0)
    for mark in placed.sheet.drawing.marks:
        _mark(canvas, mark, placed.matrix)
    canvas.restoreState()


def _mark(canvas: Any, mark: Mark, matrix: Matrix) -> None:
    look = STYLES[mark.role]
    match mark.shape:
        case Text() as text:
            _text(canvas, text, matrix, look)
        case Contour() | Circle():
            _curve(canvas, mark.shape, matrix, look)
        case _:
            assert_never(mark.shape)


def _curve(canvas: Any, shape: Contour | Circle, matrix: Matrix, look: Style) -> None:
    line = stroke(shape)
    path = canvas.beginPath()
    path.moveTo(*_units(matrix, line.start))
    for step in line.steps:
        _step(path, step, matrix)
    if line.closed:
        path.close()
    colour = tuple(part / 255 for part in look.colour)
    canvas.setStrokeColorRGB(*colour)
    canvas.setFillColorRGB(*colour)
    canvas.setLineWidth(look.weight * UNIT)
    canvas.setDash([length * UNIT for length in look.dash])
    canvas.drawPath(path, stroke=1, fill=int(look.fill))


def _step(path: Any, step: Step, matrix: Matrix) -> None:
    match step:
        case Straight(end=end):
            path.lineTo(*_units(matrix, end))
        case Bend(first=first, second=second, end=end):
            path.curveTo(*_units(matrix, first), *_units(matrix, second), *_units(matrix, end))
        case _:
            assert_never(step)


def _text(canvas: Any, text: Text, matrix: Matrix, look: Style) -> None:
    cosine, sine = math.cos(text.angle), math.sin(text.angle)
    canvas.setFillColorRGB(*(part / 255 for part in look.colour))
    line = canvas.beginText()
    line.setFont((BOLD if text.bold else REGULAR).stem, text.height * UNIT)
    line.setTextTransform(
        matrix.a * cosine, matrix.d * sine, -matrix.a * sine, matrix.d * cosine, *_units(matrix, text.start)
    )
    line.textOut(visible(text.words))
    canvas.drawText(line)


def _units(matrix: Matrix, point: Point) -> tuple[float, float]:
    at = matrix.at(point)
    return at.x * UNIT, at.y * UNIT
