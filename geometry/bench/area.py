"""Integrals over the area of a closed curve of lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np

from geometry.shape.contour import Contour
from geometry.shape.segment import Arc, Line

_LONGEST = 5.0
"""Length in mm of curve that one rule integrates: short enough for five nodes to leave no error worth telling."""

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(5)
_SHARES = tuple(float(each) for each in (_NODES + 1) / 2)
_PARTS = tuple(float(each) for each in _WEIGHTS / 2)


def area_integrals(region: Contour, weight: Callable[[float], float]) -> tuple[float, float, float]:
    """The integrals of w(y), w(y) x and w(y) y over the inside of a counter-clockwise region; w is `weight`.

    By Green's theorem along the curve, w x dy, w x^2 / 2 dy and w x y dy, with Gauss's rule of five nodes on every
    stretch of 5 mm: exact for straight sides and a weight up to the eighth power, and as good for arcs.
    """
    whole, across, up = 0.0, 0.0, 0.0
    for segment in region.segments:
        assert isinstance(segment, Line | Arc), "make cubics arcs first"
        count = max(1, math.ceil(segment.length / _LONGEST))
        length = segment.length / count
        for stretch in range(count):
            for share, part in zip(_SHARES, _PARTS, strict=True):
                t = (stretch + share) / count
                at = segment.point_at(t)
                step = weight(at.y) * segment.tangent_at(t).y * length * part
                whole += step * at.x
                across += step * at.x * at.x / 2
                up += step * at.x * at.y
    return whole, across, up
