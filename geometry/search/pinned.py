"""Rows whose rule must go on leading through a post that is fixed."""

from __future__ import annotations

import numpy as np
from msgspec.structs import replace

from geometry.build.build import Build, StraightPull
from geometry.layout.layout import lay_out
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME

ROUNDS = 6
NUDGE = 1e-3
SMALLEST = 0.1
"""The least start and inset in mm."""


def through(build: Build, row: int, post: str, target: Point) -> Build:
    """The build with start and inset of a row such that its rule puts `post` to `target` (Newton's method).

    Where the rule cannot lead there, the row is left as near as it came.
    """
    for _ in range(ROUNDS):
        off = _off(build, post, target)
        if off is None or float(np.hypot(*off)) < SAME / 10:
            return build
        later = _off(_changed(build, row, NUDGE, 0.0), post, target)
        inner = _off(_changed(build, row, 0.0, NUDGE), post, target)
        if later is None or inner is None:
            return build
        slopes = np.column_stack([later - off, inner - off]) / NUDGE
        if abs(float(np.linalg.det(slopes))) < SAME:
            return build
        start, inset = np.linalg.solve(slopes, -off).tolist()
        build = _changed(build, row, start, inset)
    return build


def _off(build: Build, post: str, target: Point) -> Floats | None:
    """How far (2,) a post is from its target, None where it has no place."""
    found = next((each.at for each in lay_out(build).posts if each.key == post), None)
    return None if found is None else np.array([found.x - target.x, found.y - target.y])


def _changed(build: Build, row: int, start: float, inset: float) -> Build:
    rows = list(build.rows)
    before = rows[row].rule
    assert not isinstance(before, StraightPull), "straight pull has no inset"
    rule = replace(
        before,
        start=max(SMALLEST, before.start + start),
        inset=max(SMALLEST, before.inset + inset),
    )
    rows[row] = replace(rows[row], rule=rule)
    return replace(build, rows=tuple(rows))
