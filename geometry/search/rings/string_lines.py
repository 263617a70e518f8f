"""The strings as lines in plan, and where those go when posts move: for many displacements at once.

A line runs from where the string last turned (its slot or a guide post) to the tangent of its post. While the post
moves, the line swings about its start.
"""

from __future__ import annotations

import math

import msgspec
import numpy as np

from geometry.checks.facts import Facts
from geometry.checks.strings import unwound
from geometry.layout.parts import PlacedPost
from geometry.layout.paths import StringPath
from geometry.shape.close import Floats, Indices


class Lines(msgspec.Struct, frozen=True):
    """Lines (m,) of all strings.

    `start` and `centre` (m, 2) are the fixed start and the middle of the post, `radius` that of the string's centre
    about the post, `side` 1 where the string meets its post on the left. `owner` is the number of the post, `path` that
    of the string. A line to a guide post does not move: its `centre` is its end, its radius 0 and its owner -1. `back`
    is how much of the end belongs to the turns round the post, `held` the y of the last tree on the line.

    `stretches` (s, 5) are the straight runs between what holds a string: number of the line, y of both ends (infinite
    at the ends of the line), heights of both ends over the face.
    """

    start: Floats
    centre: Floats
    radius: Floats
    side: Floats
    owner: Indices
    path: Indices
    back: Floats
    held: Floats
    stretches: Floats

    def ends(self, line: Indices, steps: Floats) -> Floats:
        """Ends (..., k, 2) of lines (k,) whose posts have moved by steps (..., k, 2)."""
        moving = (self.owner[line] >= 0)[:, None]
        return tangents(
            self.start[line], self.centre[line] + steps * moving, self.radius[line], self.side[line]
        )

    def short_ends(self, line: Indices, ends: Floats) -> Floats:
        """The same ends drawn back by what belongs to the turns round the post."""
        start = self.start[line]
        way = ends - start
        length = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-9)
        share = np.maximum(0.0, 1.0 - self.back[line] / length)
        rise = np.where(np.abs(way[..., 1]) > 1e-9, way[..., 1], 1e-9)
        held = np.clip((self.held[line] - start[:, 1]) / rise, 0.0, 1.0)
        share = np.where(np.isfinite(self.held[line]), np.maximum(share, held), share)
        short: Floats = start + way * share[..., None]
        return short


def lines_of(facts: Facts) -> Lines:
    """The lines of all strings of a layout."""
    places = {post.key: number for number, post in enumerate(facts.posts)}
    rows: list[Row] = []
    stretches: list[Stretch] = []
    for number, path in enumerate(facts.paths):
        post = facts.layout.post(path.post)
        lines, runs = _lines([each.kind for each in path.held], path, post, (places[path.post], number))
        stretches += [(len(rows) + line, *run) for line, run in runs]
        rows += lines
    table = np.array(rows, dtype=float).reshape(-1, 10)
    return Lines(
        start=table[:, 0:2],
        centre=table[:, 2:4],
        radius=table[:, 4],
        side=table[:, 5],
        owner=table[:, 6].astype(np.intp),
        path=table[:, 7].astype(np.intp),
        back=table[:, 8],
        held=table[:, 9],
        stretches=np.array(stretches, dtype=float).reshape(-1, 5),
    )


Row = tuple[float, float, float, float, float, float, int, int, float, float]
Run = tuple[float, float, float, float]
Stretch = tuple[int, float, float, float, float]


def _lines(
    kinds: list[str], path: StringPath, post: PlacedPost, numbers: tuple[int, int]
) -> tuple[list[Row], list[tuple[int, Run]]]:
    """The still lines to guide posts and the last one, which moves with its post; with the runs of each."""
    owner, number = numbers
    rows: list[Row] = []
    runs: list[tuple[int, Run]] = []
    start, held = path.points[0], -math.inf
    for place, kind in enumerate(kinds, start=1):
        at, low, high = path.points[place], path.heights[place - 1], path.heights[place]
        if kind == "tree":
            runs.append((len(rows), (held, at.y, low, high)))
            held = at.y
            continue
        runs.append((len(rows), (held, math.inf, low, high)))
        rows.append((start.x, start.y, at.x, at.y, 0.0, 1.0, -1, number, 0.0, -math.inf))
        start, held = at, -math.inf
    runs.append((len(rows), (held, math.inf, path.heights[-2], path.heights[-1])))
    back = unwound(post.hardware.post_diameter, path.string)
    side = 1.0 if path.left else -1.0
    rows.append(
        (start.x, start.y, post.at.x, post.at.y, path.contact_radius, side, owner, number, back, held)
    )
    return rows, runs


def tangents(start: Floats, centre: Floats, radius: Floats, side: Floats) -> Floats:
    """Where lines from `start` touch circles on the left (`side` 1) or right: (..., k, 2).

    From inside a circle there is no tangent: its centre.
    """
    way = centre - start
    distance = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-12)
    direction = way / distance[..., None]
    beside = np.stack([-direction[..., 1], direction[..., 0]], axis=-1) * np.asarray(side)[..., None]
    sine = np.minimum(radius / distance, 1.0)
    touch = beside * np.sqrt(1 - sine * sine)[..., None] - direction * sine[..., None]
    found: Floats = centre + np.where(sine < 1, radius, 0.0)[..., None] * touch
    return found


class Sectors(msgspec.Struct, frozen=True):
    """All places a line can sweep while its post moves by so much: an angle about its start, and a reach."""

    start: Floats
    first: Floats
    span: Floats
    reach: Floats

    def distance(self, row: Indices, places: Floats) -> Floats:
        """Distances (k,) of places (k, 2) to the sectors of the lines `row` (k,)."""
        way = places - self.start[row]
        length = np.hypot(way[:, 0], way[:, 1])
        reach, span = self.reach[row], self.span[row]
        turn = np.mod(np.arctan2(way[:, 1], way[:, 0]) - self.first[row], math.tau)
        # Beyond the sector the nearer of its two sides counts.
        aside = np.where(turn <= span, 0.0, np.minimum(turn - span, math.tau - turn))
        along = np.clip(length * np.cos(aside), 0.0, reach)
        found: Floats = np.hypot(length * np.cos(aside) - along, length * np.sin(aside))
        return found


def sectors_of(lines: Lines, moves: Floats) -> Sectors:
    """The sectors of all lines whose posts move by `moves` (m,) mm in any direction.

    Seen from its start, a line that touches a circle of radius R about a centre moved by up to a is a line that touches
    one of the circles R - a to R + a about the old centre.
    """
    way = lines.centre - lines.start
    distance = np.hypot(way[:, 0], way[:, 1])
    angle = np.arctan2(way[:, 1], way[:, 0])
    moves = np.where(lines.owner >= 0, moves, 0.0)
    turn_more = np.arcsin(np.clip((lines.radius + moves) / np.maximum(distance, 1e-12), -1.0, 1.0))
    turn_less = np.arcsin(np.clip((lines.radius - moves) / np.maximum(distance, 1e-12), -1.0, 1.0))
    low = np.where(lines.side > 0, angle + turn_less, angle - turn_more)
    reach = np.sqrt(np.maximum(0.0, (distance + moves) ** 2 - lines.radius**2))
    inside = distance - moves <= lines.radius + moves
    return Sectors(
        lines.start,
        np.where(inside, -math.pi, low),
        np.where(inside, math.tau, turn_more - turn_less),
        np.where(inside, distance + moves, reach),
    )
