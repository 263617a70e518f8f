"""Paints finished pages with Qt: on screen for the preview, on a printer at true size.

The same pages and the same strokes go into a PDF. Words are painted on screen as the outlines of the font that the PDF
embeds, on a printer with that font itself, each letter in its place: a print job of outlines is thirty times as large.
Nothing hangs on the fonts of this computer.
"""

from __future__ import annotations

import math
from collections.abc import Generator, Iterable, Iterator
from functools import lru_cache
from itertools import accumulate, groupby
from typing import assert_never

import msgspec
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QGlyphRun,
    QPainter,
    QPainterPath,
    QPen,
    QRawFont,
    QTransform,
)

from export.curves import Bend, Straight, stroke
from export.drawing import Mark, Text
from export.page import Matrix, Page, Placed
from export.style import STYLES, Style
from export.text import BOLD, FAMILY, REGULAR, advances, visible
from geometry.shape.contour import Contour
from geometry.shape.segment import Bounds, Circle

_EM = 256.0  # pixels of the font from which the outlines are taken; they are scaled down afterwards


class Words(msgspec.Struct, frozen=True):
    """A line of words, and what brings its baseline, in ems with y up, to its place in page mm."""

    letters: str
    bold: bool
    place: QTransform


class Layer(msgspec.Struct, frozen=True):
    """Lines of one look, or one line of words, as a path in page mm (y up).

    Words have no line: their inside is filled with the style's colour.
    """

    path: QPainterPath
    style: Style
    words: Words | None = None


class Part(msgspec.Struct, frozen=True):
    """One placed sheet, ready to paint; nothing is shown outside `clip` (page mm)."""

    layers: tuple[Layer, ...]
    clip: Bounds | None


class Picture(msgspec.Struct, frozen=True):
    """A page turned into paths: made once, painted often. Width and height in mm."""

    width: float
    height: float
    parts: tuple[Part, ...]


def picture(page: Page) -> Picture:
    """The page, ready to paint."""
    return Picture(page.width, page.height, tuple(_part(placed) for placed in page.placed))


def paint(image: Picture, painter: QPainter, scale: float, thinnest: float = 0.0) -> None:
    """Paint a page with its upper left corner at the painter's origin, `scale` device units in a mm.

    No line gets thinner than `thinnest` device units: on a screen a hair of 0.1 mm would fade away.
    """
    for _ in steps(image, painter, scale, thinnest):
        pass


def steps(
    image: Picture, painter: QPainter, scale: float, thinnest: float = 0.0, *, as_fonts: bool = False
) -> Generator[None, None, None]:
    """The same in small steps; the painter is as it was after the last one, and when it is closed before.

    `as_fonts` paints words with the font instead of its outlines.
    """
    painter.save()
    try:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(scale, -scale)
        painter.translate(0.0, -image.height)
        for part in image.parts:
            yield from _part_steps(part, painter, thinnest / scale, as_fonts=as_fonts)
    finally:
        painter.restore()


def _part_steps(
    part: Part, painter: QPainter, thinnest: float, *, as_fonts: bool
) -> Generator[None, None, None]:
    painter.save()
    try:
        if part.clip is not None:
            clip = part.clip
            painter.setClipRect(QRectF(clip.left, clip.bottom, clip.width, clip.height))
        for layer in part.layers:
            font = _printed_font(bold=layer.words.bold) if as_fonts and layer.words else None
            if font is not None and layer.words is not None:
                _paint_words(layer.words, layer.style, painter, font)
            else:
                _paint_layer(layer, painter, thinnest)
            yield
    finally:
        painter.restore()


def _paint_layer(layer: Layer, painter: QPainter, thinnest: float) -> None:
    colour = QColor(*layer.style.colour)
    painter.setPen(Qt.PenStyle.NoPen if layer.words else _pen(layer.style, colour, thinnest))
    painter.setBrush(colour if layer.words or layer.style.fill else Qt.BrushStyle.NoBrush)
    painter.drawPath(layer.path)


def _paint_words(words: Words, style: Style, painter: QPainter, font: QRawFont) -> None:
    run = QGlyphRun()
    run.setRawFont(font)
    run.setGlyphIndexes([font.glyphIndexesForString(letter)[0] for letter in words.letters])
    steps = accumulate(advances(words.letters, _EM, bold=words.bold), initial=0.0)
    run.setPositions([QPointF(step, 0.0) for step, _ in zip(steps, words.letters, strict=False)])
    painter.save()
    painter.setPen(QColor(*style.colour))
    painter.setTransform(QTransform.fromScale(1 / _EM, -1 / _EM) * words.place, combine=True)
    painter.drawGlyphRun(QPointF(), run)
    painter.restore()


