"""The placement that forgives most: whose smallest joint ring is the largest, among equals with the straighter pull.

The search starts from where the posts are by their rules and climbs; then from a few places shifted a little from the
best found, so that it is not caught on the first ledge. Nothing in it depends on the clock.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.checks.judge import Finding, findings
from geometry.checks.outline import outline_is_sound
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.alike import Twins, Unlike, twins_of
from geometry.search.placing.climb import DEAR, EVEN, Climb, Place, climbed, worth
from geometry.search.placing.gate import harms, stops_of
from geometry.search.placing.handles import DECIMALS, Handles, closed_up, handles_of
from geometry.search.placing.mending import is_held_by_break, is_out_of_reach, least_bad
from geometry.search.placing.plain import LEAST_GAIN, spoils
from geometry.search.placing.standing import Kind, Standing, Wish, standing_of
from geometry.search.rings.allowance import rounded_down
from geometry.search.rings.rings import exact, rows_of
from geometry.shape.tolerance import SAME
from geometry.trade.units import Units

# Steps of the first climb at most, and of another one where nothing is broken.
_ROUNDS, _ROUNDS_AGAIN = 40, 12
_MORE = 40  # further climbs begin as long as fewer steps than this have been taken
# Climbs at most, and where something is still broken; with fewer, mirror images do not always find as much.
_TRIES, _TRIES_WHEN_BROKEN = 4, 6
_SHIFT = 2.5  # how far handles are shifted for another start, in mm
# Placements whose smallest rings differ by no more than this many mm, and this share, are equals.
_EQUAL, _EQUAL_SHARE = 0.005, 0.002
_TIDY_ROUNDS = 6  # steps towards a straighter pull among equals
_USUAL = 40  # steps of a search; half of the samples take fewer

Progress = Callable[[float, float], None]
"""Is told an estimate of how far the search is, 0 to less than 1, and the room of the place looked at in mm; may raise.

