"""One head for another nut, or for other tuners: the same decisions applied to a changed part."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Literal

import numpy as np
import shapely
from msgspec.structs import replace

from geometry.checks.judge import findings
from geometry.document.build import Build, OnPlate, Row
from geometry.document.edits import Rule, set_hardware, set_rule
from geometry.document.outline import LARGEST_STARTER, Node, Nodes, Starter
from geometry.document.outline_nodes import kept_place, nodes_of, segment_between
from geometry.document.row_edits import rule_as
from geometry.document.starters import SIDE_SHARE, share_at
from geometry.layout.edge import Edge, edge_of
from geometry.layout.held import held
from geometry.search.placing.gate import harm
from geometry.search.refitting.moved_nodes import crown, moved_nodes, stretched_nodes
from geometry.shape.point import Point
from geometry.shape.segment import Arc
from geometry.shape.tolerance import FLAT, SAME
from geometry.trade.hardware import Hardware
from geometry.trade.measures import LARGEST, LEAST

Widen = Literal["head", "shoulders", "scale"]
"""Ways to widen a head: all of it; at the nut, fading out to its widest place; all measures across in proportion."""

WIDEN: tuple[Widen, ...] = ("head", "shoulders", "scale")


def refit(build: Build, width: float, widen: Widen | None = None) -> Build:
    """The build for a nut of `width` mm.

    The outline follows by its nodes' own weights, or as `widen` says. Rows go by their rules on the new edge, posts
    moved by hand keep their offset from there, and strings keep their margins. Trees and guide posts stand where the
    strings run, so that their x grows with the nut. What is in the wood already stays: drilled and old holes, regions,
    the blank.

    The width is the maker's wish, so the head is made whatever that breaks; `harm` says what it does.
    """
    if width == build.nut.width:
        return build
    factor = width / build.nut.width
    wider = replace(
        build,
        outline=widened(build, width, widen),
        nut=replace(build.nut, width=width),
        retainers=tuple(
            replace(each, at=kept_place(Point(each.at.x * factor, each.at.y))) for each in build.retainers
        ),
    )
    return held(build, wider)


def harmless_ways(build: Build, width: float) -> tuple[Widen | None, ...]:
    """The ways to follow a nut of `width` mm that make nothing worse; None stands for the nodes' own weights."""
    before = findings(build)
    ways: tuple[Widen | None, ...] = (None, *WIDEN)
    return tuple(way for way in ways if not harm(before, findings(refit(build, width, way))))


def with_hardware(build: Build, row: str, hardware: Hardware) -> Build:
    """The build with other tuners in a row, its rule changed only where the new ones need it.

    Tuners on a plate that carries as many posts are placed as a plate; others leave a plate's rule for a straight
    line at the pitch that the plate had. All else of the rule stays, and so do drilled holes.
    """
    before = next(each for each in build.rows if each.key == row)
    old = next(each for each in build.hardware if each.key == before.hardware)
    return held(build, set_rule(set_hardware(build, row, hardware), row, _suiting(before, old, hardware)))


def _suiting(row: Row, old: Hardware, new: Hardware) -> Rule:
    if new.plate is not None and new.plate.posts == len(row.posts):
        return rule_as(row.rule, "on a plate", new)
    if isinstance(row.rule, OnPlate):
        return rule_as(row.rule, "on a line", old)
    return row.rule


# How much of a change each place of the outline takes over

Share = Callable[[float, float], float]
"""The share of half the change that a place takes over: of its height y in mm and its own weight."""


def widened(build: Build, width: float, widen: Widen | None) -> Starter | Nodes:
    """The outline of a build for a nut of `width` mm; the build still has its own nut.

    A starter stays one as long as its measures can say so. With all tuners on one side it shares a change between its
    sides as it shares its widths.
    """
    outline = build.outline
    if isinstance(outline, Starter):
        starter = _starter(build, outline, width, widen)
        if starter is not None:
            return starter
    nodes = nodes_of(build)
    if widen == "scale":
        return Nodes(nodes=stretched_nodes(nodes, width / build.nut.width))
    return Nodes(nodes=_moved(nodes, (width - build.nut.width) / 2, share_of(build, widen)))


def share_of(build: Build, widen: Literal["head", "shoulders"] | None) -> Share:
    """The share that each place of the edge takes over of half a change of nut width."""
    if widen == "head":
        return lambda _y, _own: 1.0
    if widen is None:
        return lambda _y, own: own
    widest = widest_height(edge_of(build))
    return lambda y, _own: _fading(y, widest)


def _fading(y: float, end: float) -> float:
    """1 at the nut line, 0 from height `end` on."""
    if end <= SAME:
        return 1.0 if y <= SAME else 0.0
    return min(1.0, max(0.0, 1.0 - y / end))


# Starters


