"""A straight row of evenly spaced places laid on given places as one rigid body, so that none is far off."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from functools import lru_cache
from itertools import combinations

import msgspec

from geometry.shape.point import Point, Vector

_EXACT = 1e-9  # a row that lies this near to all its places, in mm, is not turned any further

MOST_TURNS = 100
LEAST_SHARE = 0.1
"""Turns that are tried at most; each takes off so much of the angle in between at least, half where one before did not.
"""


class LaidRow(msgspec.Struct, frozen=True, gc=False):
    """Where a row lies: its first place, its unit direction, and its largest distance from a given place in mm."""

    first: Point
    along: Vector
    worst: float

    def place(self, pitch: float, number: int) -> Point:
        """The place with this number, counted from 0."""
        return self.first + self.along * (pitch * number)


@lru_cache(maxsize=64)
def laid_row(places: tuple[Point, ...], pitch: float, along: Vector) -> LaidRow:
    """The row whose largest distance from the given places, one to one in their order, is the least possible.

    `pitch` is that of the row, `along` the direction tried first, and kept where no place tells another. A row turned
    by an angle is shifted best to the middle of the smallest circle round what its steps leave of the places, so that
    only the angle is searched: the slope of that circle's radius tells on which side the best one lies.
    """
    steps = tuple(pitch * number for number in range(len(places)))
    wanted = [complex(place.x, place.y) for place in places]
    first = _turned(wanted, steps, cmath.phase(complex(along.x, along.y)))
    best = first if first.circle.radius <= _EXACT else _turned_best(wanted, first)
    at, way = best.circle.centre, cmath.exp(1j * best.angle)
    direction = along if best is first else Vector(way.real, way.imag)
    return LaidRow(Point(at.real, at.imag), direction, best.circle.radius)


class Circle(msgspec.Struct, frozen=True, gc=False):
    """The smallest circle round some numbers of the complex plane; `held` are those on it, with their shares.

    The shares are more than 0, sum to 1, and make the centre out of the numbers.
    """

    centre: complex
    radius: float
    held: tuple[tuple[int, float], ...]


class Turned(msgspec.Struct, frozen=True, gc=False):
    """A row turned to an angle, and the circle round what its steps then leave of the places."""

    angle: float
    steps: tuple[float, ...]
    left: tuple[complex, ...]
    circle: Circle

    @property
    def slope(self) -> float:
        """How fast the largest distance grows with the angle."""
        way = 1j * cmath.exp(1j * self.angle)
        offs = ((number, share, self.left[number] - self.circle.centre) for number, share in self.circle.held)
        grown = (share * self.steps[number] * (off.conjugate() * way).real for number, share, off in offs)
        return -sum(grown) / self.circle.radius


def _turned(places: Sequence[complex], steps: tuple[float, ...], angle: float) -> Turned:
    way = cmath.exp(1j * angle)
    left = tuple(place - way * step for place, step in zip(places, steps, strict=True))
    return Turned(angle, steps, left, smallest_circle(left))


def _turned_best(places: Sequence[complex], first: Turned) -> Turned:
    steps = first.steps
    middle, half = sum(places) / len(places), sum(steps) / len(steps)
    pull = sum((place - middle) * (step - half) for place, step in zip(places, steps, strict=True))
    start = _turned(places, steps, cmath.phase(pull)) if abs(pull) > 0 else first
    if start.circle.radius <= _EXACT:
        return start
    # No end of a better row is further from its place than now, so that both ends move by twice as much at most.
    reach = 2 * math.asin(min(1.0, 2 * start.circle.radius / (steps[-1] - steps[0])))
    low, high = (_turned(places, steps, start.angle + turn) for turn in (-reach, reach))
    best, before = start, math.inf
    for _ in range(MOST_TURNS):
        between = high.angle - low.angle
        meet, bound = _tangents_meet(low, high)
        # What bends the other way in between, by less than the cube of the angle, must not end the search.
        if between * steps[-1] < _EXACT or (best.circle.radius - bound < _EXACT > between**3 * steps[-1]):
            break
        least = LEAST_SHARE if between <= before / 2 else 0.5
        angle = min(high.angle - least * between, max(low.angle + least * between, meet))
        row = _turned(places, steps, angle)
        best = min(best, row, key=lambda each: each.circle.radius)
        if row.circle.radius <= _EXACT:
            break
        before, low, high = between, *((low, row) if row.slope > 0 else (row, high))
    return best


def _tangents_meet(low: Turned, high: Turned) -> tuple[float, float]:
    """The angle at which the tangents of both sides meet, half-way where they do not, and the height there."""
    between = high.angle - low.angle
    fall = high.slope - low.slope
    half = (low.angle + high.angle) / 2
    if fall <= 0:
        return half, -math.inf
    turn = (low.circle.radius - high.circle.radius + high.slope * between) / fall
    return low.angle + turn, low.circle.radius + low.slope * turn


def smallest_circle(numbers: Sequence[complex]) -> Circle:
    """The smallest circle round some numbers: about the two furthest apart, or through three that hold it."""
    if len(numbers) == 1:
        return Circle(numbers[0], 0.0, ((0, 1.0),))
    one, two = max(
        combinations(range(len(numbers)), 2), key=lambda pair: abs(numbers[pair[0]] - numbers[pair[1]])
    )
    centre, radius = (numbers[one] + numbers[two]) / 2, abs(numbers[one] - numbers[two]) / 2
    best = Circle(centre, radius, ((one, 0.5), (two, 0.5)))
    if all(abs(each - centre) <= radius * (1 + 1e-12) for each in numbers):
        return best
    # By Helly's theorem the smallest circle of all is the largest of the smallest ones of any three.
    for three in combinations(range(len(numbers)), 3):
        found = _through(numbers, three)
        best = found if found is not None and found.radius > best.radius else best
    return best


def _through(numbers: Sequence[complex], three: tuple[int, int, int]) -> Circle | None:
    """The circle through three numbers; None where two of them hold a circle round all three."""
    a, b, c = (numbers[n] for n in three)
    sides = (abs(b - c) ** 2, abs(c - a) ** 2, abs(a - b) ** 2)
    if 2 * max(sides) >= sum(sides):
        return None
    # Barycentric weights of the circumcentre, by the squares of the sides.
    shares = [side * (sum(sides) - 2 * side) for side in sides]
    whole = sum(shares)
    centre = sum((share * number for share, number in zip(shares, (a, b, c), strict=True)), 0j) / whole
    held = tuple((n, share / whole) for n, share in zip(three, shares, strict=True))
    return Circle(centre, max(abs(each - centre) for each in (a, b, c)), held)
