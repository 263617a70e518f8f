"""What a search may change of a build, as a list of numbers: parameters of rules, or single posts moved by hand."""

from __future__ import annotations

import math
from collections.abc import Container
from typing import Literal

import msgspec
import numpy as np
from msgspec.structs import replace

from geometry.document.build import AlongEdge, Build, Moved, OnLine, OnPlate, Row, StraightPull
from geometry.document.edits import Rule, move_post
from geometry.layout.by_hand import by_hand
from geometry.layout.layout import Layout, lay_out
from geometry.search.placing.alike import Twins, kept_alike, partners_of
from geometry.search.placing.standing import Wish
from geometry.search.rings.rings import drilled_posts
from geometry.shape.close import Floats
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.measures import LARGEST, LEAST

# Shares of the pitch at which a row that runs out of the head is tried.
_CLOSER = (0.95, 0.9, 0.85, 0.8, 0.7, 0.6, 0.5)

Name = Literal["start", "pitch", "inset", "inset_last", "along", "inward"]

HANDS: tuple[Name, ...] = ("along", "inward")

DECIMALS = 3
"""Of what a search writes into the build, in mm: what comes out can be typed in."""


class Handle(msgspec.Struct, frozen=True):
    """One number: a parameter of the rule of a row, or how far a post is moved by hand."""

    row: int
    name: Name
    post: str | None = None


class Handles(msgspec.Struct, frozen=True):
    """All that may change of `build`, whose posts are `posts`.

    `still` are the places in head mm where the fixed posts stay, `pinned` those of them that their row, by its number,
    leads through. Of `twins` the first row has the handles and the second is its mirror image.
    """

    build: Build
    handles: tuple[Handle, ...]
    still: dict[str, Point]
    posts: tuple[str, ...]
    pinned: tuple[tuple[int, str], ...] = ()
    twins: Twins = ()

    def values(self) -> Floats:
        """The numbers (h,) as they are in the build."""
        return np.array([_value(self.build, handle) for handle in self.handles])

    def limited(self, values: Floats) -> Floats:
        """Values (h,) kept where a build file may have them."""
        by_hand = np.array([handle.post is not None for handle in self.handles], dtype=bool)
        return np.clip(values, np.where(by_hand, -LARGEST, LEAST), LARGEST)

    def apply(self, values: Floats) -> Build:
        """The build with these numbers (h,)."""
        rows = list(self.build.rows)
        for handle, value in zip(self.handles, self.limited(values).tolist(), strict=True):
            rows[handle.row] = _with(rows[handle.row], handle, round(value, DECIMALS + 6))
        build = replace(self.build, rows=tuple(rows))
        for row, post in self.pinned:
            build = through(build, row, post, self.still[post])
        return self._kept(kept_alike(build, self.twins, self.still))

    def values_in(self, other: Build) -> Floats:
        """The numbers (h,) that put the posts where another build with the same rows has them, as far as they can."""
        here, there = lay_out(self.build), {post.key: post.at for post in lay_out(other).posts}
        moved = {post.key: by_hand(post, there[post.key]) for post in here.posts}
        return np.array(
            [
                _value(other, handle) if handle.post is None else getattr(moved[handle.post], handle.name)
                for handle in self.handles
            ]
        )

    def moved_with(self, post: str) -> tuple[str, ...]:
        """The posts that a handle of `post` moves."""
        partner = partners_of(self.build, self.twins).get(post)
        return (post,) if partner is None else (post, partner)

    def _kept(self, build: Build) -> Build:
        """The fixed posts put back to their places by hand where their rule has moved them."""
        changed = {handle.row for handle in self.handles if handle.post is None}
        changed |= {twin for _, twin in self.twins}
        keys = [post.key for n in changed for post in build.rows[n].posts if post.key in self.still]
        if not keys:
            return build
        placed = {post.key: post for post in lay_out(build).posts}
        for key in keys:
            if key in placed and placed[key].at.distance(self.still[key]) > SAME:
                moved = by_hand(placed[key], self.still[key])
                build = move_post(build, key, moved.along, moved.inward)
        return build


