"""What a wider ring must be worth: a little of it is no reason to spoil what is alike, even, or without a remark."""

from __future__ import annotations

import numpy as np

from geometry.checks.judge import Level, findings
from geometry.search.alike import Twins, partners_of
from geometry.search.standing import Standing, pitches_of

LEAST_GAIN = 0.2
"""Of the smallest ring in mm: what an asymmetry, an uneven pitch or a new watch must bring at least."""

TELLABLE = 0.05
"""Places and pitches that differ by no more than this, in mm, are as good as alike."""


def spoils(found: Standing, before: Standing, twins: Twins) -> bool:
    """Whether a placement is less alike, less even or brings a watch that the one before has not."""
    return (
        lopsided(found, twins) > lopsided(before, twins) + TELLABLE
        or uneven(found) > uneven(before) + TELLABLE
        or bool(_watched(found, Level.WATCH) - _watched(before, Level.WATCH, Level.STOP))
    )


def lopsided(standing: Standing, twins: Twins) -> float:
    """How far a post is from the mirror image of its partner at most, in mm."""
    at = {post.key: post.at for post in standing.facts.posts}
    pairs = partners_of(standing.build, twins).items()
    return max((at[one].mirrored.distance(at[two]) for one, two in pairs), default=0.0)


def uneven(standing: Standing) -> float:
    """How much a pitch differs from the mean of its row at most, in mm."""
    return float(np.max(np.abs(pitches_of(standing.facts).off), initial=0.0))


def _watched(standing: Standing, *levels: Level) -> set[tuple[str, frozenset[str]]]:
    found = findings(standing.build, standing.facts.layout)
    return {
        (each.check, frozenset(part.name for part in each.about)) for each in found if each.level in levels
    }
