"""Lines and arcs as vertices of straight chords, for the library that judges distances."""

from __future__ import annotations

import numpy as np

from geometry.shape.close import Floats, Indices, left
from geometry.shape.pieces import Pieces


def flattened(pieces: Pieces, tolerance: float) -> Floats:
    """Vertices (k, 2) of the pieces in order, whose chords stray at most `tolerance` mm from them, ends included."""
    turns = half_turns(pieces)
    vertices, piece = chords(pieces, np.arange(len(turns)), -turns, turns, tolerance)
    # Each piece starts where the one before it ends.
    kept: Floats = vertices[np.append(np.diff(piece) == 0, True)]
    return kept


def half_turns(pieces: Pieces) -> Floats:
    """Half of what each piece (n,) turns to the left from its start to its end, in radians; 0 for lines."""
    return 2 * np.arctan(pieces.bulges)


def chords(
    pieces: Pieces, index: Indices, first: Floats, last: Floats, tolerance: float
) -> tuple[Floats, Indices]:
    """Vertices (k, 2) of parts (m,) of pieces, both ends of each included, and the part (k,) of each.

    A part reaches from where an arc has turned by `first` (m,) from the direction of its chord to where it has by
    `last`; a line, which does not turn, is taken whole.
    """
    counts = chord_counts(last - first, pieces.curvature[index], tolerance)
    part = np.repeat(np.arange(len(counts)), counts + 1)
    share = (np.arange(len(part)) - (np.cumsum(counts + 1) - counts - 1)[part]) / counts[part]
    turned, turn = first[part] + (last - first)[part] * share, half_turns(pieces)[index][part]
    piece = index[part]
    curvature = pieces.curvature[piece]
    bent = curvature != 0
    radius = np.divide(1.0, curvature, out=np.zeros_like(curvature), where=bent)
    onward = np.where(bent, np.sin(turned) * radius, pieces.half[piece] * (2 * share - 1))
    # (cos turn - cos turned) / curvature without losing digits on arcs that hardly bend.
    aside = 2 * np.sin((turned + turn) / 2) * np.sin((turned - turn) / 2) * radius
    along = pieces.along[piece]
    return pieces.middles[piece] + onward[:, None] * along + aside[:, None] * left(along), part


def chord_counts(turns: Floats, curvatures: Floats, tolerance: float) -> Indices:
    """Into how many chords (n,) arcs of such turns (n,) and curvatures (n,) go within `tolerance` mm; lines into 1.

    A chord of an arc with the radius r that turns by 2 a strays by r (1 - cos a) = 2 r sin^2(a / 2).
    """
    step = 4 * np.arcsin(np.sqrt(np.minimum(tolerance * np.abs(curvatures) / 2, 0.5)))
    counts = np.ceil(np.divide(np.abs(turns), step, out=np.ones_like(turns), where=step > 0))
    return np.asarray(np.maximum(counts, 1), dtype=np.intp)
