"""The runs of the edge that stand across the grain, and how far a bore is from them along it."""

from __future__ import annotations

import math
from functools import lru_cache

import msgspec
import numpy as np
import shapely

from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.pieces import chords, half_turns, pieces_of
from geometry.shape.point import Vector
from geometry.shape.shapes import Shapes, areas_of, lines_through
from geometry.shape.tolerance import CHORD, SAME

STEEP = math.pi / 4
"""From this angle to the grain on, an edge is an end; flatter runs are sides, which the wall check holds."""

ROUNDING = 1e-9
"""Angles in radians that differ by less are the same."""

FAR = 5000.0
"""Longer in mm than any head: how far towards the tip an end is looked for."""


class Caps(msgspec.Struct, frozen=True, eq=False):
    """The ends of a head: `runs` as lines within CHORD, and the unit direction of the grain towards the tip."""

    grain: Vector
    runs: shapely.MultiLineString

    @property
    def across(self) -> Vector:
        """The unit direction square to the grain, to the right."""
        return self.grain.right

    def along_grain(self, at: Floats, half: Floats) -> tuple[Floats, Floats]:
        """Least distances (n,) along the grain from places (n, 2) to an end, over strips of half width `half` (n,).

        Measured tipward from the line through each place square to the grain; infinite where no end is met. Also the
        places (n, 2) met.
        """
        found, places = np.full(len(at), np.inf), at.copy()
        ahead = shapely.intersection(self._strips(at, half), self.runs)
        met, strip = shapely.get_coordinates(ahead, return_index=True)
        distance = (met - at[strip]) @ _row(self.grain)
        # The nearest of each strip is written last.
        order = np.argsort(-distance)
        found[strip[order]], places[strip[order]] = distance[order], met[order]
        return found, places

    def base_lines(self, at: Floats, half: Floats) -> Floats:
        """Ends (n, 2, 2) of the lines through places square to the grain, `half` (n,) to each side."""
        aside = half[:, None] * _row(self.across)
        return np.stack([at - aside, at + aside], axis=1)

    def _strips(self, at: Floats, half: Floats) -> Shapes:
        """The strips (n,) from those lines on towards the tip."""
        near = self.base_lines(at + SAME * _row(self.grain), half)
        corners = np.concatenate([near, near[:, ::-1] + FAR * _row(self.grain)], axis=1)
        return areas_of(corners)


def _row(vector: Vector) -> Floats:
    return np.array([vector.x, vector.y])


@lru_cache(maxsize=16)
def caps_of(edge: Contour, grain_deg: float) -> Caps:
    """The ends among the lines and arcs of an edge, for grain turned `grain_deg` from the centre line.

    They are where its direction is within 45 degrees of square to the grain, either way; exactly 45 degrees counts.
    """
    grain = Vector(0.0, 1.0).turned(math.radians(grain_deg))
    # Grain has no sense; the tip is where ends are looked for.
    grain = -grain if grain.y < 0 else grain
    pieces = pieces_of(edge)
    angle, turn = np.arctan2(pieces.along @ _row(grain), pieces.along @ _row(grain.right)), half_turns(pieces)
    square = np.pi * np.arange(-2, 3)[:, None]
    first = np.maximum(angle - np.abs(turn), square - STEEP)
    last = np.minimum(angle + np.abs(turn), square + STEEP)
    straight = (pieces.curvature == 0) & (pieces.half > SAME)
    _, index = chosen = np.nonzero((last > first) | ((last > first - ROUNDING) & straight))
    begin, end = first[chosen] - angle[index], last[chosen] - angle[index]
    vertices, run = chords(pieces, index, begin, end, CHORD)
    return Caps(grain, lines_through(vertices, run))
