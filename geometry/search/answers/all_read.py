"""Where all drilled holes really are, from the caliper readings of all of them at once.

Readings from hole to hole tell of both, so that all places and diameters are found together by least squares, each
reading by what it is good for. What nobody read is held loosely by the plan, so that the certainty of each place says
whether its readings tell it. A slip is looked for as in nets of surveyors, one after the other: the reading whose
residual is largest for what could be left of it (W. Baarda, A testing procedure for use in geodetic networks, 1968).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec
import numpy as np

from geometry.layout.layout import Layout
from geometry.search.answers.readings import AGREE, Bored, Reading, expected, other_bore
from geometry.shape.close import Floats
from geometry.shape.point import Point, Vector

# mm, one standard deviation of a reading over wood: calipers are good for 0.1 mm there, no source.
_OVER_WOOD = 0.05
# mm, one standard deviation: how far the edge of a head that was cut by hand strays from its plan, from memory.
_EDGES = 0.15
# mm, one standard deviation: how far the width of a hole strays from its drill, where nobody read it, from memory.
_BORED = 0.1
_FAR = 3.0  # mm, one standard deviation of how far holes miss at all; so large that two readings outweigh it
_UNTOLD = 1.0  # mm, one standard deviation, beyond which the readings do not tell a place
# The share of an error of reading that would show; where none of a hole's readings has as much, nothing proves it.
_PROVED = 0.2
_SLIP = 3.29  # standard deviations that a residual is off by chance once in a thousand times (Baarda 1968)
_CLOSE = 0.95  # of the worst residual; where another is as near, nobody can tell which of both is the slip
_LEAST_SHOWN = 0.02  # of an error of reading that must show before anything is said of it


class ReadHole(msgspec.Struct, frozen=True):
    """The readings of the hole of `post` (a key), and its diameter in mm where that was read."""

    post: str
    readings: tuple[Reading, ...] = ()
    diameter: float | None = None


class Placed(msgspec.Struct, frozen=True):
    """Where the hole of `post` is and how wide it is, and one standard deviation of both, in mm.

    `untold` is the direction of length 1 in which the readings do not tell the place, None where they do; `proved`
    whether an error in one of its readings would show.
    """

    post: str
    at: Point
    diameter: float
    spread: float
    diameter_spread: float
    untold: Vector | None
    proved: bool


class Off(msgspec.Struct, frozen=True):
    """A reading of the hole of `post` that is longer by `by` mm than all others say.

    Where not `sure`, it may as well be another one of that hole or of one next to it.
    """

    post: str
    reading: Reading
    by: float
    sure: bool


class AllRead(msgspec.Struct, frozen=True):
    """All holes that were read, and the readings that contradict the others, the worst one first."""

    holes: tuple[Placed, ...]
    off: tuple[Off, ...]


def all_read(layout: Layout, holes: Sequence[ReadHole]) -> AllRead:
    """Where all holes are; those drilled before that no reading begins at are where the layout has them."""
    from scipy.optimize import least_squares

    problem, off = _Problem.of(layout, holes), []
    while True:
        found: Any = least_squares(problem.off, problem.start(), x_scale=0.1)
        slopes = np.asarray(found.jac, float)
        covariance = np.linalg.inv(slopes.T @ slopes)
        shows = 1.0 - np.einsum("ij,jk,ik->i", slopes, covariance, slopes)[: len(problem.lines)]
        left = problem.off(found.x)[: len(problem.lines)]
        slip = problem.slip(left, shows)
        off += [] if slip is None else [slip]
        if slip is None or not slip.sure:
            break
        problem = problem.without(slip)
    covariance *= _worse_than_said(left, shows)
    numbers = range(len(problem.keys))
    return AllRead(
        tuple(problem.placed(number, found.x, covariance, shows) for number in numbers), tuple(off)
    )


def _worse_than_said(left: Floats, shows: Floats) -> float:
    """By how much the variances are larger than said: readings that differ by more are worth less, never more."""
    spare = float(shows.sum())
    return max(1.0, float(left @ left) / spare) if spare > _PROVED else 1.0


class _Problem(msgspec.Struct, frozen=True):
    """The unknown holes, three values each: place and diameter; and every reading with the hole that it begins at."""

    layout: Layout
    keys: tuple[str, ...]
    widths: tuple[float | None, ...]
    lines: tuple[tuple[str, Reading], ...]

    @staticmethod
    def of(layout: Layout, holes: Sequence[ReadHole]) -> _Problem:
        read = {hole.post: hole.diameter for hole in holes}
        others = (reading.post for hole in holes for reading in hole.readings if reading.post is not None)
        for other in others:
            if not layout.post(other).post.drilled:
                read.setdefault(other, None)
        lines = tuple((hole.post, reading) for hole in holes for reading in hole.readings)
        return _Problem(layout, tuple(read), tuple(read.values()), lines)

    def start(self) -> Floats:
        """The plan: x, y and diameter of each hole."""
        posts = [self.layout.post(key) for key in self.keys]
        return np.array(
            [
                value
                for post, width in zip(posts, self.widths, strict=True)
                for value in (post.at.x, post.at.y, width or post.bore)
            ]
        )

    def off(self, values: Floats) -> Floats:
        """Of every reading, then of every held value, how many standard deviations it is off."""
        holes = self._holes(values)
        lines = []
        for post, reading in self.lines:
            other = holes.get(reading.post or "") or other_bore(self.layout, reading)
            length, _ = expected(self.layout.edge, holes[post], reading, other)
            lines.append((reading.length - length) / _spread(reading))
        spreads = [
            spread for width in self.widths for spread in (_FAR, _FAR, _OVER_WOOD if width else _BORED)
        ]
        return np.concatenate([lines, (values - self.start()) / spreads])

    def _holes(self, values: Floats) -> dict[str, Bored]:
        return {
            key: Bored(Point(float(x), float(y)), float(wide))
            for key, (x, y, wide) in zip(self.keys, values.reshape(-1, 3), strict=True)
        }

    def placed(self, number: int, values: Floats, covariance: Floats, shows: Floats) -> Placed:
        """One hole, what its place is good for, and whether its readings prove each other."""
        first, key = 3 * number, self.keys[number]
        x, y, wide = (float(each) for each in values[first : first + 3])
        sizes, ways = np.linalg.eigh(covariance[first : first + 2, first : first + 2])
        spread = float(np.sqrt(sizes[1]))
        untold = Vector(float(ways[0, 1]), float(ways[1, 1])) if spread > _UNTOLD else None
        mine = [n for n, (post, reading) in enumerate(self.lines) if key in (post, reading.post)]
        proved = any(shows[n] > _PROVED for n in mine)
        across = float(np.sqrt(covariance[first + 2, first + 2]))
        return Placed(key, Point(x, y), wide, spread, across, untold, proved)

    def slip(self, left: Floats, shows: Floats) -> Off | None:
        """The reading that is off by more than chance and than hands differ; None where there is none."""
        told = shows > _LEAST_SHOWN
        if not told.any():
            return None
        sizes = np.where(told, np.abs(left) / np.sqrt(np.maximum(shows, _LEAST_SHOWN)), 0.0)
        worst, *others = np.argsort(-sizes)
        post, reading = self.lines[worst]
        by = float(left[worst] / shows[worst]) * _spread(reading)
        if sizes[worst] < _SLIP or abs(by) < AGREE:
            return None
        return Off(post, reading, by, not others or bool(sizes[others[0]] < _CLOSE * sizes[worst]))

    def without(self, slip: Off) -> _Problem:
        """The same without one reading."""
        kept = tuple(line for line in self.lines if line != (slip.post, slip.reading))
        return msgspec.structs.replace(self, lines=kept)


def _spread(reading: Reading) -> float:
    return float(np.hypot(_OVER_WOOD, _EDGES)) if reading.kind in ("side", "left", "right") else _OVER_WOOD
