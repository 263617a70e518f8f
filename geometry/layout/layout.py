"""Everything that follows from a build: the edge, the tuners in their places, and the strings' paths.

`lay_out` is total: what cannot be placed is left out and said in `problems`.
"""

from __future__ import annotations

from itertools import groupby
from string import ascii_uppercase

import msgspec
import numpy as np

from geometry.build.build import Build, Moved, Post, Row
from geometry.layout.assign import strings_of_posts
from geometry.layout.edge import Edge, edge_of
from geometry.layout.on_plate import laid_on_plate, misfits
from geometry.layout.parts import (
    Frame,
    PlacedPlate,
    PlacedPost,
    SmallHole,
    placed_post,
    small_holes,
    thickness_at,
    tree_screws,
)
from geometry.layout.paths import StringPath, contact_radius, run_direction, string_path
from geometry.layout.pull import Pull
from geometry.layout.rows import PlacedRow, place_row
from geometry.layout.slots import slots_x, trade_numbers
from geometry.layout.track import RuleError
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware


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
    unplaced: tuple[str, ...]
    misfits: tuple[str, ...]

    @property
    def problems(self) -> tuple[str, ...]:
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
    frames, unplaced = _frames(build, edge, slots, strings)
    placed = tuple(
        placed_post(
            build,
            row,
            post,
            frame,
            labels[post.key],
            strings.get(post.key),
            edge.top,
            _hardware(build, row),
        )
        for row in build.rows
        for post, frame in zip(row.posts, frames.get(row.key, ()), strict=False)
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


def _hardware(build: Build, row: Row) -> Hardware:
    return next(each for each in build.hardware if each.key == row.hardware)


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


# Frames of the posts


def _frames(
    build: Build, edge: Edge, slots: dict[str, float], strings: dict[str, str]
) -> tuple[dict[str, tuple[Frame, ...]], list[str]]:
    """Frames of each row that could be placed, by row key, and sentences about the others."""
    problems: list[str] = []
    rows: dict[str, PlacedRow] = {}
    for row in build.rows:
        if not row.posts:
            continue
        try:
            rows[row.key] = _placed_row(build, row, edge, slots, strings, careful=False)
        except RuleError as error:
            problems.append(str(error))
    distances, nearest = _to_edge(edge, [place for row in rows.values() for place in row.places])
    frames: dict[str, tuple[Frame, ...]] = {}
    first = 0
    for row in build.rows:
        placed = rows.get(row.key)
        if placed is None:
            continue
        span = slice(first, first + len(placed.places))
        first = span.stop
        feet = nearest[span]
        if _too_near(placed, distances[span]):
            try:
                placed = _placed_row(build, row, edge, slots, strings, careful=True)
            except RuleError as error:
                problems.append(str(error))
                continue
            feet = _to_edge(edge, list(placed.places))[1]
        frames[row.key] = _row_frames(build, row, placed, feet)
    return frames, problems


def _placed_row(
    build: Build, row: Row, edge: Edge, slots: dict[str, float], strings: dict[str, str], *, careful: bool
) -> PlacedRow:
    hardware = _hardware(build, row)
    pulls = tuple(_pull(build, row, post, slots, strings, hardware) for post in row.posts)
    return place_row(row, hardware, build.sign_of(row.side), edge, pulls, careful=careful)


def _to_edge(edge: Edge, places: list[Point]) -> tuple[np.ndarray, np.ndarray]:
    if not places:
        return np.empty(0), np.empty((0, 2))
    distances, nearest, _ = edge.pieces.nearest(np.array([(at.x, at.y) for at in places]))
    return distances, nearest


def _too_near(row: PlacedRow, distances: np.ndarray) -> bool:
    """Whether another part of the edge comes nearer to a post than its inset."""
    return any(
        inset is not None and distance < inset - SAME
        for inset, distance in zip(row.insets, distances, strict=True)
    )


def _row_frames(build: Build, row: Row, placed: PlacedRow, feet: np.ndarray) -> tuple[Frame, ...]:
    sign = build.sign_of(row.side)
    moved = {each.post: each for each in row.moved}
    frames = []
    for post, at, foot in zip(row.posts, placed.places, feet, strict=True):
        frame = _frame(at, placed.line, Point(float(foot[0]), float(foot[1])), sign)
        frames.append(_by_hand(frame, moved.get(post.key)))
    return tuple(frames)


def _frame(at: Point, line: Vector | None, foot: Point, sign: int) -> Frame:
    """Shaft square to the row's line, or without one square to the edge at the point nearest the post."""
    if line is not None:
        return Frame(at, line, line.right if sign > 0 else line.left)
    way = foot - at
    outward = way.unit() if way.length > SAME else Vector(float(sign), 0.0)
    return Frame(at, outward.left if sign > 0 else outward.right, outward)


def _by_hand(frame: Frame, moved: Moved | None) -> Frame:
    if moved is None:
        return frame
    return frame.moved(frame.along * moved.along - frame.outward * moved.inward)


def _pull(
    build: Build, row: Row, post: Post, slots: dict[str, float], strings: dict[str, str], hardware: Hardware
) -> Pull:
    key = strings.get(post.key)
    if key is None:
        return Pull(None, Vector(0.0, 1.0), 0.0, left=True)
    string = next(each for each in build.strings if each.key == key)
    run = run_direction(build, slots[key], _spread(slots))
    left = (build.sign_of(row.side) > 0) != post.flip_wound_side
    return Pull(Point(slots[key], 0.0), run, contact_radius(string, hardware.post_diameter), left)


# Strings


def _spread(slots: dict[str, float]) -> float:
    """Distance in mm between the outer strings' centres at the nut."""
    return max(slots.values()) - min(slots.values()) if slots else 0.0


def _paths(build: Build, slots: dict[str, float], posts: tuple[PlacedPost, ...]) -> tuple[StringPath, ...]:
    """The paths in the order of the strings, treble-most first."""
    spread = _spread(slots)
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
