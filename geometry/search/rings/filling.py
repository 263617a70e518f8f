"""Radii shared out fairly: the smallest as large as it can be, then each of the others in turn."""

from __future__ import annotations

import numpy as np

from geometry.shape.close import Floats

TIGHT = 1e-9
"""Below this slack, in mm, a row is used up."""


def fill(weights: Floats, margins: Floats, most: Floats) -> Floats:
    """The radii (n,) with weights (k, n) @ radii <= margins (k,) and radii <= most (n,), all of them 0 or more.

    The smallest radius is as large as possible, then the next smallest, and so on (lexicographic max-min). A row
    without slack leaves its posts nothing.
    """
    count = weights.shape[1]
    table = np.vstack([weights, np.eye(count)])
    room = np.maximum(np.concatenate([margins, most]), 0.0)
    growing = np.ones(count, dtype=bool)
    radii = np.zeros(count)
    while growing.any():
        share = table[:, growing].sum(axis=1)
        touched = share > 0
        slack = np.maximum(room - table @ radii, 0.0)
        step = float(np.min(slack[touched] / share[touched]))
        radii[growing] += step
        used = touched & (slack - step * share <= TIGHT)
        growing &= ~(table[used] > 0).any(axis=0)
    return radii
