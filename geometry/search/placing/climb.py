"""Uphill by straight pieces: a linear program proposes each step, the true margins take or refuse it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import msgspec
import numpy as np

from geometry.search.placing.handles import Handles
from geometry.search.placing.standing import Standing, standing_of
from geometry.search.placing.straight_step import DEAR, EVEN, Remembered, Task, stepped
from geometry.search.placing.straightened import Straightened, straightened
from geometry.search.placing.wish import Wish
from geometry.shape.close import Floats

LEAST_GAIN, LEAST_SHARE = 2e-4, 3e-4
"""What a step must promise to be worth it: mm of room or degrees of splay, and a share of what there is."""

FIRST_REACH, MOST_REACH, LEAST_REACH = 3.0, 12.0, 2e-3
"""How far a post may move in the first step, in any, and below what no further step is worth it, in mm."""

NEAR, REMEMBERED = 1.0, 4
"""Limits this near, in mm, are remembered, of so many places where the climb has been."""

Watch = Callable[[Standing], None]


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
    watch: Watch

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
        enough = max(LEAST_GAIN, LEAST_SHARE * abs(climb.height(here.standing)))
        if gain < enough and not forgotten and (seen or about.added.age > 1):
            seen, about, forgotten = [], climb.straightened(here), True
            continue
        if gain < enough or reach < LEAST_REACH:
            break
        there = climb.place(here.values + step)
        won = _won(climb, here, there)
        if there is not None and won > 0.05 * gain:
            seen = [*seen, (here.values, about.near(NEAR))][-REMEMBERED:]
            here, about, forgotten = there, climb.straightened(there, about), False
            reach = min(2 * reach, MOST_REACH) if won > 0.6 * gain else reach
        elif about.added.age > 1:
            about = climb.straightened(here)
        else:
            if there is not None:
                seen = [*seen, (there.values, climb.straightened(there, about).near(NEAR))]
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
