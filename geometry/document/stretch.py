"""The size of an outline as a whole, and its nodes stretched to another one.

Ends and corners keep their shape: to make a head longer its upper half moves as it is, to make it wider each side does.
"""

from __future__ import annotations

import math
from functools import reduce

from geometry.document.build import Build, Node
from geometry.document.outline_edits import is_end, move_nodes, nodes_of, runs_of
from geometry.shape.biarc import as_arcs
from geometry.shape.bounds import Bounds
from geometry.shape.contour import Contour
from geometry.shape.point import Point
from geometry.shape.tolerance import ARCS, SAME
from geometry.trade.sentence import SentenceError

TIP_FROM = 0.75
"""Nodes beyond this share of the length belong to the tip; corners of heads lie above it: from memory."""

_ROUNDS = 8
"""Runs swing a little with their nodes; each round makes up for what the last one left."""


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
        raise SentenceError(text, measured=(top - (lowest - below),))
    after = _lifted(build, length)
    if _crossed(build, after):
        text = "With a length of {0} the outline would cross itself."
        raise SentenceError(text, typed=(length,))
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
        text = "The nut line stays as wide as it is; expected a width of {0} or more."
        raise SentenceError(text, typed=(nut_line,))
    top, after = outline_bounds(build).top, build
    for _ in range(_ROUNDS):
        bounds = outline_bounds(after)
        missing = width - (bounds.right - bounds.left)
        if abs(missing) <= SAME:
            break
        after = _lifted(_widened(after, missing / 2), top)
        if _past_centre(build, after):
            break
    if _past_centre(build, after) or _crossed(build, after):
        text = "With a width of {0} the outline would cross itself."
        raise SentenceError(text, typed=(width,))
    return after


def tip_ends(build: Build) -> tuple[Point, Point] | None:
    """The outermost nodes at the tip, left and right, in head mm; None where fewer than two lie apart there."""
    top = outline_bounds(build).top
    places = [node.at for node in nodes_of(build) if node.at.y > TIP_FROM * top]
    left, right = (pick(places, key=lambda at: at.x, default=None) for pick in (min, max))
    return None if left is None or right is None or right.x - left.x <= SAME else (left, right)


def with_tip_width(build: Build, width: float) -> Build:
    """The build with `width` mm between the outermost nodes at the tip: each side of the tip moves by half.

    The length stays, though the tip's line swings with its nodes.
    A SentenceError says it where the two sides of the tip would meet or the outline would cross itself.
    """
    ends = tip_ends(build)
    assert ends is not None, "there is a tip with two sides"
    top, middle = outline_bounds(build).top, (ends[0].x + ends[1].x) / 2
    half = (width - (ends[1].x - ends[0].x)) / 2
    at_tip = [node for node in nodes_of(build) if node.at.y > TIP_FROM * top]
    beside = [node for node in at_tip if abs(node.at.x - middle) > SAME]
    places = {
        node.key: Point(node.at.x + (half if node.at.x > middle else -half), node.at.y) for node in beside
    }
    nearest = min(abs(node.at.x - middle) for node in beside)
    if half <= -nearest:
        text = "The sides of the tip would meet; expected a width of more than {0}."
        raise SentenceError(text, typed=(ends[1].x - ends[0].x - 2 * nearest,))
    after, keys = move_nodes(build, places), {node.key for node in at_tip}
    for _ in range(_ROUNDS):
        missing = top - outline_bounds(after).top
        if abs(missing) <= SAME:
            break
        tip = [node for node in nodes_of(after) if node.key in keys]
        after = move_nodes(after, {node.key: Point(node.at.x, node.at.y + missing) for node in tip})
    if _crossed(build, after):
        text = "With a width of {0} the outline would cross itself."
        raise SentenceError(text, typed=(width,))
    return after


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


def _widened(build: Build, half: float) -> Build:
    places = {
        node.key: Point(node.at.x + (half if node.at.x > 0 else -half), node.at.y)
        for node in nodes_of(build)
        if abs(node.at.x) > SAME and not is_end(build, node.key)
    }
    return move_nodes(build, places)
