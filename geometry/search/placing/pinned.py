"""Rows whose rule must go on leading through a post that is fixed."""

from __future__ import annotations

import math

import numpy as np
from msgspec.structs import replace

from geometry.document.build import Build, StraightPull
from geometry.layout.layout import lay_out
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.measures import LEAST

ROUNDS = 6
NUDGE = 1e-3
"""Change of start and inset in mm, for differences."""


def through(build: Build, row: int, post: str, target: Point) -> Build:
    """The build with start and inset of a row such that its rule puts `post` to `target` (Newton's method).

    Where the rule cannot lead there, the row is left as near as it came.
    """
    for _ in range(ROUNDS):
        tried = (build, _changed(build, row, NUDGE, 0.0), _changed(build, row, 0.0, NUDGE))
        off = np.array([_off(each, post, target) for each in tried])
        if not np.isfinite(off).all() or float(np.hypot(*off[0])) < SAME / 10:
            break
        slopes = (off[1:] - off[0]).T / NUDGE
        start, inset = np.linalg.lstsq(slopes, -off[0], rcond=None)[0].tolist()
        build = _changed(build, row, start, inset)
    return build


def _off(build: Build, post: str, target: Point) -> tuple[float, float]:
    """How far a post is from its target, NaN where it has no place."""
    found = next((each.at for each in lay_out(build).posts if each.key == post), None)
    return (math.nan, math.nan) if found is None else (found.x - target.x, found.y - target.y)


def _changed(build: Build, row: int, start: float, inset: float) -> Build:
    rows = list(build.rows)
    before = rows[row].rule
    assert not isinstance(before, StraightPull), "straight pull has no inset"
    rule = replace(
        before,
        start=max(LEAST, before.start + start),
        inset=max(LEAST, before.inset + inset),
    )
    rows[row] = replace(rows[row], rule=rule)
    return replace(build, rows=tuple(rows))
