"""How far posts may be off against each other where one plate or one screw holds several tuners."""

from __future__ import annotations

from itertools import groupby, pairwise

import numpy as np

from geometry.checks.facts import Facts
from geometry.layout.on_plate import plate_error, play_of
from geometry.layout.parts import PlacedPost
from geometry.shape.close import Floats

PlayRow = tuple[dict[int, float], float, str]
"""Weights by the number of the post, the margin in mm, and what holds the tuners together."""


def play_rows(facts: Facts) -> list[PlayRow]:
    """The row may shift as a whole, but a hole against its neighbours only by its play, (bore - shaft) / 2.

    Neighbours that stand off the plate's pitch already have used up some of it.
    """
    found: list[PlayRow] = []
    numbered = enumerate(facts.posts)
    for _, group in groupby(numbered, lambda each: each[1].row):
        row = list(group)
        hardware = row[0][1].hardware
        if hardware.plate is None and not (len(row) > 1 and any(screw.shared for screw in hardware.screws)):
            continue
        what = "shared screw" if hardware.plate is None else "plate"
        found += [({number: 1.0}, play_of(post), what) for number, post in row]
        if hardware.plate is not None:
            found += _pairs(row, hardware.plate.pitch)
    return found


def _pairs(row: list[tuple[int, PlacedPost]], pitch: float) -> list[PlayRow]:
    return [
        ({i: 1.0, j: 1.0}, play_of(one) + play_of(two) - plate_error(one, two, pitch), "plate")
        for (i, one), (j, two) in pairwise(row)
    ]


def weights_of(row: PlayRow, count: int) -> Floats:
    """The weights (n,) of a row for all posts."""
    weights = np.zeros(count)
    for number, weight in row[0].items():
        weights[number] = weight
    return weights