def _pen(style: Style, colour: QColor, thinnest: float) -> QPen:
    pen = QPen(colour, max(style.weight, thinnest))
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    if style.dash:
        # Qt counts dashes in widths of the line.
        pen.setDashPattern([length / pen.widthF() for length in style.dash])
    return pen


# Paths


def _part(placed: Placed) -> Part:
    marks = placed.sheet.drawing.marks
    layers = [
        layer for look, those in groupby(marks, key=_look) for layer in _layers(look, those, placed.matrix)
    ]
    return Part(tuple(layers), placed.clip)


def _look(mark: Mark) -> tuple[Style, bool]:
    return STYLES[mark.role], isinstance(mark.shape, Text)


def _layers(look: tuple[Style, bool], marks: Iterable[Mark], matrix: Matrix) -> Iterator[Layer]:
    """All lines of one look as one path; each line of words as its own, for large fills take Qt long."""
    style, _ = look
    lines = QPainterPath()
    for mark in marks:
        match mark.shape:
            case Text() as text:
                words = _words(text, matrix)
                yield Layer(words.place.map(_outlines(words)), style, words)
            case Contour() | Circle():
                _add_stroke(lines, mark.shape, matrix)
            case _:
                assert_never(mark.shape)
    if not lines.isEmpty():
        yield Layer(lines, style)


def _add_stroke(path: QPainterPath, shape: Contour | Circle, matrix: Matrix) -> None:
    line = stroke(shape)
    a, d, e, f = matrix.a, matrix.d, matrix.e, matrix.f
    path.moveTo(a * line.start.x + e, d * line.start.y + f)
    for step in line.steps:
        end = step.end
        match step:
            case Straight():
                path.lineTo(a * end.x + e, d * end.y + f)
            case Bend(first=first, second=second):
                path.cubicTo(
                    a * first.x + e,
                    d * first.y + f,
                    a * second.x + e,
                    d * second.y + f,
                    a * end.x + e,
                    d * end.y + f,
                )
            case _:
                assert_never(step)
    if line.closed:
        path.closeSubpath()


# Words


def _words(text: Text, matrix: Matrix) -> Words:
    at = matrix.at(text.start)
    cosine, sine = math.cos(text.angle) * text.height, math.sin(text.angle) * text.height
    a, d = matrix.a, matrix.d
    place = QTransform(a * cosine, d * sine, -a * sine, d * cosine, at.x, at.y)
    return Words(visible(text.words), text.bold, place)


def _outlines(words: Words) -> QPainterPath:
    """The outlines of a line of words at a font size of 1, baseline at y = 0, y up."""
    line = QPainterPath()
    line.setFillRule(Qt.FillRule.WindingFill)
    steps = accumulate(advances(words.letters, 1.0, bold=words.bold), initial=0.0)
    for letter, along in zip(words.letters, steps, strict=False):
        line.addPath(_letter(letter, bold=words.bold).translated(QPointF(along, 0.0)))
    return line


@lru_cache(maxsize=1024)
def _letter(letter: str, *, bold: bool) -> QPainterPath:
    """The outline of a letter at a font size of 1, baseline at y = 0, y up."""
    font = _font(bold=bold)
    glyph = font.glyphIndexesForString(letter)[0]
    return QTransform.fromScale(1 / _EM, -1 / _EM).map(font.pathForGlyph(glyph))


@lru_cache(maxsize=2)
def _font(*, bold: bool) -> QRawFont:
    # Without hinting, which would move the outlines to a grid of pixels.
    return QRawFont(str(BOLD if bold else REGULAR), _EM, QFont.HintingPreference.PreferNoHinting)


@lru_cache(maxsize=2)
def _printed_font(*, bold: bool) -> QRawFont | None:
    """The font as print jobs embed it; None where this computer does not take it, and outlines must do."""
    number = QFontDatabase.addApplicationFont(str(BOLD if bold else REGULAR))
    if FAMILY not in QFontDatabase.applicationFontFamilies(number):
        return None
    font = QFont(FAMILY)
    font.setBold(bold)
    font.setPixelSize(round(_EM))
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    found = QRawFont.fromFont(font)
    return found if found.familyName() == FAMILY else None
