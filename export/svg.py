"""Writes a sheet as an SVG file in millimetres.

No transforms, styles or references: plain attributes that every cutter's program reads. The y axis points
down there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import accumulate
from typing import assert_never
from xml.sax.saxutils import escape, quoteattr

import msgspec

from export.drawing import Mark, Sheet, Text
from export.machine import operation_of
from export.style import STYLES, Colour, Operation, Style
from export.text import FAMILY, advances, visible
from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic, Line, Segment

_FONTS = f"{FAMILY}, DejaVu Sans Condensed, DejaVu Sans, sans-serif"


def write_svg(sheet: Sheet, *, by_operation: bool = False) -> bytes:
    """The sheet as an SVG 1.1 file: width, height and view box in mm, the same bytes for the same sheet.

    The notes of the sheet are its description. `by_operation` is for machines: a group for each thing that is done,
    with its name and in its colour, instead of the look that marks have on paper.
    """
    view = _View(sheet.bounds)
    wide, high = _number(sheet.bounds.width), _number(sheet.bounds.height)
    size = f'width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {size}>',
        f"<title>{escape(visible(sheet.title))}</title>",
        *(f"<desc>{escape(visible(' '.join(sheet.notes)))}</desc>" for _ in sheet.notes[:1]),
        *(_groups(sheet, view) if by_operation else (_mark(mark, view) for mark in sheet.drawing.marks)),
        "</svg>",
    ]
    return ("\n".join(lines) + "\n").encode()


class _View(msgspec.Struct, frozen=True):
    """From sheet mm, y up, to the file's mm, y down, with the sheet's upper left corner at the origin."""

    bounds: Bounds

    def at(self, point: Point) -> str:
        return f"{self.x(point)} {self.y(point)}"

    def x(self, point: Point) -> str:
        return _number(point.x - self.bounds.left)

    def y(self, point: Point) -> str:
        return _number(self.bounds.top - point.y)


def _number(value: float) -> str:
    """A length with a decimal point and five places: a hundredth of what any output may stray."""
    words = f"{value:.5f}".rstrip("0").rstrip(".")
    return "0" if words == "-0" else words


def _groups(sheet: Sheet, view: _View) -> Iterator[str]:
    """The marks by what is done with them, in the order in which the first of each is drawn."""
    marks: dict[Operation, list[Mark]] = {}
    for mark in sheet.drawing.marks:
        marks.setdefault(operation_of(mark), []).append(mark)
    for operation, those in marks.items():
        yield f'<g id="{operation.name}" fill="none" stroke="{_colour(operation.colour)}">'
        for mark in those:
            weight = STYLES[mark.role].weight
            yield _mark(mark, view, Style(weight, operation, colour=operation.colour))
        yield "</g>"


def _mark(mark: Mark, view: _View, look: Style | None = None) -> str:
    look = look or STYLES[mark.role]
    title = f"<title>{escape(visible(mark.label))}</title>" if mark.label else ""
    match mark.shape:
        case Text() as text:
            return f"<text {_words(text, look, view)}>{title}{escape(visible(text.words))}</text>"
        case Circle(centre=centre, radius=radius):
            place = f'cx="{view.x(centre)}" cy="{view.y(centre)}" r="{_number(radius)}"'
            return _element(f"circle {place} {_paint(look)}", title, "circle")
        case Contour() as contour:
            return _element(f'path d="{_path(contour, view)}" {_paint(look)}', title, "path")
        case _:
            assert_never(mark.shape)


def _element(inside: str, title: str, name: str) -> str:
    return f"<{inside}>{title}</{name}>" if title else f"<{inside}/>"


def _paint(look: Style) -> str:
    colour = _colour(look.colour)
    dash = f' stroke-dasharray="{" ".join(map(_number, look.dash))}"' if look.dash else ""
    fill = colour if look.fill else "none"
    return f'fill="{fill}" stroke="{colour}" stroke-width="{_number(look.weight)}"{dash}'


def _colour(colour: Colour) -> str:
    red, green, blue = colour
    return f"#{red:02x}{green:02x}{blue:02x}"


def _path(contour: Contour, view: _View) -> str:
    steps = [step for segment in contour.segments for step in _steps(segment, view)]
    return " ".join((f"M{view.at(contour.start)}", *steps, *("Z" for _ in range(contour.closed))))


def _steps(segment: Segment, view: _View) -> Iterator[str]:
    match segment:
        case Line(end=end):
            yield f"L{view.at(end)}"
        case Cubic(start=start, end=end, leave=leave, arrive=arrive):
            yield f"C{view.at(start + leave)} {view.at(end + arrive)} {view.at(end)}"
        case Arc() as arc:
            yield from _arc(arc, view)
        case _:
            assert_never(segment)


def _arc(arc: Arc, view: _View) -> Iterator[str]:
    if arc.is_straight:
        yield f"L{view.at(arc.end)}"
        return
    # Of an arc over half a turn or more a reader has to guess more than it should, so such an arc comes in
    # two.
    halves = arc.split(0.5) if abs(arc.sweep) > math.pi * 0.75 else (arc,)
    for half in halves:
        radius = _number(half.radius)
        # With y down, what runs counter-clockwise here runs against the positive angles there.
        yield f"A{radius} {radius} 0 0 {int(half.sweep < 0)} {view.at(half.end)}"


def _words(text: Text, look: Style, view: _View) -> str:
    weight = ' font-weight="bold"' if text.bold else ""
    return (
        f'{_place(text, view)} font-family={quoteattr(_FONTS)} font-size="{_number(text.height)}"{weight} '
        f'fill="{_colour(look.colour)}"'
    )


def _place(text: Text, view: _View) -> str:
    if text.angle == 0.0:
        anchor = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
        length = f' textLength="{_number(text.width)}" lengthAdjust="spacingAndGlyphs"'
        return f'x="{view.x(text.at)}" y="{view.y(text.at)}"{anchor}{length}'
    # Without a transform, a line that is not level needs a place and a turn for every character.
    along = Vector(1.0, 0.0).turned(text.angle)
    steps = accumulate(advances(text.words, text.height, bold=text.bold), initial=0.0)
    places = [text.start + along * step for step, _ in zip(steps, text.words, strict=False)]
    turn = _number(-math.degrees(text.angle))
    across, down = " ".join(map(view.x, places)), " ".join(map(view.y, places))
    return f'x="{across}" y="{down}" rotate="{turn}"'
