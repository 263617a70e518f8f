"""Circles and arcs as cubics, for the writers and screens that know nothing else."""

from __future__ import annotations

import math
from typing import assert_never

import msgspec

from geometry.shape.contour import Contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Circle, Cubic, Line
from geometry.shape.tolerance import ARCS, PRINT

CURVE = PRINT - ARCS
"""How far in mm a drawn cubic may stray from its arc: what the arcs of an outline leave of the whole."""

_EIGHTH = math.pi / 4


class Straight(msgspec.Struct, frozen=True, gc=False):
    """A straight stroke to `end`."""

    end: Point


class Bend(msgspec.Struct, frozen=True, gc=False):
    """A cubic stroke to `end` with its two control points."""

    first: Point
    second: Point
    end: Point


Step = Straight | Bend


class Stroke(msgspec.Struct, frozen=True):
    """One movement of a pen: from `start` through `steps`, and back to the start when `closed`."""

    start: Point
    steps: tuple[Step, ...]
    closed: bool


def stroke(shape: Contour | Circle, tolerance: float = CURVE) -> Stroke:
    """The shape as straight and cubic strokes that stray from it by `tolerance` mm at most."""
    match shape:
        case Circle(centre=centre, radius=radius):
            start = centre + Vector(radius, 0.0)
            return Stroke(start, arc_steps(centre, radius, 0.0, math.tau, tolerance), closed=True)
        case Contour(segments=segments, closed=closed):
            steps = tuple(step for segment in segments for step in _steps(segment, tolerance))
            return Stroke(segments[0].start, steps, closed)
        case _:
            assert_never(shape)


def _steps(segment: Line | Arc | Cubic, tolerance: float) -> tuple[Step, ...]:
    match segment:
        case Line(end=end):
            return (Straight(end),)
        case Cubic(start=start, end=end, leave=leave, arrive=arrive):
            return (Bend(start + leave, end + arrive, end),)
        case Arc(end=end, bulge=bulge):
            if abs(bulge) < 1e-12:
                return (Straight(end),)
            *bends, last = arc_steps(
                segment.centre, segment.radius, segment.start_angle, segment.sweep, tolerance
            )
            # The end is taken from the segment, so that neighbours meet to the last digit.
            return (*bends, Bend(last.first, last.second, end))
        case _:
            assert_never(segment)


def arc_steps(centre: Point, radius: float, start: float, sweep: float, tolerance: float) -> tuple[Bend, ...]:
    """Cubics along an arc from the angle `start` through `sweep` radians (negative: clockwise).

    Each spans an eighth of a turn or less and strays by `tolerance` mm at most.
    """
    count = _pieces(radius, abs(sweep), tolerance)
    turn = sweep / count
    handle = radius * 4 / 3 * math.tan(turn / 4)
    return tuple(_bend(centre, radius, start + turn * index, turn, handle) for index in range(count))


def _bend(centre: Point, radius: float, angle: float, turn: float, handle: float) -> Bend:
    out, back = Vector(1.0, 0.0).turned(angle), Vector(1.0, 0.0).turned(angle + turn)
    start, end = centre + out * radius, centre + back * radius
    return Bend(start + out.left * handle, end - back.left * handle, end)


def _pieces(radius: float, sweep: float, tolerance: float) -> int:
    count = max(1, math.ceil(sweep / _EIGHTH - 1e-9))
    while _error(radius, sweep / count) > tolerance:
        count += 1
    return count


def _error(radius: float, turn: float) -> float:
    # The largest distance of a cubic with handles 4/3 tan(turn / 4) from its arc; it grows with the sixth
    # power of the turn. M. Goldapp, "Approximation of circular arcs by cubic polynomials", CAGD 8 (1991).
    return radius * 2 / 27 * math.sin(turn / 4) ** 6 / math.cos(turn / 4) ** 2
