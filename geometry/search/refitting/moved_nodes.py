"""Nodes of an outline moved sideways, each by its own step, so that what was smooth stays smooth."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from msgspec.structs import replace

from geometry.document.edits import fresh_key
from geometry.document.outline import MOST_NODES, Bend, Curve, Node, Straight
from geometry.document.outline_nodes import (
    SMOOTH,
    Run,
    as_curve,
    kept_bulge,
    kept_place,
    kept_step,
    segment_between,
)
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic, Line, Segment
from geometry.shape.tolerance import PRINT, SAME

Step = Callable[[Node, Node, float], float]
"""How far a place moves in x, in mm: on the run from one node to the next, at a share of the way."""


def moved_nodes(nodes: tuple[Node, ...], steps: tuple[float, ...], between: Step) -> tuple[Node, ...]:
    """The nodes moved in x by `steps` mm each; `between` tells the step of places within a run.

    Straight runs stay straight and handles grow with the chord of their curve. Arcs stay arcs where that leaves them
    smooth at both ends, else they become curves, with new nodes where one curve is not near enough to the arc.
    """
    runs = [segment_between(one, two) for one, two in pairwise(nodes)]
    places = [kept_place(Point(node.at.x + step, node.at.y)) for node, step in zip(nodes, steps, strict=True)]
    ways = _ways(runs, places)
    used = {node.key for node in nodes}
    moved: list[Node] = []
    for n, run in enumerate(runs):
        ends, at_ends = (nodes[n], nodes[n + 1]), (places[n], places[n + 1])
        onward = _simple(run, at_ends, (ways[n], ways[n + 1]))
        if onward is not None:
            moved.append(replace(nodes[n], at=places[n], onward=onward))
            continue
        assert isinstance(run, Arc), "only arcs cannot stay what they are"
        moved += _as_curves(run, ends, at_ends, (ways[n], ways[n + 1]), between, used)
    return (*moved, *(replace(node, at=at) for node, at in zip(nodes[-1:], places[-1:], strict=True)))


def stretched_nodes(nodes: tuple[Node, ...], factor: float) -> tuple[Node, ...]:
    """The nodes with every x times a factor; an arc, no longer one, becomes curves near enough to it."""
    used = {node.key for node in nodes}
    drawn: list[Node] = []
    for one, two in pairwise(nodes):
        run = segment_between(one, two)
        if not isinstance(run, Arc) or run.is_straight:
            drawn.append(one)
            continue
        count = _parts_needed(run, run.sweep, max(1.0, factor), MOST_NODES - len(used))
        shares = [n / count for n in range(count)]
        drawn += _chain(one, two, _parts(run, shares), shares, used)
    return tuple(_stretched(node, factor) for node in (*drawn, *nodes[-1:]))


def _stretched(node: Node, factor: float) -> Node:
    run = node.onward
    if isinstance(run, Curve):
        run = Curve(leave=_wider(run.leave, factor), arrive=_wider(run.arrive, factor))
    return replace(node, at=kept_place(Point(node.at.x * factor, node.at.y)), onward=run)


def _wider(step: Vector, factor: float) -> Vector:
    return kept_step(Vector(step.x * factor, step.y))


# Directions


def _ways(runs: list[Segment], places: list[Point]) -> list[Vector | None]:
    """The direction that the outline shall have at each node, None where it had a corner or an end.

    A straight run leads; between other runs the direction stays.
    """
    ways: list[Vector | None] = [None]
    for n, (before, after) in enumerate(pairwise(runs), start=1):
        arriving, leaving = before.tangent_at(1.0), after.tangent_at(0.0)
        if not _same_way(arriving, leaving):
            ways.append(None)
        elif isinstance(before, Line):
            ways.append(_way(places[n - 1], places[n], arriving))
        elif isinstance(after, Line):
            ways.append(_way(places[n], places[n + 1], leaving))
        else:
            ways.append(arriving)
    return [*ways, None]


def _way(start: Point, end: Point, otherwise: Vector) -> Vector:
    return (end - start).unit() if start.distance(end) > SAME else otherwise


def _same_way(one: Vector, two: Vector) -> bool:
    return abs(one.cross(two)) <= SMOOTH and one.dot(two) > 0


# Runs


def _simple(run: Segment, at: tuple[Point, Point], ways: tuple[Vector | None, Vector | None]) -> Run | None:
    """The run between its new ends; None for an arc that cannot be one any more."""
    match run:
        case Line():
            return Straight()
        case Cubic():
            return _curve(run, at, ways)
        case Arc():
            return _arc(run, at, ways)


def _curve(run: Cubic, at: tuple[Point, Point], ways: tuple[Vector | None, Vector | None]) -> Curve:
    growth = _growth(run, at)
    leave, arrive = run.leave * growth, run.arrive * growth
    if ways[0] is not None and not _same_way(run.tangent_at(0.0), ways[0]):
        leave = ways[0] * leave.length
    if ways[1] is not None and not _same_way(run.tangent_at(1.0), ways[1]):
        arrive = -ways[1] * arrive.length
    return Curve(leave=kept_step(leave), arrive=kept_step(arrive))


def _growth(run: Segment, at: tuple[Point, Point]) -> float:
    """How much longer the chord of a run is now; 1 where it has none."""
    before, after = run.start.distance(run.end), at[0].distance(at[1])
    return after / before if min(before, after) > SAME else 1.0


def _arc(run: Arc, at: tuple[Point, Point], ways: tuple[Vector | None, Vector | None]) -> Bend | None:
    """The arc with its height between corners, or with its turn where it goes on smoothly and still can."""
    if ways == (None, None):
        return Bend(bulge=kept_bulge(run.bulge / _growth(run, at)))
    now = Arc(*at, run.bulge)
    ends = zip((0.0, 1.0), ways, strict=True)
    if all(way is None or _same_way(now.tangent_at(t), way) for t, way in ends):
        return Bend(bulge=run.bulge)
    return None


# Arcs that become curves


def _as_curves(
    run: Arc,
    ends: tuple[Node, Node],
    at: tuple[Point, Point],
    ways: tuple[Vector | None, Vector | None],
    between: Step,
    used: set[str],
) -> list[Node]:
    """The nodes of an arc as curves between its new ends, without its last one."""
    shares = _cuts(run, MOST_NODES - len(used))
    parts = _parts(run, shares)
    inner = [
        kept_place(Point(part.start.x + between(*ends, t), part.start.y))
        for part, t in zip(parts[1:], shares[1:], strict=True)
    ]
    places = [at[0], *inner, at[1]]
    whole = [ways[0], *(part.tangent_at(0.0) for part in parts[1:]), ways[1]]
    moved = []
    for n, part in enumerate(parts):
        curve = _curve(part, (places[n], places[n + 1]), (whole[n], whole[n + 1]))
        moved.append(Cubic(places[n], places[n + 1], curve.leave, curve.arrive))
    return _chain(*ends, moved, shares, used)


def crown(run: Segment) -> float | None:
    """The share of an arc at which it is highest, None where that is one of its ends."""
    if not isinstance(run, Arc) or run.is_straight:
        return None
    share = run.nearest(run.centre + Vector(0.0, run.radius)).t
    return share if run.bounds.top > max(run.start.y, run.end.y) + SAME and 0 < share < 1 else None


def _cuts(run: Arc, room: int) -> list[float]:
    """The shares at which the curves of an arc begin: its start, its crown, and evenly between these."""
    top = crown(run)
    if top is None or room < 1:
        return _even(run, 0.0, 1.0, room)
    return _even(run, 0.0, top, room // 2) + _even(run, top, 1.0, room - 1 - room // 2)


def _even(run: Arc, first: float, last: float, room: int) -> list[float]:
    count = _parts_needed(run, (last - first) * run.sweep, 1.0, room)
    return [first + (last - first) * n / count for n in range(count)]


def _parts(run: Arc, shares: list[float]) -> list[Cubic]:
    """An arc as curves that begin at these shares of it."""
    parts = []
    rest, done = run, 0.0
    for end in (*shares[1:], 1.0):
        first, rest = rest.split((end - done) / (1 - done)) if end < 1 else (rest, rest)
        curve, done = as_curve(first), end
        parts.append(Cubic(first.start, first.end, curve.leave, curve.arrive))
    return parts


def _parts_needed(run: Arc, sweep: float, factor: float, room: int) -> int:
    """How many curves stay within a quarter of PRINT of so much of an arc, drawn `factor` times as large.

    A curve of turn a strays 2/27 sin^6(a/4) / cos^2(a/4) of the radius (Goldapp, Approximation of circular arcs by
    cubic polynomials, Computer Aided Geometric Design 8, 1991; the formula from memory). At most `room` new nodes.
    """
    count = max(1, math.ceil(abs(sweep) / (math.pi / 2)))
    while not run.is_straight and count <= room:
        quarter = sweep / count / 4
        if 2 / 27 * math.sin(quarter) ** 6 / math.cos(quarter) ** 2 * run.radius * factor <= PRINT / 4:
            break
        count += 1
    return max(1, min(count, room + 1))


def _chain(one: Node, two: Node, parts: list[Cubic], shares: list[float], used: set[str]) -> list[Node]:
    """Nodes that draw the curves, the first of them `one`; new keys are added to `used`."""
    chain = []
    for part, share in zip(parts, shares, strict=True):
        onward = Curve(leave=kept_step(part.leave), arrive=kept_step(part.arrive))
        key, follows = one.key, one.follows_nut
        if share > 0:
            key = fresh_key("n", used)
            used.add(key)
            follows = follows + (two.follows_nut - follows) * share
        chain.append(Node(key=key, at=kept_place(part.start), onward=onward, follows_nut=follows))
    return chain
