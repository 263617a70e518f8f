"""What a search may change of a build, as a list of numbers: parameters of rules, or single posts moved by hand."""

from __future__ import annotations

from typing import Literal

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.build.build import AlongEdge, Build, Moved, OnLine, OnPlate, Row, StraightPull
from geometry.build.edits import Rule, move_post
from geometry.layout.by_hand import by_hand
from geometry.layout.layout import Layout, lay_out
from geometry.search.wish import Wish
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.measures import LARGEST

Name = Literal["start", "pitch", "inset", "inset_last", "along", "inward"]

SMALLEST = 0.1
"""The least start, pitch or inset in mm that a search sets."""

DECIMALS = 3
"""Of what a search writes into the build, in mm: what comes out can be typed in."""


class Handle(msgspec.Struct, frozen=True):
    """One number: a parameter of the rule of a row, or how far a post is moved by hand."""

    row: int
    name: Name
    post: str | None = None


class Handles(msgspec.Struct, frozen=True):
    """All that may change of `build`; `still` are the places in head mm where the fixed posts stay."""

    build: Build
    handles: tuple[Handle, ...]
    still: dict[str, Point]
    posts: tuple[str, ...]

    def values(self) -> Floats:
        """The numbers (h,) as they are in the build."""
        return np.array([_value(self.build, handle) for handle in self.handles])

    def limited(self, values: Floats) -> Floats:
        """Values (h,) kept where a build file may have them."""
        by_hand = np.array([handle.post is not None for handle in self.handles], dtype=bool)
        return np.clip(values, np.where(by_hand, -LARGEST, SMALLEST), LARGEST)

    def apply(self, values: Floats) -> Build:
        """The build with these numbers (h,)."""
        rows = list(self.build.rows)
        for handle, value in zip(self.handles, self.limited(values).tolist(), strict=True):
            rows[handle.row] = _with(rows[handle.row], handle, round(value, DECIMALS + 6))
        return self._kept(replace(self.build, rows=tuple(rows)))

    def _kept(self, build: Build) -> Build:
        """The fixed posts put back to their places by hand where their rule has moved them."""
        changed = {handle.row for handle in self.handles if handle.post is None}
        keys = [post.key for n in changed for post in build.rows[n].posts if post.key in self.still]
        if not keys:
            return build
        placed = {post.key: post for post in lay_out(build).posts}
        for key in keys:
            if key in placed and placed[key].at.distance(self.still[key]) > SAME:
                moved = by_hand(build, placed[key], self.still[key])
                build = move_post(build, key, moved.along, moved.inward)
        return build


def handles_of(build: Build, layout: Layout, wish: Wish) -> Handles:
    """What a wish lets a search change. `layout` is that of the build.

    Even rows begin without what was moved by hand, but for fixed posts.
    """
    places = {post.key: post.at for post in layout.posts}
    still = {key: places[key] for key in wish.fixed if key in places}
    rows = tuple(_tidied(row, still) if wish.kind == "even" else row for row in build.rows)
    tidy = replace(build, rows=rows)
    found: list[Handle] = []
    for number, row in enumerate(rows):
        if not any(post.key in places for post in row.posts):
            continue
        if wish.kind == "even" or _plate(build, row):
            found += [Handle(number, name) for name in _names(row, still)]
        else:
            free = [post.key for post in row.posts if post.key not in still]
            found += [Handle(number, name, key) for key in free for name in ("along", "inward")]
    return Handles(tidy, tuple(found), still, tuple(places))


def _plate(build: Build, row: Row) -> bool:
    return next(each for each in build.hardware if each.key == row.hardware).plate is not None


def _tidied(row: Row, still: dict[str, Point]) -> Row:
    return replace(row, moved=tuple(each for each in row.moved if each.post in still))


def _names(row: Row, still: dict[str, Point]) -> tuple[Name, ...]:
    """The parameters that are free.

    A fixed post that stands where its rule puts it keeps the rule there: with the first one start and inset are taken,
    with another the whole row.
    """
    by_hand = {each.post for each in row.moved}
    pinned = [n for n, post in enumerate(row.posts) if post.key in still and post.key not in by_hand]
    taken: tuple[str, ...] = ()
    if pinned == [0] and not isinstance(row.rule, StraightPull):
        taken = ("start", "inset")
    elif pinned:
        return ()
    names: tuple[Name, ...] = ()
    match row.rule:
        case AlongEdge():
            names = ("start", "pitch", "inset")
        case OnLine():
            names = ("start", "pitch", "inset", "inset_last")
        case OnPlate():
            names = ("start", "inset", "inset_last")
        case StraightPull():
            names = ("start", "pitch")
    if len(row.posts) == 1:
        taken = (*taken, "pitch", "inset_last")
    return tuple(name for name in names if name not in taken)


def _value(build: Build, handle: Handle) -> float:
    row = build.rows[handle.row]
    if handle.post is not None:
        moved = next((each for each in row.moved if each.post == handle.post), None)
        return 0.0 if moved is None else float(getattr(moved, handle.name))
    if isinstance(row.rule, OnLine | OnPlate) and handle.name == "inset_last" and row.rule.inset_last is None:
        return row.rule.inset
    return float(getattr(row.rule, handle.name))


def _with(row: Row, handle: Handle, value: float) -> Row:
    if handle.post is None:
        rule: Rule = replace(row.rule, **{handle.name: value})
        return replace(row, rule=rule)
    before = next((each for each in row.moved if each.post == handle.post), Moved(handle.post, 0.0, 0.0))
    after = replace(before, **{handle.name: value})
    return replace(row, moved=(*(each for each in row.moved if each.post != handle.post), after))
