"""Edits of the runs of an outline: their kind, dragging them, exact lengths, directions and radii.

Every edit of a starter turns it into nodes first. `symmetric` does the same to the run's mirror image. A ValueError is
a sentence for the maker.
"""

from __future__ import annotations

import math

from msgspec.structs import replace

from geometry.document.build import Build
from geometry.document.edits import free_outline, set_run
from geometry.document.node_edits import move_nodes, on_both, set_handle
from geometry.document.outline import Bend, Curve, Node, Straight
from geometry.document.outline_nodes import (
    End,
    Run,
    RunKind,
    as_arc,
    as_curve,
    bulge_through,
    following,
    is_end,
    is_smooth,
    kept_bulge,
    kept_step,
    node_of,
    nodes_of,
    partner_of,
    run_partner_of,
    segment_of,
)
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import refuse

FOLLOWS = 0.1
"""Nearer than this share to an end, a dragged curve lags behind the pointer, because its handle would fly off."""


# Kinds


def run_as(build: Build, run: str, kind: RunKind, *, symmetric: bool = False) -> Build:
    """Make a run straight, an arc or a curve.

    A curve starts in the shape that the run has; an arc goes through the middle of a curve, and bulges outwards a
    little in place of a straight run.
    """
    return on_both(build, run, lambda each, key: _run_as(each, key, kind), symmetric=symmetric)


def _run_as(build: Build, run: str, kind: RunKind) -> Build:
    segment = segment_of(build, run)
    if kind == "straight":
        return set_run(build, run, Straight())
    if kind == "curve":
        return set_run(build, run, as_curve(segment))
    return set_run(build, run, as_arc(segment))


# Dragging


def drag_run(build: Build, run: str, t: float, to: Point, *, symmetric: bool = False) -> Build:
    """Drag the place `t` of a run to another place.

    A straight run goes along with both its nodes; an arc bends between its nodes; a curve changes its handles, as
    little as brings the place there, and stays smooth where it is.
    """
    build = free_outline(build)
    step = to - segment_of(build, run).point_at(t)
    crosses = symmetric and run_partner_of(build, run) == run
    if crosses:
        step = Vector(0.0, step.y)
    match node_of(build, run).onward:
        case Straight():
            ends = (run, following(build, run))
            return move_nodes(
                build, {key: node_of(build, key).at + step for key in ends}, symmetric=symmetric
            )
        case Bend():
            return on_both(build, run, lambda each, key: _bent(each, key, to), symmetric=symmetric)
        case Curve():
            return _dragged_curve(build, run, t, step, symmetric=symmetric)


def _bent(build: Build, run: str, to: Point) -> Build:
    segment = segment_of(build, run)
    return set_run(build, run, Bend(bulge=bulge_through(segment.start, to, segment.end)))


def _dragged_curve(build: Build, run: str, t: float, step: Vector, *, symmetric: bool) -> Build:
    t = min(1 - FOLLOWS, max(FOLLOWS, t))
    first, second = 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t
    if symmetric and run_partner_of(build, run) == run:
        # Both handles rise alike: the curve stays its own mirror image.
        first = second = (first + second) / 2
    share = step / (first * first + second * second)
    smooth = {node.key for node in nodes_of(build) if is_smooth(build, node.key)}

    def edit(each: Build, key: str) -> Build:
        curve = node_of(each, key).onward
        assert isinstance(curve, Curve), "only curves have handles"
        end = following(each, key)
        leave, arrive = curve.leave + share * first, curve.arrive + share * second
        each = _shaped(each, key, "leave", leave, smooth=key in smooth, symmetric=symmetric)
        return _shaped(each, end, "arrive", arrive, smooth=end in smooth, symmetric=symmetric)

    return on_both(build, run, edit, symmetric=symmetric)


