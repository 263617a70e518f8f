"""Where the smaller numbers of a head, its nut and its board are found on the drawing, seen from the face."""

from __future__ import annotations

import math

from geometry.document.build import Blank, Build, Row, SideName
from geometry.document.outline import Starter
from geometry.document.starters import SIDE_SHARE
from geometry.document.stretch import outline_bounds
from geometry.layout.found_dimension import BESIDE, DOWN, LEFT, RIGHT, UP, Finder, Found
from geometry.layout.layout import Layout
from geometry.layout.slots import courses, margins_to, slots_x
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc
from geometry.shape.tolerance import PRINT

_SHARES = {"binding": 0.5, "edge_face": 0.4, "edge_back": 0.6, "lean": 0.6, "grain": 0.3}
"""At which share of the height of the head a width along its edge is shown, and how long the arms of angles are."""


def _upright(x: float, low: float, high: float, away: Vector) -> Found | None:
    """From a height of the head to another, beside it; None where they are the same."""
    return Found(Point(x, low), Point(x, high), away) if high - low > PRINT else None


# Outline


def _shoulder(build: Build, _: Layout, __: Row | None) -> Found | None:
    if not isinstance(build.outline, Starter):
        return None
    return _upright(outline_bounds(build).left - BESIDE, 0.0, build.outline.shoulder, LEFT)


def _tip_rise(build: Build, _: Layout, __: Row | None) -> Found | None:
    starter = build.outline
    if not isinstance(starter, Starter):
        return None
    x = outline_bounds(build).left - BESIDE
    return _upright(x, starter.length - starter.tip_rise, starter.length, LEFT)


def _corner(build: Build, layout: Layout, _: Row | None) -> Found | None:
    """The radius of the rounding that lies furthest to the upper right; None where it did not fit."""
    starter = build.outline
    if not isinstance(starter, Starter) or layout.edge is None:
        return None
    arcs = [
        each
        for each in layout.edge.contour.segments
        if isinstance(each, Arc) and abs(each.radius - starter.corner) <= PRINT
    ]
    if not arcs:
        return None
    arc = max(arcs, key=lambda each: each.centre.x + each.centre.y)
    rim = arc.point_at(0.5)
    return Found(arc.centre, rim, RIGHT, words_at=rim)


def _waist(build: Build, _: Layout, __: Row | None) -> Found | None:
    """How far the right side is drawn in, in the middle of its chord."""
    starter = build.outline
    if not isinstance(starter, Starter) or starter.lean_deg or starter.waist <= PRINT:
        return None
    shoulder = Point(starter.width_low / 2, starter.shoulder)
    corner = Point(starter.width_high / 2, starter.length - starter.tip_rise)
    side = corner - shoulder
    if side.length <= PRINT:
        return None
    middle, inwards = shoulder + side * 0.5, Vector(-side.y, side.x) * (1 / side.length)
    return Found(middle, middle + inwards * starter.waist, RIGHT, words_at=middle)


def _lean(build: Build, _: Layout, __: Row | None) -> Found | None:
    """Between straight up and the edge at the tuners of a head that has all of them on one side."""
    starter = build.outline
    if not isinstance(starter, Starter) or starter.shape != "one-sided":
        return None
    at = Point(-starter.width_low * SIDE_SHARE, starter.shoulder)
    reach = (starter.length - starter.shoulder) * _SHARES["lean"]
    # Of a left-handed head this is the mirror image.
    turn = math.radians(starter.lean_deg) * build.bass_sign
    at = at if build.bass_sign < 0 else Point(-at.x, at.y)
    return _turn(at, UP * reach, turn, starter.lean_deg, LEFT if build.bass_sign < 0 else RIGHT)


def _turn(about: Point, arm: Vector, turn: float, degrees: float, away: Vector) -> Found:
    """The way round a place from the end of an arm, by `turn` radians, counter-clockwise."""
    middle = about + arm.turned(turn / 2)
    ends = about + arm, about + arm.turned(turn)
    return Found(*ends, away, words_at=middle, about=about, value=degrees, kind="angle")


# Wood


def _grain(build: Build, layout: Layout, _: Row | None) -> Found:
    """Between the centre line and the grain, about the middle of the head."""
    about, arm = Point(0.0, layout.top / 2), Vector(0.0, layout.top * _SHARES["grain"])
    return _turn(about, arm, math.radians(build.head.grain_deg), build.head.grain_deg, UP)


def _cutter(build: Build, _: Layout, __: Row | None) -> Found:
    """The width of the cutter, beside the tip."""
    bounds, half = outline_bounds(build), build.cutter_diameter / 2
    middle = Point(bounds.right + BESIDE + half, bounds.top)
    return Found(middle - Vector(half, 0.0), middle + Vector(half, 0.0), UP)


