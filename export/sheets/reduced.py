"""Drawings made smaller, for sheets that are looked at and not laid on the work; words keep their size."""

from __future__ import annotations

from typing import assert_never

from msgspec.structs import replace

from export.drawing import Drawing, Mark, Shape, Text
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Circle, Cubic, Line, Segment


def reduced(drawing: Drawing, factor: float) -> Drawing:
    """The drawing with all places `factor` times as far from the origin."""
    if factor == 1.0:
        return drawing
    return Drawing(tuple(Mark(mark.role, _shape(mark.shape, factor), mark.label) for mark in drawing.marks))


def _shape(shape: Shape, factor: float) -> Shape:
    match shape:
        case Contour():
            segments = tuple(_segment(each, factor) for each in shape.segments)
            return Contour(segments, shape.closed)
        case Circle():
            return Circle(reduced_point(shape.centre, factor), shape.radius * factor)
        case Text():
            return replace(shape, at=reduced_point(shape.at, factor))
        case _:
            assert_never(shape)


def _segment(segment: Segment, factor: float) -> Segment:
    start, end = reduced_point(segment.start, factor), reduced_point(segment.end, factor)
    match segment:
        case Line():
            return Line(start, end)
        case Arc():
            return Arc(start, end, segment.bulge)
        case Cubic():
            return Cubic(start, end, segment.leave * factor, segment.arrive * factor)
        case _:
            assert_never(segment)


def reduced_point(point: Point, factor: float) -> Point:
    """The place `factor` times as far from the origin."""
    return Point(point.x * factor, point.y * factor)
