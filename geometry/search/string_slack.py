"""How far the strings are from their stop limits when posts move: a quick bound and the exact value.

A string bends these limits: its line swings, so they do not shrink evenly with the distance moved.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import msgspec
import numpy as np

from geometry.checks.gaps import Part
from geometry.search.string_lines import Lines, sectors_of
from geometry.shape.close import Flags, Floats, Indices, point_segment, segment_segment

ANGLES = 24
"""Directions looked at before the worst one is closed in on."""

ROUNDS = 8
"""Halvings of the step between directions: the worst is found within a thousandth of a radian."""


class DiscRows(msgspec.Struct, frozen=True):
    """Lines (k,) that must keep `needed` (k,) mm from the middles of posts (k,)."""

    line: Indices
    post: Indices
    needed: Floats

    def only(self, index: Indices) -> DiscRows:
        """The rows of these numbers."""
        return DiscRows(self.line[index], self.post[index], self.needed[index])


class PairRows(msgspec.Struct, frozen=True):
    """Lines (k,) that must keep `needed` (k,) mm from other lines; `whole` ones up to their posts."""

    one: Indices
    two: Indices
    needed: Floats
    whole: Flags

    def only(self, index: Indices) -> PairRows:
        """The rows of these numbers."""
        return PairRows(self.one[index], self.two[index], self.needed[index], self.whole[index])


def none_of_discs() -> DiscRows:
    """No rows at all."""
    return DiscRows(np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp), np.empty(0))


def all_discs(several: Sequence[DiscRows]) -> DiscRows:
    """Several sets of rows as one."""
    return DiscRows(
        np.concatenate([each.line for each in several]),
        np.concatenate([each.post for each in several]),
        np.concatenate([each.needed for each in several]),
    )


def all_pairs(several: Sequence[PairRows]) -> PairRows:
    """Several sets of rows as one."""
    return PairRows(
        np.concatenate([each.one for each in several]),
        np.concatenate([each.two for each in several]),
        np.concatenate([each.needed for each in several]),
        np.concatenate([each.whole for each in several]),
    )


class StringSlack(msgspec.Struct, frozen=True):
    """Rows (k,) of discs first, then of pairs.

    `weights` (k, n) are how fast they shrink at first, `margins` (k,) where they start. `checks` and `about` name them
    as the checks do.
    """

    at: Floats
    lines: Lines
    discs: DiscRows
    pairs: PairRows
    weights: Floats
    margins: Floats
    checks: tuple[str, ...]
    about: tuple[tuple[Part, ...], ...]

    def only(self, chosen: Flags) -> StringSlack:
        """The rows for which `chosen` (k,) is true."""
        index = np.flatnonzero(chosen)
        count = len(self.discs.line)
        disc, pair = index[index < count], index[index >= count] - count
        return msgspec.structs.replace(
            self,
            discs=self.discs.only(disc),
            pairs=self.pairs.only(pair),
            weights=self.weights[index],
            margins=self.margins[index],
            checks=tuple(self.checks[k] for k in index.tolist()),
            about=tuple(self.about[k] for k in index.tolist()),
        )

    def at_least(self, radii: Floats) -> Floats:
        """Sound lower bounds (k,) of the margins when every post n may move by radii[n] (n,) in any direction."""
        moves = _of_lines(self.lines, radii)
        sectors = sectors_of(self.lines, moves)
        discs = self.discs
        to_discs = sectors.distance(discs.line, self.at[discs.post]) - radii[discs.post] - discs.needed
        return np.concatenate([to_discs, self._between(moves)])

    def _between(self, moves: Floats) -> Floats:
        """Bounds for the pairs: lines that do not meet are nearest at an end of one of them."""
        rows, lines = self.pairs, self.lines
        if not len(rows.one):
            return np.empty(0)
        sectors = sectors_of(lines, moves)
        found = []
        for one, two in ((rows.one, rows.two), (rows.two, rows.one)):
            end = pair_ends(lines, one, np.zeros((len(one), 2)), rows.whole)
            # An end moves at most a little more than its post: it also swings about the start.
            found.append(sectors.distance(two, end) - moves[one] * _lever(lines, moves)[one])
            found.append(sectors.distance(two, lines.start[one]))
        least: Floats = np.min(found, axis=0) - rows.needed
        return least

    def exact(self, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
        """Margins (c,) of chosen rows when posts may move by radii (n,), and the steps (c, n, 2) that end them."""
        count = len(self.discs.line)
        in_pairs = chosen >= count
        margins = np.empty(len(chosen))
        steps = np.zeros((len(chosen), len(radii), 2))
        margins[~in_pairs], steps[~in_pairs] = self._worst_discs(radii, chosen[~in_pairs])
        margins[in_pairs], steps[in_pairs] = self._worst_pairs(radii, chosen[in_pairs] - count)
        return margins, steps

    def _worst_discs(self, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
        rows = self.discs.only(chosen)
        line, post, needed = rows.line, rows.post, rows.needed
        moves = _of_lines(self.lines, radii)[line]

        def apart(angles: Floats) -> Floats:
            ends = self.lines.ends(line, _steps(angles, moves))
            distance, _ = point_segment(self.at[post], self.lines.start[line], ends)
            return distance

        angles, distance = _worst_angle(apart, len(chosen))
        swung = _steps(angles, moves)
        ends = self.lines.ends(line, swung)
        _, near = point_segment(self.at[post], self.lines.start[line], ends)
        steps = np.zeros((len(chosen), len(radii), 2))
        row = np.arange(len(chosen))
        has = self.lines.owner[line] >= 0
        steps[row[has], self.lines.owner[line[has]]] = swung[has]
        way = near - self.at[post]
        length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)
        steps[row, post] = way * (radii[post] / length)[:, None]
        return distance - radii[post] - needed, steps

    def _worst_pairs(self, radii: Floats, chosen: Indices) -> tuple[Floats, Floats]:
        rows = self.pairs.only(chosen)
        one, two, needed, whole = rows.one, rows.two, rows.needed, rows.whole
        moves = _of_lines(self.lines, radii)

        def apart(first: Floats, second: Floats) -> Floats:
            ends = pair_ends(self.lines, one, _steps(first, moves[one]), whole)
            others = pair_ends(self.lines, two, _steps(second, moves[two]), whole)
            return _between(self.lines.start[one], ends, self.lines.start[two], others)

        first, second, distance = _worst_angles(apart, len(chosen))
        steps = np.zeros((len(chosen), len(radii), 2))
        row = np.arange(len(chosen))
        for line, angles in ((one, first), (two, second)):
            has = self.lines.owner[line] >= 0
            steps[row[has], self.lines.owner[line[has]]] = _steps(angles, moves[line])[has]
        return distance - needed, steps


def _of_lines(lines: Lines, radii: Floats) -> Floats:
    """How far the post of each line may move."""
    return np.where(lines.owner >= 0, radii[lines.owner], 0.0)


def _lever(lines: Lines, moves: Floats) -> Floats:
    """How far at most the end of each line moves for a millimetre of its post.

    With D from the start to the post and L to the tangent, a step along the line moves the end by D / L ahead and R / D
    aside, a step across it by L / D.
    """
    way = lines.centre - lines.start
    distance = np.maximum(np.hypot(way[:, 0], way[:, 1]) - moves, lines.radius + 1e-9)
    length = np.sqrt(np.maximum(distance**2 - lines.radius**2, 1e-12))
    lever: Floats = np.hypot(distance / length, lines.radius / distance)
    return lever


def _steps(angles: Floats, moves: Floats) -> Floats:
    """Steps (..., k, 2) of length `moves` (k,) in the directions of the angles (..., k)."""
    found: Floats = np.stack([np.cos(angles), np.sin(angles)], axis=-1) * moves[:, None]
    return found


def pair_ends(lines: Lines, line: Indices, steps: Floats, whole: Flags) -> Floats:
    """Ends (..., k, 2) of lines that take part in pairs, without the turns unless `whole`."""
    ends = lines.ends(line, steps)
    short = lines.short_ends(line, ends)
    return np.where(whole[:, None], ends, short)


def _between(starts: Floats, ends: Floats, other_starts: Floats, other_ends: Floats) -> Floats:
    """Distances (..., k) of segments whose ends come in several versions (..., k, 2)."""
    shape = np.broadcast_shapes(ends.shape, other_ends.shape)
    flat = [np.broadcast_to(each, shape).reshape(-1, 2) for each in (starts, ends, other_starts, other_ends)]
    distance, _, _ = segment_segment(*flat)
    return distance.reshape(shape[:-1])


def _worst_angle(apart: Callable[[Floats], Floats], count: int) -> tuple[Floats, Floats]:
    """The angles (k,) at which `apart` is least, and how much it is there."""
    step = math.tau / ANGLES
    tried = np.repeat((np.arange(ANGLES) * step)[:, None], count, axis=1)
    row = np.arange(count)
    for _ in range(ROUNDS):
        found = apart(tried)
        best = np.argmin(found, axis=0)
        angle, least = tried[best, row], found[best, row]
        step /= 2
        tried = angle + step * np.array([-1.0, -0.5, 0.0, 0.5, 1.0])[:, None]
    return angle, least


def _worst_angles(apart: Callable[[Floats, Floats], Floats], count: int) -> tuple[Floats, Floats, Floats]:
    """The same for two posts that move at once."""
    coarse = ANGLES // 2
    step = math.tau / coarse
    grid = np.arange(coarse) * step
    first, second = (np.repeat(each.reshape(-1, 1), count, axis=1) for each in np.meshgrid(grid, grid))
    row = np.arange(count)
    around = np.array([-1.0, 0.0, 1.0])
    ones, twos = (each.reshape(-1, 1) for each in np.meshgrid(around, around))
    for _ in range(ROUNDS):
        found = apart(first, second)
        best = np.argmin(found, axis=0)
        one, two, least = first[best, row], second[best, row], found[best, row]
        step /= 2
        first, second = one + step * ones, two + step * twos
    return one, two, least
