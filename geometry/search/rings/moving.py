"""How parts move when posts do: with their posts, by a share of what several tuners hold, or with a plate."""

from __future__ import annotations

import msgspec
import numpy as np

from geometry.checks.facts import Facts, plate_part
from geometry.checks.gaps import Gaps, Part
from geometry.search.rings.play import Plates, plates_of
from geometry.shape.close import Floats


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
