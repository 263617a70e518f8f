"""Lines and arcs as vertices of straight chords, for the library that judges distances."""

from __future__ import annotations

import numpy as np

from geometry.shape.close import Floats, Indices
from geometry.shape.pieces import Pieces


def flattened(pieces: Pieces, tolerance: float) -> Floats:
    """Vertices (k, 2) of the pieces in order, whose chords stray at most `tolerance` mm from them, ends included."""
    half_turn = 2 * np.arctan(pieces.bulges)
    piece, share = _shares(chord_counts(2 * half_turn, pieces.curvature, tolerance))
    turned = half_turn[piece] * (2 * share - 1)
    # Only arcs have vertices between their ends, so nothing is divided by the curvature of a line.
    curvature = np.where(share > 0, pieces.curvature[piece], 1.0)
    along = pieces.along[piece]
    up = (pieces.cosine[piece] - np.cos(turned)) / curvature
    middles = pieces.middles[piece]
    between = middles + (np.sin(turned) / curvature)[:, None] * along
    between += up[:, None] * np.stack([-along[:, 1], along[:, 0]], axis=1)
    vertices = np.where((share > 0)[:, None], between, pieces.starts[piece])
    return np.concatenate([vertices, pieces.ends[-1:]])


def chord_counts(turns: Floats, curvatures: Floats, tolerance: float) -> Indices:
    """Into how many chords (n,) arcs of such turns (n,) and curvatures (n,) go within `tolerance` mm; lines into 1.

    A chord of an arc with the radius r that turns by 2 a strays by r (1 - cos a) = 2 r sin^2(a / 2).
    """
    step = 4 * np.arcsin(np.sqrt(np.minimum(tolerance * np.abs(curvatures) / 2, 0.5)))
    counts = np.ceil(np.divide(np.abs(turns), step, out=np.ones_like(turns), where=step > 0))
    return np.asarray(np.maximum(counts, 1), dtype=np.intp)


def _shares(counts: Indices) -> tuple[Indices, Floats]:
    """The number of the piece (k,) and the share of it (k,) at which each chord begins."""
    piece = np.repeat(np.arange(len(counts)), counts)
    first = np.repeat(np.cumsum(counts) - counts, counts)
    return piece, (np.arange(len(piece)) - first) / counts[piece]
