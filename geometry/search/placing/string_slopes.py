"""How the distances of strings change with the places of posts, at given displacements."""

from __future__ import annotations

import numpy as np

from geometry.search.rings.string_slack import StringSlack, pair_ends
from geometry.search.rings.string_worst import clear_of
from geometry.shape.close import Floats, Indices, segment_segment

NUDGE = 1e-5
"""Step in mm for differences."""


def string_slopes(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    """Gradients (c, n, 2) of the margins of chosen rows by the places of the posts, displaced by steps (c, n, 2)."""
    count = len(strings.discs.line)
    in_pairs = chosen >= count
    found = np.zeros_like(steps)
    found[~in_pairs] = _of_discs(strings, chosen[~in_pairs], steps[~in_pairs])
    found[in_pairs] = _of_pairs(strings, chosen[in_pairs] - count, steps[in_pairs])
    return found


def _of_discs(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    lines, rows = strings.lines, strings.discs.only(chosen)
    row = np.arange(len(chosen))
    owner = lines.owner[rows.line]
    at = strings.at[rows.post]
    swung, moved = steps[row, owner], steps[row, rows.post]
    slopes = np.zeros_like(steps)
    for axis in (0, 1):
        nudge = NUDGE * np.eye(2)[axis]
        by_line = clear_of(rows, lines, swung + nudge, at + moved) - clear_of(
            rows, lines, swung - nudge, at + moved
        )
        by_post = clear_of(rows, lines, swung, at + moved + nudge) - clear_of(
            rows, lines, swung, at + moved - nudge
        )
        slopes[row, owner, axis] += np.where(owner >= 0, by_line, 0.0) / (2 * NUDGE)
        slopes[row, rows.post, axis] += by_post / (2 * NUDGE)
    return slopes


def _of_pairs(strings: StringSlack, chosen: Indices, steps: Floats) -> Floats:
    lines, rows = strings.lines, strings.pairs.only(chosen)
    row = np.arange(len(chosen))
    slopes = np.zeros_like(steps)
    if not len(chosen):
        return slopes
    owners = lines.owner[rows.one], lines.owner[rows.two]

    def apart(first: Floats, second: Floats) -> Floats:
        ends = pair_ends(lines, rows.one, first, rows.whole)
        others = pair_ends(lines, rows.two, second, rows.whole)
        return segment_segment(lines.start[rows.one], ends, lines.start[rows.two], others)[0]

    first, second = (steps[row, owner] for owner in owners)
    for axis in (0, 1):
        nudge = NUDGE * np.eye(2)[axis]
        by_one = (apart(first + nudge, second) - apart(first - nudge, second)) / (2 * NUDGE)
        by_two = (apart(first, second + nudge) - apart(first, second - nudge)) / (2 * NUDGE)
        for owner, slope in zip(owners, (by_one, by_two), strict=True):
            slopes[row, owner, axis] += np.where(owner >= 0, slope, 0.0)
    return slopes
