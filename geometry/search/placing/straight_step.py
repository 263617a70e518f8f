"""The best step by straight pieces, as a linear program."""

from __future__ import annotations

import msgspec
import numpy as np

from geometry.search.placing.straightened import Straightened
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

LOWEST = -1000.0
"""No placement is as bad as that, in mm of room."""

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


class Columns(msgspec.Struct, frozen=True):
    """Where the unknowns stand: handles up and down, the room, mm outside, sizes of splays and of uneven pitches."""

    handles: int
    splays: int
    pitches: int

    @property
    def room(self) -> int:
        """The column of the room."""
        return 2 * self.handles

    @property
    def outside(self) -> int:
        """The column of what is outside the wished bounds."""
        return self.room + 1

    @property
    def of_splays(self) -> slice:
        """The columns of the splays."""
        return slice(self.outside + 1, self.outside + 1 + self.splays)

    @property
    def of_pitches(self) -> slice:
        """The columns of the pitches."""
        return slice(self.of_splays.stop, self.count)

    @property
    def count(self) -> int:
        """How many there are."""
        return self.outside + 1 + self.splays + self.pitches

    def rows(self, slopes: Floats) -> Floats:
        """Rows (k, c) with slopes (k, h) by the handles and nothing else."""
        found = np.zeros((len(slopes), self.count))
        found[:, : self.handles] = slopes
        found[:, self.handles : self.room] = -slopes
        return found


def stepped(task: Task, seen: list[Remembered]) -> tuple[Floats, float]:
    """The best step (h,) of the values, and what it promises; nothing, where there is none."""
    from scipy.optimize import linprog

    about = task.about
    columns = Columns(len(task.values), len(about.splay), len(about.pitch))
    parts = [part for each in ((task.values, about), *seen) for part in _limits(columns, task, *each)]
    parts += [*_sizes(columns, about), *_floor(columns, task)]
    rest = columns.count - columns.outside
    far = np.tile(task.reach / about.reach, 2)
    low = np.concatenate([np.zeros(len(far)), [LOWEST], np.zeros(rest)])
    high = np.concatenate([far, [LARGEST], np.full(rest, np.inf)])
    found = linprog(
        _cost(columns, task),
        A_ub=np.vstack([table for table, _ in parts]),
        b_ub=np.concatenate([limits for _, limits in parts]),
        bounds=list(zip(low.tolist(), high.tolist(), strict=True)),
        method="highs",
    )
    if found.status != 0 or found.x is None or found.fun is None:
        return np.zeros(len(task.values)), -np.inf
    up, down = found.x[: columns.handles], found.x[columns.handles : columns.room]
    return up - down, -float(found.fun)


def _cost(columns: Columns, task: Task) -> Floats:
    cost = np.zeros(columns.count)
    cost[: columns.room] = IDLE * np.tile(task.about.reach, 2)
    cost[columns.room] = -task.room
    cost[columns.outside] = DEAR
    cost[columns.of_splays] = task.splay / max(columns.splays, 1)
    cost[columns.of_pitches] = task.uneven / max(columns.pitches, 1)
    return cost


Part = tuple[Floats, Floats]
"""Rows (k, c) and limits (k,): rows @ unknowns <= limits."""


def _limits(columns: Columns, task: Task, values: Floats, seen: Straightened) -> list[Part]:
    """The limits as seen at some values: margins at the room, and the wished bounds."""
    off = task.values - values
    left = seen.margins + seen.slopes @ off + seen.shares * seen.room
    # Where a bent limit makes what was seen elsewhere deny what stands here, it is no help.
    keep = (left - seen.shares * task.now > -1e-6) | (seen is task.about)
    limits = columns.rows(-seen.slopes[keep])
    limits[:, columns.room] = seen.shares[keep]
    wished = columns.rows(-seen.wished_slopes)
    wished[:, columns.outside] = -1.0
    return [(limits, left[keep]), (wished, seen.wished - INSIDE + seen.wished_slopes @ off)]


def _sizes(columns: Columns, about: Straightened) -> list[Part]:
    """Unknowns that are at least as large as the splays and the uneven pitches, whatever their sign."""
    level = np.concatenate([about.splay, about.pitch])
    slopes = np.vstack([about.splay_slopes, about.pitch_slopes])
    found = []
    for sign in (1.0, -1.0):
        rows = columns.rows(sign * slopes)
        rows[:, columns.outside + 1 :] = -np.eye(len(level))
        found.append((rows, -sign * level))
    return found


def _floor(columns: Columns, task: Task) -> list[Part]:
    if task.floor is None:
        return []
    row = np.zeros((1, columns.count))
    row[0, columns.room] = -1.0
    row[0, columns.of_splays] = task.straight / max(columns.splays, 1)
    return [(row, np.array([-task.floor]))]
