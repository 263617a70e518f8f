"""How far posts may be off against each other where one plate or one screw holds several tuners.

A plate fits its holes as well as one rigid body can (`registration.py`): its fit is the least possible largest distance
of a shaft from its hole. With shaft i off its hole by o(i) now and every hole moved by up to r(i), the place of each
hole, seen from its shaft where the plate is now, lies in a disc about 0 of radius R(i) = o(i) + r(i). Let a and b have
the two largest. Shifted by (R(a) - R(b)) / 2 towards hole a, the plate is nowhere further off than (R(a) + R(b)) / 2:
at a that is what is left of R(a), at all others R(b) and the shift. So the fit is at most the largest (R(i) + R(j)) / 2
of any two: rows that are sound. They are exact where all o are 0, because two holes that part by r(i) + r(j) along the
row keep any plate half as far off. Where a plate lies as well as it can and is off, some of its shafts pull against
each other; moving their holes further off, each by r, adds r to the fit: equal rings are tight to first order.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, groupby

import msgspec
import numpy as np

from geometry.checks.facts import Facts, plate_part
from geometry.checks.gaps import Part
from geometry.layout.parts import PlacedPlate, PlacedPost
from geometry.shape.box import Box
from geometry.shape.close import Flags, Floats, Indices
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME

PlayRow = tuple[dict[int, float], float, str]
"""Weights by the number of the post, the margin in mm, and the check, or what holds the tuners together."""

Expanded = list[tuple[Floats, float]]
"""Weights (n,) and margins of rows that together say what one says of a part that a plate carries."""


class Fitted(msgspec.Struct, frozen=True):
    """A plate on its holes: the numbers (m,) of its posts, how far (m,) its shafts are off, its fit and what may be."""

    numbers: tuple[int, ...]
    off: tuple[float, ...]
    fit: float
    allowed: float

    @property
    def broken(self) -> bool:
        """Whether it does not fit as it is."""
        return self.fit > self.allowed + SAME


class Carried(msgspec.Struct, frozen=True):
    """A part on a plate, by the number of the plate.

    `lever` (n,) is by how much it moves at most for a millimetre of the first and of the last shaft, from which every
    place of what is rigid follows.
    """

    plate: int
    lever: Floats


class Plates(msgspec.Struct, frozen=True):
    """All plates of a layout and the parts that they carry; `reach` (n,) is how far each post may move at most."""

    fitted: tuple[Fitted, ...]
    carried: dict[Part, Carried]
    reach: Floats

    def expanded(
        self, about: Sequence[tuple[Part, ...]], weights: Floats, margins: Floats, rate: float, chosen: Flags
    ) -> tuple[Indices, Floats, Floats]:
        """Rows that together say what the `chosen` (k,) ones do of parts of which plates carry some.

        `weights` (k, n) are those of the parts that move with their posts; `rate` is what a millimetre counts. Returns
        the number of the row that each comes from, weights and margins; nothing for rows that no miss can reach.
        """
        found = [
            (k, *row)
            for k in np.flatnonzero(chosen & ~np.isnan(margins)).tolist()
            for row in self._of_one(about[k], weights[k], float(margins[k]), rate)
        ]
        count = weights.shape[1]
        return (
            np.array([k for k, _, _ in found], dtype=np.intp),
            np.array([row for _, row, _ in found]).reshape(-1, count),
            np.array([margin for _, _, margin in found]),
        )

    def _moved(self, carried: Carried, rate: float) -> _Moved:
        plate, lever = self.fitted[carried.plate], rate * carried.lever
        if plate.broken:
            # A plate that does not fit stays, because none of its holes may move at all.
            return _Moved(plate, lever, 0.0, 0.0)
        fixed = sum(lever[n] * off for n, off in zip(plate.numbers, plate.off, strict=True))
        return _Moved(plate, lever, float(lever.sum()), float(fixed))

    def _of_one(self, parts: tuple[Part, ...], weights: Floats, margin: float, rate: float) -> Expanded:
        """One row: a shaft moves by at most r + o and the new fit, which is at most o + r of a post of its plate."""
        held = [self.carried[part] for part in parts if part in self.carried]
        if len(held) == 2 and held[0].plate == held[1].plate:
            return []
        moved = [self._moved(each, rate) for each in held]
        whole = weights + sum(each.lever for each in moved)
        if margin - sum(each.fixed + each.share * each.plate.allowed for each in moved) >= whole @ self.reach:
            return []
        found = [(weights, margin)]
        for each in moved:
            found = [(one + lever, rest - lost) for one, rest in found for lever, lost in each.by_hole()]
        # What is not broken while all holes are dead on is not broken by a bound.
        return [(one, max(0.0, rest) if margin >= 0 else margin) for one, rest in found]


class _Moved(msgspec.Struct, frozen=True):
    """By how much a carried part moves: its lever (n,) by the holes, `fixed` mm and its share of the new fit."""

    plate: Fitted
    lever: Floats
    share: float
    fixed: float

    def by_hole(self) -> list[tuple[Floats, float]]:
        """Weights (n,) and mm for each hole that may be furthest off, for which the new fit stands."""
        found = []
        for number, off in zip(self.plate.numbers, self.plate.off, strict=True):
            weights = self.lever.copy()
            weights[number] += self.share
            found.append((weights, self.fixed + self.share * off))
        return found


def plates_of(facts: Facts, most: float) -> Plates:
    """The plates of a layout; posts that no plate carries may move by up to `most` mm."""
    places = {post.key: number for number, post in enumerate(facts.posts)}
    stop = facts.rule("plate fit").stop
    fitted: list[Fitted] = []
    carried: dict[Part, Carried] = {}
    reach = np.full(len(places), most)
    for plate in facts.layout.plates:
        hardware = facts.layout.post(plate.posts[0]).hardware
        count = hardware.plate.posts if hardware.plate else 0
        posts = [facts.layout.post(key) for key in plate.posts[:count]]
        numbers = tuple(places[post.key] for post in posts)
        allowed = plate.fit + most if stop is None else stop.at(hardware.play)
        off = tuple(post.at.distance(post.tuner.at) for post in posts)
        for part, at in _parts(facts, plate, posts):
            carried[part] = Carried(len(fitted), _lever(plate, posts, numbers, at, len(places)))
        fitted.append(Fitted(numbers, off, plate.fit, allowed))
        if len(posts) > 1:
            reach[list(numbers)] = min(most, 2 * allowed)
    return Plates(tuple(fitted), carried, reach)


def _parts(
    facts: Facts, plate: PlacedPlate, posts: list[PlacedPost]
) -> Iterator[tuple[Part, tuple[Point, ...]]]:
    """What lies on a plate, and the places that hold each of these parts between them."""
    yield plate_part(facts.layout, plate.posts), plate.box.corners()
    for post in posts:
        button = post.button.corners() if isinstance(post.button, Box) else (post.button.centre,)
        yield Part("button", post.key, post.label), button
    keys = {post.key for post in posts}
    for part, hole in zip(facts.holes, facts.layout.holes, strict=False):
        if hole.owners[0] in keys:
            yield part, (hole.at,)


def _lever(
    plate: PlacedPlate,
    posts: list[PlacedPost],
    numbers: tuple[int, ...],
    places: tuple[Point, ...],
    count: int,
) -> Floats:
    lever = np.zeros(count)
    span = posts[0].tuner.at.distance(posts[-1].tuner.at)
    if span <= SAME:
        lever[numbers[0]] = 1.0
        return lever
    ways = [place - plate.frame.at for place in places]
    along = np.array([way.dot(plate.frame.along) for way in ways]) / span
    aside = np.abs([way.dot(plate.frame.outward) for way in ways]) / span
    lever[numbers[0]] = float(np.max(np.abs(1.0 - along) + aside))
    lever[numbers[-1]] = float(np.max(np.abs(along) + aside))
    return lever


# Rows of how far posts may part


def play_rows(facts: Facts, plates: Plates) -> list[PlayRow]:
    """Rows of tuners that share screws, and of those on a plate."""
    found = [row for fitted in plates.fitted for row in _of_plate(fitted)]
    for _, group in groupby(enumerate(facts.posts), lambda each: each[1].row):
        row = list(group)
        hardware = row[0][1].hardware
        if hardware.plate is None and len(row) > 1 and any(screw.shared for screw in hardware.screws):
            slack = (hardware.bore.through - hardware.post_diameter) / 2
            found += [({number: 1.0}, slack, "shared screw") for number, _ in row]
    return found


def _of_plate(plate: Fitted) -> list[PlayRow]:
    if plate.broken:
        return [(dict.fromkeys(plate.numbers, 1.0), plate.allowed - plate.fit, "plate fit")]
    each = zip(plate.numbers, plate.off, strict=True)
    return [
        ({i: 0.5, j: 0.5}, max(0.0, plate.allowed - (one + two) / 2), "plate fit")
        for (i, one), (j, two) in combinations(each, 2)
    ]


def weights_of(row: PlayRow, count: int) -> Floats:
    """The weights (n,) of a row for all posts."""
    weights = np.zeros(count)
    for number, weight in row[0].items():
        weights[number] = weight
    return weights
