"""Straight pull: posts placed where the strings run on from the fingerboard without turning at the nut.

A string meets its post on a tangent, so the post stands beside the string's own line by post radius + string radius.
"""

from __future__ import annotations

import math
from itertools import combinations

import msgspec

from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME

LEAST_SLOPE = 1e-9
"""Radians per mm; no string on a head turns as little as that when its post moves aside."""

ROUNDS = 4
"""Each round replaces the slopes by those at the last line; from the second on nothing changes in the sixth digit."""


class Pull(msgspec.Struct, frozen=True):
    """A string on its way to a post: slot at the nut line, direction over the nut, contact radius, side of contact.

    `left` says that the string passes the post on the left, seen along the string. Without a string `slot` is None.
    """

    slot: Point | None
    run: Vector
    radius: float
    left: bool

    def ideal(self) -> tuple[Point, Vector]:
        """A point and the direction of the line on which a post without any splay lies."""
        assert self.slot is not None, "only a string pulls"
        beside = self.run.right if self.left else self.run.left
        return self.slot + beside * self.radius, self.run


def exact_places(start: float, pitch: float, pulls: tuple[Pull, ...]) -> tuple[Point, ...]:
    """Posts on their own ideal lines: the first at y = `start`, each a straight `pitch` further."""
    point, direction = pulls[0].ideal()
    places = [point + direction * ((start - point.y) / direction.y)]
    for pull in pulls[1:]:
        places.append(_further(*pull.ideal(), places[-1], pitch))
    return tuple(places)


def _further(point: Point, direction: Vector, previous: Point, pitch: float) -> Point:
    """The place of a line at `pitch` from the previous post, towards the tip; the nearest place if all are further."""
    back = previous - point
    foot = back.dot(direction)
    aside = (back - direction * foot).length
    reach = math.sqrt(max(0.0, pitch * pitch - aside * aside))
    return point + direction * (foot + reach)


def straight_line_places(start: float, pitch: float, pulls: tuple[Pull, ...]) -> tuple[Point, ...]:
    """Posts at even pitch on the straight line whose largest splay is least; the first at y = `start`.

    The splay of each post is nearly linear in its x, so this is a weighted minimax line (three posts share the
    largest splay, with alternating signs); the weights are made exact by a few rounds.
    """
    ideals = [pull.ideal() for pull in pulls]
    count = len(pulls)
    across, slope = _first_line(start, pitch, pulls)
    weights = [1.0] * count
    for _ in range(ROUNDS):
        step = pitch / math.hypot(1.0, slope)
        if step < SAME:
            # Strings that all but cross the head put the row across it; it gets no straighter.
            break
        heights = [start + step * place for place in range(count)]
        targets = [
            point.x + direction.x * (y - point.y) / direction.y
            for (point, direction), y in zip(ideals, heights, strict=True)
        ]
        weights = [
            _slope(pull, Point(across + slope * (y - start), y), target)
            for pull, y, target in zip(pulls, heights, targets, strict=True)
        ]
        across, slope = minimax_line([y - start for y in heights], targets, weights)
    step = pitch / math.hypot(1.0, slope)
    return tuple(Point(across + slope * step * place, start + step * place) for place in range(count))


def _first_line(start: float, pitch: float, pulls: tuple[Pull, ...]) -> tuple[float, float]:
    places = exact_places(start, pitch, pulls)
    first, last = places[0], places[-1]
    if len(places) == 1 or last.y <= first.y:
        return first.x, 0.0
    return first.x, (last.x - first.x) / (last.y - first.y)


def _slope(pull: Pull, post: Point, target: float) -> float:
    """Splay in radians per mm of x off the ideal line, as a secant from there."""
    off = post.x - target
    if abs(off) < 1e-3:
        off = 1e-3
    # Where the post swallows its own slot the splay does not change at all; such a post pulls least.
    return max(LEAST_SLOPE, abs(splay(pull, Point(target + off, post.y)) / off))


def splay(pull: Pull, post: Point) -> float:
    """Signed turn in radians, counter-clockwise, from the string's run to its path to the tangent of the post."""
    assert pull.slot is not None, "only a string has a splay"
    way = post - pull.slot
    sine = min(1.0, pull.radius / way.length)
    turn = math.asin(sine) if pull.left else -math.asin(sine)
    angle = way.angle + turn - pull.run.angle
    return (angle + math.pi) % math.tau - math.pi


def minimax_line(xs: list[float], ys: list[float], weights: list[float]) -> tuple[float, float]:
    """Intercept and slope of the line with the least largest weighted deviation |w (a + b x - y)|.

    The best line deviates equally, with alternating signs, at three of the points (Chebyshev); every three are tried
    and the three with the largest common deviation are those of the best line.
    """
    if len(xs) == 1:
        return ys[0], 0.0
    if len(xs) == 2:
        slope = (ys[1] - ys[0]) / (xs[1] - xs[0])
        return ys[0] - slope * xs[0], slope
    best = max(
        (_through_three(xs, ys, weights, three) for three in combinations(range(len(xs)), 3)),
        key=lambda each: each[0],
    )
    return best[1], best[2]


def _through_three(
    xs: list[float], ys: list[float], weights: list[float], three: tuple[int, int, int]
) -> tuple[float, float, float]:
    """Common deviation, intercept and slope of the line that deviates by +e, -e, +e at three points."""
    (x0, x1, x2), (y0, y1, y2) = [xs[n] for n in three], [ys[n] for n in three]
    r0, r1, r2 = (1 / weights[n] for n in three)
    # a + b x0 - y0 = e r0,  a + b x1 - y1 = -e r1,  a + b x2 - y2 = e r2, solved for e, then b, then a.
    total = (x1 - x0) * (r2 - r0) + (x2 - x0) * (r0 + r1)
    deviation = ((y1 - y0) * (x2 - x0) - (y2 - y0) * (x1 - x0)) / total
    slope = (y1 - y0 - deviation * (r0 + r1)) / (x1 - x0)
    return abs(deviation), y0 + deviation * r0 - slope * x0, slope