def handles_of(build: Build, layout: Layout, wish: Wish, twins: Twins = ()) -> Handles:
    """What a wish lets a search change while `twins` stay mirror images. `layout` is that of the build.

    Unless each post moves by itself, rows begin without what was moved by hand, but for fixed posts.
    """
    places = {post.key: post.at for post in layout.posts}
    still = {key: places[key] for key in (*wish.fixed, *drilled_posts(build)) if key in places}
    rows = tuple(row if wish.kind == "free" else _tidied(row, still) for row in build.rows)
    twins = tuple(_with_a_leader(pair, rows, still) for pair in twins)
    tidy = kept_alike(replace(build, rows=rows), twins, still)
    partner, led = partners_of(build, twins), {twin for _, twin in twins}
    pins = {pin for row in rows for pin in _pins(row, still)}
    found: list[Handle] = []
    pinned: list[tuple[int, str]] = []
    for number, row in enumerate(tidy.rows):
        if number in led or not any(post.key in places for post in row.posts):
            continue
        if wish.kind != "free" or _plate(build, row):
            names = _names(row, len(_held(row, pins, partner)))
            found += [Handle(number, name) for name in names]
            pinned += [(number, pin) for pin in _pins(row, still) if names]
        else:
            held = _held(row, still, partner)
            free = [post.key for post in row.posts if post.key not in held]
            found += [Handle(number, name, key) for key in free for name in HANDS]
    return Handles(tidy, tuple(found), still, tuple(places), tuple(pinned), twins)


def _with_a_leader(pair: tuple[int, int], rows: tuple[Row, ...], still: Container[str]) -> tuple[int, int]:
    """A pair of twin rows, the one first that must go on leading through fixed posts."""
    one, two = pair
    return (two, one) if len(_pins(rows[two], still)) > len(_pins(rows[one], still)) else pair


def _held(row: Row, keys: Container[str], partner: dict[str, str]) -> list[str]:
    """The posts of a row that are among `keys`, or whose partners are."""
    return [post.key for post in row.posts if post.key in keys or partner.get(post.key) in keys]


def closed_up(build: Build) -> Build:
    """The build with the posts of rows that run out of the head nearer together; itself where all rows have places.

    A row that has no place even so stays as it is.
    """
    for share in _CLOSER:
        placed = {post.row for post in lay_out(build).posts}
        rows = tuple(row if row.key in placed else _closer(row, share) for row in build.rows)
        if rows == build.rows:
            return build
        tried = replace(build, rows=rows)
        if len({post.row for post in lay_out(tried).posts}) > len(placed):
            build = tried
    return build


def _closer(row: Row, share: float) -> Row:
    if isinstance(row.rule, OnPlate):
        return row
    return replace(row, rule=replace(row.rule, pitch=max(LEAST, share * row.rule.pitch)))


def _plate(build: Build, row: Row) -> bool:
    return next(each for each in build.hardware if each.key == row.hardware).plate is not None


def _tidied(row: Row, still: Container[str]) -> Row:
    return replace(row, moved=tuple(each for each in row.moved if each.post in still))


def _pins(row: Row, still: Container[str]) -> list[str]:
    """The fixed posts that stand where the rule puts them."""
    by_hand = {each.post for each in row.moved}
    return [post.key for post in row.posts if post.key in still and post.key not in by_hand]


def _names(row: Row, pins: int) -> tuple[Name, ...]:
    """The parameters that are free.

    A fixed post that stands where its rule puts it keeps the row: start and inset follow from it; two hold all of it.
    """
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
    taken = {"pitch", "inset_last"} if len(row.posts) == 1 else set()
    if pins:
        taken |= {"start", "inset"}
    if pins > 1 or (pins and isinstance(row.rule, StraightPull)):
        return ()
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


# Rows whose rule must go on leading through a post that is fixed


_ROUNDS = 6  # of Newton's method
_NUDGE = 1e-3  # change of start and inset in mm, for differences


def through(build: Build, row: int, post: str, target: Point) -> Build:
    """The build with start and inset of a row such that its rule puts `post` to `target` (Newton's method).

    Where the rule cannot lead there, the row is left as near as it came.
    """
    for _ in range(_ROUNDS):
        tried = (build, _changed(build, row, _NUDGE, 0.0), _changed(build, row, 0.0, _NUDGE))
        off = np.array([_off(each, post, target) for each in tried])
        if not np.isfinite(off).all() or float(np.hypot(*off[0])) < SAME / 10:
            break
        slopes = (off[1:] - off[0]).T / _NUDGE
        start, inset = np.linalg.lstsq(slopes, -off[0], rcond=None)[0].tolist()
        build = _changed(build, row, start, inset)
    return build


def _off(build: Build, post: str, target: Point) -> tuple[float, float]:
    """How far a post is from its target, NaN where it has no place."""
    found = next((each.at for each in lay_out(build).posts if each.key == post), None)
    return (math.nan, math.nan) if found is None else (found.x - target.x, found.y - target.y)


def _changed(build: Build, row: int, start: float, inset: float) -> Build:
    rows = list(build.rows)
    before = rows[row].rule
    assert not isinstance(before, StraightPull), "straight pull has no inset"
    rule = replace(
        before,
        start=max(LEAST, before.start + start),
        inset=max(LEAST, before.inset + inset),
    )
    rows[row] = replace(rows[row], rule=rule)
    return replace(build, rows=tuple(rows))
