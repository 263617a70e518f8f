"""Changes are judged before they are offered: the finding is cured, nothing that clears is broken for it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cache, partial

import msgspec

from geometry.checks.judge import Finding, Level, findings
from geometry.curing.case import Case, Ladder, Trial
from geometry.document.build import Build
from geometry.layout.held import held
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.gate import Limit, harm, limit_of, new_stops
from geometry.shape.tolerance import PASS, PRINT, SAME

_RUNGS = 6  # so many numbers of steps are tried until one cures
_FURTHEST = 3  # from one number of steps to the next it goes no further than so many times

ROOM = 0.5
"""mm; a hole drilled by hand misses its mark by as much: common practice, no source."""

# Checks that say several things of one part: what they say tells them apart.
_ONE_OF_SEVERAL = frozenset({"outline", "placement"})


class Cure(msgspec.Struct, frozen=True):
    """A change that cures a finding, and the head with it.

    `level` is that of the finding then: fine, or watch where it was at stop. `stops` is how many problems are left in
    all and `watches` how many findings to look at, as the headline counts them; `fresh` what is worth a look only then.
    `steps` is how many of its ladder's it takes.
    `ring` is the smallest joint ring in mm then, None where nothing moves or something is still at stop. `bent` is how
    many straight rows are not straight any more.
    """

    act: str
    build: Build
    level: Level
    stops: int
    watches: int
    fresh: tuple[Finding, ...]
    ring: float | None = None
    bent: int = 0
    steps: int = 0


class Outcome(msgspec.Struct, frozen=True):
    """What judging came to: the cure, if it is one, and by how much the watch and the stop limit are missed then."""

    cure: Cure | None
    to_watch: float
    to_stop: float


def judged(case: Case, trial: Trial, steps: int = 0) -> Outcome:
    """Hold a change of so many steps against the head as it is; holes that are drilled stay where they are."""
    case.head.tick()
    build = held(case.build, trial.build)
    if build == case.build:
        return Outcome(None, *missing(case, case.head.found))
    after = findings(build)
    to_watch, to_stop = missing(case, after)
    level, fresh = level_of(case, after), fresh_watches(case, after)
    stops, watches = (sum(each.level is one for each in after) for one in (Level.STOP, Level.WATCH))
    better = level is Level.FINE or (level is Level.WATCH and case.finding.level is Level.STOP)
    cured = better and not _harm(case, after)
    if not cured or (case.finding.level is Level.WATCH and fresh):
        return Outcome(None, to_watch, to_stop)
    return Outcome(Cure(trial.act, build, level, stops, watches, fresh, steps=steps), to_watch, to_stop)


def _harm(case: Case, after: Sequence[Finding]) -> bool:
    """Whether anything is broken for it; what nobody could tell before does not count."""
    before = case.head.found
    untold = {each.check for each in before if each.measured is None}
    told = [each for each in after if each.check not in untold]
    return bool(new_stops(before, told) or harm(before, told))


def fresh_watches(case: Case, after: Sequence[Finding]) -> tuple[Finding, ...]:
    """What is worth a look only after a change, or more than before by what an output shows."""
    known: dict[Limit, float] = {}
    for each in case.head.found:
        if each.level is not Level.FINE and each.measured is not None:
            missed = max(known.get(limit_of(each), 0.0), _short(each, each.watch))
            known[limit_of(each)] = missed
    return tuple(
        each
        for each in after
        if each.level is Level.WATCH
        and each.measured is not None
        and _short(each, each.watch) > known.get(limit_of(each), -math.inf) + PRINT
    )


def same(case: Case, after: Sequence[Finding]) -> list[Finding]:
    """What the checks say then of the same parts."""
    finding, wanted = case.finding, limit_of(case.finding)
    return [
        each
        for each in after
        if each.check == finding.check
        and limit_of(each) == wanted
        and (each.check not in _ONE_OF_SEVERAL or each.note == finding.note)
    ]


def level_of(case: Case, after: Sequence[Finding]) -> Level:
    """The level of the finding then; fine where it is no longer told, as it is where nobody can tell it any more."""
    if any(each.check == case.finding.check and each.measured is None for each in after):
        return case.finding.level
    levels = {each.level for each in same(case, after)}
    return next((level for level in (Level.STOP, Level.WATCH) if level in levels), Level.FINE)


def missing(case: Case, after: Sequence[Finding]) -> tuple[float, float]:
    """By how much the finding misses its watch and its stop limit then, 0 where it does not."""
    told = same(case, after)
    return (
        max((_short(each, each.watch) for each in told), default=0.0),
        max((_short(each, each.stop) for each in told), default=0.0),
    )


def _short(finding: Finding, limit: float | None) -> float:
    if limit is None or finding.measured is None:
        return 0.0
    short = limit - finding.measured if finding.sense == "at least" else finding.measured - limit
    return short if short > PASS else 0.0


# Ladders


def climbed(case: Case, ladder: Ladder) -> Cure | None:
    """The least number of steps that cures, best to fine; to a watch where only that is to be had, or spoils less."""
    to_watch, to_stop = missing(case, case.head.found)
    climb = _Climb(ladder, cache(partial(_at, case, ladder)))
    fine = climb.least(to_watch, to_stop=False)
    if fine is not None and not fine.fresh:
        return fine
    less = climb.least(to_stop, to_stop=True) if to_stop > 0 else None
    return min((each for each in (fine, less) if each is not None), key=rank, default=None)


def _at(case: Case, ladder: Ladder, steps: int) -> Outcome:
    """What so many steps come to; infinitely little where the head cannot have them."""
    build = ladder.change(steps)
    if build is None:
        return Outcome(None, math.inf, math.inf)
    return judged(case, Trial(ladder.act(steps), build), steps)


def further(case: Case, ladder: Ladder, cure: Cure, by: float) -> Cure | None:
    """The cure that goes on by so many mm on its ladder, where it leaves no more to mend or to look at."""
    if ladder.step is None:
        return None
    steps = cure.steps + math.ceil(by / ladder.step - SAME)
    found = _at(case, ladder, steps).cure if steps <= ladder.most else None
    return None if found is None or _left(found) > _left(cure) else found


def _left(cure: Cure) -> tuple[int, int, int]:
    return cure.stops, cure.watches, rank(cure)


def rank(cure: Cure) -> int:
    """How much there is to look at for a cure that was not before."""
    return len(cure.fresh) + (cure.level is not Level.FINE)


class _Climb:
    """Looks for numbers of steps on one ladder."""

    def __init__(self, ladder: Ladder, at: Callable[[int], Outcome]) -> None:
        self._ladder = ladder
        self._at = at

    def least(self, missed: float, *, to_stop: bool) -> Cure | None:
        """The least number of steps from which a limit is kept that is missed by so much today."""
        below, steps = 0, self._first(missed)
        for _ in range(_RUNGS):
            if steps > self._ladder.most:
                return None
            found = self._at(steps)
            if found.cure is not None and (to_stop or found.cure.level is Level.FINE):
                return self._halved(below, steps, to_stop=to_stop)
            left = found.to_stop if to_stop else found.to_watch
            if left >= missed - SAME or not left or math.isinf(left):
                return None
            below, further = steps, math.ceil(steps * missed / (missed - left))
            steps = min(max(steps + 1, further), _FURTHEST * steps)
            if below < self._ladder.most < steps:
                steps = self._ladder.most
        return None

    def _first(self, missed: float) -> int:
        step = self._ladder.step
        return 1 if step is None else max(1, min(math.ceil(missed / step - SAME), self._ladder.most))

    def _halved(self, below: int, enough: int, *, to_stop: bool) -> Cure:
        """The least between a number that is too few and one that is enough."""
        cure = self._at(enough).cure
        assert cure is not None, "so many steps are enough"
        while enough - below > 1:
            middle = (below + enough) // 2
            found = self._at(middle).cure
            if found is not None and (to_stop or found.level is Level.FINE):
                enough, cure = middle, found
            else:
                below = middle
        return cure


def moves(before: Layout, build: Build) -> bool:
    """Whether a hole has another place in a build."""
    places = {post.key: post.at for post in lay_out(build).posts}
    return any(post.key not in places or places[post.key] != post.at for post in before.posts)
