"""An edge drawn on smoothly where it is not seen."""

from __future__ import annotations

import numpy as np

from geometry.shape.close import Floats


def smooth(before: Floats, first: Floats, last: Floats, beyond: Floats) -> Floats:
    """Places of the cubic (Hermite) from `first` to `last` that goes on as the edge comes and leaves."""
    chord = float(np.linalg.norm(last - first))
    ways = [way / max(float(np.linalg.norm(way)), 1e-9) * chord for way in (first - before, beyond - last)]
    t = np.linspace(0.0, 1.0, max(3, round(chord / 0.3)))[1:-1, None]
    return np.asarray(
        (2 * t**3 - 3 * t**2 + 1) * first
        + (t**3 - 2 * t**2 + t) * ways[0]
        + (3 * t**2 - 2 * t**3) * last
        + (t**3 - t**2) * ways[1],
        float,
    )
