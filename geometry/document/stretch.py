"""The size of an outline as a whole, and its nodes stretched to another one.

Ends and corners keep their shape: to make a head longer its upper half moves as it is, to make it wider each side does.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import reduce

from geometry.document.build import Build
from geometry.document.node_edits import move_nodes
from geometry.document.outline import Node
from geometry.document.outline_nodes import following, is_end, nodes_of, runs_at, runs_of, segment_of
from geometry.shape.biarc import as_arcs
from geometry.shape.bounds import Bounds
from geometry.shape.contour import Contour
from geometry.shape.crossing import circles_meet
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Cubic
from geometry.shape.tolerance import ARCS, SAME
from geometry.trade.sentence import SentenceError, refuse

TIP_FROM = 0.75
"""Nodes beyond this share of the length belong to the tip; corners of heads lie above it: from memory."""

_ROUNDS = 8  # runs swing a little with their nodes; each round makes up for what the last one left

Ends = tuple[Point, Point] | None
"""The two places that a width lies between, left and right, in head mm; None where there are none."""


def outline_bounds(build: Build) -> Bounds:
    """The box round the outline and the nut line, in head mm."""
    return reduce(Bounds.joined, (segment.bounds for _, segment in runs_of(build)))


def with_length(build: Build, length: float) -> Build:
    """The build with its highest point at y = `length` mm: nodes above the middle move up or down together.

    A SentenceError says it where they would come down past the nodes below the middle, or cross the outline.
    """
    top = outline_bounds(build).top
    lowest = min((node.at.y for node in _upper(build, top)), default=math.inf)
    below = max((node.at.y for node in nodes_of(build) if node.at.y <= top / 2), default=0.0)
    if length <= top - (lowest - below):
        text = "The upper nodes would come down past those below them; expected a length of more than {0}."
        refuse(text, measured=(top - (lowest - below),))
    after = _lifted(build, length)
    if _crossed(build, after):
        refuse("With a length of {0} the outline would cross itself.", typed=(length,))
    return after


def _upper(build: Build, top: float) -> list[Node]:
    return [node for node in nodes_of(build) if node.at.y > top / 2 and not is_end(build, node.key)]


def _lifted(build: Build, length: float) -> Build:
    top = outline_bounds(build).top
    places = {node.key: Point(node.at.x, node.at.y + length - top) for node in _upper(build, top)}
    return move_nodes(build, places)


def with_width(build: Build, width: float) -> Build:
    """The build as wide as `width` mm where it is widest: each side moves; nut line, middle and length stay.

    A SentenceError says it where that is less than the nut line, which stays as it is, or where a side would pass the
    centre line or cross the outline.
    """
    first, *_, last = nodes_of(build)
    nut_line = abs(first.at.x - last.at.x)
    if width < nut_line - SAME:
        refuse("The nut line stays as wide as it is; expected a width of {0} or more.", typed=(nut_line,))
    top, after = outline_bounds(build).top, build
    movable = frozenset(node.key for node in nodes_of(build) if not is_end(build, node.key))
    for _ in range(_ROUNDS):
        bounds = outline_bounds(after)
        missing = width - bounds.width
        if abs(missing) <= SAME:
            break
        after = _lifted(_pushed(after, movable, 0.0, Vector(missing / 2, 0.0)), top)
        if _past_centre(build, after):
            break
    if _past_centre(build, after) or _crossed(build, after):
        refuse("With a width of {0} the outline would cross itself.", typed=(width,))
    return after


def tip_ends(build: Build) -> Ends:
    """The outermost corners at the tip, left and right, in head mm; None where fewer than two lie apart there.

    Where a corner is rounded, the place where its sides would meet without that: as a starter measures its width.
    """
    ends = _outermost(nodes_of(build), _at_tip(build))
    return None if ends is None else (sharp_corner(build, ends[0]), sharp_corner(build, ends[1]))


def shoulder_ends(build: Build) -> Ends:
    """The outermost nodes of the lower half, the nut line's ends not counted, left and right, in head mm.

    None where fewer than two lie apart.
    """
    ends = _outermost(nodes_of(build), _at_shoulder(build))
    return None if ends is None else (ends[0].at, ends[1].at)


def _outermost(nodes: tuple[Node, ...], keys: frozenset[str]) -> tuple[Node, Node] | None:
    found = [node for node in nodes if node.key in keys]
    left, right = (pick(found, key=lambda node: node.at.x, default=None) for pick in (min, max))
    apart = left is not None and right is not None and right.at.x - left.at.x > SAME
    return (left, right) if left is not None and right is not None and apart else None


def _at_tip(build: Build) -> frozenset[str]:
    top = outline_bounds(build).top
    return frozenset(node.key for node in nodes_of(build) if node.at.y > TIP_FROM * top)


def _at_shoulder(build: Build) -> frozenset[str]:
    half = outline_bounds(build).top / 2
    return frozenset(
        node.key for node in nodes_of(build) if node.at.y <= half and not is_end(build, node.key)
    )


def with_tip_width(build: Build, width: float) -> Build:
    """The build with `width` mm between the corners of `tip_ends`: each side of the tip moves by half.

    The length stays, though the tip's line swings with its nodes.
    A SentenceError says it where the two sides of the tip would meet or the outline would cross itself.
    """
    text = "The sides of the tip would meet; expected a width of more than {0}."
    return _spread(build, width, tip_ends, _at_tip(build), text)


def with_shoulder_width(build: Build, width: float) -> Build:
    """The build with `width` mm between the nodes of `shoulder_ends`: each side of the lower half moves by half.

    A SentenceError says it where the two sides would meet or the outline would cross itself.
    """
    text = "The sides of the shoulder would meet; expected a width of more than {0}."
    return _spread(build, width, shoulder_ends, _at_shoulder(build), text)


def _spread(
    build: Build, width: float, ends_of: Callable[[Build], Ends], keys: frozenset[str], met: str
) -> Build:
    """Nodes moved outwards, each side alike, until what `ends_of` finds is as wide; `met` says that sides meet."""
    top, ends = outline_bounds(build).top, ends_of(build)
    assert ends is not None, "there are two sides"
    middle, now = (ends[0].x + ends[1].x) / 2, ends[1].x - ends[0].x
    beside = [n for n in nodes_of(build) if n.key in keys and abs(n.at.x - middle) > SAME]
    nearest = min(abs(node.at.x - middle) for node in beside)
    if width - now <= -2 * nearest:
        raise SentenceError(met, typed=(now - 2 * nearest,))
    after = build
    for _ in range(_ROUNDS):
        found = ends_of(after)
        wider = 0.0 if found is None else width - (found[1].x - found[0].x)
        higher = top - outline_bounds(after).top
        if max(abs(wider), abs(higher)) <= SAME:
            break
        after = _pushed(after, keys, middle, Vector(wider / 2, higher))
    if _crossed(build, after):
        refuse("With a width of {0} the outline would cross itself.", typed=(width,))
    return after


def _pushed(build: Build, keys: frozenset[str], middle: float, step: Vector) -> Build:
    """Nodes moved by a step that leads outwards on both sides of the middle, at x = `middle` mm only up."""
    places = {}
    for node in nodes_of(build):
        if node.key in keys:
            away = node.at.x - middle
            out = 0.0 if abs(away) <= SAME else math.copysign(step.x, away * step.x)
            places[node.key] = node.at + Vector(out, step.y)
    return move_nodes(build, places)


def _past_centre(before: Build, after: Build) -> bool:
    """Whether a node that was beside the centre line came upon it or to its other side."""
    pairs = zip(nodes_of(before), nodes_of(after), strict=True)
    return any(abs(one.at.x) > SAME and one.at.x * two.at.x <= 0 for one, two in pairs)


def _crossed(before: Build, after: Build) -> bool:
    """Whether the outline crosses itself and did not before."""
    return _crosses(after) and not _crosses(before)


def _crosses(build: Build) -> bool:
    drawn = Contour(tuple(segment for _, segment in runs_of(build)))
    return bool(as_arcs(drawn, ARCS).self_crossings(1))


# Roundings


SWUNG_DEG = 20.0
"""So far from smooth an arc still counts as a rounding: its sides swing while nodes are moved. No source."""


def sharp_corner(build: Build, node: Node) -> Point:
    """Where the sides of a rounding that begins or ends at the node would meet; the node's place without one."""
    corners = (_cut_off(build, run) for run in runs_at(build, node.key) if run is not None)
    return next((corner for corner in corners if corner is not None), node.at)


def _cut_off(build: Build, run: str) -> Point | None:
    """The corner under a run: an arc, tighter than the lines or arcs at its ends, that goes on smoothly into both."""
    before, after = runs_at(build, run)[0], runs_at(build, following(build, run))[1]
    rounding = segment_of(build, run)
    if before is None or after is None or not isinstance(rounding, Arc):
        return None
    one, two = segment_of(build, before), segment_of(build, after)
    if isinstance(one, Cubic) or isinstance(two, Cubic):
        return None
    bends = [abs(side.curvature) if isinstance(side, Arc) else 0.0 for side in (one, two)]
    turns = (
        one.tangent_at(1.0).cross(rounding.tangent_at(0.0)),
        rounding.tangent_at(1.0).cross(two.tangent_at(0.0)),
    )
    if abs(rounding.curvature) <= max(bends) or max(map(abs, turns)) > math.sin(math.radians(SWUNG_DEG)):
        return None
    crown = rounding.point_at(0.5)
    corner = min(circles_meet(one, two), key=crown.distance, default=None)
    # Sides that hardly lean towards each other meet far off: that is no corner of the head.
    near = corner is not None and crown.distance(corner) <= rounding.start.distance(rounding.end)
    return corner if near else None
