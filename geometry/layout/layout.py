"""Everything that follows from a build: the edge, the tuners in their places, and the strings' paths.

`lay_out` is total: what cannot be placed is left out and said in `problems`.
"""

from __future__ import annotations

from itertools import groupby
from string import ascii_uppercase

import msgspec

from geometry.document.build import Build
from geometry.layout.assign import strings_of_posts
from geometry.layout.edge import Edge, edge_of
from geometry.layout.frames import frames_of, hardware_of
from geometry.layout.on_plate import laid_on_plate, misfits
from geometry.layout.parts import (
    PlacedPlate,
    PlacedPost,
    SmallHole,
    placed_post,
    small_holes,
    thickness_at,
    tree_screws,
)
from geometry.layout.paths import StringPath, string_path
from geometry.layout.slots import slots_x, spread_of, trade_numbers
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import Note


class Layout(msgspec.Struct, frozen=True):
    """The derived state of a build.

    `edge` is None when the outline makes no line at all. `holes` are those of the tuners in the back. `labels` are the
    trade numbers by string key and the names of posts by post key. `unplaced` are sentences about rows that have no
    place, `misfits` about rows that have another number of posts than their plate.
    """

    edge: Edge | None
    slots: dict[str, float]
    posts: tuple[PlacedPost, ...]
    plates: tuple[PlacedPlate, ...]
    holes: tuple[SmallHole, ...]
    tree_screws: tuple[SmallHole, ...]
    paths: tuple[StringPath, ...]
    labels: dict[str, str]
    unplaced: tuple[Note, ...]
    misfits: tuple[Note, ...]

    @property
    def problems(self) -> tuple[Note, ...]:
        """What could not be placed, as sentences."""
        return self.unplaced + self.misfits

    @property
    def small_holes(self) -> tuple[SmallHole, ...]:
        """All holes of screws and pins, those of trees in the face last."""
        return self.holes + self.tree_screws

    @property
    def top(self) -> float:
        """Y of the tip in mm; 0 without an edge."""
        return self.edge.top if self.edge else 0.0

    def post(self, key: str) -> PlacedPost:
        """The placed post with this key; asking for one that is not placed is a programming error."""
        return next(post for post in self.posts if post.key == key)

    def names_of(self, posts: tuple[str, ...]) -> str:
        """The posts with these keys in words: "3", "3 and 4", "1a to 2b" for more that stand in a row."""
        names = [self.labels[key] for key in posts]
        return " and ".join(names) if len(names) <= 2 else f"{names[0]} to {names[-1]}"


def lay_out(build: Build) -> Layout:
    """Where everything lands."""
    edge = edge_of(build)
    slots = slots_x(build)
    strings = strings_of_posts(build)
    labels = _labels(build, strings)
    if edge is None:
        return Layout(None, slots, (), (), (), (), (), labels, (), ())
    frames, unplaced = frames_of(build, edge, slots, strings)
    placed = tuple(
        placed_post(
            build, row, post, both, labels[post.key], strings.get(post.key), edge.top, hardware_of(build, row)
        )
        for row in build.rows
        for post, both in zip(row.posts, frames.get(row.key, ()), strict=False)
    )
    posts, plates, holes = _on_the_back(placed)
    paths = _paths(build, slots, posts)
    screws = tree_screws(build)
    return Layout(edge, slots, posts, plates, holes, screws, paths, labels, tuple(unplaced), misfits(posts))


def _on_the_back(
    placed: tuple[PlacedPost, ...],
) -> tuple[tuple[PlacedPost, ...], tuple[PlacedPlate, ...], tuple[SmallHole, ...]]:
    """The tuners where their plates have them, those plates, and the holes of all screws and pins."""
    posts: list[PlacedPost] = []
    plates: list[PlacedPlate] = []
    holes: list[SmallHole] = []
    for _, row in groupby(placed, lambda post: post.row):
        seated, plate = laid_on_plate(tuple(row))
        posts += seated
        plates += [plate] if plate else []
        holes += small_holes(seated, plate)
    return tuple(posts), tuple(plates), tuple(holes)


def displaced(build: Build, layout: Layout, steps: dict[str, Vector]) -> Layout:
    """The layout with posts moved as they would be if drilled elsewhere: rules are not applied again.

    Bore, bushing, washer, body, screws, pins and button move rigidly, shaft directions kept; string paths follow. A
    screw that two tuners share moves by the mean of their steps; a plate is laid on its holes anew.
    """
    moved = tuple(
        _displaced(build, post, steps[post.key], layout.top) if post.key in steps else post
        for post in layout.posts
    )
    posts, plates, holes = _on_the_back(moved)
    paths = _paths(build, layout.slots, posts)
    return msgspec.structs.replace(
        layout, posts=posts, holes=holes, plates=plates, paths=paths, misfits=misfits(posts)
    )


def _displaced(build: Build, post: PlacedPost, step: Vector, top: float) -> PlacedPost:
    moved = post.moved(step)
    return msgspec.structs.replace(moved, thickness=thickness_at(build, moved.at.y, top))


def _labels(build: Build, strings: dict[str, str]) -> dict[str, str]:
    """What people call strings and posts: a post takes the number of its string, spare ones are A, B, ..."""
    labels = trade_numbers(build.strings)
    spares = 0
    for row in build.rows:
        for post in row.posts:
            if post.key in strings:
                labels[post.key] = labels[strings[post.key]]
            else:
                labels[post.key] = f"spare {_letters(spares)}"
                spares += 1
    return labels


def _letters(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    rest, letter = divmod(number, len(ascii_uppercase))
    return (_letters(rest - 1) if rest else "") + ascii_uppercase[letter]


# Strings


def _paths(build: Build, slots: dict[str, float], posts: tuple[PlacedPost, ...]) -> tuple[StringPath, ...]:
    """The paths in the order of the strings, treble-most first."""
    spread = spread_of(slots)
    by_string = {post.string: post for post in posts if post.string is not None}
    paths = []
    for string in build.strings:
        post = by_string.get(string.key)
        if post is None:
            continue
        retainers = sorted(
            (each for each in build.retainers if string.key in each.strings), key=lambda each: each.at.y
        )
        between = tuple(each for each in retainers if SAME < each.at.y < post.at.y)
        paths.append(string_path(build, string, post, slots[string.key], spread, between))
    return tuple(paths)
