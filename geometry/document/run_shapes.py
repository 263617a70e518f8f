"""A run turned into one of another kind, in the shape that it has or near it."""

from __future__ import annotations

import math

from geometry.document.build import Bend, Curve
from geometry.document.outline_nodes import kept_bulge, kept_step
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Cubic, Line, Segment

GENTLE = 0.15
"""Bulge of an arc that was a straight run: round enough to be seen."""


def as_curve(segment: Segment) -> Curve:
    """The run as a cubic: the same line, close to the same arc (0.03 % of the radius off for a quarter turn)."""
    match segment:
        case Line():
            return Curve(leave=kept_step(segment.chord / 3), arrive=kept_step(-segment.chord / 3))
        case Arc():
            # The usual handle, 4/3 tan(sweep / 4) radii long, written so that a straight arc has one too.
            reach = segment.start.distance(segment.end) * (1 + segment.bulge**2) / 3
            leave, arrive = segment.tangent_at(0.0) * reach, segment.tangent_at(1.0) * -reach
            return Curve(leave=kept_step(leave), arrive=kept_step(arrive))
        case Cubic():
            return Curve(leave=segment.leave, arrive=segment.arrive)


def as_arc(segment: Segment) -> Bend:
    """The run as an arc: through the middle of a curve, bulging outwards a little in place of a straight run."""
    match segment:
        case Arc():
            return Bend(bulge=segment.bulge)
        case Line():
            return Bend(bulge=GENTLE)
        case Cubic():
            return Bend(bulge=bulge_through(segment.start, segment.point_at(0.5), segment.end))


def bulge_through(start: Point, through: Point, end: Point) -> float:
    """The bulge of the arc from start to end through a third place."""
    first, second = through - start, end - through
    # The turn at a place on an arc is half the arc's sweep.
    return kept_bulge(math.tan(math.atan2(first.cross(second), first.dot(second)) / 2))
