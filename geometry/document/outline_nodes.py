"""Reading an outline as nodes and runs: places, handles, what is smooth, what mirrors what.

A starter is read as the nodes that it would become when freed, under the keys that they would have.
"""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import Literal

import msgspec

from geometry.document.build import Build
from geometry.document.outline import LARGEST_BULGE, Bend, Curve, Node, Nodes, Starter, Straight
from geometry.document.starters import as_nodes, starter_contour
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Segment
from geometry.shape.tolerance import SAME
from geometry.trade.measures import LARGEST

Run = Straight | Bend | Curve
RunKind = Literal["straight", "arc", "curve"]
End = Literal["leave", "arrive"]

SMOOTH = 1e-6
"""Sine of the largest turn at a node that still counts as smooth."""


class Handle(msgspec.Struct, frozen=True, gc=False):
    """A handle of a node: the end of its curve that it shapes, and where it is in head mm."""

    node: str
    end: End
    at: Point


class RunMeasures(msgspec.Struct, frozen=True, gc=False):
    """A run in numbers: length along it in mm, direction of its chord in radians, radius of an arc in mm."""

    kind: RunKind
    length: float
    angle: float
    radius: float | None


# Nodes and runs


def nodes_of(build: Build) -> tuple[Node, ...]:
    """The nodes of the outline, from the right end of the nut line round the tip to its left end."""
    if isinstance(build.outline, Nodes):
        return build.outline.nodes
    return _starter_nodes(build.outline, build.nut.width, build.bass_sign)


@lru_cache(maxsize=8)
def _starter_nodes(starter: Starter, nut_width: float, bass_sign: int) -> tuple[Node, ...]:
    return as_nodes(starter_contour(starter, nut_width, bass_sign))


def index_of(nodes: tuple[Node, ...], key: str) -> int:
    """The number of the node with a key; a key that is not there is a programming error."""
    found = [number for number, node in enumerate(nodes) if node.key == key]
    assert found, f"there is no node {key!r}"
    return found[0]


def node_of(build: Build, key: str) -> Node:
    """The node with a key."""
    nodes = nodes_of(build)
    return nodes[index_of(nodes, key)]


def is_end(build: Build, key: str) -> bool:
    """Whether a node is one of the two ends on the nut line."""
    nodes = nodes_of(build)
    return index_of(nodes, key) in {0, len(nodes) - 1}


def segment_between(node: Node, following: Node) -> Segment:
    """The run from a node to the next as a curve."""
    return run_between(node.at, node.onward, following.at)


def run_between(start: Point, run: Straight | Bend | Curve, end: Point) -> Segment:
    """A run from one place to another as a curve."""
    match run:
        case Straight():
            return Line(start, end)
        case Bend(bulge=bulge):
            return Arc(start, end, bulge)
        case Curve(leave=leave, arrive=arrive):
            return Cubic(start, end, leave, arrive)


def segment_of(build: Build, run: str) -> Segment:
    """The run that goes on from a node; asking the last node is a programming error."""
    nodes = nodes_of(build)
    number = index_of(nodes, run)
    assert number < len(nodes) - 1, "no run goes on from the last node"
    return segment_between(nodes[number], nodes[number + 1])


def runs_of(build: Build) -> tuple[tuple[str, Segment], ...]:
    """Every run with the key of the node it goes on from, in order."""
    return tuple((one.key, segment_between(one, two)) for one, two in pairwise(nodes_of(build)))


def following(build: Build, run: str) -> str:
    """The key of the node at which a run ends."""
    nodes = nodes_of(build)
    return nodes[index_of(nodes, run) + 1].key


def runs_at(build: Build, node: str) -> tuple[str | None, str | None]:
    """The runs that arrive at a node and go on from it; None at an end of the outline."""
    nodes = nodes_of(build)
    number = index_of(nodes, node)
    before = nodes[number - 1].key if number > 0 else None
    return before, node if number < len(nodes) - 1 else None


