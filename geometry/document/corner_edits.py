"""Edits of the corners of an outline: sharp, smooth, rounded by a radius.

Every edit of a starter turns it into nodes first. `symmetric` does the same to the node's partner across the centre
line. A ValueError is a sentence for the maker.
"""

from __future__ import annotations

import math
from itertools import pairwise

from msgspec.structs import replace

from geometry.document.build import Build
from geometry.document.edits import free_outline, set_run
from geometry.document.node_edits import at_both, handle_of, new_node_key, with_handle, with_nodes
from geometry.document.outline import Bend
from geometry.document.outline_nodes import (
    End,
    as_curve,
    following,
    has_handle,
    index_of,
    is_end,
    node_of,
    nodes_of,
    partner_of,
    runs_at,
    segment_between,
    segment_of,
    tangents_at,
)
from geometry.document.starters import run_of
from geometry.shape import offset
from geometry.shape.contour import Contour
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import refuse


def make_smooth(build: Build, node: str, *, symmetric: bool = False) -> Build:
    """Let the outline go through a node without a corner.

    Between two runs without handles both become curves; a curve next to another kind of run goes on in its direction;
    two curves meet half-way between their directions. The ends of the outline stay as they are.
    """
    build = free_outline(build)
    nodes = [each for each in _both_keys(build, node, symmetric=symmetric) if not is_end(build, each)]
    stiff = [each for each in nodes if not has_handle(build, each, "arrive")]
    for each in [each for each in stiff if not has_handle(build, each, "leave")]:
        build = _all_curves(build, each)
    for each in nodes:
        build = _aligned(build, each)
    return build


def _both_keys(build: Build, node: str, *, symmetric: bool) -> tuple[str, ...]:
    partner = partner_of(build, node) if symmetric else None
    return (node,) if partner is None or partner == node else (node, partner)


def _all_curves(build: Build, node: str) -> Build:
    for run in runs_at(build, node):
        if run is not None:
            build = set_run(build, run, as_curve(segment_of(build, run)))
    return build


def _aligned(build: Build, node: str) -> Build:
    tangents = tangents_at(build, node)
    assert tangents is not None, "ends are not aligned"
    arriving, leaving = tangents
    if not has_handle(build, node, "arrive"):
        direction = arriving
    elif not has_handle(build, node, "leave"):
        direction = leaving
    else:
        mean = arriving + leaving
        # Straight back on itself there is no middle: the outline then turns square to it.
        direction = mean.unit() if mean.length > SAME else arriving.left
    ends: tuple[tuple[End, Vector], ...] = (("leave", direction), ("arrive", -direction))
    for end, way in ends:
        if has_handle(build, node, end):
            reach = max(handle_of(build, node, end).length, 10 * SAME)
            build = with_handle(build, node, end, way * reach)
    return build


def make_corner(build: Build, node: str, *, symmetric: bool = False) -> Build:
    """Give a node a corner: its handles point straight to the neighbouring nodes, arcs become curves for that.

    The ends of the outline stay as they are.
    """
    build = free_outline(build)
    for each in _both_keys(build, node, symmetric=symmetric):
        build = build if is_end(build, each) else _cornered(build, each)
    return build


def _cornered(build: Build, node: str) -> Build:
    before, after = runs_at(build, node)
    assert before is not None, "only the ends lack a run"
    assert after is not None, "only the ends lack a run"
    for run in (before, after):
        if isinstance(node_of(build, run).onward, Bend):
            build = set_run(build, run, as_curve(segment_of(build, run)))
    at = node_of(build, node).at
    build = with_handle(build, node, "arrive", (node_of(build, before).at - at) / 3)
    return with_handle(build, node, "leave", (node_of(build, following(build, node)).at - at) / 3)


def round_corner(build: Build, node: str, radius: float, *, symmetric: bool = False) -> Build:
    """Round a corner with a tangent arc of this radius in mm; the node becomes the arc's end.

    ValueError when the node is no corner or the arc does not fit between its runs.
    """
    return at_both(build, node, lambda each, key: _rounded(each, key, radius), symmetric=symmetric)


def _rounded(build: Build, node: str, radius: float) -> Build:
    if is_end(build, node):
        refuse("The ends of the outline on the nut line cannot be rounded.")
    nodes = nodes_of(build)
    number = index_of(nodes, node)
    around = nodes[number - 1 : number + 2]
    sides = Contour(tuple(segment_between(one, two) for one, two in pairwise(around)))
    rounded = offset.round_corner(sides, 1, radius).segments
    # A side that was used up is gone, and with it a node.
    named = (around[0], around[1], replace(around[1], key=new_node_key(build)))
    new = tuple(
        replace(each, at=segment.start, onward=run_of(segment))
        for each, segment in zip(named, rounded, strict=False)
    )
    return with_nodes(build, (*nodes[: number - 1], *new, *nodes[number + 1 :]))


def radius_for_reach(build: Build, node: str, reach: float) -> float:
    """The radius in mm of a rounding that begins `reach` mm before a corner of straight sides; 0 at no corner."""
    tangents = tangents_at(build, node)
    if tangents is None:
        return 0.0
    arriving, leaving = tangents
    turn = abs(math.atan2(arriving.cross(leaving), arriving.dot(leaving)))
    return reach / math.tan(turn / 2) if turn > SAME else 0.0
