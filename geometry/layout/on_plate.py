"""Whether drilled posts meet the holes of the rigid plate that carries their row."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby, pairwise

from geometry.layout.parts import PlacedPost
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import Note, Sentence


def play_of(post: PlacedPost) -> float:
    """How far in mm a shaft can lie off the middle of its bore."""
    return (post.hardware.bore.through - post.hardware.post_diameter) / 2


def misfits(posts: tuple[PlacedPost, ...]) -> tuple[Note, ...]:
    """Sentences where the posts of a row do not meet the holes of their rigid plate, whatever rule placed them.

    Each post has the play of its bore; two neighbours may differ from the plate's pitch by the sum of theirs.
    """
    return tuple(
        sentence for _, row in groupby(posts, lambda post: post.row) for sentence in _misfits(tuple(row))
    )


def _misfits(row: tuple[PlacedPost, ...]) -> Iterator[Note]:
    plate = row[0].hardware.plate
    if plate is None:
        return
    if len(row) != plate.posts:
        yield f"The plate of post {row[0].label} carries {plate.posts} posts, but its row has {len(row)}."
        return
    for one, two in pairwise(row):
        if plate_error(one, two, plate.pitch) > play_of(one) + play_of(two) + SAME:
            posts = f"{one.label} and {two.label}"
            text = f"The plate does not fit posts {posts}: they stand {{0}} apart, its pitch is {{1}}."
            yield Sentence(text, (one.at.distance(two.at),), (plate.pitch,))


def plate_error(one: PlacedPost, two: PlacedPost, pitch: float) -> float:
    """How far in mm the second post lies from where the plate wants it, seen from the first."""
    apart = two.at - one.at
    return math.hypot(apart.dot(one.frame.along) - pitch, apart.dot(one.frame.outward))