def _back_flat(build: Build, _: Layout, __: Row | None) -> Found | None:
    return _upright(outline_bounds(build).right + BESIDE / 2, 0.0, build.head.back_flat_from, RIGHT)


def _volute(build: Build, _: Layout, __: Row | None) -> Found | None:
    half = build.head.volute_length / 2
    return _upright(outline_bounds(build).left - BESIDE, -half, half, LEFT)


def _along_edge(field: str) -> Finder:
    """A width that runs along the whole edge, shown on the right side."""

    def find(build: Build, layout: Layout, _: Row | None) -> Found | None:
        wide = getattr(build.head, field)
        if layout.edge is None or wide <= PRINT:
            return None
        bounds = outline_bounds(build)
        height = bounds.bottom + (bounds.top - bounds.bottom) * _SHARES[field]
        contour = layout.edge.contour
        foot = contour.nearest(Point(bounds.right, height))
        segment = contour.segments[foot.index]
        end, onward = segment.point_at(foot.t), segment.tangent_at(foot.t)
        # The edge runs counter-clockwise: the wood is at its left.
        return Found(end, end + Vector(-onward.y, onward.x) * wide, RIGHT, words_at=end)

    return find


def _blank(field: str) -> Finder:
    def find(build: Build, _: Layout, __: Row | None) -> Found | None:
        return None if build.head.blank is None else _of_blank(build.head.blank, field)

    return find


def _of_blank(blank: Blank, field: str) -> Found:
    if field == "length":
        x = blank.right + BESIDE
        return Found(Point(x, 0.0), Point(x, blank.length), RIGHT)
    y = blank.length + BESIDE
    x = -blank.left if field == "left" else blank.right
    return Found(Point(0.0, y), Point(x, y), UP)


# Nut


def _margin(side: SideName) -> Finder:
    """From an end of the nut to the outer string, beside the nut."""

    def find(build: Build, _: Layout, __: Row | None) -> Found | None:
        if not build.strings:
            return None
        string = build.strings[0] if side == "treble" else build.strings[-1]
        outwards = float(build.sign_of(side))
        reach = string.diameter / 2 if margins_to(build) == "edge" else 0.0
        y = -build.nut.thickness / 2
        end = Point(outwards * build.nut.width / 2, y)
        slot = Point(slots_x(build)[string.key] + outwards * reach, y)
        return Found(end, slot, Vector(outwards, 0.0), words_at=end)

    return find


def _nut_thickness(build: Build, _: Layout, __: Row | None) -> Found | None:
    x = -build.nut.width / 2 - BESIDE / 2
    return Found(Point(x, -build.nut.thickness), Point(x, 0.0), LEFT)


def _bridge_spread(build: Build, _: Layout, __: Row | None) -> Found:
    """As wide as the outer strings are apart at the bridge, below the nut."""
    half, y = build.bridge_spread / 2, -build.nut.thickness - BESIDE / 2
    return Found(Point(-half, y), Point(half, y), DOWN)


def _course_gap(build: Build, _: Layout, __: Row | None) -> Found | None:
    """Between the two outer strings' neighbours of the first course that has two."""
    pair = next((each[:2] for each in courses(build.strings) if len(each) > 1), None)
    if pair is None:
        return None
    slots, y = slots_x(build), -build.nut.thickness - BESIDE / 2
    one, two = sorted(pair, key=lambda string: slots[string.key])
    left, right = slots[one.key] + one.diameter / 2, slots[two.key] - two.diameter / 2
    return Found(Point(left, y), Point(right, y), DOWN)


PLAN: dict[str, Finder] = {
    "Starter.shoulder": _shoulder,
    "Starter.tip_rise": _tip_rise,
    "Starter.corner": _corner,
    "Starter.waist": _waist,
    "Starter.lean_deg": _lean,
    "Head.grain_deg": _grain,
    "Build.cutter_diameter": _cutter,
    "Head.back_flat_from": _back_flat,
    "Head.binding": _along_edge("binding"),
    "Head.edge_face": _along_edge("edge_face"),
    "Head.edge_back": _along_edge("edge_back"),
    "Head.volute_length": _volute,
    "Blank.left": _blank("left"),
    "Blank.right": _blank("right"),
    "Blank.length": _blank("length"),
    "Nut.margin_treble": _margin("treble"),
    "Nut.margin_bass": _margin("bass"),
    "Nut.thickness": _nut_thickness,
    "Nut.course_gap": _course_gap,
    "Build.bridge_spread": _bridge_spread,
}
"""What finds each of them, by the name that its field in a panel has."""