def _starter(build: Build, starter: Starter, width: float, widen: Widen | None) -> Starter | None:
    """The starter with other measures; None where they would be out of range."""
    if widen == "scale":
        factor = width / build.nut.width
        lean = math.degrees(math.atan(factor * math.tan(math.radians(starter.lean_deg))))
        waist = starter.waist * factor
        return _within(starter, starter.width_low * factor, starter.width_high * factor, lean, waist)
    share, change = share_of(build, widen), width - build.nut.width
    corner = starter.length - starter.tip_rise
    low = change * share(starter.shoulder, share_at(starter.shoulder, starter.length))
    high = change * share(corner, share_at(corner, starter.length))
    lean = _lean(starter, low - high, corner - starter.shoulder)
    return _within(starter, starter.width_low + low, starter.width_high + high, lean, starter.waist)


def _lean(starter: Starter, fading: float, rise: float) -> float:
    """The lean of the tuners' edge in degrees when its lower end moves out by so much more than its upper one."""
    if starter.shape != "one-sided" or fading == 0 or rise <= SAME:
        return starter.lean_deg
    tangent = math.tan(math.radians(starter.lean_deg)) + SIDE_SHARE * fading / rise
    return math.degrees(math.atan(tangent))


def _within(starter: Starter, low: float, high: float, lean: float, waist: float) -> Starter | None:
    sizes = min(low, high) >= LEAST and max(low, high, waist) <= LARGEST_STARTER
    if not sizes or not 0 <= lean <= 45:
        return None
    return replace(starter, width_low=low, width_high=high, lean_deg=lean, waist=waist)


# Nodes


def _moved(nodes: tuple[Node, ...], half: float, share: Share) -> tuple[Node, ...]:
    signs = {node.key: sign for node, sign in zip(nodes, signs_of(nodes), strict=True)}

    def step(node: Node) -> float:
        return signs[node.key] * half * share(node.at.y, node.follows_nut)

    def between(one: Node, two: Node, t: float) -> float:
        run = segment_between(one, two)
        own = one.follows_nut + (two.follows_nut - one.follows_nut) * t
        sign = _sign_within(signs[one.key], signs[two.key], t, crown(run))
        return sign * half * share(run.point_at(t).y, own)

    return moved_nodes(nodes, tuple(step(node) for node in nodes), between)


def _sign_within(one: int, two: int, t: float, top: float | None) -> int:
    """The sign of x that is outwards within a run: that of its ends or, where it holds the tip, of the nearer end."""
    if one == two or not one * two or top is None:
        return one or two
    return one if t < top else (two if t > top else 0)


def signs_of(nodes: tuple[Node, ...]) -> tuple[int, ...]:
    """The sign of x that is outwards at each node: right before the tip, left after it.

    Nodes as high as the tip lie on the side of the middle of the tip on which they are; a lone one stays.
    """
    if len(nodes) < 2:
        return (1,) * len(nodes)
    tops = [segment_between(one, two).bounds.top for one, two in pairwise(nodes)]
    highest = [n for n, top in enumerate(tops) if top >= max(tops) - SAME]
    first, last = highest[0], highest[-1]
    at_tip = nodes[first + 1 : last + 1]
    middle = (at_tip[0].at.x + at_tip[-1].at.x) / 2 if at_tip else 0.0
    ahead = tuple(
        0 if abs(node.at.x - middle) <= SAME else (1 if node.at.x > middle else -1) for node in at_tip
    )
    return (*(1,) * (first + 1), *ahead, *(-1,) * (len(nodes) - last - 1))


# The widest place


def widest_height(edge: Edge | None) -> float:
    """The lowest height y in mm at which the head is as wide as anywhere, within twice FLAT; 0 without an edge."""
    if edge is None:
        return 0.0
    heights = np.unique(np.clip(_candidates(edge), 0.0, edge.top))
    line = shapely.LineString([(place.x, place.y) for place in edge.contour.flatten(FLAT)])
    levels = shapely.linestrings([[(-LARGEST, height), (LARGEST, height)] for height in heights.tolist()])
    crossings = shapely.bounds(shapely.intersection(line, levels))
    widths = np.nan_to_num(crossings[:, 2] - crossings[:, 0])
    return float(heights[int(np.argmax(widths >= widths.max() - 2 * FLAT))])


def _candidates(edge: Edge) -> np.ndarray:
    """Heights at which a head can be widest: ends of pieces, and where an arc runs straight up."""
    heights = [0.0, *(point.y for point in edge.contour.points)]
    for piece in edge.contour.segments:
        if isinstance(piece, Arc) and not piece.is_straight:
            bounds = piece.bounds
            if piece.centre.y < bounds.top and piece.centre.y > bounds.bottom:
                heights.append(piece.centre.y)
    return np.array(heights)
