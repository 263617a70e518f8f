"""Outlines drawn from a few measures, in our own plain shapes.

Each is built from its right half (or, with all tuners on one side, from both) and ends on the nut line as wide as the
nut. None flares at the first post: from the shoulder on, the sides run straight or narrow towards the tip.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from geometry.document.outline import LARGEST_BULGE, Bend, Curve, Node, Starter, StarterShape, Straight
from geometry.shape.contour import Contour
from geometry.shape.offset import round_corner
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Segment
from geometry.shape.tolerance import SAME


def _ready(
    shape: StarterShape,
    length: float,
    widths: tuple[float, float],
    shoulder: float,
    tip_rise: float,
    corner: float,
    waist: float = 0.0,
    lean_deg: float = 0.0,
) -> Starter:
    low, high = widths
    return Starter(
        shape=shape, length=length, width_low=low, width_high=high, shoulder=shoulder,
        tip_rise=tip_rise, corner=corner, waist=waist, lean_deg=lean_deg,
    )  # fmt: skip


STARTERS: dict[StarterShape, Starter] = {
    starter.shape: starter
    for starter in (
        # length, widths low and high, shoulder, rise of the tip, corner, waist, lean in degrees
        _ready("straight-taper", 178.0, (72.0, 62.0), 24.0, 5.0, 8.0),
        _ready("waisted", 176.0, (74.0, 70.0), 22.0, 8.0, 5.0, 4.0),
        _ready("one-sided", 182.0, (62.0, 38.0), 24.0, 6.0, 9.0, 0.0, 15.0),
        _ready("narrow", 112.0, (40.0, 36.0), 16.0, 3.0, 6.0),
        _ready("rounded-paddle", 128.0, (54.0, 48.0), 20.0, 15.0, 12.0),
        _ready("broad-for-plates", 146.0, (66.0, 62.0), 24.0, 10.0, 8.0),
    )
}
"""A ready set of measures for every shape."""

SIDE_SHARE = 0.55
"""Share of the width at the shoulder that lies on the tuners' side when they are all on one side."""


def starter_contour(starter: Starter, nut_width: float, bass_sign: int) -> Contour:
    """The open edge of a starter, counter-clockwise from the right end of the nut line.

    Measures that make no head (a shoulder beyond the tip, corners that do not fit) still give a contour: what is
    wrong with it is judged later.
    """
    if starter.shape == "one-sided":
        edge = _one_sided(starter, nut_width)
        # Drawn with the tuners at negative x, where the bass side of a right-handed build is.
        return edge if bass_sign < 0 else edge.mirrored().reversed()
    return _symmetric(starter, nut_width)


def as_nodes(contour: Contour) -> tuple[Node, ...]:
    """The nodes of an open contour; each follows the nut the less, the further it is up the head."""
    top = max(contour.bounds.top, SAME)
    ends = [segment.start for segment in contour.segments] + [contour.end]
    runs = [run_of(segment) for segment in contour.segments] + [Straight()]
    return tuple(
        Node(key=f"n{number}", at=at, onward=run, follows_nut=share_at(at.y, top))
        for number, (at, run) in enumerate(zip(ends, runs, strict=True), start=1)
    )


def share_at(y: float, top: float) -> float:
    """The share of half a change of nut width by which a starter's edge moves at height y; `top` is that of the tip."""
    return round(min(1.0, max(0.0, 1 - y / top)), 3)


def run_of(segment: Segment) -> Straight | Bend | Curve:
    """The run that draws a segment."""
    match segment:
        case Line():
            return Straight()
        case Arc(bulge=bulge):
            return Bend(bulge=bulge)
        case Cubic(leave=leave, arrive=arrive):
            return Curve(leave=leave, arrive=arrive)


def _symmetric(starter: Starter, nut_width: float) -> Contour:
    low, high = starter.width_low / 2, starter.width_high / 2
    shoulder = Point(low, starter.shoulder)
    corner = Point(high, starter.length - starter.tip_rise)
    side = _side(shoulder, corner, starter.waist)
    right: list[Segment] = [_shoulder(Point(nut_width / 2, 0.0), shoulder, side.tangent_at(0.0)), side]
    left = [segment.mirrored().reversed() for segment in reversed(right)]
    tip = _tip(corner, corner.mirrored, starter.tip_rise)
    return _rounded(_contour([*right, tip, *left]), (corner, corner.mirrored), starter.corner)


def _one_sided(starter: Starter, nut_width: float) -> Contour:
    """Tuners at negative x: their edge leans by `lean_deg`, the other runs free from shoulder to tip."""
    lean = Vector(math.tan(math.radians(starter.lean_deg)), 1.0)
    row = Point(-starter.width_low * SIDE_SHARE, starter.shoulder)
    free = Point(starter.width_low * (1 - SIDE_SHARE), starter.shoulder)
    row_tip = row + lean * (starter.length - starter.tip_rise - starter.shoulder)
    free_tip = Point(row_tip.x + starter.width_high, row_tip.y)
    free_side = _side(free, free_tip, starter.waist)
    row_side = Line(row_tip, row)
    edge = _contour(
        [
            _shoulder(Point(nut_width / 2, 0.0), free, free_side.tangent_at(0.0)),
            free_side,
            _tip(free_tip, row_tip, starter.tip_rise),
            row_side,
            _shoulder(Point(-nut_width / 2, 0.0), row, -row_side.tangent_at(1.0)).reversed(),
        ]
    )
    return _rounded(edge, (free_tip, row_tip), starter.corner)


def _shoulder(nut_end: Point, shoulder: Point, onward: Vector) -> Segment:
    """From the nut line to where the side begins: leaves along the neck, arrives in the direction of the side."""
    reach = 0.55 * (shoulder.y - nut_end.y)
    if abs(shoulder.x - nut_end.x) < SAME:
        return Line(nut_end, shoulder)
    return Cubic(nut_end, shoulder, Vector(0.0, reach), onward * -reach)


def _side(shoulder: Point, corner: Point, waist: float) -> Line | Arc:
    """A side from shoulder to corner, on the right: straight, or drawn in by `waist` in its middle."""
    if waist <= 0:
        return Line(shoulder, corner)
    chord = shoulder.distance(corner)
    # The middle of an arc stands bulge x half its chord off the chord.
    return Arc(shoulder, corner, -_bulge(waist, chord)) if chord > SAME else Line(shoulder, corner)


def _tip(right: Point, left: Point, rise: float) -> Line | Arc:
    chord = right.distance(left)
    return Arc(right, left, _bulge(rise, chord)) if rise > 0 and chord > SAME else Line(right, left)


def _bulge(height: float, chord: float) -> float:
    """The bulge of an arc so high over its chord; kept to what an outline of nodes can hold."""
    return min(2 * height / chord, LARGEST_BULGE)


def _contour(segments: list[Segment]) -> Contour:
    """The segments end to end; one too short to see is left out, and the next one starts where it started."""
    kept: list[Segment] = []
    for segment in segments:
        if segment.start.distance(segment.end) > SAME:
            kept.append(replace(segment, start=kept[-1].end) if kept else segment)
    return Contour(tuple(kept or segments[:1]))


def _rounded(edge: Contour, corners: tuple[Point, ...], radius: float) -> Contour:
    """The corners rounded as far as the radius fits; a corner where it does not fit stays sharp."""
    if radius <= 0:
        return edge
    for corner in corners:
        node = next((n for n, at in enumerate(edge.points) if at.distance(corner) <= SAME), None)
        if node is None:
            continue
        try:
            edge = round_corner(edge, node, radius)
        except ValueError:
            continue
    return edge
