"""Straight pull: posts placed where the strings run on from the fingerboard without turning at the nut.

A string meets its post on a tangent, so the post stands beside the string's own line by post radius + string radius.
"""

from __future__ import annotations

import math

import msgspec

from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME


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


def splay(pull: Pull, post: Point) -> float:
    """Signed turn in radians, counter-clockwise, from the string's run to its path to the tangent of the post."""
    assert pull.slot is not None, "only a string has a splay"
    way = post - pull.slot
    sine = min(1.0, pull.radius / way.length)
    turn = math.asin(sine) if pull.left else -math.asin(sine)
    angle = way.angle + turn - pull.run.angle
    return (angle + math.pi) % math.tau - math.pi


def slope(pull: Pull, post: Point) -> Vector:
    """How the splay changes with the place of the post, in radians per mm."""
    assert pull.slot is not None, "only a string has a splay"
    way = post - pull.slot
    square = way.dot(way)
    # A post that swallows its own slot turns with the way to it, whatever its size.
    past = math.sqrt(max(0.0, square - pull.radius**2))
    along = (-pull.radius if pull.left else pull.radius) / past if past > SAME else 0.0
    return (way.left + way * along) * (1 / square)
