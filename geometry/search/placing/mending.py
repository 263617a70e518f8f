"""Where no placement keeps every limit: what moving holes cures without making anything worse.

A linear program makes the sum of all that is missing small, each limit in its own unit, so that as many as can be are
cured and the rest stays as it is. Limits that hold go on holding, and what is broken is broken no further.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import msgspec
import numpy as np

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, findings
from geometry.document.build import Build
from geometry.search.placing.climb import (
    DEAR,
    FIRST_REACH,
    IDLE,
    INSIDE,
    LEAST_REACH,
    MOST_REACH,
    Climb,
    Place,
)
from geometry.search.placing.gate import harm, stops_of
from geometry.search.placing.handles import DECIMALS
from geometry.search.placing.standing import Standing
from geometry.search.placing.straightened import Straightened
from geometry.search.rings.height_slack import HEIGHTS
from geometry.search.rings.slack import Slack
from geometry.search.rings.string_slack import StringSlack
from geometry.shape.close import Flags, Floats
from geometry.shape.tolerance import PASS, SAME

_AIM = 0.05  # what is cured is so far inside its limit in the end, in mm or degrees
_FURTHER = 50.0  # what a mm is worth that a limit is broken further, in mm that are cured

STEPS = 20
_LEAST_GAIN = 1e-3  # a step that promises less, in mm, is not worth it
_TELLABLE = (
    0.05  # stops that stay are worth moving for if all of them become smaller by so much together, in mm
)

Name = tuple[str, tuple[Part, ...]]


def least_bad(build: Build, climb: Climb, start: Standing, found: Standing | None) -> Standing:
    """The placement with the fewest stops that is no worse than `build`; `start` where none is better.

    `start` is how the climb's rows stand as they are, `found` what another search came to.
    """
    before = findings(build)
    best, least = start, _badness(before)
    for standing in (*_mended(climb, start), *([] if found is None else [found])):
        after = findings(standing.build)
        count, missing = _badness(after)
        better = count < least[0] or (count == least[0] and missing < least[1] - _TELLABLE)
        if better and standing.outside <= start.outside + SAME and not harm(before, after):
            best, least = standing, (count, missing)
    return best


def _badness(found: Iterable[Finding]) -> tuple[int, float]:
    """How many stops there are, and by how much all but heights, worth no moving, miss their limits."""
    stops = stops_of(found)
    return len(stops), sum(-(each.margin or 0.0) for each in stops if each.check not in HEIGHTS)


class _Bounds(msgspec.Struct, frozen=True):
    """The least margin of each limit at the start, and the heights that nobody moves for."""

    start: dict[Name, float]
    left: frozenset[Name]

    def floors(self, names: Iterable[Name]) -> Floats:
        """Below which margins (k,) a limit is broken further than at the start, or newly."""
        return np.array([min(self.start.get(name, _AIM), _AIM) for name in names])

    def aims(self, names: Iterable[Name]) -> Floats:
        """From which margins (k,) on nothing more is wanted."""
        return np.array([self._aim(name) for name in names])

    def _aim(self, name: Name) -> float:
        start = self.start.get(name, _AIM)
        return min(start, _AIM) if start >= -PASS or name in self.left else _AIM

    def missing(self, standing: Standing) -> float:
        """What is missing in all, in mm: what is broken further counts more."""
        names, margins = _names(standing), _margins(standing)
        floors, aims = self.floors(names), self.aims(names)
        short = np.clip(aims - margins, 0.0, aims - floors).sum()
        further = np.maximum(floors - margins, 0.0).sum()
        return float(short + _FURTHER * further + DEAR * standing.outside)


def _names(standing: Standing) -> list[Name]:
    return [*_of_rows(standing.rigid), *_of_rows(standing.strings)]


def _of_rows(rows: Slack | StringSlack) -> Iterator[Name]:
    return zip(rows.checks, rows.about, strict=True)


def _margins(standing: Standing) -> Floats:
    return np.concatenate([standing.rigid.margins, standing.strings.margins])


def _broken_heights(standing: Standing) -> frozenset[Name]:
    rows = zip(_of_rows(standing.rigid), standing.rigid.margins.tolist(), strict=True)
    return frozenset(name for name, margin in rows if name[0] in HEIGHTS and margin < -PASS)


def is_out_of_reach(standing: Standing) -> bool:
    """Whether a height is broken that even the end of the head, where it is best, does not cure."""
    facts, rigid = standing.facts, standing.rigid
    down, up = facts.at[:, 1], facts.layout.top - facts.at[:, 1]
    # Towards what breaks it further is away from what cures it.
    away = rigid.toward[:, :, 1]
    gain = (rigid.weights * np.where(away > 0, down, np.where(away < 0, up, 0.0))).sum(axis=1)
    by_thickness = np.isin(rigid.checks, sorted(HEIGHTS - {"break"}))
    return bool((by_thickness & (rigid.margins + gain < -PASS)).any())


def is_held_by_break(standing: Standing) -> bool:
    """Whether a string that breaks too little is what keeps a placement from being better.

    A few mm change that by a fraction of a degree, so that it is the same from every other start nearby.
    """
    rigid = standing.rigid
    held = (rigid.margins < min(0.0, standing.room + _AIM)) & (np.array(rigid.checks) == "break")
    return bool(held.any())


def _mended(climb: Climb, start: Standing) -> Iterator[Standing]:
    """What is reached from the rows as they are: with every height, and with those only that are cured then."""
    first = climb.place(climb.handles.values())
    if first is None or not climb.handles.handles:
        return
    margins: dict[Name, float] = {}
    for name, margin in zip(_names(start), _margins(start).tolist(), strict=True):
        margins[name] = min(margin, margins.get(name, margin))
    left: frozenset[Name] = frozenset()
    while True:
        bounds = _Bounds(margins, left)
        there = _walked(climb, bounds, first)
        yield from (place.standing for place in (_short(climb, bounds, there), there))
        uncured = _broken_heights(there.standing) & margins.keys()
        if uncured <= left:
            return
        left |= uncured


def _short(climb: Climb, bounds: _Bounds, place: Place) -> Place:
    """The place with numbers as they are typed, unless that costs more than they do."""
    short = climb.place(np.round(place.values, DECIMALS))
    if short is None or bounds.missing(short.standing) > bounds.missing(place.standing) + 10.0**-DECIMALS:
        return place
    return short


def _walked(climb: Climb, bounds: _Bounds, start: Place) -> Place:
    """Down by straight pieces, as long as something is gained."""
    here, about, reach = start, climb.straightened(start), FIRST_REACH
    missing = bounds.missing(here.standing)
    for _ in range(STEPS):
        climb.watch(here.standing)
        step, promised = _step(bounds, about, reach)
        if missing - promised < _LEAST_GAIN or reach < LEAST_REACH:
            break
        there = climb.place(here.values + step)
        left = np.inf if there is None else bounds.missing(there.standing)
        if there is not None and missing - left > 0.05 * (missing - promised):
            reach = min(2 * reach, MOST_REACH) if missing - left > 0.6 * (missing - promised) else reach
            here, missing, about = there, left, climb.straightened(there)
        else:
            reach = 0.4 * min(reach, float(np.max(np.abs(step) * about.reach, initial=0.0)))
    return here


def _step(bounds: _Bounds, about: Straightened, reach: float) -> tuple[Floats, float]:
    """The best step (h,) of the values, and how much is missing after it, as far as straight pieces know."""
    from scipy.optimize import linprog

    far = reach / about.reach
    floors, aims = bounds.floors(about.limits), bounds.aims(about.limits)
    near: Flags = np.asarray(about.margins - np.abs(about.slopes) @ far < aims + INSIDE)
    slopes, margins, floors, aims = about.slopes[near], about.margins[near], floors[near], aims[near]
    rows, wished = len(margins), len(about.wished)
    # Unknown: handles up and down, what each limit lacks of its aim and of its floor, mm outside the wished bounds.
    short, further = np.eye(rows), np.zeros((rows, 1))
    limits = np.hstack([-slopes, slopes, -short, -short, further])
    outside = np.hstack(
        [-about.wished_slopes, about.wished_slopes, np.zeros((wished, 2 * rows)), -np.ones((wished, 1))]
    )
    found = linprog(
        np.concatenate([np.tile(IDLE * about.reach, 2), np.ones(rows), np.full(rows, _FURTHER), [DEAR]]),
        A_ub=np.vstack([limits, outside]),
        b_ub=np.concatenate([margins - aims, about.wished - INSIDE]),
        bounds=[(0.0, each) for each in [*far.tolist(), *far.tolist(), *(aims - floors).tolist()]]
        + [(0.0, None)] * (rows + 1),
        method="highs",
    )
    if found.status != 0 or found.x is None or found.fun is None:
        return np.zeros(len(far)), np.inf
    return found.x[: len(far)] - found.x[len(far) : 2 * len(far)], float(found.fun)