def run_measures(build: Build, run: str) -> RunMeasures:
    """Length, direction and radius of a run."""
    segment = segment_of(build, run)
    chord = segment.end - segment.start
    kind: RunKind = "straight"
    radius = None
    if isinstance(segment, Arc):
        kind, radius = "arc", segment.radius if math.isfinite(segment.radius) else None
    elif isinstance(segment, Cubic):
        kind = "curve"
    return RunMeasures(kind, segment.length, chord.angle, radius)


# Handles and tangents


def handles_of(build: Build, node: str) -> tuple[Handle, ...]:
    """The handles of a node, one for each curve that ends at it."""
    before, after = runs_at(build, node)
    found = []
    if before is not None and isinstance(curve := node_of(build, before).onward, Curve):
        found.append(Handle(node, "arrive", node_of(build, node).at + curve.arrive))
    if after is not None and isinstance(curve := node_of(build, after).onward, Curve):
        found.append(Handle(node, "leave", node_of(build, node).at + curve.leave))
    return tuple(found)


def has_handle(build: Build, node: str, end: End) -> bool:
    """Whether a node has such a handle."""
    return any(handle.end == end for handle in handles_of(build, node))


def tangents_at(build: Build, node: str) -> tuple[Vector, Vector] | None:
    """Directions in which the outline arrives at a node and leaves it; None at an end of the outline."""
    before, after = runs_at(build, node)
    if before is None or after is None:
        return None
    return segment_of(build, before).tangent_at(1.0), segment_of(build, after).tangent_at(0.0)


def is_smooth(build: Build, node: str) -> bool:
    """Whether the outline goes through a node without a corner; an end of the outline is none."""
    tangents = tangents_at(build, node)
    if tangents is None:
        return False
    arriving, leaving = tangents
    return abs(arriving.cross(leaving)) <= SMOOTH and arriving.dot(leaving) > 0


# Mirror images


def partner_of(build: Build, node: str) -> str | None:
    """The node at the mirrored place across the centre line; a node on the line is its own, None without one."""
    nodes = nodes_of(build)
    image = nodes[index_of(nodes, node)].at.mirrored
    twins = [each.key for each in nodes if each.at.distance(image) <= 2 * SAME]
    if node in twins:
        return node
    return twins[0] if twins else None


def run_partner_of(build: Build, run: str) -> str | None:
    """The run between the mirrored places of a run's ends, itself when it crosses the centre line."""
    start, end = partner_of(build, run), partner_of(build, following(build, run))
    if start is None or end is None:
        return None
    nodes = nodes_of(build)
    return end if index_of(nodes, end) + 1 == index_of(nodes, start) else None


# What a file can hold


def kept_place(at: Point) -> Point:
    """The place, or the nearest one that a build can hold."""
    return Point(_kept(at.x, LARGEST), _kept(at.y, LARGEST))


def kept_step(step: Vector) -> Vector:
    """The handle, or the nearest one that a build can hold."""
    return Vector(_kept(step.x, LARGEST), _kept(step.y, LARGEST))


def kept_bulge(bulge: float) -> float:
    """The bulge, or the nearest one that a build can hold."""
    return _kept(bulge, LARGEST_BULGE)


def _kept(number: float, most: float) -> float:
    return min(most, max(-most, number))


# Runs of another kind


_GENTLE = 0.15  # bulge of an arc that was a straight run: round enough to be seen


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
            return Bend(bulge=_GENTLE)
        case Cubic():
            return Bend(bulge=bulge_through(segment.start, segment.point_at(0.5), segment.end))


def bulge_through(start: Point, through: Point, end: Point) -> float:
    """The bulge of the arc from start to end through a third place."""
    first, second = through - start, end - through
    # The turn at a place on an arc is half the arc's sweep.
    return kept_bulge(math.tan(math.atan2(first.cross(second), first.dot(second)) / 2))