def _shaped(build: Build, node: str, end: End, handle: Vector, *, smooth: bool, symmetric: bool) -> Build:
    """A handle changed by a drag of its run; on the centre line a smooth one lies level, so that its image goes on."""
    if smooth and symmetric and partner_of(build, node) == node:
        return set_handle(build, node, end, Vector(handle.x, 0.0))
    return set_handle(build, node, end, handle, keep_smooth=smooth)


# Exact measures


def set_length(build: Build, run: str, length: float, *, symmetric: bool = False) -> Build:
    """Make a run so long, in mm along it: it grows in its direction and keeps its shape.

    Its far node moves, its near one when the far one is the end on the nut line; with symmetric editing both, when it
    crosses the centre line.
    """
    now = segment_of(build, run).length
    if not length > SAME or not now > SAME:
        refuse("A run needs a length of more than zero.")
    return _turned_and_scaled(build, run, 0.0, length / now, symmetric=symmetric)


def set_angle(build: Build, run: str, angle: float, *, symmetric: bool = False) -> Build:
    """Turn the chord of a run to a direction, in radians counter-clockwise from +x; its far node moves, as above."""
    segment = segment_of(build, run)
    chord = segment.end - segment.start
    if not chord.length > SAME:
        refuse("Both ends of this run lie on one place: it has no direction.")
    if symmetric and run_partner_of(build, run) == run:
        refuse(
            "This run crosses the centre line: it stays square to it while both sides are edited together."
        )
    return _turned_and_scaled(build, run, angle - chord.angle, 1.0, symmetric=symmetric)


def set_radius(build: Build, run: str, radius: float, *, symmetric: bool = False) -> Build:
    """Make a run an arc of this radius in mm between its nodes; it bulges as it did, outwards when it was straight."""
    segment = segment_of(build, run)
    half = segment.start.distance(segment.end) / 2
    if not radius >= half - SAME:
        refuse("The radius must be at least half the distance of the two nodes, {0}.", typed=(half,))
    before = as_arc(segment).bulge
    height = math.sqrt(max(0.0, radius * radius - half * half))
    # The longer way round stays the longer way.
    rise = radius + height if abs(before) > 1 else half * half / (radius + height)
    bulge = kept_bulge(math.copysign(rise / half, before)) if half > SAME else 0.0
    return on_both(build, run, lambda each, key: set_run(each, key, Bend(bulge=bulge)), symmetric=symmetric)


def _turned_and_scaled(build: Build, run: str, angle: float, factor: float, *, symmetric: bool) -> Build:
    """A run turned and scaled about the node that stays; about its middle when it crosses the centre line."""
    crosses = symmetric and run_partner_of(build, run) == run

    def edit(each: Build, key: str) -> Build:
        end = following(each, key)
        start_at, end_at = node_of(each, key).at, node_of(each, end).at
        chord = (end_at - start_at).turned(angle) * factor
        if crosses:
            middle = start_at.toward(end_at, 0.5)
            places = {key: middle - chord / 2, end: middle + chord / 2}
        elif _is_held(each, end, symmetric=symmetric):
            places = {key: end_at - chord}
        else:
            places = {end: start_at + chord}
        each = set_run(each, key, _similar(node_of(each, key), angle, factor))
        return move_nodes(each, places)

    return on_both(build, run, edit, symmetric=symmetric)


def _is_held(build: Build, node: str, *, symmetric: bool) -> bool:
    """Whether a node stays: on the nut line, or on the centre line while both sides are edited together."""
    return is_end(build, node) or (symmetric and partner_of(build, node) == node)


def _similar(node: Node, angle: float, factor: float) -> Run:
    """The run of a node with its handles turned and scaled; arcs and straight runs are as they are."""
    onward = node.onward
    if not isinstance(onward, Curve):
        return onward
    leave, arrive = onward.leave.turned(angle) * factor, onward.arrive.turned(angle) * factor
    return replace(onward, leave=kept_step(leave), arrive=kept_step(arrive))
