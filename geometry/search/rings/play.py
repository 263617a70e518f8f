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
from geometry.checks.gaps import Gaps, Part
from geometry.layout.parts import PlacedPlate, PlacedPost
from geometry.shape.box import Box
from geometry.shape.close import Flags, Floats, Indices
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME

PlayRow = tuple[Floats, float, str]
"""Weights (n,) of the posts, the margin in mm, and the check, or what holds the tuners together."""

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
    own = np.eye(len(facts.posts))
    found = [row for fitted in plates.fitted for row in _of_plate(fitted, own)]
    for _, group in groupby(enumerate(facts.posts), lambda each: each[1].row):
        row = list(group)
        hardware = row[0][1].hardware
        if hardware.plate is None and len(row) > 1 and any(screw.shared for screw in hardware.screws):
            slack = (hardware.bore.through - hardware.post_diameter) / 2
            found += [(own[number], slack, "shared screw") for number, _ in row]
    return found


def _of_plate(plate: Fitted, own: Floats) -> list[PlayRow]:
    if plate.broken:
        return [(own[list(plate.numbers)].sum(axis=0), plate.allowed - plate.fit, "plate fit")]
    each = zip(plate.numbers, plate.off, strict=True)
    return [
        ((own[i] + own[j]) / 2, max(0.0, plate.allowed - (one + two) / 2), "plate fit")
        for (i, one), (j, two) in combinations(each, 2)
    ]


# How parts move when posts do: with their posts, by a share of what several tuners hold, or with a plate


class Moving(msgspec.Struct, frozen=True):
    """How parts move with posts: `shares` as of `shares_of`, and the plates with what they carry."""

    shares: dict[Part, Floats]
    plates: Plates


def moving_of(facts: Facts, most: float) -> Moving:
    """How the parts of a layout move; posts that no plate carries may miss by up to `most` mm."""
    return Moving(shares_of(facts), plates_of(facts, most))


def shares_of(facts: Facts) -> dict[Part, Floats]:
    """How much (n,) of each post's step a part takes: all of its own, a part of what several tuners share.

    What a plate carries moves so only while its posts step alike; how far it may stray from that, `Plates` knows.
    """
    posts = facts.posts
    places = {post.key: number for number, post in enumerate(posts)}
    own = np.eye(len(posts))
    shares: dict[Part, Floats] = {}
    for number, post in enumerate(posts):
        for kind in ("bore", "post", "washer", "button", "body"):
            shares[Part(kind, post.key, post.label)] = own[number]
    for part, path in zip(facts.strings, facts.paths, strict=True):
        shares[part] = own[places[path.post]]
    for part, hole in zip(facts.holes, facts.layout.holes, strict=False):
        shares[part] = own[[places[key] for key in hole.owners]].mean(axis=0)
    for plate in facts.layout.plates:
        part = plate_part(facts.layout, plate.posts)
        shares[part] = own[[places[key] for key in plate.posts]].mean(axis=0)
    return shares


def moves_of(facts: Facts, found: Gaps, moving: Moving) -> tuple[Floats, Floats]:
    """What (k, n) the parts i and j of each quantity take of the posts' steps."""
    nothing = np.zeros(len(facts.posts))
    of_part = np.array([moving.shares.get(part, nothing) for part in found.parts]).reshape(-1, len(nothing))
    first = of_part[found.i]
    return first, np.zeros_like(first) if found.j is None else of_part[found.j]


def exact_moves(found: Gaps, side: int, moves: Floats, plates: Plates) -> Floats:
    """What (k, n) parts i (`side` 0) or j take of the posts' steps, nothing for those that a plate carries."""
    numbers = found.i if side == 0 else found.j
    if numbers is None:
        return moves
    on_plate = np.array([part in plates.carried for part in found.parts], dtype=bool)
    return np.where(on_plate[numbers][:, None], 0.0, moves)


def owners_of(facts: Facts) -> Floats:
    """The posts (k, n) of the rows of `screw_to_own_bore`."""
    places = {post.key: number for number, post in enumerate(facts.posts)}
    own = np.eye(len(facts.posts))
    return own[[places[key] for hole in facts.layout.small_holes for key in hole.owners]]
