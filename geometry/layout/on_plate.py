"""Where a rigid plate lies that carries a row: its shafts laid on the row's holes as one body."""

from __future__ import annotations

from itertools import groupby

from geometry.layout.parts import Frame, PlacedPlate, PlacedPost
from geometry.shape.box import Box
from geometry.shape.registration import laid_row
from geometry.trade.sentence import Note


def laid_on_plate(posts: tuple[PlacedPost, ...]) -> tuple[tuple[PlacedPost, ...], PlacedPlate | None]:
    """A row with its tuners where their plate has them, and that plate; the row as it is where no plate carries it.

    The plate lies so that the largest distance of a shaft from the middle of its hole is as small as it can be. What is
    in the head, bores with their bushings and washers, stays at the holes.
    """
    plate = posts[0].hardware.plate if posts else None
    if plate is None:
        return posts, None
    carried, row_frame = posts[: plate.posts], posts[0].row_frame
    lying = laid_row(tuple(post.at for post in carried), plate.pitch, row_frame.along)
    outward = lying.along.right if posts[0].side_sign > 0 else lying.along.left
    frame = Frame(lying.first, lying.along, outward)
    half = plate.pitch * (plate.posts - 1) / 2
    box = Box(frame.point(half, plate.shift_outward), frame.along, half + plate.beyond, plate.across / 2)
    seated = tuple(
        post.seated(Frame(frame.point(plate.pitch * number, 0.0), frame.along, outward))
        for number, post in enumerate(carried)
    )
    placed = PlacedPlate(posts[0].row, frame, box, tuple(post.key for post in posts), lying.worst)
    return (*seated, *posts[plate.posts :]), placed


def misfits(posts: tuple[PlacedPost, ...]) -> tuple[Note, ...]:
    """Sentences about rows that have another number of posts than their plate, whatever rule placed them."""
    rows = (tuple(row) for _, row in groupby(posts, lambda post: post.row))
    return tuple(
        f"The plate of post {row[0].label} carries {plate.posts} posts, but its row has {len(row)}."
        for row in rows
        if (plate := row[0].hardware.plate) is not None and len(row) != plate.posts
    )
