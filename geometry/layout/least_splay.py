"""The straight line of posts at even pitch whose strings turn least at the nut."""

from __future__ import annotations

import math
from itertools import combinations
from typing import NamedTuple

from geometry.layout.pull import Pull, exact_places, slope, splay
from geometry.shape.point import Point, Vector

ROUNDS = 8
SETTLED = 1e-7
"""mm by which a round moves a post when nothing is left to gain; three or four rounds mostly do."""

MOST_LEAN = math.radians(85.0)
REACH = 500.0
LOOKED_AT = 41
ZOOMS = 6
HALVINGS = 40
"""The slow search: so many leans at a time, so often among finer ones, x halved so often from REACH mm off."""


class Line(NamedTuple):
    """A row: x in mm of its first post, and its lean in radians from straight up towards the right."""

    across: float
    lean: float


Step = tuple[float, float]
"""What changes of a line's two numbers do to a turn, or by how much they change."""


def straight_line_places(start: float, pitch: float, pulls: tuple[Pull, ...]) -> tuple[Point, ...]:
    """Posts at even pitch on the straight line whose largest splay is least; the first at y = `start`.

    Each round takes the turns as linear in the line's place and lean, where three posts share the largest turn
    (Chebyshev), and goes to the line that is best then. Where that does not settle, as with strings further apart
    than their posts, every lean is tried.
    """
    row = _Row(start, pitch, pulls)
    line = _first_line(start, pitch, pulls)
    for _ in range(ROUNDS):
        turns, slopes = row.turns(line), row.slopes(line)
        step = least_largest(turns, slopes)
        if step is None:
            break
        line = Line(line.across + step[0], line.lean + step[1])
        if abs(line.lean) > MOST_LEAN:
            break
        if abs(step[0]) + abs(step[1]) * pitch * len(pulls) < SETTLED:
            return row.places(line)
    return row.places(_searched(row))


def _first_line(start: float, pitch: float, pulls: tuple[Pull, ...]) -> Line:
    """Through the ideal places of the first and the last post."""
    places = exact_places(start, pitch, pulls)
    way = places[-1] - places[0]
    return Line(places[0].x, math.atan2(way.x, way.y) if way.y > 0 else 0.0)


class _Row(NamedTuple):
    start: float
    pitch: float
    pulls: tuple[Pull, ...]

    def places(self, line: Line) -> tuple[Point, ...]:
        way = Vector(math.sin(line.lean), math.cos(line.lean)) * self.pitch
        first = Point(line.across, self.start)
        return tuple(first + way * number for number in range(len(self.pulls)))

    def turns(self, line: Line) -> list[float]:
        """Signed splay of each string in radians."""
        return [splay(pull, place) for pull, place in zip(self.pulls, self.places(line), strict=True)]

    def slopes(self, line: Line) -> list[Step]:
        """How each splay changes with the line's two numbers."""
        tilt = Vector(math.cos(line.lean), -math.sin(line.lean)) * self.pitch
        found = []
        for number, (pull, place) in enumerate(zip(self.pulls, self.places(line), strict=True)):
            per = slope(pull, place)
            found.append((per.x, per.dot(tilt) * number))
        return found


def least_largest(values: list[float], slopes: list[Step]) -> Step | None:
    """The step after which the largest of |value + slope · step| is least; None where no step is best.

    Two values are brought to nothing. Of more, every three have a step after which they are equal but for their signs;
    the three for which that is largest are those of the best step (Chebyshev).
    """
    if len(values) == 1:
        return (-values[0] / slopes[0][0], 0.0) if slopes[0][0] else None
    if len(values) == 2:
        return _solved(slopes[0], slopes[1], -values[0], -values[1])
    largest, found = -1.0, None
    for three in combinations(range(len(values)), 3):
        shares = _that_cancel(*(slopes[n] for n in three))
        total = sum(map(abs, shares))
        if total == 0:
            continue
        rest = sum(share * values[n] for share, n in zip(shares, three, strict=True)) / total
        if abs(rest) > largest:
            largest, found = abs(rest), (three, shares, rest)
    return None if found is None else _equalling(values, slopes, *found)


def _that_cancel(one: Step, two: Step, three: Step) -> tuple[float, float, float]:
    """Multiples of three slopes whose sum is nothing."""
    return (
        two[0] * three[1] - two[1] * three[0],
        three[0] * one[1] - three[1] * one[0],
        one[0] * two[1] - one[1] * two[0],
    )


def _equalling(
    values: list[float], slopes: list[Step], three: tuple[int, ...], shares: tuple[float, ...], rest: float
) -> Step | None:
    """The step that leaves `rest` of each of three values, with the sign of its share."""
    wanted = [math.copysign(1.0, share) * rest - values[n] for share, n in zip(shares, three, strict=True)]
    # The two slopes that differ most in direction are those beside the largest share.
    i, j = [n for n in range(3) if n != max(range(3), key=lambda n: abs(shares[n]))]
    return _solved(slopes[three[i]], slopes[three[j]], wanted[i], wanted[j])


def _solved(one: Step, two: Step, first: float, second: float) -> Step | None:
    """The step x with one · x = first and two · x = second; None where there is none or too many."""
    determinant = one[0] * two[1] - one[1] * two[0]
    if abs(determinant) < 1e-15:
        return None
    return (first * two[1] - second * one[1]) / determinant, (one[0] * second - two[0] * first) / determinant


def _searched(row: _Row) -> Line:
    """The best line among leans tried one by one, then among finer ones about the best."""
    lean, wide = 0.0, MOST_LEAN
    best = Line(0.0, 0.0)
    for _ in range(ZOOMS):
        leans = [lean + wide * (2 * n / (LOOKED_AT - 1) - 1) for n in range(LOOKED_AT)]
        best = min((_balanced(row, each) for each in leans), key=lambda line: max(map(abs, row.turns(line))))
        lean, wide = best.lean, 2 * wide / (LOOKED_AT - 1)
    return best


def _balanced(row: _Row, lean: float) -> Line:
    """The line of a lean whose largest turns to both sides are alike: all turns go the same way with x."""
    low, high = -REACH, REACH
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        turns = row.turns(Line(middle, lean))
        low, high = (middle, high) if max(turns) + min(turns) > 0 else (low, middle)
    return Line((low + high) / 2, lean)
