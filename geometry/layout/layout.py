"""Everything that follows from a build: the edge, the tuners in their places, and the strings' paths.

`lay_out` is total: what cannot be placed is left out and said in `problems`.
"""

from __future__ import annotations

from string import ascii_uppercase

import msgspec

from geometry.build.build import Build
from geometry.layout.assign import strings_of_posts
from geometry.layout.edge import Edge, edge_of
from geometry.layout.frames import frames_of, hardware_of
from geometry.layout.on_plate import misfits
from geometry.layout.parts import (
    PlacedPlate,
    PlacedPost,
    SmallHole,
    placed_post,
    plate_of,
    small_holes,
    thickness_at,
)
from geometry.layout.paths import StringPath, string_path
from geometry.layout.slots import slots_x, spread_of, trade_numbers
from geometry.shape.point import Vector
from geometry.shape.tolerance import SAME
from geometry.trade.sentence import Note


class Layout(msgspec.Struct, frozen=True):
    """The derived state of a build.

    `edge` is None when the outline makes no line at all. `labels` are the trade numbers by string key and the names
    of posts by post key. `unplaced` are sentences about rows that have no place, `misfits` about posts that their
    plate does not fit.
    """

    edge: Edge | None
    slots: dict[str, float]
    posts: tuple[PlacedPost, ...]
    plates: tuple[PlacedPlate, ...]
    holes: tuple[SmallHole, ...]
    paths: tuple[StringPath, ...]
    labels: dict[str, str]
    unplaced: tuple[Note, ...]
    misfits: tuple[Note, ...]

    @property
    def problems(self) -> tuple[Note, ...]:
        """What could not be placed, as sentences."""
        return self.unplaced + self.misfits

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
        return Layout(None, slots, (), (), (), (), labels, (), ())
    frames, unplaced = frames_of(build, edge, slots, strings)
    posts: list[PlacedPost] = []
    plates: list[PlacedPlate] = []
    holes: list[SmallHole] = []
    for row in build.rows:
        if row.key not in frames:
            continue
        hardware = hardware_of(build, row)
        placed = tuple(
            placed_post(build, row, post, both, labels[post.key], strings.get(post.key), edge.top, hardware)
            for post, both in zip(row.posts, frames[row.key], strict=True)
        )
        posts += placed
        holes += small_holes(hardware, placed)
        plate = plate_of(row, hardware, placed)
        plates += [plate] if plate else []
    paths = _paths(build, slots, tuple(posts))
    return Layout(
        edge,
        slots,
        tuple(posts),
        tuple(plates),
        tuple(holes),
        paths,
        labels,
        tuple(unplaced),
        misfits(tuple(posts)),
    )


def displaced(build: Build, layout: Layout, steps: dict[str, Vector]) -> Layout:
    """The layout with posts moved as they would be if drilled elsewhere: rules are not applied again.

    Bore, bushing, washer, body, screws, pins and button move rigidly, shaft directions kept; string paths follow. What
    two tuners share moves by the mean of their steps.
    """
    still = Vector(0.0, 0.0)
    posts = tuple(
        _displaced(build, post, steps[post.key], layout.top) if post.key in steps else post
        for post in layout.posts
    )
    holes = tuple(hole.moved(_mean([steps.get(key, still) for key in hole.owners])) for hole in layout.holes)
    plates = tuple(
        msgspec.structs.replace(
            plate, box=plate.box.moved(_mean([steps.get(key, still) for key in plate.posts]))
        )
        for plate in layout.plates
    )
    paths = _paths(build, layout.slots, posts)
    return msgspec.structs.replace(
        layout, posts=posts, holes=holes, plates=plates, paths=paths, misfits=misfits(posts)
    )


def _displaced(build: Build, post: PlacedPost, step: Vector, top: float) -> PlacedPost:
    moved = post.moved(step)
    return msgspec.structs.replace(moved, thickness=thickness_at(build, moved.at.y, top))


def _mean(steps: list[Vector]) -> Vector:
    return sum(steps, Vector(0.0, 0.0)) / len(steps)


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
