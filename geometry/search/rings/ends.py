"""How far each bore may move before the grain between it and the tip is too short."""

from __future__ import annotations

import numpy as np
from shapely.affinity import translate

from geometry.checks import wood
from geometry.checks.caps import caps_of
from geometry.checks.facts import Facts
from geometry.checks.gaps import required
from geometry.shape.close import Floats
from geometry.shape.shapes import lines_of, shortest
from geometry.shape.tolerance import SAME


def end_slack(facts: Facts) -> tuple[Floats, Floats]:
    """Exact margins (n,) in mm that each post may move in any direction, and the ways (n, 2) that end them soonest.

    A bore keeps its end distance L as long as the line through its middle, as wide as the bore and square to the
    grain, does not meet the ends of the head moved back by L along the grain: a distance of a line to lines and arcs.
    """
    rule = facts.rule("end distance")
    count = len(facts.posts)
    margins, ways = np.full(count, np.inf), np.zeros((count, 2))
    if rule.stop is None:
        return margins, ways
    grain_deg = facts.build.head.grain_deg
    needed = np.broadcast_to(required(rule.stop, facts.bore), (count,))
    caps = caps_of(facts.edge.contour, grain_deg)
    bases = lines_of(caps.base_lines(facts.at, facts.bore / 2))
    for length in np.unique(needed).tolist():
        chosen = np.flatnonzero(needed == length)
        moved = translate(caps.runs, -length * caps.grain.x, -length * caps.grain.y)
        if not moved.is_empty:
            margins[chosen], here, there = shortest(bases[chosen], moved)
            ways[chosen] = there - here
    found = wood.end_distance(facts)
    broken = found.measured - found.stop < -SAME
    margins[found.i[broken]] = (found.measured - found.stop)[broken]
    return margins, ways
