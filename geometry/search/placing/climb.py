"""Uphill by straight pieces: a linear program proposes each step, the true margins take or refuse it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec
import numpy as np

from geometry.search.placing.handles import Handles
from geometry.search.placing.standing import Standing, Wish, standing_of
from geometry.search.placing.straightened import Straightened, straightened
from geometry.search.rings.slack import LARGEST
from geometry.shape.close import Floats

DEAR = 100.0
"""What a mm outside the wished bounds costs in mm of room."""

INSIDE = 1e-3
"""How far inside the wished bounds a step aims, in mm, because limits bend between straight pieces."""

EVEN = 0.02
"""Degrees of mean splay that a mm of mean unevenness is worth among equals."""

IDLE = 1e-5
"""What a mm that a post moves costs, so that nothing moves for nothing."""

_LOWEST = -1000.0  # no placement is as bad as that, in mm of room
# What a step must promise to be worth it: mm of room or degrees of splay, and a share of what there is.
_LEAST_GAIN, _LEAST_SHARE = 2e-4, 3e-4

FIRST_REACH, MOST_REACH, LEAST_REACH = 3.0, 12.0, 2e-3
"""How far a post may move in the first step, in any, and below what no further step is worth it, in mm."""

# Limits this near, in mm, are remembered, of so many places where the climb has been.
_NEAR, _REMEMBERED = 1.0, 4


class Place(msgspec.Struct, frozen=True):
    """Where a climb stands: the values (h,) of its handles, and how they stand."""

    values: Floats
    standing: Standing


class Climb(msgspec.Struct, frozen=True):
    """One way uphill: what may change, what is wished, and what is asked of every place on the way.

    `aim` "room" makes the rings large, "straight" the pull straight and the pitch even while what the room is worth
    stays above `floor`. `watch` sees every place and may raise to end it all.
    """

    handles: Handles
    wish: Wish
    aim: Literal["room", "straight"]
    floor: float
    watch: Callable[[Standing], None]

    def height(self, standing: Standing) -> float:
        """What the climb makes as large as it can."""
        outside = DEAR * standing.outside
        if self.aim == "room":
            return worth(standing, self.wish) - outside
        return -standing.splay - EVEN * standing.uneven - outside

    def allowed(self, standing: Standing) -> bool:
        """Whether a place keeps what has been won before."""
        return self.aim == "room" or worth(standing, self.wish) >= self.floor

    def place(self, values: Floats) -> Place | None:
        """How values (h,) stand; None where they give no placement."""
        values = self.handles.limited(values)
        standing = standing_of(self.handles.apply(values), self.wish, len(self.handles.posts))
        return None if standing is None else Place(values, standing)

    def straightened(self, place: Place, near: Straightened | None = None) -> Straightened:
        """The limits about a place as straight pieces; quicker with those of a place nearby."""
        before = None if near is None else near.added
        return straightened(place.standing, self.handles, place.values, self.wish, before)


def worth(standing: Standing, wish: Wish) -> float:
    """What the room of a placement is worth in mm, the wished share of its splay taken off."""
    return standing.room - wish.straight * standing.splay


def climbed(climb: Climb, start: Place, rounds: int) -> Place:
    """The highest place that is reached from `start` in so many steps.

    What has been seen at other places is remembered, for limits that change over, as from one edge to the other, and
    forgotten once when nothing more is promised, for limits that bend.
    """
    here, about, reach = start, climb.straightened(start), FIRST_REACH
    seen: list[Remembered] = []
    forgotten = False
    for _ in range(rounds):
        climb.watch(here.standing)
        step, promised = stepped(_task(climb, here, about, reach), seen)
        gain = promised - climb.height(here.standing)
        enough = max(_LEAST_GAIN, _LEAST_SHARE * abs(climb.height(here.standing)))
        if gain < enough and not forgotten and (seen or about.added.age > 1):
            seen, about, forgotten = [], climb.straightened(here), True
            continue
        if gain < enough or reach < LEAST_REACH:
            break
        there = climb.place(here.values + step)
        won = _won(climb, here, there)
        if there is not None and won > 0.05 * gain:
            seen = [*seen, (here.values, about.near(_NEAR))][-_REMEMBERED:]
            here, about, forgotten = there, climb.straightened(there, about), False
            reach = min(2 * reach, MOST_REACH) if won > 0.6 * gain else reach
        elif about.added.age > 1:
            about = climb.straightened(here)
        else:
            if there is not None:
                seen = [*seen, (there.values, climb.straightened(there, about).near(_NEAR))]
            reach = 0.4 * min(reach, float(np.max(np.abs(step) * about.reach, initial=0.0)))
    return here


def _won(climb: Climb, here: Place, there: Place | None) -> float:
    """What a step has won, minus infinity where it may not be taken."""
    if there is None or not climb.allowed(there.standing):
        return -np.inf
    return climb.height(there.standing) - climb.height(here.standing)


def _task(climb: Climb, here: Place, about: Straightened, reach: float) -> Task:
    if climb.aim == "room":
        return Task(here.values, here.standing.room, about, reach, 1.0, climb.wish.straight, 0.0, None, 0.0)
    return Task(
        here.values, here.standing.room, about, reach, 0.0, 1.0, EVEN, climb.floor, climb.wish.straight
    )


# One step, as a linear program
#
# Its unknowns: handles up and down, the room, mm outside the wished bounds, sizes of splays and of uneven pitches.

Remembered = tuple[Floats, Straightened]
"""The values (h,) of a place and the limits seen there."""


class Task(msgspec.Struct, frozen=True):
    """What a step is to bring: the most of `room` x room - `splay` x mean splay - `uneven` x mean unevenness.

    The step starts at `values` (h,), where the room is `now` and the limits are `about`; no post moves further than
    about `reach` mm along each handle. With a `floor`, room - `straight` x mean splay stays above it.
    """

    values: Floats
    now: float
    about: Straightened
    reach: float
    room: float
    splay: float
    uneven: float
    floor: float | None
    straight: float


Part = tuple[Floats, Floats]
"""Rows (k, c) and limits (k,): rows @ unknowns <= limits."""


def stepped(task: Task, seen: list[Remembered]) -> tuple[Floats, float]:
    """The best step (h,) of the values, and what it promises; nothing, where there is none."""
    from scipy.optimize import linprog

    about = task.about
    parts = [part for each in ((task.values, about), *seen) for part in _limits(task, *each)]
    parts += [*_sizes(about), *_floor(task)]
    sizes = _means(about, task.splay, task.uneven)
    far = (task.reach / about.reach).tolist()
    found = linprog(
        np.concatenate([np.tile(IDLE * about.reach, 2), [-task.room, DEAR], sizes]),
        A_ub=np.vstack([table for table, _ in parts]),
        b_ub=np.concatenate([limits for _, limits in parts]),
        bounds=[(0.0, each) for each in (*far, *far)]
        + [(_LOWEST, LARGEST)]
        + [(0.0, None)] * (1 + len(sizes)),
        method="highs",
    )
    if found.status != 0 or found.x is None or found.fun is None:
        return np.zeros(len(far)), -np.inf
    return found.x[: len(far)] - found.x[len(far) : 2 * len(far)], -float(found.fun)


def _means(about: Straightened, splay: float, uneven: float) -> Floats:
    """What the sizes (s + p,) count where their means count so much."""
    counts = len(about.splay), len(about.pitch)
    return np.concatenate(
        [np.full(count, each / max(count, 1)) for count, each in zip(counts, (splay, uneven), strict=True)]
    )


def _rows(
    about: Straightened,
    slopes: Floats,
    room: Floats | float = 0.0,
    outside: float = 0.0,
    sizes: Floats | float = 0.0,
) -> Floats:
    """Rows (k, c) of the unknowns: slopes (k, h) by the handles, what the room (k,) and the sizes (k, s + p) count."""
    others = np.zeros((len(slopes), 2 + len(about.splay) + len(about.pitch)))
    others[:, 0], others[:, 1], others[:, 2:] = room, outside, sizes
    return np.hstack([slopes, -slopes, others])


def _limits(task: Task, values: Floats, seen: Straightened) -> list[Part]:
    """The limits as seen at some values: margins at the room, and the wished bounds."""
    off = task.values - values
    left = seen.margins + seen.slopes @ off + seen.shares * seen.room
    # Where a bent limit makes what was seen elsewhere deny what stands here, it is no help.
    keep = (left - seen.shares * task.now > -1e-6) | (seen is task.about)
    limits = _rows(task.about, -seen.slopes[keep], room=seen.shares[keep])
    wished = _rows(task.about, -seen.wished_slopes, outside=-1.0)
    return [(limits, left[keep]), (wished, seen.wished - INSIDE + seen.wished_slopes @ off)]


def _sizes(about: Straightened) -> list[Part]:
    """Unknowns that are at least as large as the splays and the uneven pitches, whatever their sign."""
    level = np.concatenate([about.splay, about.pitch])
    slopes = np.vstack([about.splay_slopes, about.pitch_slopes])
    least = -np.eye(len(level))
    return [(_rows(about, sign * slopes, sizes=least), -sign * level) for sign in (1.0, -1.0)]


def _floor(task: Task) -> list[Part]:
    if task.floor is None:
        return []
    still = np.zeros((1, len(task.values)))
    row = _rows(task.about, still, room=-1.0, sizes=_means(task.about, task.straight, 0.0))
    return [(row, np.array([-task.floor]))]
