"""What a wider ring must be worth: a little of it is no reason to spoil what is alike, even, or without a remark."""

from __future__ import annotations

import numpy as np

from geometry.checks.judge import Finding, Level, findings
from geometry.search.placing.alike import Twins, partners_of
from geometry.search.placing.standing import Standing, pitches_of
from geometry.trade.quantities import show_measured
from geometry.trade.sentence import Translate, as_it_is
from geometry.trade.units import Units

LEAST_GAIN = 0.2
"""Of the smallest ring in mm: what an asymmetry, an uneven pitch or a new watch must bring at least."""

# Places and pitches that differ by no more than this, in mm, are as good as alike, and so are watched quantities.
_TELLABLE = 0.05


def spoils(found: Standing, before: Standing, twins: Twins) -> bool:
    """Whether a placement is less alike, less even, or brings a watch that the one before has not or has less of."""
    return (
        lopsided(found, twins) > lopsided(before, twins) + _TELLABLE
        or uneven(found) > uneven(before) + _TELLABLE
        or _more_to_watch(found, before)
    )


def lopsided(standing: Standing, twins: Twins) -> float:
    """How far a post is from the mirror image of its partner at most, in mm."""
    at = {post.key: post.at for post in standing.facts.posts}
    pairs = partners_of(standing.build, twins).items()
    return max((at[one].mirrored.distance(at[two]) for one, two in pairs), default=0.0)


def uneven(standing: Standing) -> float:
    """How much a pitch differs from the mean of its row at most, in mm."""
    return float(np.max(np.abs(pitches_of(standing.facts).off), initial=0.0))


def _more_to_watch(found: Standing, before: Standing) -> bool:
    """Whether a limit is watched that was kept before, or one with no stop limit is passed by more than before."""
    was, now = _watched(before), _watched(found)
    return any(
        each.level is Level.WATCH
        and (
            limit not in was
            or (each.stop is None and (was[limit].margin or 0.0) - (each.margin or 0.0) > _TELLABLE)
        )
        for limit, each in now.items()
    )


def _watched(standing: Standing) -> dict[tuple[str, frozenset[str]], Finding]:
    """The findings at watch or stop, each by its check and the names of its parts; the worst of those named alike."""
    found = sorted(
        findings(standing.build, standing.facts.layout), key=lambda each: each.margin or 0.0, reverse=True
    )
    return {
        (each.check, frozenset(part.name for part in each.about)): each
        for each in found
        if each.level in (Level.WATCH, Level.STOP)
    }


# What was given up


GIVEN_UP = (
    "A smallest ring {0} larger was found with sides or pitches less alike, or with more to look at; "
    "below {1} it is not worth that."
)


def say_given_up(given_up: float, units: Units = "mm", translate: Translate = as_it_is) -> str | None:
    """What was left for the sake of what is alike; None where that is too little to tell. `given_up` is in mm."""
    if given_up < _TELLABLE:
        return None
    return translate(GIVEN_UP).format(show_measured(given_up, units), show_measured(LEAST_GAIN, units))
