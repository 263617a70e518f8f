"""The runs of the edge that stand across the grain, and how far a bore is from them along it."""

from __future__ import annotations

import math
from functools import lru_cache

import msgspec
import numpy as np
import shapely

from geometry.shape.close import Floats
from geometry.shape.contour import Contour
from geometry.shape.flat import chord_counts
from geometry.shape.pieces import Pieces, pieces_of
from geometry.shape.point import Vector
from geometry.shape.shapes import Shapes, areas_of
from geometry.shape.tolerance import CHORD, SAME

STEEP = math.pi / 4
"""From this angle to the grain on, an edge is an end; flatter runs are sides, which the wall check holds."""

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
    """The ends among the lines and arcs of an edge, for grain turned `grain_deg` from the centre line."""
    grain = Vector(0.0, 1.0).turned(math.radians(grain_deg))
    # Grain has no sense; the tip is where ends are looked for.
    grain = -grain if grain.y < 0 else grain
    pieces = pieces_of(edge)
    runs = [*_line_runs(pieces, grain), *_arc_runs(pieces, grain)]
    return Caps(grain, shapely.MultiLineString(runs))


def _line_runs(pieces: Pieces, grain: Vector) -> list[Floats]:
    """The straight pieces at 45 degrees or more to the grain; exactly 45 degrees counts as an end."""
    chord = pieces.ends - pieces.starts
    across, along = np.abs(chord @ _row(grain.right)), np.abs(chord @ _row(grain))
    chosen = np.flatnonzero((pieces.curvature == 0) & (across > SAME) & (across >= along - SAME))
    return list(np.stack([pieces.starts[chosen], pieces.ends[chosen]], axis=1))


def _arc_runs(pieces: Pieces, grain: Vector) -> list[Floats]:
    """The parts of arcs within 45 degrees of their highest and lowest places along the grain."""
    arcs = np.flatnonzero(pieces.curvature)
    curvature, left = pieces.curvature[arcs], pieces.along[arcs] @ np.array([[0.0, 1.0], [-1.0, 0.0]])
    centres = pieces.middles[arcs] + left * (pieces.cosine[arcs] / curvature)[:, None]
    out = pieces.starts[arcs] - centres
    # Angles of the radius from the grain, counter-clockwise.
    first = np.arctan2(-(out @ _row(grain.right)), out @ _row(grain))
    turn = 4 * np.arctan(pieces.bulges[arcs])
    low, high = np.minimum(first, first + turn), np.maximum(first, first + turn)
    middles = np.pi * np.arange(-3, 4)[:, None]
    begin, end = np.maximum(low, middles - STEEP), np.minimum(high, middles + STEEP)
    row, arc = np.nonzero(end > begin)
    begin, end, centres, curvature = begin[row, arc], end[row, arc], centres[arc], curvature[arc]
    counts = chord_counts(end - begin, curvature, CHORD)
    return [
        centre + _round(grain, np.linspace(one, two, count + 1)) / abs(bent)
        for centre, one, two, count, bent in zip(centres, begin, end, counts.tolist(), curvature, strict=True)
    ]


def _round(grain: Vector, angles: Floats) -> Floats:
    """Unit vectors (k, 2) at angles (k,) from the grain, counter-clockwise."""
    unit: Floats = np.cos(angles)[:, None] * _row(grain) - np.sin(angles)[:, None] * _row(grain.right)
    return unit
