"""Shapes as the paths that Qt paints, in head millimetres."""

from __future__ import annotations

import math
from typing import assert_never

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPainterPath

from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Circle, Cubic, Line, Segment

_LARGEST_BULGE = math.tan(math.pi / 16)
"""That of an eighth of a turn: one cubic strays from such an arc by 4e-6 of its radius."""


def path_of(shape: Contour | Circle) -> QPainterPath:
    """The path of a shape; a closed contour is a closed path."""
    path = QPainterPath()
    add_shape(path, shape)
    return path


def add_shape(path: QPainterPath, shape: Contour | Circle) -> None:
    """Put a shape into a path that may hold others."""
    match shape:
        case Circle(centre=centre, radius=radius):
            path.addEllipse(QPointF(centre.x, centre.y), radius, radius)
        case Contour(segments=segments, closed=closed):
            start = segments[0].start
            path.moveTo(start.x, start.y)
            for segment in segments:
                _add_segment(path, segment)
            if closed:
                path.closeSubpath()
        case _:
            assert_never(shape)


def _add_segment(path: QPainterPath, segment: Segment) -> None:
    match segment:
        case Line(end=end):
            path.lineTo(end.x, end.y)
        case Arc():
            _add_arc(path, segment)
        case Cubic(start=start, end=end, leave=leave, arrive=arrive):
            path.cubicTo(
                start.x + leave.x, start.y + leave.y, end.x + arrive.x, end.y + arrive.y, end.x, end.y
            )
        case _:
            assert_never(segment)


def _add_arc(path: QPainterPath, arc: Arc) -> None:
    """An arc as cubics with handles of 4/3 tan(turn / 4) radii, from its chord and bulge alone.

    In terms of the bulge b and the chord c that handle is c (1 - b^2) / 3 along the chord and 2 b c / 3 across
    it, so that nothing is lost in arcs that are nearly straight.
    """
    if abs(arc.bulge) > _LARGEST_BULGE:
        for half in arc.split(0.5):
            _add_arc(path, half)
        return
    start, end, bulge = arc.start, arc.end, arc.bulge
    x, y = (end.x - start.x) / 3, (end.y - start.y) / 3
    along, across = 1 - bulge * bulge, 2 * bulge
    path.cubicTo(
        start.x + x * along + y * across,
        start.y + y * along - x * across,
        end.x - x * along + y * across,
        end.y - y * along - x * across,
        end.x,
        end.y,
    )
