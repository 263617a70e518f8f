"""The corner that a rounding has cut off an outline of nodes."""

from __future__ import annotations

import math

from geometry.document.build import Build, Node
from geometry.document.outline_nodes import following, runs_at, segment_of
from geometry.shape.crossing import circles_meet
from geometry.shape.point import Point
from geometry.shape.segment import Arc, Cubic

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
