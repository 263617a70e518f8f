"""How far the strings are from their stop limits when posts move: rows, and a quick sound bound of each.

A string bends these limits: its line swings, so they do not shrink evenly with the distance moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Self

import msgspec
import numpy as np

from geometry.checks.gaps import Part
from geometry.search.rings.string_lines import Lines, sectors_of
from geometry.shape.close import Flags, Floats, Indices


class _Rows(msgspec.Struct, frozen=True):
    """Columns (k,) of rows."""

    def only(self, index: Indices) -> Self:
        """The rows of these numbers."""
        return type(self)(*(getattr(self, name)[index] for name in self.__struct_fields__))

    @classmethod
    def joined(cls, several: Sequence[Self]) -> Self:
        """Several sets of rows as one."""
        columns = zip(*(msgspec.structs.astuple(each) for each in several), strict=True)
        return cls(*map(np.concatenate, columns))


class DiscRows(_Rows, frozen=True):
    """Lines (k,) that must keep `needed` (k,) mm from the middles of posts (k,), or pass high enough over them.

    Only the stretch from y `low_y` to `high_y` counts; the string's middle is `low_height` and `high_height` over the
    face at its ends and must be `top` there, infinite where no height helps.
    """

    line: Indices
    post: Indices
    needed: Floats
    low_y: Floats
    high_y: Floats
    low_height: Floats
    high_height: Floats
    top: Floats

    def stretch(self, start: Floats, end: Floats) -> tuple[Floats, Floats]:
        """The ends (..., k, 2) of the stretches that count, of lines from `start` (k, 2) to `end` (..., k, 2)."""
        way = end - start
        rise = np.where(np.abs(way[..., 1]) > 1e-9, way[..., 1], 1e-9)
        low = np.clip((self.low_y - start[:, 1]) / rise, 0.0, 1.0)
        high = np.clip((self.high_y - start[:, 1]) / rise, 0.0, 1.0)
        return start + way * low[..., None], start + way * np.maximum(low, high)[..., None]

    def height(self, start: Floats, end: Floats, centre: Floats, aside: Floats) -> Floats:
        """How high (..., k) over what is needed the stretches pass within `aside` (k,) mm of the middles of discs."""
        way = end - start
        length = np.maximum(np.hypot(way[..., 0], way[..., 1]), 1e-9)
        foot = ((centre - start) * way).sum(axis=-1) / length
        climb = (self.high_height - self.low_height) / length
        first, last = (np.clip(foot + step, 0.0, length) for step in (-aside, aside))
        found: Floats = self.low_height + np.minimum(first * climb, last * climb) - self.top
        return found

    def steepness(self, start: Floats, end: Floats) -> Floats:
        """How much (k,) the heights of the stretches change for a millimetre."""
        way = end - start
        found: Floats = np.abs(self.high_height - self.low_height) / np.maximum(
            np.hypot(way[:, 0], way[:, 1]), 1.0
        )
        return found


class PairRows(_Rows, frozen=True):
    """Lines (k,) that must keep `needed` (k,) mm from other lines; `whole` ones up to their posts."""

    one: Indices
    two: Indices
    needed: Floats
    whole: Flags


class StringSlack(msgspec.Struct, frozen=True):
    """Rows (k,) of discs first, then of pairs.

    `weights` (k, n) are how fast they shrink at first, `margins` (k,) where they start. `checks` and `about` name them
    as the checks do. `slope` is how much the thickness of the head changes for a millimetre along it.
    """

    at: Floats
    lines: Lines
    discs: DiscRows
    pairs: PairRows
    weights: Floats
    margins: Floats
    checks: tuple[str, ...]
    about: tuple[tuple[Part, ...], ...]
    slope: float

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
        moves = of_lines(self.lines, radii)
        sectors = sectors_of(self.lines, moves)
        discs = self.discs
        beside = sectors.distance(discs.line, self.at[discs.post]) - radii[discs.post] - discs.needed
        return np.concatenate([np.maximum(beside, self._above(moves, radii)), self._between(moves)])

    def _above(self, moves: Floats, radii: Floats) -> Floats:
        """Bounds of the heights over the discs: the lowest of a stretch as long as both could shift it."""
        rows = self.discs
        line, post = rows.line, rows.post
        start, end = rows.stretch(self.lines.start[line], self.lines.ends(line, np.zeros((len(line), 2))))
        shift = moves[line] * _lever(self.lines, moves)[line] + radii[post]
        low = rows.height(start, end, self.at[post], rows.needed + shift)
        least: Floats = low - rows.steepness(start, end) * shift - self.slope * moves[line]
        return least

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


def of_lines(lines: Lines, radii: Floats) -> Floats:
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


def pair_ends(lines: Lines, line: Indices, steps: Floats, whole: Flags) -> Floats:
    """Ends (..., k, 2) of lines that take part in pairs, without the turns unless `whole`."""
    ends = lines.ends(line, steps)
    short = lines.short_ends(line, ends)
    return np.where(whole[:, None], ends, short)