Nobody knows before how many steps it takes, so the estimate comes ever closer to 1.
"""

_OF_THE_HEAD = frozenset({"outline", "width at nut", "blank", "piece"})  # checks that no placement changes


class Proposal(msgspec.Struct, frozen=True):
    """What the search found.

    `before` and `after` are the smallest joint rings in mm, exact, of the build as it was and of `build`. `forbidden`
    says what even the best placement breaks, None where it breaks nothing. `refused` says what another placement that
    was found would have broken beyond what the build breaks, so that the build stays. `kind` is what was looked for,
    `given_up` how many mm more were found that were not worth what they would have spoilt.
    """

    build: Build
    before: float
    after: float
    forbidden: str | None
    refused: str | None = None
    kind: Kind = "even"
    given_up: float = 0.0


def best(
    build: Build, wish: Wish | None = None, progress: Progress | None = None, units: Units = "mm"
) -> Proposal:
    """The best placement of a build that is no worse in anything (`gate`); the build itself where there is none better.

    `progress` is called at every step. `units` are those of the sentence that says what forbids.
    """
    return _best(build, wish or Wish(), _Steps(progress), units)


def _best(build: Build, wish: Wish, steps: _Steps, units: Units) -> Proposal:
    fitting = closed_up(build)
    layout = lay_out(fitting)
    start = None
    if outline_is_sound(layout.edge) and layout.posts:
        start = standing_of(fitting, wish, len(layout.posts))
    if start is None:
        return Proposal(build, 0.0, 0.0, forbidden_by(build, units))
    stages = stages_of(fitting, layout, wish)
    placed, widest, worse = _placed(build, stages, wish, start, steps)
    before = smallest(start) if fitting is build else 0.0
    if placed is start and (worse := worse or harms(build, fitting)):
        refused = say(worse[0], units)
        return Proposal(build, before, before, forbidden_by(build, units), refused, stages.kind)
    forbidden, after = forbidden_by(placed.build, units), smallest(placed)
    if forbidden is not None and stages.kind == "mirrored" and wish.kind is None:
        uneven = _best(build, replace(wish, kind="even"), steps, units)
        if uneven.forbidden is None:
            return uneven
    given_up = 0.0 if wish.straight > 0 else max(0.0, smallest(widest) - after)
    return Proposal(placed.build, before, after, forbidden, None, stages.kind, given_up)


def _placed(
    build: Build, stages: Stages, wish: Wish, start: Standing, steps: _Steps
) -> tuple[Standing, Standing, tuple[Finding, ...]]:
    """The plainest that is found and harms nothing and that nothing better is worth giving up, or else `start`.

    With it the widest of all that harm nothing, and where `start` stays the harm of what was found for it.
    """
    placed = widest = start
    worse: tuple[Finding, ...] = ()
    seen: list[Standing | None] = []
    for handles in stages.handles:
        found = None if is_out_of_reach(start) else _searched(handles, wish, start, widest, steps)
        seen.append(found)
        steps.next_stage()
        if found is None or max(found.room, placed.room) < 0:
            continue
        better, wider = (
            _better(found, placed, wish, stages.twins),
            _height(found, wish) > _height(widest, wish),
        )
        harm = harms(build, found.build) if better or wider else ()
        worse = worse or harm
        placed = found if better and not harm else placed
        widest = found if wider and not harm else widest
    if placed is start and start.room < 0:
        for handles, found in zip(stages.handles, seen, strict=True):
            placed = least_bad(build, Climb(handles, wish, "room", 0.0, steps), start, found)
            if placed is not start:
                break
    return placed, widest, worse


def smallest(standing: Standing) -> float:
    """The exact radius of the smallest joint ring in mm of the holes that are still to be drilled; 0 without any."""
    rows = rows_of(standing.facts)
    return 0.0 if rows.drilled.all() else float(exact(rows)[~rows.drilled].min())


def forbidden_by(build: Build, units: Units = "mm") -> str | None:
    """The worst that a placement breaks as a sentence, None where it breaks nothing."""
    layout = lay_out(build)
    broken = stops_of(findings(build, layout))
    placed = [
        each
        for each in broken
        if each.check not in _OF_THE_HEAD and (each.check != "placement" or each.note in layout.problems)
    ]
    told = (placed or [each for each in broken if each.check == "outline"])[:1]
    return say(told[0], units) if told else None


class _Steps:
    """Counts the steps of a search, those of a stage for themselves, and tells how far it may be."""

    def __init__(self, progress: Progress | None) -> None:
        self.progress = progress
        self.taken = self.taken_before = 0

    def next_stage(self) -> None:
        """Go on with the next stage."""
        self.taken_before, self.taken = self.taken_before + self.taken, 0

    def __call__(self, standing: Standing) -> None:
        self.taken += 1
        if self.progress is not None:
            self.progress(1.0 - math.exp(-(self.taken_before + self.taken) / _USUAL), standing.room)


def _searched(
    handles: Handles, wish: Wish, start: Standing, before: Standing, steps: _Steps
) -> Standing | None:
    """The best that is found by these handles, begun where a search before has ended; None where they do nothing."""
    climb = Climb(handles, wish, "room", 0.0, steps)
    if not handles.handles:
        return None
    values = [handles.values(), *([] if before is start else [handles.values_in(before.build)])]
    places = [place for each in values if (place := climb.place(each)) is not None]
    if not places:
        return None
    first = max(places, key=lambda place: climb.height(place.standing))
    found = _tried_again(climb, climbed(climb, first, _ROUNDS), steps)
    return _written(_tidied(climb, found, start), climb)


def _tried_again(climb: Climb, found: Place, steps: _Steps) -> Place:
    """The best of further climbs from places shifted a little."""
    draw = np.random.default_rng(climb.wish.seed)
    for number in range(1, _TRIES_WHEN_BROKEN):
        broken = found.standing.room < 0 or found.standing.outside > 0
        if (not broken and (number >= _TRIES or steps.taken >= _MORE)) or is_held_by_break(found.standing):
            break
        there = climb.place(found.values + draw.uniform(-_SHIFT, _SHIFT, len(found.values)))
        if there is not None:
            other = climbed(climb, there, _ROUNDS if broken else _ROUNDS_AGAIN)
            found = max(found, other, key=lambda place: climb.height(place.standing))
    return found


def _tidied(climb: Climb, found: Place, start: Standing) -> Place:
    """The straighter pull among placements whose rooms are as good as equal."""
    room = worth(found.standing, climb.wish)
    if found.standing.room <= 0:
        return found
    floor = room - min(_EQUAL, _EQUAL_SHARE * found.standing.room)
    # What is told of the ring must not become less for it.
    floor = max(floor, room - found.standing.room + rounded_down(found.standing.room))
    if start.outside == 0:
        floor = max(floor, worth(start, climb.wish))
    floor = min(room, floor)
    straight = replace(climb, aim="straight", floor=floor)
    return climbed(straight, found, _TIDY_ROUNDS)


def _written(found: Place, climb: Climb) -> Standing:
    """The placement with numbers as they are typed, unless that makes it worse by more than such a number."""
    short = climb.place(np.round(found.values, DECIMALS))
    if short is None or short.standing.outside > max(found.standing.outside, SAME):
        return found.standing
    lost = climb.height(found.standing) - climb.height(short.standing)
    less = rounded_down(short.standing.room) < rounded_down(found.standing.room)
    return found.standing if less or lost > 2 * 10.0**-DECIMALS else short.standing


def _height(standing: Standing, wish: Wish) -> float:
    """What a placement is worth, bounds first."""
    return worth(standing, wish) - DEAR * standing.outside


def _better(found: Standing, before: Standing, wish: Wish, twins: Twins) -> bool:
    """Whether a placement is better than one before: bounds first, then the rings, then the pull."""
    if min(found.outside, before.outside) < max(found.outside, before.outside) - 1e-6:
        return found.outside < before.outside
    gain = worth(found, wish) - worth(before, wish)
    wider = smallest(found) - smallest(before)
    if gain <= _EQUAL:
        if gain < 0 or wider < 0 or spoils(found, before, twins):
            return False
        return found.splay + EVEN * found.uneven < before.splay + EVEN * before.uneven - 0.01
    if before.room >= 0 and wider - wish.straight * (found.splay - before.splay) < LEAST_GAIN:
        return (wider >= 0 or wish.straight > 0) and not spoils(found, before, twins)
    return wider >= 0 or wish.straight > 0


# In which order placements are looked for: the plainest first, so that what comes after is worth what it spoils


class Stages(msgspec.Struct, frozen=True):
    """What a search may change, from the plainest to what was asked for; `twins` are rows that mirror each other."""

    kind: Kind
    twins: Twins
    handles: tuple[Handles, ...]


def sides_of(build: Build, layout: Layout) -> Twins | Unlike:
    """The rows that a search can keep mirror images of each other, or why there are none. `layout` is the build's."""
    found = twins_of(build, layout)
    if isinstance(found, Unlike) and found.why == "no place":
        fitting = closed_up(build)
        return twins_of(fitting, lay_out(fitting))
    return found


def stages_of(build: Build, layout: Layout, wish: Wish) -> Stages:
    """The stages of a wish. `layout` is that of the build.

    Rows that mirror each other are first kept so, rows that nobody has moved by hand are first kept even.
    """
    found = twins_of(build, layout)
    twins: Twins = () if isinstance(found, Unlike) else found
    tied = handles_of(build, layout, replace(wish, kind="even"), twins)
    kind: Kind = wish.kind or ("mirrored" if twins and tied.handles else "even")
    assert twins or kind != "mirrored", "the sides are not alike"
    if kind == "mirrored":
        return Stages(kind, twins, (tied,))
    loose = handles_of(build, layout, replace(wish, kind="even"))
    if kind == "even":
        return Stages(kind, twins, (tied, loose) if twins else (loose,))
    free = [
        handles_of(build, layout, replace(wish, kind="free"), each)
        for each in ((twins, ()) if twins else ((),))
    ]
    is_even = loose.build == build
    return Stages(kind, twins, (*((tied,) if is_even else ()), *free))
