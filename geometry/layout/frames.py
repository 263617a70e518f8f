"""Where the posts of all rows stand and which way their tuners point: by rule, and as hands have moved them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import starmap

import numpy as np

from geometry.document.build import AlongEdge, Build, Moved, Post, Row
from geometry.layout.edge import Edge
from geometry.layout.parts import Frame
from geometry.layout.paths import contact_radius, run_direction
from geometry.layout.pull import Pull
from geometry.layout.rows import PlacedRow, place_row
from geometry.layout.slots import spread_of
from geometry.layout.track import RuleError
from geometry.shape.close import Floats, Indices
from geometry.shape.point import Point, Vector
from geometry.shape.shapes import points
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware
from geometry.trade.sentence import Note

Frames = tuple[tuple[Frame, Frame], ...]
"""For each post of a row where its rule puts it, and where it is."""


def frames_of(
    build: Build, edge: Edge, slots: dict[str, float], strings: dict[str, str]
) -> tuple[dict[str, Frames], list[Note]]:
    """Frames of each row that could be placed, by row key, and sentences about the others."""
    problems: list[Note] = []
    rows: dict[str, PlacedRow] = {}
    for row in build.rows:
        if not row.posts:
            continue
        try:
            rows[row.key] = _placed_row(build, row, edge, slots, strings, careful=False)
        except RuleError as error:
            problems.append(error.note)
    distances, nearest = _to_edge(edge, [place for row in rows.values() for place in row.places])
    ruled: dict[str, tuple[Frame, ...]] = {}
    first = 0
    for row in build.rows:
        placed = rows.get(row.key)
        if placed is None:
            continue
        span = slice(first, first + len(placed.places))
        first = span.stop
        near = (nearest[0][span], nearest[1][span])
        if _too_near(placed, distances[span]):
            try:
                placed = _placed_row(build, row, edge, slots, strings, careful=True)
            except RuleError as error:
                problems.append(error.note)
                continue
            near = _to_edge(edge, placed.places)[1]
        sign = build.sign_of(row.side)
        if placed.line is None:
            ruled[row.key] = _along_edge(edge, placed.places, near, [sign] * len(placed.places))
        else:
            ruled[row.key] = tuple(_in_line(at, placed.line, sign) for at in placed.places)
    return _as_moved(build, edge, ruled), problems


def _placed_row(
    build: Build, row: Row, edge: Edge, slots: dict[str, float], strings: dict[str, str], *, careful: bool
) -> PlacedRow:
    hardware = hardware_of(build, row)
    pulls = tuple(_pull(build, row, post, slots, strings, hardware) for post in row.posts)
    return place_row(row, hardware, build.sign_of(row.side), edge, pulls, careful=careful)


Near = tuple[Floats, Indices]
"""The nearest places (k, 2) of the edge's contour, and the pieces (k,) of it."""


def _to_edge(edge: Edge, places: Sequence[Point]) -> tuple[list[float], Near]:
    """Distances of places to the edge, and what of it is nearest to each."""
    if not places:
        return [], (np.empty((0, 2)), np.empty(0, np.intp))
    distances, feet, index = edge.pieces.nearest(points(places))
    return distances.tolist(), (feet, index)


def _too_near(row: PlacedRow, distances: list[float]) -> bool:
    """Whether another part of the edge comes nearer to a post than its inset."""
    return any(
        inset is not None and distance < inset - SAME
        for inset, distance in zip(row.insets, distances, strict=True)
    )


def _in_line(at: Point, line: Vector, sign: int) -> Frame:
    """Shaft square to the row's line."""
    return Frame(at, line, line.right if sign > 0 else line.left)


def _along_edge(edge: Edge, places: Sequence[Point], near: Near, signs: Sequence[int]) -> tuple[Frame, ...]:
    """Shafts square to the edge at the places nearest the posts."""
    directions = starmap(Vector, edge.outward(points(places), *near).tolist())
    return tuple(
        Frame(at, outward.left if sign > 0 else outward.right, outward)
        for at, outward, sign in zip(places, directions, signs, strict=True)
    )


def _as_moved(build: Build, edge: Edge, ruled: dict[str, tuple[Frame, ...]]) -> dict[str, Frames]:
    """The frames of rules with those of the posts, which hands may have moved; along the edge a shaft turns with it."""
    frames: dict[str, Frames] = {}
    turning: list[tuple[str, int, int]] = []
    for row in build.rows:
        if row.key not in ruled:
            continue
        moved = {each.post: each for each in row.moved}
        pairs = tuple(
            (frame, _by_hand(frame, moved.get(post.key)))
            for post, frame in zip(row.posts, ruled[row.key], strict=True)
        )
        frames[row.key] = pairs
        if isinstance(row.rule, AlongEdge):
            sign = build.sign_of(row.side)
            turning += [(row.key, n, sign) for n, (rule, frame) in enumerate(pairs) if frame != rule]
    if not turning:
        return frames
    places = [frames[key][n][1].at for key, n, _ in turning]
    turned = _along_edge(edge, places, _to_edge(edge, places)[1], [sign for *_, sign in turning])
    for (key, n, _), frame in zip(turning, turned, strict=True):
        frames[key] = (*frames[key][:n], (frames[key][n][0], frame), *frames[key][n + 1 :])
    return frames


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
    run = run_direction(build, slots[key], spread_of(slots))
    left = (build.sign_of(row.side) > 0) != post.flip_wound_side
    return Pull(Point(slots[key], 0.0), run, contact_radius(string, hardware.post_diameter), left)


def hardware_of(build: Build, row: Row) -> Hardware:
    """The tuners of a row."""
    return next(each for each in build.hardware if each.key == row.hardware)
